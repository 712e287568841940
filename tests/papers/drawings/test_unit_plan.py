"""The unit from above: zones and edges told apart without colour, hands and glue in words and marks."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.papers.drawings.svg import number
from bedwright.papers.drawings.unit_corner import unit_corner
from bedwright.papers.drawings.unit_marks import contacts, kinds, zones
from bedwright.papers.drawings.unit_plan import unit_plan
from bedwright.works.card import Card
from bedwright.works.springs import Edge, UnitZone
from bedwright.works.works import Works

BEDS = [("SNIPE", "150"), ("KNOT", "135"), ("RUFF", "90"), ("SNIPE", "90"), ("RUFF", "150")]
Make = Callable[..., BedAtSize]


@pytest.fixture(scope="session")
def changed(small_works: Works) -> Make:
    """A bed of the small works with other fields on its unit, its coil or another edge."""

    def make(
        bed: str, size: str, unit: dict[str, object] | None = None, edge: dict[str, object] | None = None,
        coil: dict[str, object] | None = None,
    ) -> BedAtSize:  # fmt: skip
        cards: list[Card] = list(small_works.all_cards())
        one = small_works.beds[bed]
        card = small_works.units[one.unit]

        def instead(old: Card, fields: dict[str, object]) -> None:
            cards[cards.index(old)] = type(old).model_validate({**dict(old), **fields})

        if coil:
            instead(small_works.coils[card.coil], coil)
        if unit:
            instead(card, unit)
        if edge:
            cards.append(Edge.model_validate({"code": "OTHER", **edge}))
            instead(one, {"edge": "OTHER"})
        works = Works.of(small_works.about, cards)
        return bed_at_size(works, works.beds[bed], works.sizes[size])

    return make


def zoned(*rows: dict[str, object]) -> dict[str, object]:
    return {"zones": tuple(UnitZone.model_validate({"position": i + 1, **row}) for i, row in enumerate(rows))}


STRIP = {"form": "edge strip", "wire": "R40", "strip_width": 12.0, "strip_thickness": 1.5}


@pytest.mark.parametrize(("bed", "size"), BEDS)
class TestBeds:
    def test_plan_and_corner_are_whole(self, seen, bed_of, bed, size) -> None:  # type: ignore[no-untyped-def]
        one = bed_of(bed, size)
        for svg in (unit_plan(one, height=158.0), unit_corner(one), unit_plan(one, 70.0, 110.0)):
            drawing = seen(svg)
            assert drawing.outside() == []
            assert drawing.over_each_other() == []

    def test_every_kind_of_coil_is_in_the_key_with_its_hand(self, seen, bed_of, bed, size) -> None:  # type: ignore[no-untyped-def]
        one = bed_of(bed, size)
        says = seen(unit_plan(one)).says.replace(" | ", " ")
        for group in one.unit.groups:
            hand = {"right": "right hand", "left": "left hand", "alternate": "hands in turn"}[group.coil.hand]
            assert f"{group.count} × {group.coil.code}" in says
            assert hand in says

    def test_glue_is_counted_as_the_take_off_counts_it(self, bed_of, bed, size) -> None:  # type: ignore[no-untyped-def]
        unit = bed_of(bed, size).unit
        if unit.card.origin == "made":
            assert len(contacts(unit)) == unit.glue_spots


class TestGlue:
    @pytest.mark.parametrize("layout", ["square", "nested"])
    @pytest.mark.parametrize("pattern", ["every contact", "every second contact", "none"])
    @pytest.mark.parametrize("size", ["135", "150", "90"])
    def test_as_many_as_are_taken_off(self, changed, layout, pattern, size) -> None:  # type: ignore[no-untyped-def]
        unit = changed("KNOT", size, {"layout": layout, "glue_pattern": pattern}).unit
        assert len(contacts(unit)) == unit.glue_spots

    @pytest.mark.parametrize("pattern", ["every contact", "every second contact"])
    def test_with_several_coils_in_a_place(self, changed, pattern) -> None:  # type: ignore[no-untyped-def]
        zones = zoned({"first_row": 5, "last_row": 9, "coil": "M10", "per_place": 4})
        unit = changed("KNOT", "135", {**zones, "glue_pattern": pattern}).unit
        assert len(contacts(unit)) == unit.glue_spots

    def test_every_second_one_is_staggered(self, changed) -> None:  # type: ignore[no-untyped-def]
        unit = changed("KNOT", "135", {"glue_pattern": "every second contact"}).unit
        by_row: dict[float, set[float]] = {}
        for x, y in contacts(unit):
            by_row.setdefault(round(y, 3), set()).add(round(x, 3))
        rows = [by_row[y] for y in sorted(by_row)]
        assert all(not (one & other) for one, other in pairwise(rows))

    def test_contacts_lie_half_way_between_neighbours(self, changed) -> None:  # type: ignore[no-untyped-def]
        unit = changed("KNOT", "135", {"layout": "nested"}).unit
        middles = {(round(x, 3), round(y, 3)) for x, y, _ in unit.lattice.positions()}
        for x, y in contacts(unit):
            up, across = unit.lattice.pitch_along / 2, unit.lattice.pitch_across / 4
            near = [
                (round(x + side * across, 3), round(y + way * up, 3)) in middles for side, way in ((-1, -1), (1, 1))
            ]
            other = [
                (round(x + side * across, 3), round(y + way * up, 3)) in middles for side, way in ((1, -1), (-1, 1))
            ]
            assert all(near) or all(other)


class TestZones:
    THREE = zoned(
        {"first_row": 8, "last_row": 13, "coil": "M10", "per_place": 4},
        {"first_column": 9, "last_column": 12, "coil": "K22"},
    )

    def test_zones_tile_the_unit(self, changed) -> None:  # type: ignore[no-untyped-def]
        unit = changed("KNOT", "135", self.THREE).unit
        order = kinds(unit)
        assert order[0] == unit.card.coil
        places = {}
        for zone in zones(unit):
            for row in range(zone.first_row, zone.last_row + 1):
                for column in range(zone.first_column, zone.last_column + 1):
                    assert (row, column) not in places
                    places[row, column] = order[zone.kind]
        assert places == {(r, c): code for r, row in enumerate(unit.place_coils) for c, code in enumerate(row)}

    def test_each_zone_has_a_hatch_a_letter_and_a_mark(self, seen, changed) -> None:  # type: ignore[no-untyped-def]
        one = changed("KNOT", "135", self.THREE)
        svg = unit_plan(one)
        drawing = seen(svg)
        says = [text.says for text in drawing.texts]
        assert {"A", "B", "C"} <= set(says), "letters of three kinds of coil"
        assert {'id="h-zone-1"', 'id="h-zone-2"'} <= set(re.findall(r'id="h-zone-\d"', svg))
        assert drawing.outside() == []
        assert drawing.over_each_other() == []
        assert "4 in each place" in drawing.says.replace(" | ", " ")

    def test_every_coil_of_every_zone_is_drawn_once(self, changed) -> None:  # type: ignore[no-untyped-def]
        one = changed("KNOT", "135", self.THREE)
        svg = unit_plan(one)
        scale = float(re.search(r"1 to ([\d.]+)", svg)[1])  # type: ignore[index]
        for group in one.unit.groups:
            radius = number((group.coil.end_diameter + group.wire.diameter) / 2 / scale)
            assert len(re.findall(rf"a{re.escape(radius)} {re.escape(radius)} 0 1 0 [\d.]+ 0a", svg)) == group.count

    def test_one_kind_has_no_letters(self, seen, bed_of) -> None:  # type: ignore[no-untyped-def]
        assert not {"A", "B"} & {text.says for text in seen(unit_plan(bed_of("SNIPE", "150"))).texts}


class TestEdges:
    @pytest.mark.parametrize("row", [0, 1])
    def test_a_strip_lies_in_its_row(self, seen, changed, row) -> None:  # type: ignore[no-untyped-def]
        one = changed("SNIPE", "150", edge={**STRIP, "strip_row": row})
        svg = unit_plan(one)
        assert f"edge strip OTHER in row {row}, 1 loop of" in seen(svg).says
        scale = float(re.search(r"1 to ([\d.]+)", svg)[1])  # type: ignore[index]
        wide = number((one.unit.width - 2 * row * one.unit.lattice.pitch_across) / scale)
        assert re.search(rf'width="{re.escape(wide)}"[^>]*stroke="#35318f"', svg)
        assert f"edge strip in row {row}, 12 mm wide" in seen(unit_corner(one)).says

    def test_edges_differ_by_more_than_colour(self, changed, seen) -> None:  # type: ignore[no-untyped-def]
        rail = changed("KNOT", "135")
        stiff = changed("SNIPE", "150", edge={"form": "stiff rows", "stiff_rows": 2, "coil": "P19"})
        assert 'fill="url(#h-foam)"' in unit_plan(rail)
        assert "stiff rows OTHER: 2 outer rows, drawn heavy" in seen(unit_plan(stiff)).says
        assert "2 stiff outer rows, drawn heavy" in seen(unit_corner(stiff)).says
        assert "edge rod ROD, 2 loops of" in seen(unit_plan(changed("SNIPE", "150"))).says


class TestHandsAndLacing:
    @pytest.mark.parametrize(
        ("hand", "words"), [("right", "right hand"), ("left", "left hand"), ("alternate", "hands in turn")]
    )
    def test_hands_are_said_and_drawn(self, seen, changed, hand, words) -> None:  # type: ignore[no-untyped-def]
        svg = unit_corner(changed("SNIPE", "150", coil={"hand": hand}))
        assert words in seen(svg).says
        arcs = [m.split('"')[1] for m in svg.split("<path") if 'stroke-width="0.3"' in m and m.count("L") == 12]
        turns = set()
        for d in arcs:
            points = [tuple(map(float, p.split())) for p in d[1:].split("L")]
            x0, y0 = points[0]
            area = sum((a[0] - x0) * (b[1] - y0) - (b[0] - x0) * (a[1] - y0) for a, b in pairwise(points))
            turns.add(area > 0)
        assert turns == {"right": {True}, "left": {False}, "alternate": {True, False}}[hand], "y falls down the paper"

    @pytest.mark.parametrize("way", ["across", "along"])
    def test_the_helix_keeps_its_pitch_and_diameter(self, seen, changed, way) -> None:  # type: ignore[no-untyped-def]
        one = changed("SNIPE", "150", {"lacing": way})
        svg = unit_corner(one)
        assert f"helix of 9 mm, a turn every 12 mm, {way}" in seen(svg).says
        scale = float(re.search(r"1 to ([\d.]+)", svg)[1])  # type: ignore[index]
        waves = [m.split('"')[1] for m in svg.split("<path") if m.count("L") > 60 and 'stroke="#1d1b26"' in m]
        points = [tuple(map(float, p.split())) for p in waves[0][1:].split("L")]
        side = [p[1] if way == "across" else p[0] for p in points]
        assert (max(side) - min(side)) * scale == pytest.approx(9.0, abs=0.15)
        lines = {"across": one.unit.lattice.along - 1, "along": one.unit.lattice.across - 1}[way]
        assert len(re.findall(r'stroke-dasharray="0.5 0.5"', unit_plan(one))) == lines + 1, "one more in the key"


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.integers(1, 27), st.integers(0, 20), st.integers(1, 18), st.integers(0, 12), st.sampled_from("KMP")
        ),
        max_size=4,
    ),
    st.floats(60, 180),
    st.floats(90, 260),
)
def test_any_zones_stay_on_the_paper(seen, changed, rows, width, height) -> None:  # type: ignore[no-untyped-def]
    coils = {"K": "K22", "M": "M10", "P": "P19"}
    found = zoned(
        *(
            {"first_row": r, "last_row": r + more, "first_column": c, "last_column": c + wide, "coil": coils[code]}
            for r, more, c, wide, code in rows
        )
    )
    one = changed("KNOT", "135", found)
    for svg in (unit_plan(one, width, height), unit_corner(one, width)):
        assert seen(svg).outside() == []
    assert unit_plan(one, width, height) == unit_plan(one, width, height)


def test_a_long_place_and_code_wrap(seen, changed) -> None:  # type: ignore[no-untyped-def]
    rows = [{"first_row": r, "last_row": r, "coil": "M10"} for r in range(1, 26, 2)]
    drawing = seen(unit_plan(changed("KNOT", "135", zoned(*rows)), 70.0, 150.0))
    assert drawing.outside() == []
    assert drawing.over_each_other() == []
