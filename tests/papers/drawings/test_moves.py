"""What moves H: every name and figure there, the largest first, nothing cut off."""

from __future__ import annotations

import math
from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import OutsideRange
from bedwright.papers.drawings.moves import moves_drawing
from bedwright.papers.drawings.svg import INDIGO


@dataclass(frozen=True)
class Move:
    name: str
    tangent: float
    secant: float


FEW = [Move("live turns", 0.4, 0.33), Move("tension of the ticking", -0.61, 0.52), Move("lacing", 0.034, 0.2)]


class TestList:
    def test_names_and_figures_are_there_largest_first(self, seen) -> None:  # type: ignore[no-untyped-def]
        drawing = seen(moves_drawing(FEW, 5.9, 6.8))
        order = [text.says for text in drawing.texts]
        names = [order.index(name) for name in ("tension of the ticking", "live turns", "lacing")]
        assert names == sorted(names)
        rows = order[order.index("tension of the ticking") :]
        assert rows[1:5] == ["0.61", "10.3", "0.52", "7.6"], "N/mm and % of tangent, then of secant"
        assert "0.03" in order
        assert drawing.outside() == []
        assert drawing.over_each_other() == []

    def test_bars_are_as_long_as_their_figures_in_one_indigo(self, seen) -> None:  # type: ignore[no-untyped-def]
        svg = moves_drawing(FEW, 5.9, 6.8)
        bars = [box for box in seen(svg).marks if 1.2 < box[3] - box[1] < 2.1][:6]
        longs = [box[2] - box[0] for box in bars]
        assert longs == pytest.approx(
            [longs[0] * part / 0.61 for part in (0.61, 0.52, 0.4, 0.33, 0.034, 0.2)], abs=0.02
        )
        fills = {part.split('"')[0] for part in svg.split('fill="')[1:]}
        assert {fill for fill in fills if fill.startswith("#")} == {INDIGO, "#1d1b26", "#5f5c6b", "#ffffff"}

    def test_the_smaller_are_counted_and_bounded(self, seen) -> None:  # type: ignore[no-untyped-def]
        many = [Move(f"figure {n}", 1.0 / n, 0.5 / n) for n in range(1, 13)]
        says = seen(moves_drawing(many, 5.0, 5.0, most=8)).says
        assert "and 4 smaller, each at most | 0.11 | 2.2" in says
        assert "figure 9" not in says

    def test_a_long_name_is_cut_with_dots_and_stays_in_its_column(self, seen) -> None:  # type: ignore[no-untyped-def]
        name = "filling of the quilted panel as the supplier measured it on a wide press in a room of its own " * 2
        drawing = seen(moves_drawing([Move(name, 1, 1), Move("Vlies" * 30, 0.5, 0.5)], 5, 5))
        assert drawing.outside() == []
        assert drawing.over_each_other() == []
        assert drawing.says.count("…") == 2
        assert "filling of the quilted" in drawing.says

    def test_nothing_open_is_said(self, seen) -> None:  # type: ignore[no-untyped-def]
        drawing = seen(moves_drawing([], 5.9, 6.8, width=40))
        assert "No figure on the cards is left open." in drawing.says.replace(" | ", " ")
        assert drawing.outside() == []

    def test_what_is_not_finite_is_refused_by_name(self) -> None:
        with pytest.raises(OutsideRange, match="move of lacing nan"):
            moves_drawing([Move("lacing", math.nan, 0)], 5, 5)

    def test_same_bytes_whatever_the_order(self) -> None:
        assert moves_drawing(FEW, 5.9, 6.8) == moves_drawing(FEW[::-1], 5.9, 6.8)


@settings(max_examples=120, deadline=None)
@given(
    st.lists(
        st.builds(
            Move,
            st.text(max_size=120),
            st.one_of(st.floats(-1e3, 1e3), st.just(0.0), st.floats(1e-9, 1e-6)),
            st.floats(-1e3, 1e3),
        ),
        max_size=12,
    ),
    st.floats(0, 100),
    st.floats(50, 180),
)
def test_whatever_is_drawn_stays_on_the_paper(seen, moves, hardness, width) -> None:  # type: ignore[no-untyped-def]
    svg = moves_drawing(moves, hardness, hardness, width)
    drawing = seen(svg)
    assert drawing.outside() == []
    assert drawing.over_each_other() == []
    assert svg == moves_drawing(moves, hardness, hardness, width)
