"""What was learnt: the curve with its band before and after, points measured, how many lie inside."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import OutsideRange
from bedwright.papers.drawings.fit_band import AFTER, Fit, fit_band, inside

BEFORE = tuple((float(d), 6.0 * d, 8.0 * d, 10.0 * d) for d in range(0, 61, 5))
LATER = tuple((float(d), 7.8 * d, 8.2 * d, 8.6 * d) for d in range(0, 61, 5))
POINTS = ((10.0, 82.0), (20.0, 166.0), (30.0, 290.0), (70.0, 574.0))
FIT = Fit(BEFORE, LATER, (("measured, sheet 17", POINTS), ("sheet 18", ((15.0, 120.0),))))


def test_bands_points_and_counts_are_said(seen) -> None:  # type: ignore[no-untyped-def]
    drawing = seen(fit_band(FIT))
    for words in (
        "before learning, with 90 % band, 4 of 5 points inside", "after learning, with 90 % band, 3 of 5 points inside",
        "measured, sheet 17", "sheet 18", "depth of the pad mm", "force N",
    ):  # fmt: skip
        assert words in drawing.says
    assert drawing.outside() == []
    assert drawing.over_each_other() == []


def test_the_bands_lie_by_their_rows() -> None:
    svg = fit_band(FIT)
    first, later = (
        next(mark for mark in svg.split("<path") if need in mark and 'Z"' in mark) for need in ("url(#h-band)", AFTER)
    )
    shapes = [
        np.array([list(map(float, at.split())) for at in mark.split('d="M')[1].split('Z"')[0].split("L")])
        for mark in (first, later)
    ]
    many = len(BEFORE)
    wide = [abs(shape[many][1] - shape[many - 1][1]) for shape in shapes]
    assert wide[1] / wide[0] == pytest.approx((8.6 - 7.8) / (10.0 - 6.0), rel=0.01)


def test_points_inside_are_those_between_the_rows() -> None:
    assert inside(BEFORE, POINTS) == 3  # the last lies past the end
    assert inside(LATER, POINTS) == 2
    assert inside((), POINTS) == 0
    assert inside(((0.0, 0.0, 1.0, 2.0),), ((0.0, 1.0),)) == 0


def test_before_alone_and_other_axes(seen) -> None:  # type: ignore[no-untyped-def]
    says = seen(fit_band(Fit(BEFORE, across=("load", "N"), up=("sink", "mm"), share="80 %"))).says
    assert "before learning, with 80 % band" in says
    assert "after learning" not in says
    assert "points inside" not in says
    assert "sink mm" in says


def test_what_is_not_finite_is_refused() -> None:
    with pytest.raises(OutsideRange, match="measured point 1 nan"):
        fit_band(replace(FIT, measured=(("own", ((math.nan, 1.0),)),)))
    with pytest.raises(OutsideRange, match="row 14"):
        fit_band(replace(FIT, after=((0.0, 1.0, math.inf, 2.0),)))


NUMBERS = st.floats(-1e3, 1e3)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(NUMBERS, NUMBERS, NUMBERS, NUMBERS), max_size=8),
    st.lists(st.tuples(st.text(max_size=60), st.lists(st.tuples(NUMBERS, NUMBERS), max_size=5)), max_size=5),
)
def test_whatever_is_drawn_stays_on_the_paper(seen, rows, measured) -> None:  # type: ignore[no-untyped-def]
    fit = Fit(tuple(rows), tuple(rows[:3]), tuple((words, tuple(points)) for words, points in measured))
    drawing = seen(fit_band(fit, height=90.0))
    assert drawing.outside() == []
    assert drawing.over_each_other() == []
