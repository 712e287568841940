"""The scatter of a best set: every member named near its point, the brief's band with its ends, nothing on another."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import OutsideRange
from bedwright.papers.drawings.best_set import MOST, Member, Shown, best_set
from bedwright.papers.drawings.svg import number

COST, PEAK = Shown("cost", "GBP"), Shown("P99 supine", "kPa", "less", (None, 4.2))
FEW = [Member("build 1", 210.0, 5.1), Member("build 2", 240.0, 4.4, True), Member("build 3", 300.0, 3.9)]


def rings(svg: str, radius: float) -> int:
    r = number(radius)
    return svg.count(f"a{r} {r} 0 1 0 {number(2 * radius)} 0")


def test_names_band_and_axes_are_there(seen) -> None:  # type: ignore[no-untyped-def]
    svg = best_set(FEW, COST, PEAK, [(250.0, 6.0), (320.0, 5.5)])
    drawing = seen(svg)
    for words in ("build 1", "build 2", "build 3", "cost, less is better GBP", "P99 supine, less is better kPa"):
        assert words in drawing.says
    assert "2 other builds tried" in drawing.says
    assert "hatched: the brief's band, P99 supine at most 4.2 kPa" in drawing.says
    assert rings(svg, 0.9) == 2
    assert rings(svg, 1.25) == 1
    assert rings(svg, 0.45) == 2
    assert drawing.outside() == []
    assert drawing.over_each_other() == []


def test_bands_are_said_from_either_side(seen) -> None:  # type: ignore[no-untyped-def]
    h = Shown("H", "N/mm", "in the band", (4.0, 6.0))
    life = Shown("settling", "mm", "more", (12.0, None))
    says = seen(best_set([Member("a", 5, 15)], h, life)).says
    assert "H 4 to 6 N/mm; settling at least 12 mm" in says.replace(" | ", " ")
    assert "hatched" not in seen(best_set(FEW, COST, Shown("mass", "kg"))).says


def test_points_stand_by_their_results() -> None:
    svg = best_set([Member("low", 0.0, 0.0), Member("mid", 5.0, 5.0), Member("high", 10.0, 10.0)], COST, COST)
    mark = next(part for part in svg.split("<path") if "a0.9 0.9" in part)
    starts = [tuple(map(float, one.split("a")[0].split())) for one in mark.split('d="M')[1].split('"')[0].split("M")]
    (x0, y0), (x1, y1), (x2, y2) = starts
    assert x1 - x0 == pytest.approx(x2 - x1, abs=0.02)
    assert y0 - y1 == pytest.approx(y1 - y2, abs=0.02)
    assert x2 > x0
    assert y2 < y0


def test_many_on_one_place_all_keep_their_names(seen) -> None:  # type: ignore[no-untyped-def]
    crowd = [Member(f"build {n}", 100.0 + 0.01 * n, 4.0) for n in range(12)]
    drawing = seen(best_set(crowd, COST, Shown("P99", "kPa")))
    for one in crowd:
        assert one.name in [text.says for text in drawing.texts]
    assert drawing.over_each_other() == []


def test_what_is_past_the_most_is_counted(seen) -> None:  # type: ignore[no-untyped-def]
    many = [Member(f"n{n}", float(n), float(-n)) for n in range(MOST + 5)]
    says = seen(best_set(many, COST, PEAK, width=180.0, height=150.0)).says
    assert "5 more of the best set are drawn without their names" in says


def test_same_drawing_whatever_the_order() -> None:
    assert best_set(FEW, COST, PEAK) == best_set(FEW[::-1], COST, PEAK)


def test_what_is_not_finite_is_refused_by_name() -> None:
    with pytest.raises(OutsideRange, match="build 9 up nan"):
        best_set([Member("build 9", 1.0, math.nan)], COST, PEAK)


VALUES = st.floats(-1e4, 1e4, allow_nan=False) | st.sampled_from([0.0, 1e-9, 5.0])


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.builds(Member, st.text(max_size=40), VALUES, VALUES, st.booleans()), max_size=14),
    st.lists(st.tuples(VALUES, VALUES), max_size=10),
    st.tuples(st.none() | VALUES, st.none() | VALUES),
)
def test_whatever_is_drawn_stays_on_the_paper(seen, members, others, band) -> None:  # type: ignore[no-untyped-def]
    svg = best_set(members, Shown("cost", "GBP"), Shown("P99", "kPa", "less", band), others)
    drawing = seen(svg)
    assert drawing.outside() == []
    assert drawing.over_each_other() == []
