"""Love's helix at large compression (book `love-helix`): one uniform helix, wire length and turns kept."""

import numpy as np
import pytest

from bedwright.mechanics.coil_force import force_curve, force_table, helix_force
from bedwright.mechanics.coil_rate import rate
from bedwright.mechanics.coil_shape import CoilShape

POCKET = CoilShape("cylinder", 60, 6, 200, 1.9)
SMALL = CoilShape("cylinder", 10.16, 10.5, 51.05, 0.9398, None, 200_000, 81_700)


def test_closed_form() -> None:
    assert [helix_force(POCKET, s) for s in (40, 80, 120)] == pytest.approx([4.0231, 7.9717, 11.8655], abs=1e-4)
    assert [helix_force(SMALL, s) for s in (5, 10, 20)] == pytest.approx([3.57974, 7.13285, 14.1716], abs=1e-4)


@pytest.mark.parametrize("shape", [POCKET, SMALL], ids=["pocket", "small"])
def test_the_wire_of_a_cylinder_is_near_the_closed_form(shape: CoilShape) -> None:
    """The closed form knows no held ends, no seats, no leaning: what they do is 1.2 % at most to 0.4 of the height."""
    way = np.linspace(0.06, 1.0, 7) * 0.4 * shape.free_height
    assert way[-1] < force_curve(shape).closing
    helix = np.array([helix_force(shape, s) for s in way])
    start = helix_force(shape, 1e-4 * shape.free_height) / (1e-4 * shape.free_height)
    assert force_table(shape, way) == pytest.approx(helix * rate(shape) / start, rel=0.012)


@pytest.mark.parametrize("turns", [5.0, 10.0, 20.0])
def test_more_turns_come_nearer(turns: float) -> None:
    """Ends matter less, the more turns there are between them: at 40 % of the height the gap falls below 0.3 %."""
    shape = CoilShape("cylinder", 60, turns, 120, 1.5)
    way = 0.4 * shape.free_height
    start = helix_force(shape, 1e-4 * shape.free_height) / (1e-4 * shape.free_height)
    gap = float(force_table(shape, np.array([way]))[0]) / (helix_force(shape, way) * rate(shape) / start) - 1
    assert abs(gap) < 0.012 * 5 / turns


def test_rate_falls() -> None:
    secants = [helix_force(POCKET, s) / s for s in (1, 40, 80, 120)]
    assert secants == sorted(secants, reverse=True)
