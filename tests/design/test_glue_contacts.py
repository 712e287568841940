"""Glued contacts between strings of pockets against a count over the drawn places of the coils."""

from __future__ import annotations

import math
from types import SimpleNamespace

import pytest

from bedwright.design.lattice import Lattice, nested, square
from bedwright.design.unit_at_size import _glue_spots


def touching(lattice: Lattice) -> int:
    """Pairs of coils in neighbouring rows that stand no further apart than the pitch, counted one by one."""
    places = lattice.positions()
    reach = max(lattice.pitch_across, lattice.pitch_along) * 1.001
    return sum(
        1 for x, y, row in places for x2, y2, row2 in places if row2 == row + 1 and math.hypot(x2 - x, y2 - y) <= reach
    )


def glued(lattice: Lattice, pattern: str) -> int:
    unit = SimpleNamespace(construction="pocket", glue_pattern=pattern, origin="made")
    return _glue_spots(unit, lattice)  # type: ignore[arg-type]


@pytest.mark.parametrize("width", [500.0, 530.0, 560.0, 590.0])
@pytest.mark.parametrize("length", [600.0, 650.0, 700.0])
def test_contacts_are_the_pairs_that_touch(width: float, length: float) -> None:
    for lattice in (nested(width, length, 60.0), square(width, length, 60.0, 60.0)):
        assert lattice.count > 20
        every = glued(lattice, "every contact")
        assert every == touching(lattice)
        assert glued(lattice, "none") == 0


def test_both_ways_of_nesting_are_among_them() -> None:
    kinds = {len(set(nested(width, 600.0, 60.0).row_counts)) for width in (500.0, 530.0, 560.0, 590.0)}
    assert kinds == {1, 2}
