"""The edge against the centre: each reading with its interval and its share, whatever is read where."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import OutsideRange
from bedwright.papers.drawings.edge_profile import Reading, edge_profile

H = [
    Reading(None, 5.2, 4.6, 6.4), Reading(200.0, 4.8, 4.2, 5.8), Reading(0.0, 2.1, 1.5, 2.9),
    Reading(50.0, 3.2, 2.6, 4.1), Reading(100.0, 4.3, 3.7, 5.2),
]  # fmt: skip


class TestProfile:
    def test_every_reading_has_its_row(self, seen) -> None:  # type: ignore[no-untyped-def]
        drawing = seen(edge_profile(H, "H as tangent", "N/mm"))
        for row in (
            "0 mm | 2.1 N/mm | 1.5 to 2.9 N/mm | 40 %",
            "50 mm | 3.2 N/mm | 2.6 to 4.1 N/mm | 62 %",
            "100 mm | 4.3 N/mm | 3.7 to 5.2 N/mm | 83 %",
            "200 mm | 4.8 N/mm | 4.2 to 5.8 N/mm | 92 %",
            "centre | 5.2 N/mm | 4.6 to 6.4 N/mm | 100 %",
        ):
            assert row in drawing.says
        assert "H as tangent N/mm" in drawing.says
        assert drawing.outside() == []
        assert drawing.over_each_other() == []

    def test_without_a_centre_there_is_no_share(self, seen) -> None:  # type: ignore[no-untyped-def]
        drawing = seen(edge_profile(H[1:], "depth at 340 N", "mm"))
        assert "%" not in drawing.says
        assert "centre" not in drawing.says.replace("of the centre", "")

    def test_points_stand_as_high_as_they_read(self, seen) -> None:  # type: ignore[no-untyped-def]
        svg = edge_profile(H, "H as tangent", "N/mm")
        profile = next(mark for mark in svg.split("<path") if 'stroke-width="0.45"' in mark).split('"')[1]
        points = [tuple(map(float, one.split())) for one in profile[1:].split("L")]
        assert len(points) == 4
        across = [(x - points[0][0]) / (points[3][0] - points[0][0]) for x, _ in points]
        assert across == pytest.approx([0, 0.25, 0.5, 1], abs=2e-3), "distances are to scale"
        up = [(points[0][1] - y) / (points[0][1] - points[3][1]) for _, y in points]
        assert up == pytest.approx([0, 1.1 / 2.7, 2.2 / 2.7, 1], abs=2e-3)

    def test_not_finite_is_refused_by_its_place(self) -> None:
        with pytest.raises(OutsideRange, match="the centre inf"):
            edge_profile([Reading(None, 1.0, 0.0, math.inf)], "H", "N/mm")

    def test_same_bytes_whatever_the_order(self) -> None:
        assert edge_profile(H, "H", "N/mm") == edge_profile(H[::-1], "H", "N/mm")


@settings(max_examples=100, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(0, 1500), st.floats(0.001, 1e5), st.floats(0, 1)), max_size=6, unique_by=lambda row: row[0]
    ),
    st.one_of(st.none(), st.floats(0, 1e5)),
    st.text(max_size=60),
    st.floats(84, 180),
)
def test_whatever_is_drawn_stays_on_the_paper(seen, rows, centre, quantity, width) -> None:  # type: ignore[no-untyped-def]
    readings = [Reading(at, value, value * (1 - wide), value * (1 + wide)) for at, value, wide in rows]
    readings += [] if centre is None else [Reading(None, centre, centre / 2, centre)]
    svg = edge_profile(readings, quantity, "N/mm", width, 84.0)
    assert seen(svg).outside() == []
    assert svg == edge_profile(readings, quantity, "N/mm", width, 84.0)
