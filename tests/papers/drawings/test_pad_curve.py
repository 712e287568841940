"""The pad test's curve: both branches, the band, three readings, H named both ways, nothing off the paper."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import OutsideRange
from bedwright.papers.drawings.pad_curve import PadCurve, at_force, pad_curve
from bedwright.papers.drawings.svg import number

DOWN = tuple((float(depth), 8.0 * depth) for depth in range(0, 126, 5))
WHOLE = PadCurve(
    down=DOWN,
    back=tuple((depth, force * (0.8 + 0.2 * force / 1000)) for depth, force in DOWN[::-1]),
    band=tuple((depth, 0.9 * force, 1.1 * force) for depth, force in DOWN),
    tangent=(8.0, 7.2, 8.8),
    secant=(7.94, 7.13, 9.12),
    read_at=((26.25, 210.0), (34.375, 275.0), (42.5, 340.0)),
    measured=((25.0, 190.0), (50.0, 395.0)),
    measured_by="measured, sheet 17",
)


class TestCurve:
    def test_all_words_and_figures_are_there(self, seen) -> None:  # type: ignore[no-untyped-def]
        drawing = seen(pad_curve(WHOLE))
        for words in (
            "H as tangent 8.0 (7.2 to 8.8) N/mm", "H as secant 7.9 (7.1 to 9.1) N/mm", "going down", "coming back",
            "where the force may lie", "measured, sheet 17", "210 N", "275 N", "340 N",
            "depth of the pad mm", "force N",
        ):  # fmt: skip
            assert words in drawing.says
        assert drawing.outside() == []
        assert drawing.over_each_other() == []

    def test_depths_are_no_finer_than_the_band(self, seen) -> None:  # type: ignore[no-untyped-def]
        assert "| 26 mm |" in seen(pad_curve(WHOLE)).says
        narrow = replace(WHOLE, band=tuple((depth, 0.998 * force, 1.002 * force) for depth, force in DOWN))
        assert "| 34.4 |" in seen(pad_curve(narrow)).says, "all without their unit where one has no room for it"
        assert "| 34.4 |" in seen(pad_curve(replace(WHOLE, band=()))).says

    def test_marks_stand_where_the_curve_is(self, seen) -> None:  # type: ignore[no-untyped-def]
        svg = pad_curve(WHOLE)
        curve = next(mark for mark in svg.split("<path") if 'stroke-width="0.6"' in mark)
        points = [tuple(map(float, one.split())) for one in curve.split('"')[1][1:].split("L")]
        across = (points[-1][0] - points[0][0]) / 125
        up = (points[0][1] - points[-1][1]) / 1000
        x, y = points[0][0] + 34.375 * across, points[0][1] - 275 * up
        assert f"M{number(x - 0.75)} {number(y)}a0.75" in svg or f"L{number(x)} {number(y)}" in svg

    def test_a_curve_alone_has_a_short_key(self, seen) -> None:  # type: ignore[no-untyped-def]
        says = seen(pad_curve(replace(WHOLE, back=(), band=(), measured=()))).says
        assert "coming back" not in says
        assert "may lie" not in says

    def test_a_curve_that_ends_early_shows_the_readings_it_reaches(self, seen) -> None:  # type: ignore[no-untyped-def]
        short = replace(WHOLE, down=DOWN[:6], back=(), band=(), measured=(), read_at=((26.25, 210.0),))
        assert "340" not in seen(pad_curve(short)).says

    def test_coils_that_close_on_the_way_are_said(self, seen) -> None:  # type: ignore[no-untyped-def]
        assert "coils close from 620 N" in seen(pad_curve(replace(WHOLE, closes_from=617.0))).says
        assert "coils close" not in seen(pad_curve(replace(WHOLE, closes_from=1700.0))).says
        for force in (100.0, 500.0, 985.0):
            drawing = seen(pad_curve(replace(WHOLE, closes_from=force)))
            top = next(text.box[1] for text in drawing.texts if text.says.startswith("coils close"))
            assert top > 5.0, "not over the name of the axis"

    def test_a_band_over_the_top_is_cut_there_without_a_false_corner(self, seen) -> None:  # type: ignore[no-untyped-def]
        high = replace(WHOLE, band=((0.0, 0.0, 0.0), (125.0, 900.0, 2000.0)), measured=())
        svg = pad_curve(high)
        assert seen(svg).outside() == []
        band = next(mark for mark in svg.split("<path") if "url(#h-band)" in mark).split('"')[1]
        tops = [tuple(map(float, one.split())) for one in band[1:-1].split("L")]
        left, right = tops[0][0], tops[1][0]
        at_top = [x for x, y in tops if y == min(y for _, y in tops)]
        assert min(at_top) == pytest.approx((left + right) / 2, abs=0.02), "half way up, as 1000 is of 2000"

    def test_not_finite_is_refused(self) -> None:
        with pytest.raises(OutsideRange, match="point 2"):
            pad_curve(replace(WHOLE, down=((0.0, 0.0), (math.inf, 1.0))))

    def test_same_bytes_twice(self) -> None:
        assert pad_curve(WHOLE) == pad_curve(WHOLE)


def test_depth_is_read_between_points_and_not_beyond() -> None:
    assert [at_force(DOWN, force) for force in (210, 275, 340)] == [26.25, 34.375, 42.5]
    assert at_force(DOWN, 1001.0) is None


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.01, 60), st.floats(0.01, 900)), min_size=1, max_size=30),
    st.floats(1e-3, 1e3),
    st.floats(0.0, 2.0),
    st.text(max_size=90),
    st.floats(60, 180),
)
def test_whatever_is_drawn_stays_on_the_paper(seen, steps, scale, open_, by, width) -> None:  # type: ignore[no-untyped-def]
    points, depth, force = [(0.0, 0.0)], 0.0, 0.0
    for more, push in steps:
        depth, force = depth + more * scale, force + push * scale
        points.append((depth, force))
    down = tuple(points)
    read = tuple((at_force(down, at * force), at * force) for at in (0.21, 0.275, 0.34))
    curve = PadCurve(
        down=down, back=down[::-1], band=tuple((d, f / (1 + open_), f * (1 + open_)) for d, f in down),
        tangent=(scale, scale / 2, scale * 2), secant=(1e-6, 0.0, 1e6), measured=down[-1:], measured_by=by,
        read_at=tuple((d, f) for d, f in read if d is not None), closes_from=force / 2,
    )  # fmt: skip
    svg = pad_curve(curve, width)
    assert seen(svg).outside() == []
    assert svg == pad_curve(curve, width)
