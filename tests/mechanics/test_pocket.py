"""A pocketed coil: cloth that pulls and never pushes, a law that rises everywhere, room in the pocket."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.errors import FaultsFound, OutsideRange
from bedwright.mechanics import pocket
from bedwright.mechanics.coil_force import force_curve
from bedwright.mechanics.coil_rate import plain_rate
from bedwright.mechanics.coil_shape import CoilShape, longest_way, solid_height

COIL = CoilShape("cylinder", 60, 5, 200, 1.9)  # springs.md check 51 (derived): k 0.12293 N/mm
LINE = np.linspace(0.0, 150.0, 4)


def line(rate: float = 0.12293, held: float = 40.0, cloth_way: float = 0.5) -> pocket.PocketLaw:
    return pocket.pocket_law(LINE, rate * LINE, held, cloth_way=cloth_way)


def test_pretension_of_a_straight_coil() -> None:
    # derived check: D 60, n 5, d 1.9, 200 -> 160 mm gives k 0.12293 N/mm and F0 4.917 N
    law = line(plain_rate(COIL))
    assert law.held_force == pytest.approx(4.917, abs=1e-3)
    assert law.slope(np.array([20.0]))[0] == pytest.approx(0.12293, abs=1e-5)  # the step does not change the rate
    assert law.force(np.array([20.0]))[0] == pytest.approx(4.917 + 0.12293 * 20, abs=1e-3)


def test_pretension_of_the_true_coil_is_near_the_plain_one() -> None:
    law = pocket.pocketed(COIL, 160 + COIL.wire_diameter)
    assert law.held == pytest.approx(40)
    assert law.held_force == pytest.approx(4.917, rel=0.02)  # falling rate at large compression
    assert law.solid_way == pytest.approx(longest_way(COIL) - 40)


def test_a_slack_pocket_holds_nothing() -> None:
    law = pocket.pocketed(COIL, 230)
    assert (law.held, law.held_force) == (0, 0)
    assert law.force(np.array([0.0, 30.0])) == pytest.approx([0, float(np.interp(30, *_curve()))])


def _curve() -> tuple[pocket.Array, pocket.Array]:
    curve = force_curve(COIL)
    return curve.compression, curve.force


@given(
    held=st.floats(0, 140),
    cloth_way=st.floats(0.05, 5),
    ways=st.lists(st.floats(-20, 200), min_size=2, max_size=12, unique=True),
)
def test_force_rises_and_cloth_never_pushes(held: float, cloth_way: float, ways: list[float]) -> None:
    law = line(held=held, cloth_way=cloth_way)
    s = np.sort(np.array(ways))
    apart = np.diff(s) > 1e-6
    assert np.all(np.diff(law.force(s))[apart] > 0)
    assert np.all(law.slope(s) > 0)
    assert np.all(law.cloth_pull(s) >= 0)
    assert law.force(np.zeros(1))[0] == 0


def test_slope_is_the_slope_of_the_force() -> None:
    law = line()
    s = np.array([-3.0, -0.2, 0.1, 0.6, 3.0, 40.0, 109.0, 112.0])
    step = 1e-5
    found = (law.force(s + step) - law.force(s - step)) / (2 * step)
    assert law.slope(s) == pytest.approx(found, rel=1e-6)


def test_above_rest_the_cloth_carries_coil_and_lift() -> None:
    law = line()
    s = np.array([-0.4])
    # balance of the coil: the cloth holds what the coil pushes and what lifts it
    assert law.cloth_pull(s) - law.force(-s * 0 + s) * -1 == pytest.approx(0.12293 * (40 - 0.4))
    assert law.slope(s)[0] == pytest.approx(law.held_force / 0.5 + 0.12293)


def test_what_the_cloth_way_takes() -> None:
    law = line()
    at_once = law.held_force + 0.12293 * np.array([1.5])
    taken, work = law.taken_by_way(1.5)
    assert at_once - law.force(np.array([1.5])) == pytest.approx(taken)
    assert taken / law.held_force == pytest.approx(math.exp(-3))  # 5 % left after three ways
    s = np.linspace(0, 1.5, 20_001)
    lost = law.held_force + 0.12293 * s - law.force(s)
    assert np.trapezoid(lost, s) == pytest.approx(work, rel=1e-6)
    assert law.taken_by_way(1e3)[1] == pytest.approx(law.held_force * 0.5)


def test_cloth_way_from_the_cloth() -> None:
    # 4.917 N on a tube 160 mm high, 62 across, of 20 kN/m: 20000 x pi x 0.062 / 160 = 24.35 N/mm
    assert pocket.measured_cloth_way(4.917, 160, 62, 20_000) == pytest.approx(4.917 / 24.347, rel=1e-4)
    with pytest.raises(OutsideRange, match="give sizes and stretch above 0"):
        pocket.measured_cloth_way(4.917, 160, 62, 0)


def test_room_in_the_pocket() -> None:
    # outside 61.9 free, 62.83 pressed at a pitch of 33.33 mm (EN 13906-1, from memory)
    six = CoilShape("cylinder", 60, 6, 200, 1.9)
    room = pocket.pocket_room(six, 160, 65.0, cloth_thickness=0.3)
    assert room.grown_outside == pytest.approx(62.83, abs=0.005)
    assert room.clearance == pytest.approx(65 - 62.83, abs=0.005)
    assert room.solid_height == pytest.approx(solid_height(six) + 0.6)
    assert room.way == pytest.approx(160 - solid_height(six))
    tight = pocket.pocket_room(six, 160, 62.0)
    assert tight.clearance < 0 and "binds in a pocket of 62.0 mm" in tight.note
    with pytest.raises(OutsideRange, match="give a higher pocket"):
        pocket.pocket_room(six, 12, 65.0)


def test_inside_of_a_flat_pocket() -> None:
    assert pocket.inside_of_flat(100) == pytest.approx(200 / math.pi)


def test_stored_energy() -> None:
    law = line()
    assert pocket.stored_energy(law) == pytest.approx(0.12293 * 40**2 / 2 / 1000)
    assert pocket.stored_energy(law, 60) == pytest.approx(0.12293 * 100**2 / 2 / 1000)


def test_every_fault_at_once() -> None:
    with pytest.raises(FaultsFound) as caught:
        pocket.pocket_law(LINE, -LINE, 200.0, cloth_way=0.0)
    assert [fault.field for fault in caught.value.faults] == ["coil_force", "pocket_height", "cloth_way"]
    with pytest.raises(FaultsFound, match="presses the coil by 210 mm"):
        pocket.pocket_law(LINE, LINE, 210.0)
