import math

import pytest

from bedwright.errors import OutsideRange
from bedwright.mechanics import coil_fatigue as fatigue
from bedwright.mechanics import coil_stress as stress
from bedwright.mechanics.coil_force import force
from bedwright.mechanics.coil_shape import CoilShape

CONE = CoilShape("cone", 75, 5, 130, 2.2, 45)
PARABOLA = CoilShape("hourglass-parabolic", 75, 5, 130, 2.2, 45)


def test_stress_of_the_largest_coil_while_all_are_free() -> None:
    F = force(CONE, 40)
    assert stress.shear_stress(CONE, 40) == pytest.approx(8 * F * 75 / (math.pi * 2.2**3))
    C = 75 / 2.2
    assert stress.corrected_shear_stress(CONE, 40) == pytest.approx(
        stress.shear_stress(CONE, 40) * (4 * C + 2) / (4 * C - 3)
    )


def test_stress_passes_to_smaller_coils_as_large_ones_close() -> None:
    F = force(CONE, 110)
    assert stress.shear_stress(CONE, 110) < 8 * F * 75 / (math.pi * 2.2**3)
    found = [stress.shear_stress(CONE, s) for s in (40, 70, 90, 110, 125)]
    assert found == sorted(found)
    # at solid the smallest coil has the stress of a coil pressed flat, within what large deflection changes
    assert stress.shear_stress(CONE, 130) == pytest.approx(stress.flat_stress(CONE, 45), rel=0.07)


def test_mattress_coil_at_40_mm() -> None:
    # about 190 MPa, amplitude 95: 2.5 times below Zimmerli's (derived, book zimmerli)
    tau = stress.shear_stress(PARABOLA, 40)
    assert tau == pytest.approx(190, abs=2)
    assert fatigue.ZIMMERLI_UNPEENED[0] / (tau / 2) == pytest.approx(2.5, abs=0.1)


def test_curvature_factors_need_an_index() -> None:
    with pytest.raises(OutsideRange, match="use 4 or more"):
        stress.wahl(1.5)
    with pytest.raises(OutsideRange):
        stress.bergstraesser(float("nan"))


def test_coil_grows_when_flat() -> None:
    # outside 61.9 mm free, 62.83 pressed (EN 13906-1, from memory)
    assert stress.grown_outside(CoilShape("cylinder", 60, 6, 200, 1.9)) == pytest.approx(62.83, abs=0.005)


def test_a_pocket_higher_than_its_coil_is_refused() -> None:
    with pytest.raises(OutsideRange, match="A pocket of 210 mm is higher than its coil of 200 mm"):
        stress.fabric_force(0.12, 200, 210)


def test_fatigue_lines_order() -> None:
    goodman = fatigue.endurance("Goodman", 1000, 0.6, 241, 379)
    gerber = fatigue.endurance("Gerber", 1000, 0.6, 241, 379)
    # both pass through the known pair; on that load line they agree
    steep = 241 / 379
    for line in ("Goodman", "Gerber"):
        assert fatigue.endurance(line, 1000, steep, 241, 379).allowed == pytest.approx(241)
    assert goodman.endurance > gerber.endurance


def test_fatigue_beyond_its_lines_is_refused() -> None:
    with pytest.raises(OutsideRange, match="mean below the ultimate"):
        fatigue.endurance("Goodman", 300, 0.6, 241, 379)
    with pytest.raises(OutsideRange, match="use thicker wire or less force"):
        fatigue.index_for(100, 1000, 1.0)
