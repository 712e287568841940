import numpy as np
import pytest

from bedwright.errors import OutsideRange
from bedwright.mechanics.coil_force import (
    capped_force,
    checked_compression,
    force,
    force_and_slope,
    force_curve,
    force_table,
    free_diameter_at,
    helix_force,
)
from bedwright.mechanics.coil_rate import rate
from bedwright.mechanics.coil_shape import CoilShape, longest_way

CYLINDER = CoilShape("cylinder", 60, 6, 200, 1.9)
CONE = CoilShape("cone", 75, 5, 130, 2.2, 45)
PARABOLA = CoilShape("hourglass-parabolic", 75, 5, 130, 2.2, 45)
BARREL = CoilShape("barrel", 50, 5.5, 130, 2.0, 70)


@pytest.mark.parametrize("shape", [CYLINDER, CONE, PARABOLA, BARREL], ids=lambda shape: shape.profile)
def test_curve_from_free_to_solid(shape: CoilShape) -> None:
    way = np.linspace(0, longest_way(shape), 4001)
    forces = force_table(shape, way)
    assert forces[0] == 0
    assert np.all(np.diff(forces) > 0)
    assert forces[1] / way[1] == pytest.approx(rate(shape), rel=1e-3)  # 0.05 mm down
    steps = np.diff(forces)
    assert np.max(steps[:-40]) < 0.02 * forces[-1]  # no jump
    assert force_curve(shape).residual < 2e-8


def test_slope_is_the_force_tables_derivative() -> None:
    way = np.linspace(1, 100, 57)
    _, slope = force_and_slope(PARABOLA, way)
    near = 1e-5
    rise = (force_table(PARABOLA, way + near) - force_table(PARABOLA, way - near)) / (2 * near)
    assert np.allclose(slope, rise, rtol=1e-5)
    assert force_and_slope(PARABOLA, np.array([0.0]))[1][0] == pytest.approx(rate(PARABOLA), rel=1e-9)


def test_table_keeps_its_shape_and_agrees_with_single_forces() -> None:
    way = np.array([[10.0, 25.0], [40.0, 90.0]])
    found = force_table(CONE, way)
    assert found.shape == (2, 2)
    assert found[1, 1] == force(CONE, 90.0)


def test_it_softens_then_hardens() -> None:
    secants = force_table(CONE, np.array([1.0, 40.0, 70.0, 100.0, 120.0])) / np.array([1.0, 40.0, 70.0, 100.0, 120.0])
    assert secants[0] > secants[1] > secants[2] < secants[3] < secants[4]
    pocket = force_table(CYLINDER, np.array([1.0, 60.0, 120.0])) / np.array([1.0, 60.0, 120.0])
    assert pocket[0] > pocket[1] > pocket[2]


def test_rivals_stay_near_each_other() -> None:
    # pieces that close alone grow too stiff towards solid; of a like coil finite elements say 1.3 % already at 100 mm
    for s in (10.0, 40.0, 80.0, 110.0):
        assert force(CONE, s) == pytest.approx(capped_force(CONE, s), rel=0.03)
        assert force(PARABOLA, s) == pytest.approx(capped_force(PARABOLA, s), rel=0.04 if s < 100 else 0.07)


def test_largest_free_coil_shrinks_as_coils_close() -> None:
    way = np.array([0.0, 40.0, 80.0, 100.0, 120.0, 130.0])
    free = free_diameter_at(CONE, way)
    assert free[0] == free[1] == 75
    assert np.all(np.diff(free[1:]) < 0)
    assert free[-1] == pytest.approx(45, abs=0.5)
    assert 60 < force_curve(CONE).closing < 75


@pytest.mark.parametrize("compression", [-1.0, 131.0, float("nan"), float("inf")])
def test_beyond_the_way_is_refused(compression: float) -> None:
    with pytest.raises(OutsideRange, match=r"is outside this coil's way; it is solid at 130 mm, so give 0 to 130 mm"):
        force(CONE, compression)
    with pytest.raises(OutsideRange):
        capped_force(CONE, compression)


def test_solid_itself_is_inside() -> None:
    assert force(CYLINDER, longest_way(CYLINDER)) > force(CYLINDER, longest_way(CYLINDER) - 1)


def test_checked_part_of_the_way() -> None:
    assert checked_compression(PARABOLA) == pytest.approx(123.5)
    slender = CoilShape("cylinder", 30, 8, 220, 1.2)  # bows out at 53 mm: followed no further
    assert checked_compression(slender) == force_curve(slender).followed < 60


def test_helix_form_is_for_cylinders() -> None:
    with pytest.raises(OutsideRange, match="A cone is no uniform helix"):
        helix_force(CONE, 10)


def test_tables_are_kept_and_still() -> None:
    curve = force_curve(CONE)
    assert force_curve(CoilShape("cone", 75, 5, 130, 2.2, 45)) is curve
    with pytest.raises(ValueError, match="read-only"):
        curve.force[0] = 1.0
