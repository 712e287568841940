"""Coils on a lattice: counts by hand and from the trade pages, places inside the plan, gaps clear of coils."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.design.lattice import density, nested, nested_count, square, square_count


@pytest.mark.parametrize(
    ("pitch_across", "pitch_along", "head", "count"),
    [
        # unit 1460 x 1960 (book derived, counts of the trade page); heads of end rings that such lacing leaves room for
        (78.0, 78.0, 70.0, 18 * 25),
        (88.0, 88.0, 80.0, 16 * 22),
        (92.0, 92.0, 84.0, 15 * 21),
        (112.0, 82.0, 72.0, 13 * 24),
    ],
)
def test_open_coil_counts_follow_end_ring_and_lacing(
    pitch_across: float, pitch_along: float, head: float, count: int
) -> None:
    assert square(1460, 1960, pitch_across, pitch_along, head).count == count


def test_check_values_49_and_50() -> None:
    # 1350 x 1900 at 60 mm: square 22 x 31 = 682, nested 36 rows of 22 = 792; densities differ by 2/sqrt(3) (derived)
    assert square_count(1350, 1900, 60, 60) == 682
    assert nested_count(1350, 1900, 60) == 792
    assert nested(1350, 1900, 60).row_counts == (22,) * 36
    assert density(60, 60 * math.sqrt(3) / 2) / density(60, 60) == pytest.approx(1.1547, abs=1e-4)
    assert density(60, 60) == pytest.approx(277.8, abs=0.05)


@given(
    width=st.floats(300, 2200),
    length=st.floats(300, 2200),
    pitch=st.floats(25, 130),
    share=st.floats(0.5, 1.0),
    rows_nested=st.booleans(),
)
def test_places_lie_inside_and_keep_their_distance(
    width: float, length: float, pitch: float, share: float, rows_nested: bool
) -> None:
    head = pitch * share
    lattice = nested(width, length, pitch, head) if rows_nested else square(width, length, pitch, pitch, head)
    places = lattice.positions()
    assert len(places) == lattice.count
    assert lattice.width <= width + 1e-6
    assert lattice.length <= length + 1e-6
    for x, y, _ in places:
        assert head / 2 - 1e-6 <= x <= width - head / 2 + 1e-6
        assert head / 2 - 1e-6 <= y <= length - head / 2 + 1e-6
    # one more coil would not fit
    assert width < (lattice.across) * pitch + head + 1e-6
    clear = pitch / math.sqrt(3) if rows_nested else pitch / math.sqrt(2)
    for gap_x, gap_y in lattice.gaps()[:40]:
        nearest = min(math.dist((gap_x, gap_y), (x, y)) for x, y, _ in places)
        assert nearest == pytest.approx(clear, rel=1e-6)


def test_too_small_a_space_holds_nothing() -> None:
    assert square(50, 2000, 60, 60).count == 0
    assert square(50, 2000, 60, 60).positions() == ()
    assert square(50, 2000, 60, 60).width == 0
