"""Drawings: well-formed, to scale, every coil there, no label over another."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.papers.drawings.coil_outline import diameter_at, side_view
from bedwright.papers.drawings.cross_section import edge_section, whole_section
from bedwright.papers.drawings.lay import CutPiece, lay_drawing
from bedwright.papers.drawings.section_parts import bands, coils_in
from bedwright.papers.drawings.svg import Drawing, number, spread
from bedwright.papers.drawings.unit_plan import unit_plan
from bedwright.papers.drawings.van import LoadedBox, stop_mark, van_drawing

BEDS = [("SNIPE", "150"), ("KNOT", "135"), ("RUFF", "90"), ("SNIPE", "90"), ("RUFF", "150")]
SVG = "{http://www.w3.org/2000/svg}"


def checked(svg: str) -> ET.Element:
    root = ET.fromstring(svg)
    width, height = root.get("width", ""), root.get("height", "")
    assert width.endswith("mm")
    assert root.get("viewBox") == f"0 0 {width[:-2]} {height[:-2]}"
    assert "script" not in svg
    assert "nan" not in svg.lower()
    assert root.find(f"{SVG}title") is not None
    return root


@pytest.mark.parametrize(("bed", "size"), BEDS)
class TestBeds:
    def test_drawings_are_well_formed(self, bed_of, bed, size) -> None:  # type: ignore[no-untyped-def]
        one = bed_of(bed, size)
        for svg in (whole_section(one), edge_section(one), unit_plan(one)):
            checked(svg)

    def test_bands_fill_the_height_without_gap(self, bed_of, bed, size) -> None:  # type: ignore[no-untyped-def]
        found = bands(bed_of(bed, size))
        assert found[0].top == pytest.approx(bed_of(bed, size).reckoned_height)
        assert found[-1].bottom == pytest.approx(0, abs=1e-6)
        assert all(a.bottom == b.top for a, b in itertools.pairwise(found))

    def test_every_coil_is_in_the_plan(self, bed_of, bed, size) -> None:  # type: ignore[no-untyped-def]
        one = bed_of(bed, size)
        scale = float(re.search(r"1 to ([\d.]+)", unit_plan(one))[1])  # type: ignore[index]
        radii = {number((g.coil.end_diameter + g.wire.diameter) / 2 / scale) for g in one.unit.groups}
        arcs = re.findall(r"M[-\d.]+ [-\d.]+a([\d.]+) ", unit_plan(one))
        drawn = sum(arc in radii for arc in arcs)
        assert drawn == one.unit.count

    def test_section_has_the_coils_of_its_row(self, bed_of, bed, size) -> None:  # type: ignore[no-untyped-def]
        one = bed_of(bed, size)
        band = next(band for band in bands(one) if band.unit is one.unit)
        coils = coils_in(one, band)
        assert len(coils) == one.unit.lattice.row_counts[one.unit.lattice.along // 2]
        assert coils[0].x + coils[-1].x == pytest.approx(one.width, abs=one.unit.lattice.pitch_across)
        assert f"{len(coils)} coils in the row shown" in whole_section(one)

    def test_no_label_over_another(self, bed_of, bed, size) -> None:  # type: ignore[no-untyped-def]
        root = checked(edge_section(bed_of(bed, size)))
        texts = [t for t in root.iter(f"{SVG}text") if t.get("transform") is None]
        labels = sorted((float(t.get("y", 0)), float(t.get("font-size", 0))) for t in texts)
        assert len(labels) > 6
        assert all(below - above >= 0.95 * size for (above, _), (below, size) in itertools.pairwise(labels))
        assert labels[-1][0] <= float(root.get("height", "0mm")[:-2])


class TestCoil:
    def test_outline_keeps_to_the_profile(self, bed_of) -> None:  # type: ignore[no-untyped-def]
        coil = bed_of("SNIPE", "150").unit.groups[0].coil
        assert diameter_at(coil, 0) == diameter_at(coil, 1) == coil.end_diameter
        assert diameter_at(coil, 0.5) == coil.middle_diameter
        points = side_view(coil, 130.0, 16)
        assert max(z for _, z in points) == 130.0
        assert all(abs(x) <= diameter_at(coil, z / 130.0) / 2 + 1e-6 for x, z in points)


class TestSpread:
    @settings(max_examples=200, deadline=None)
    @given(
        st.lists(st.tuples(st.floats(0, 100), st.floats(1, 8)), min_size=1, max_size=14).map(
            lambda rows: sorted(rows, key=lambda row: row[0])
        )
    )
    def test_never_over_each_other_and_in_order(self, rows: list[tuple[float, float]]) -> None:
        wished, heights = [row[0] for row in rows], [row[1] for row in rows]
        middles = spread(wished, heights, 0.0, 120.0)
        for index in range(1, len(rows)):
            room = middles[index] - middles[index - 1]
            assert room >= (heights[index] + heights[index - 1]) / 2 - 1e-6
        assert middles[0] >= heights[0] / 2 - 1e-6
        if sum(heights) <= 120:
            assert middles[-1] <= 120 - heights[-1] / 2 + 1e-6

    def test_where_there_is_room_nothing_moves(self) -> None:
        assert spread([10, 30, 50], [4, 4, 4], 0, 60) == (10, 30, 50)


class TestVan:
    def test_numbers_stand_once_on_a_row_and_not_on_hidden_pieces(self) -> None:
        row = [LoadedBox(200 * i, 0, 0, 200, 2000, 1500, 2) for i in range(10)]
        svg = van_drawing(4200, 2100, 2200, [*row, LoadedBox(0, 0, 1500, 2000, 2000, 250, 1)])
        root = checked(svg)
        numbers = [t.text for t in root.iter(f"{SVG}text") if (t.text or "") in "12"]
        assert numbers.count("1") == 2, "once from above and once from the side"
        assert numbers.count("2") == 1, "from above the row lies under stop 1"

    def test_stops_differ_without_colour(self) -> None:
        hatches = {re.search(r'id="(h-[\w-]+)"', stop_mark(stop))[1] for stop in range(1, 7)}  # type: ignore[index]
        assert len(hatches) == 6


def test_a_long_lay_is_folded_and_loses_no_piece() -> None:
    pieces = [CutPiece(2060.0 * i, 0.0, 2050.0, 1570.0, f"piece {i}") for i in range(12)]
    root = checked(lay_drawing(25000, 2200, 2160, pieces))
    words = {t.text for t in root.iter(f"{SVG}text")}
    assert {f"piece {i}" for i in range(12)} <= words


def test_text_is_escaped() -> None:
    drawing = Drawing(10, 10, '<&">')
    drawing.text(1, 1, '<script>&"')
    assert "".join(t.text or "" for t in checked_text(drawing)) == '<script>&"'


def checked_text(drawing: Drawing) -> list[ET.Element]:
    return list(ET.fromstring(drawing.svg()).iter(f"{SVG}text"))
