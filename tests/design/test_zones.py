"""Zones across and along: counts equal a count place by place, contacts equal pairs that touch, words say where.

The counts here share no code with the design: each place asks every zone in turn.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bedwright.bill.make import make_bill
from bedwright.design.bed_at_size import UnitAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.design.fit import fit
from bedwright.design.unit_at_size import unit_at_size
from bedwright.errors import CardRefused
from bedwright.papers.drawings.section_parts import bands, coils_in
from bedwright.papers.drawings.unit_plan import unit_plan
from bedwright.works.springs import Coil, Edge, Unit, UnitZone
from bedwright.works.works import Works

Change = Callable[..., Works]
FEW = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
CODES = ("HARD", "SOFT", "SMALL")


@pytest.fixture(scope="module")
def more(starter: Works) -> Works:
    """The starter with three more coils: two of the pocket coil's size, one that fits four times into its pitch."""
    coil = starter.coils[starter.units["UNIT-POCKET"].coil]
    pitch = starter.units["UNIT-POCKET"].pitch_across
    sizes = {"HARD": coil.end_diameter, "SOFT": coil.end_diameter, "SMALL": pitch / 2 - 6}
    new = [coil.model_copy(update={"code": code, "end_diameter": size}) for code, size in sizes.items()]
    return Works.of(starter.about, [*starter.all_cards(), *new])


ends = st.none() | st.integers(1, 30)


@st.composite
def zones(draw: st.DrawFn, several: bool) -> tuple[UnitZone, ...]:
    found = []
    for position in range(1, draw(st.integers(1, 4)) + 1):
        rows, columns = sorted([draw(ends), draw(ends)], key=lambda x: x or 0), [draw(ends), draw(ends)]
        columns.sort(key=lambda x: x or 0)
        if [*rows, *columns] == [None] * 4:
            rows[1] = draw(st.integers(1, 30))
        found.append(
            UnitZone(
                position=position, first_row=rows[0], last_row=rows[1], first_column=columns[0],
                last_column=columns[1], coil=draw(st.sampled_from(CODES)),
                per_place=draw(st.sampled_from([1, 4, 9])) if several else 1,
            )
        )  # fmt: skip
    return tuple(found)


def by_hand(card: Unit, edge: Edge | None, row_counts: tuple[int, ...]) -> dict[tuple[int, int], tuple[str, int]]:
    """(coil, how many) of each place, counted from 1 as people do."""
    found = {}
    for row, in_row in enumerate(row_counts, 1):
        for column in range(1, in_row + 1):
            here = (card.coil, 1)
            for zone in card.zones:
                inside = (zone.first_row is None or row >= zone.first_row) and (
                    zone.last_row is None or row <= zone.last_row
                )
                beside = (zone.first_column is not None and column < zone.first_column) or (
                    zone.last_column is not None and column > zone.last_column
                )
                if inside and not beside:
                    here = (zone.coil, zone.per_place)
            if edge is not None:
                deep = edge.stiff_rows or 0
                if row <= deep or row > len(row_counts) - deep or column <= deep or column > in_row - deep:
                    here = (str(edge.coil), 1)
            found[row, column] = here
    return found


def made(works: Works, edge: Edge | None = None, **changes: Any) -> UnitAtSize:
    return unit_at_size(works, works.units["UNIT-POCKET"].model_copy(update=changes), 900.0, 1300.0, edge)


@FEW
@given(data=st.data(), nested=st.booleans(), stiff=st.sampled_from([0, 1, 2]))
def test_counts_by_kind_are_those_of_a_count_by_hand(
    more: Works, data: st.DataObject, nested: bool, stiff: int
) -> None:
    edge = Edge.make(code="E", form="stiff rows", stiff_rows=stiff, coil="HARD") if stiff else None
    layout = "nested" if nested else "square"
    unit = made(more, edge, zones=data.draw(zones(several=not nested)), layout=layout)
    hand = by_hand(unit.card, edge, unit.lattice.row_counts)
    expected: Counter[str] = Counter()
    for code, many in hand.values():
        expected[code] += many
    assert {group.coil.code: group.count for group in unit.groups} == dict(expected)
    assert unit.count == sum(expected.values()) == len(unit.standing())
    assert Counter(one.coil for one in unit.standing()) == expected
    for (row, column), (code, many) in hand.items():
        assert (unit.coil_at(row - 1, column - 1), unit.per_place_at(row - 1, column - 1)) == (code, many)


@FEW
@given(data=st.data())
def test_glue_contacts_are_pairs_that_touch(more: Works, data: st.DataObject) -> None:
    """Two pockets of neighbouring strings touch where their squares share a stretch of the line between them."""
    unit = made(more, zones=data.draw(zones(several=True)), glue_pattern="every contact")
    squares = [(one.x, one.y, one.across / 2) for one in unit.standing()]
    touching = 0
    for x, y, half in squares:
        for other_x, other_y, other in squares:
            on_line = abs(other_y - other - (y + half)) < 1e-6
            if on_line and abs(other_x - x) < half + other - 1e-6:
                touching += 1
    assert unit.glue_spots == touching


def test_small_coils_stand_inside_their_place(more: Works) -> None:
    zone = UnitZone(position=1, first_row=3, last_row=4, first_column=2, last_column=2, coil="SMALL", per_place=4)
    unit = made(more, zones=(zone,))
    pitch, head = unit.lattice.pitch_across, unit.lattice.head
    small = [one for one in unit.standing() if one.coil == "SMALL"]
    assert len(small) == 8
    assert sorted({round(one.x - head / 2 - pitch, 6) for one in small}) == [-pitch / 4, pitch / 4]
    assert all(one.across == pitch / 2 for one in small)
    xs = [(one.x, one.y) for one in unit.standing()]
    assert min(math.dist(a, b) for n, a in enumerate(xs) for b in xs[:n]) == pytest.approx(pitch / 2)


@pytest.mark.parametrize(
    ("values", "where"),
    [
        ({"first_row": 2, "last_row": 4}, "rows 2-4"),
        ({"first_column": 3, "last_column": 5}, "columns 3-5 of all rows"),
        ({"first_row": 2, "last_row": 4, "first_column": 3}, "columns 3-{across} of rows 2-4"),
        ({"last_row": 4, "first_column": 3, "last_column": 3}, "columns 3 of rows 1-4"),
        ({"last_row": 1, "per_place": 4}, "rows 1, 4 in each place"),
    ],
)
def test_words_say_where(more: Works, values: dict[str, int], where: str) -> None:
    unit = made(more, zones=(UnitZone(position=1, coil="HARD", **values),))  # type: ignore[arg-type]
    found = next(group.where for group in unit.groups if group.coil.code == "HARD")
    assert found == where.format(across=unit.lattice.across)


def test_main_coil_round_a_zone(more: Works) -> None:
    zone = UnitZone(position=1, first_row=5, last_row=6, first_column=3, last_column=4, coil="HARD")
    unit = made(more, zones=(zone,))
    across, along = unit.lattice.across, unit.lattice.along
    main = next(group.where for group in unit.groups if group.coil.code != "HARD")
    assert main == f"rows 1-4, 7-{along} and columns 1-2, 5-{across} of rows 5-6"


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({}, "a part of the unit, not all of it"),
        ({"first_row": 5, "last_row": 3}, "last_row 3 is before first_row 5"),
        ({"first_column": 5, "last_column": 3}, "last_column 3 is before first_column 5"),
        ({"first_row": 1, "per_place": 2}, "two by two (4) or three by three (9)"),
    ],
)
def test_what_a_zone_may_not_say(values: dict[str, int], says: str) -> None:
    with pytest.raises(ValueError, match=re.escape(says)):
        UnitZone(position=1, coil="X", **values)  # type: ignore[arg-type]


def test_several_in_a_place_are_for_square_pocket_units(starter: Works) -> None:
    zone = UnitZone(position=1, first_row=2, coil="X", per_place=4)
    for code, changes in (("UNIT-OPEN", {}), ("UNIT-POCKET", {"layout": "nested"})):
        card = starter.units[code]
        values = {name: getattr(card, name) for name in Unit.model_fields} | {"zones": (zone,)} | changes
        with pytest.raises(CardRefused, match="only pocket units in square rows"):
            Unit.make(**values)


def test_ties_that_a_unit_does_not_have_are_refused(starter: Works) -> None:
    wrong = (("UNIT-POCKET", "lacing_tie"), ("UNIT-POCKET", "ring_bending"), ("UNIT-OPEN", "glue_tie"),
             ("UNIT-OPEN", "cloth_hold"))  # fmt: skip
    for code, name in wrong:
        card = starter.units[code]
        values = {field: getattr(card, field) for field in Unit.model_fields} | {name: 0.5}
        with pytest.raises(CardRefused, match=name):
            Unit.make(**values)


def zoned(works: Works, changed: Change, *zones: UnitZone, bed: str = "POCKET-1") -> Works:
    return changed(works, works.units[works.beds[bed].unit], zones=zones)


def grave(works: Works, bed: str = "POCKET-1", size: str = "150x200") -> list[str]:
    return [str(fault) for fault in fit(works, bed_at_size(works, works.beds[bed], works.sizes[size])) if fault.grave]


def test_a_small_coil_must_fit_its_share_of_the_pitch(more: Works, changed: Change) -> None:
    fits = UnitZone(position=1, first_row=5, last_row=8, coil="SMALL", per_place=4)
    assert grave(zoned(more, changed, fits)) == []
    text = "\n".join(grave(zoned(more, changed, fits.model_copy(update={"coil": "HARD"}))))
    assert "HARD" in text and "leaves" in text


def test_a_zone_beyond_the_last_column_of_a_size(more: Works, changed: Change) -> None:
    ends_late = UnitZone(position=1, first_row=2, first_column=2, last_column=300, coil="HARD")
    begins_late = UnitZone(position=1, first_column=200, coil="HARD")
    for zone, is_grave in ((ends_late, False), (begins_late, True)):
        works = zoned(more, changed, zone)
        found = [one for one in fit(works, bed_at_size(works, works.beds["POCKET-1"], works.sizes["150x200"]))
                 if "zone 1" in one.says]  # fmt: skip
        assert [(one.field, one.grave) for one in found] == [("zones", is_grave)]
        assert "columns" in found[0].says


def test_bill_section_and_plan_follow(more: Works, changed: Change) -> None:
    """Wire of every coil, cloth of every pocket; each coil on the plan; the row that is cut, coil by coil."""
    plain = bed_at_size(more, more.beds["POCKET-1"], more.sizes["150x200"])
    middle = plain.unit.lattice.along // 2
    zone = UnitZone(position=1, first_row=middle + 1, last_row=middle + 1, first_column=3, last_column=5,
                    coil="SMALL", per_place=4)  # fmt: skip
    works = zoned(more, changed, zone)
    bed = bed_at_size(works, works.beds["POCKET-1"], works.sizes["150x200"])
    assert bed.spring_count == plain.spring_count - 3 + 12
    bill = make_bill(works, bed)
    coils = {row.what.split(",")[0]: row.pieces for row in bill.rows if row.what.startswith("coil ")}
    assert coils == {f"coil {plain.unit.card.coil}": plain.spring_count - 3, "coil SMALL": 12}
    head = plain.unit.lattice.head
    assert bed.unit.pocket_strip_length == pytest.approx(
        plain.unit.pocket_strip_length + 12 * math.pi * head / 2 - 3 * math.pi * head
    )
    assert "12 pockets x pi x" in next(row.how for row in bill.rows if row.what == "pocket cloth")
    band = next(band for band in bands(bed) if band.unit is not None)
    cut = coils_in(bed, band)
    assert len(cut) == bed.unit.lattice.row_counts[middle] + 3
    assert [one.coil.code for one in cut if one.coil.code == "SMALL"] == ["SMALL"] * 6
    assert sorted(one.x for one in cut) == [one.x for one in cut]
    assert unit_plan(bed) != unit_plan(replace(bed, unit=plain.unit))


def test_coils_and_units_of_the_works_are_as_they_were(starter: Works) -> None:
    """No zone: one group, all rows, one to a place."""
    unit = unit_at_size(starter, starter.units["UNIT-POCKET"], 1460.0, 1960.0, None)
    (group,) = unit.groups
    assert (group.where, group.count, group.per_place) == ("all rows", unit.lattice.count, 1)
    assert isinstance(group.coil, Coil)
