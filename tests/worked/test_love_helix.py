"""Love's helix at large compression (book `love-helix`): one uniform helix, wire length and turns kept."""

import numpy as np
import pytest

from bedwright.mechanics.coil_force import FADING, force_curve, force_table, helix_force
from bedwright.mechanics.coil_rate import rate
from bedwright.mechanics.coil_shape import CoilShape

POCKET = CoilShape("cylinder", 60, 6, 200, 1.9)
SMALL = CoilShape("cylinder", 10.16, 10.5, 51.05, 0.9398, None, 200_000, 81_700)


def test_closed_form() -> None:
    assert [helix_force(POCKET, s) for s in (40, 80, 120)] == pytest.approx([4.0231, 7.9717, 11.8655], abs=1e-4)
    assert [helix_force(SMALL, s) for s in (5, 10, 20)] == pytest.approx([3.57974, 7.13285, 14.1716], abs=1e-4)


@pytest.mark.parametrize("shape", [POCKET, SMALL], ids=["pocket", "small"])
def test_pieces_meet_the_closed_form(shape: CoilShape) -> None:
    """On a cylinder the pieces are one helix; what is left is the share of the held ends, as written.

    Until the wire touches: the closed form knows no seats.
    """
    way = np.linspace(0.06, 1.0, 7) * force_curve(shape).closing
    assert way[-1] > 0.7 * shape.free_height
    start = helix_force(shape, 1e-4 * shape.free_height) / (1e-4 * shape.free_height)
    excess = rate(shape) / start - 1
    helix = np.array([helix_force(shape, s) for s in way])
    held = 1 + excess * (1 - way / shape.free_height) ** FADING
    # the table is read straight between its points
    assert force_table(shape, way) == pytest.approx(helix * held, rel=2e-4)


def test_rate_falls() -> None:
    secants = [helix_force(POCKET, s) / s for s in (1, 40, 80, 120)]
    assert secants == sorted(secants, reverse=True)
