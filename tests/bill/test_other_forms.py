"""Beds of other forms taken off by hand: zip, knife edge, strip, stiff rows, zones, nested rows, minis, flange.

Each bed is one of the shared small works with a card or two changed, at 1500 x 2000. The hand calls no function of the
program; rows are compared where the form makes them differ. Book: derived.
"""

from __future__ import annotations

import math
from datetime import date
from typing import Any

import pytest

from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill, BillRow, Operation, shown
from bedwright.cost.rollup import cost
from bedwright.design.buildup import bed_at_size
from bedwright.works.beds import Closure
from bedwright.works.card import Card
from bedwright.works.making import Route
from bedwright.works.springs import Coil, Edge, Unit
from bedwright.works.works import Works, reference_faults

PI = math.pi
STEEL = 7.85e-6  # kg/mm3
WASTE = 1.125
FIRM = {"code": "FIRM", "profile": "cylinder", "wire": "W22", "end_diameter": 58.0, "live_turns": 5.0,
        "total_turns": 6.5, "free_height": 190.0, "hand": "right", "heat": "at the coiler"}  # fmt: skip


def like(card: Card, **values: Any) -> Card:
    """The card with some fields changed."""
    return type(card).make(**{**card.model_dump(), **values})


def with_cards(works: Works, *cards: Card) -> Works:
    """The works with these cards in the place of those of the same kind and code, or beside them."""
    names = {card.called for card in cards}
    made = Works.of(works.about, [*(old for old in works.all_cards() if old.called not in names), *cards])
    assert reference_faults(made) == []
    return made


def with_steps(works: Works, route: str, *more: dict[str, Any]) -> Route:
    """The route with more steps."""
    card = works.routes[route]
    return Route.make(**{**card.model_dump(), "steps": (*(step.model_dump() for step in card.steps), *more)})


def step(position: int, operation: str, place: str, **more: Any) -> dict[str, Any]:
    skill = {"POCKETER": "coiling", "BENCH-U": "unit"}.get(place, "sewing")
    stream = "unit" if skill != "sewing" else "border"
    return {"position": position, "operation": operation, "stream": stream, "work_place": place, "skill": skill,
            "base_minutes": 1.0, **more}  # fmt: skip


def bill_of(works: Works, bed: str) -> Bill:
    return make_bill(works, bed_at_size(works, works.beds[bed], works.sizes["150"]))


def row(bill: Bill, what: str) -> BillRow:
    found = [one for one in bill.rows if one.what == what]
    assert len(found) == 1, [one.what for one in bill.rows]
    return found[0]


def has_row(bill: Bill, what: str) -> bool:
    return any(one.what.startswith(what) for one in bill.rows)


def steps(bill: Bill) -> dict[str, Operation]:
    return {one.operation: one for one in bill.operations}


def cylinder_kg(count: int, wire: float, mean: float, live: float, total: float, height: float) -> float:
    """Coils of a cylinder: live turns as an unrolled triangle, dead turns as flat rings."""
    length = math.hypot(PI * mean * live, height) + (total - live) * PI * mean
    return count * length * PI * wire**2 / 4 * STEEL


def closing_thread(stitch: float) -> float:
    """One pass round 7 m: plies of 8 mm, 2 stitches to the cm, so C = stitch + 2 x 0.8 x 2."""
    return 7.0 * (stitch + 2 * 0.8 * 2) * WASTE


# --- closing


@pytest.mark.parametrize(("sides", "metres"), [(1, 1.5), (2, 3.5), (3, 5.5), (4, 7.0)])
def test_zipped_cover(small_works: Works, sides: int, metres: float) -> None:
    zipped = Closure.make(code="ZIPPED", form="zipped", zip="ZIPPER", zip_sides=sides, thread="THREAD", tape="TAPE38",
                          stitch_class="301", stitches_per_cm=2.0, base_cloth="BASE")  # fmt: skip
    route = with_steps(small_works, "R-POCKET", step(44, "sew in zip", "BENCH-B", only_if="zip"))
    works = with_cards(small_works, zipped, route, like(small_works.beds["KNOT"], closure="ZIPPED"))
    bill = bill_of(works, "KNOT")
    zip_row = row(bill, "zip of the cover")
    assert (zip_row.quantity, zip_row.counted_in) == (pytest.approx(metres), "m")
    assert zip_row.mass == pytest.approx(metres * 0.025)
    assert f"{metres * 1000:g} mm" in zip_row.how
    # no tape edge: one closing seam, and a tape that its card still names is not taken
    thread = row(bill, "closing thread, zipped")
    assert thread.quantity == pytest.approx(closing_thread(2))
    assert not has_row(bill, "tape edge") and "TAPE38" not in {one.code for one in bill.rows}
    assert "sew in zip" in steps(bill)
    assert steps(bill)["tape, first pass"].family == "", "nothing is set up for a tape that is not there"
    taped = bill_of(with_cards(small_works, route), "KNOT")
    assert "sew in zip" not in steps(taped) and steps(taped)["tape, first pass"].family == "tape colour"
    assert not has_row(taped, "zip of the cover")


def test_knife_edge(small_works: Works) -> None:
    knife = Closure.make(code="KNIFE", form="knife edge", thread="THREAD", stitch_class="401", stitches_per_cm=2.0,
                         base_cloth="BASE")  # fmt: skip
    bill = bill_of(with_cards(small_works, knife, like(small_works.beds["KNOT"], closure="KNIFE")), "KNOT")
    thread = row(bill, "closing thread, knife edge")
    assert thread.quantity == pytest.approx(closing_thread(4))
    assert thread.mass == pytest.approx(closing_thread(4) / WASTE * 0.0001)
    assert not has_row(bill, "tape edge") and not has_row(bill, "zip of the cover")


def test_one_sided_bed_has_base_cloth_and_one_panel(small_works: Works) -> None:
    bill = bill_of(small_works, "KNOT")
    base = row(bill, "base cloth")
    assert (base.code, base.quantity) == ("BASE", pytest.approx(1.524 * 2.024))
    assert base.mass == pytest.approx(1.524 * 2.024 * 0.100)
    assert has_row(bill, "ticking, panel A") and not has_row(bill, "ticking, panel B")
    # pocket 150, foam 30 less 4 %, panel measured 12, base cloth 0.4
    assert bill.bed.height == pytest.approx(150 + 30 * 0.96 + 12 + 0.4)
    plain = like(small_works.closures["TAPED1"], base_cloth=None)
    bare = bill_of(with_cards(small_works, plain), "KNOT")
    assert not has_row(bare, "base cloth") and bare.bed.height == pytest.approx(bill.bed.height - 0.4)
    cut = row(bill, "border cloth").cut_width
    assert cut == pytest.approx(150 + 30 * 0.96 + 12 + 0.4 - 16 + 25)


def test_flange_and_overlock(small_works: Works) -> None:
    flange = bill_of(small_works, "RUFF")
    cloth = row(flange, "flange")
    assert (cloth.code, cloth.pieces, cloth.cut_width, cloth.cut_length) == ("BACK", 1, 90.0, pytest.approx(7030))
    assert cloth.quantity == pytest.approx(0.090 * 7.030) and cloth.mass == pytest.approx(0.090 * 7.030 * 0.025)
    assert row(flange, "flange of the panels").quantity == pytest.approx(closing_thread(2))
    overlock = bill_of(with_cards(small_works, like(small_works.beds["RUFF"], panel_edge="OVER")), "RUFF")
    thread = row(overlock, "overlock of the panels")
    assert thread.quantity == pytest.approx(7.0 * (4 * 2 * (0.8 + 0.8) + 5) * WASTE)
    assert not has_row(overlock, "flange")
    assert "sew flange" in steps(flange) and "overlock panels" not in steps(flange)
    assert "overlock panels" in steps(overlock) and "sew flange" not in steps(overlock)


def test_half_of_a_linked_pair_takes_half_a_zip(small_works: Works) -> None:
    pair = like(small_works.beds["KNOT"], pair="zip-linked", pair_zip="ZIPPER")
    cards = [card for card in small_works.all_cards() if card.KIND not in ("bed", "order")]
    bill = bill_of(Works.of(small_works.about, [*cards, pair]), "KNOT")
    half = row(bill, "zip of the pair, this bed's half")
    assert half.quantity == pytest.approx(1.0) and half.mass == pytest.approx(0.025)


# --- edges


@pytest.mark.parametrize(("inside", "across", "along"), [(0, 13, 24), (1, 11, 22)])
def test_edge_strip(small_works: Works, inside: int, across: int, along: int) -> None:
    strip = Edge.make(code="STRIP", form="edge strip", wire="R40", strip_width=6.0, strip_thickness=1.5,
                      strip_row=inside, clipped="after the oven")  # fmt: skip
    route = with_steps(small_works, "R-OPEN", step(14, "clip strip", "BENCH-U", only_if="edge strip"))
    works = with_cards(small_works, strip, route, like(small_works.beds["SNIPE"], edge="STRIP"))
    bill = bill_of(works, "SNIPE")
    # the ring of coils it is clipped to: heads of 72.2, 112 apart across and 82 along; 60 mm overlap at the join
    loop = 2 * ((across - 1) * 112 + 72.2 + (along - 1) * 82 + 72.2) + 60
    made = row(bill, "edge strip")
    assert made.quantity == pytest.approx(loop * 6.0 * 1.5 * STEEL)
    assert (made.pieces, made.cut_width, made.cut_length) == (1, 6.0, pytest.approx(loop))
    clips = row(bill, "clips of the edge")
    assert clips.quantity == 2 * across + 2 * (along - 2)
    assert f"{2 * across + 2 * (along - 2)} coils round the edge x 1" in clips.how
    assert "clip strip" in steps(bill) and "clip rod" not in steps(bill)
    assert not has_row(bill, "edge rod")


def test_stiff_rows(small_works: Works) -> None:
    stiff = Edge.make(code="STIFF", form="stiff rows", stiff_rows=2, coil="FIRM")
    works = with_cards(small_works, Coil.make(**FIRM), stiff, like(small_works.beds["KNOT"], edge="STIFF"))
    bill = bill_of(works, "KNOT")
    # no rail: 1460 x 1960 holds 23 x 31 at 62, of which 19 x 27 stand inside two stiff rows
    inner, outer = 19 * 27, 23 * 31 - 19 * 27
    assert row(bill, "coil FIRM, stiff outer rows").quantity == pytest.approx(cylinder_kg(outer, 2.2, 58, 5, 6.5, 190))
    soft = row(bill, "coil P19, all rows inside the stiff rows")
    assert (soft.pieces, soft.quantity) == (inner, pytest.approx(cylinder_kg(inner, 1.9, 58, 5, 6.5, 190)))
    assert row(bill, "glue between strings").quantity == pytest.approx(30 * 23 * 0.0004)
    assert row(bill, "pocket cloth").quantity == pytest.approx((150 + 62 + 24) * 23 * 31 * PI * 62 / 1e6)
    assert not bill.of_group("edge")
    assert "glue rails" not in steps(bill)
    assert steps(bill)["coil and pocket"].minutes == pytest.approx(0.5 + 0.0125 * 23 * 31)


# --- the unit


def test_zones(small_works: Works) -> None:
    zones = ({"position": 1, "first_row": 10, "last_row": 15, "coil": "FIRM"},)
    works = with_cards(small_works, Coil.make(**FIRM), like(small_works.units["POCKET"], zones=zones))
    bill = bill_of(works, "KNOT")
    # inside the rails 1320 x 1820 holds 21 x 29
    firm, main = 6 * 21, 23 * 21
    assert row(bill, "coil FIRM, rows 10-15").quantity == pytest.approx(cylinder_kg(firm, 2.2, 58, 5, 6.5, 190))
    assert row(bill, "coil P19, rows 1-9, 16-29").quantity == pytest.approx(cylinder_kg(main, 1.9, 58, 5, 6.5, 190))
    assert steps(bill)["coil and pocket"].count == firm + main == 609


def test_zones_inside_stiff_rows_of_the_same_coil(small_works: Works) -> None:
    zones = ({"position": 1, "first_row": 10, "last_row": 15, "coil": "FIRM"},)
    stiff = Edge.make(code="STIFF", form="stiff rows", stiff_rows=1, coil="FIRM")
    works = with_cards(
        small_works, Coil.make(**FIRM), stiff, like(small_works.units["POCKET"], zones=zones),
        like(small_works.beds["KNOT"], edge="STIFF"),
    )  # fmt: skip
    bill = bill_of(works, "KNOT")
    firm = (23 * 31 - 21 * 29) + 6 * 21
    one = row(bill, "coil FIRM, stiff outer rows and rows 10-15 inside the stiff rows")
    assert (one.pieces, one.quantity) == (firm, pytest.approx(cylinder_kg(firm, 2.2, 58, 5, 6.5, 190)))
    assert row(bill, "coil P19, rows 1-9, 16-31 inside the stiff rows").pieces == 23 * 31 - firm


@pytest.mark.parametrize("typed_along", [62.0, 53.7])
def test_nested_rows(small_works: Works, typed_along: float) -> None:
    unit = like(small_works.units["POCKET"], layout="nested", pitch_along=typed_along)
    bill = bill_of(with_cards(small_works, unit), "KNOT")
    # 1320 x 1820: rows 62 x sqrt(3)/2 apart, (1820 - 62) / 53.69 + 1 = 33; 21 in a row, 20 in one moved by 31
    count = 17 * 21 + 16 * 20
    assert bill.bed.unit.count == count
    assert row(bill, "coil P19, all rows").quantity == pytest.approx(cylinder_kg(count, 1.9, 58, 5, 6.5, 190))
    # each of the 20 touches two of the row before and two of the row after: 32 joints of 40
    assert row(bill, "glue between strings").quantity == pytest.approx(32 * 40 * 0.0004)
    cloth = row(bill, "pocket cloth")
    assert cloth.quantity == pytest.approx((150 + 62 + 24) * count * PI * 62 / 1e6)
    assert bill.bed.unit.length == pytest.approx(32 * 62 * math.sqrt(3) / 2 + 62)


def test_two_mini_layers(small_works: Works) -> None:
    layers = (
        {"face": "A", "position": 1, "part": "FELT"},
        {"face": "A", "position": 2, "part": "MINI", "layer_count": 2},
        {"face": "A", "position": 3, "part": "FOAM30"},
    )
    more = step(15, "pocket minis", "POCKETER", only_if="mini-spring layer", minutes_per=0.01, per="coil",
                set_up="wire")  # fmt: skip
    route = with_steps(small_works, "R-POCKET", more)
    works = with_cards(small_works, route, like(small_works.beds["RUFF"], layers=layers))
    bill, single = bill_of(works, "RUFF"), bill_of(with_cards(small_works, route), "RUFF")
    # 1460 x 1960 at 40: 36 x 49 in each layer
    count = 36 * 49
    coils = row(bill, "coil M10, all rows of layer A2, mini springs")
    assert (coils.pieces, coils.quantity) == (2 * count, pytest.approx(cylinder_kg(2 * count, 1.0, 36, 3, 4, 32)))
    cloth = row(bill, "pocket cloth of layer A2, mini springs")
    assert (cloth.pieces, cloth.quantity) == (2, pytest.approx(2 * (25 + 40 + 24) * count * PI * 40 / 1e6))
    # 48 joints of 36 contacts, every second glued
    glue = row(bill, "glue between strings of layer A2, mini springs")
    assert glue.quantity == pytest.approx(2 * 48 * 36 / 2 * 0.0002)
    assert bill.bed.height == pytest.approx(single.bed.height + 25)
    assert bill.bed.mini_count == 2 * count
    minis = steps(bill)["pocket minis"]
    assert (minis.count, minis.family_value) == (2 * count, "W10")
    assert minis.minutes == pytest.approx(1.0 + 0.01 * 2 * count)
    assert steps(single)["pocket minis"].count == count
    assert "pocket minis" not in steps(bill_of(with_cards(small_works, route), "KNOT"))


def test_two_kinds_of_mini_springs_need_both_wires_set_up(small_works: Works) -> None:
    other = like(small_works.coils["M10"], code="M19", wire="W19")
    unit = Unit.make(**{**small_works.units["MINI"].model_dump(), "code": "MINI2", "coil": "M19"})
    layers = ({"face": "A", "position": 1, "part": "MINI"}, {"face": "A", "position": 2, "part": "MINI2"})
    more = step(15, "pocket minis", "POCKETER", only_if="mini-spring layer", per="coil", set_up="wire")
    works = with_cards(
        small_works, other, unit, with_steps(small_works, "R-POCKET", more),
        like(small_works.beds["RUFF"], layers=layers),
    )  # fmt: skip
    minis = steps(bill_of(works, "RUFF"))["pocket minis"]
    assert (minis.count, minis.family_value) == (2 * 36 * 49, "W10 + W19")


# --- the route


def test_subcontracted_step_takes_nobody_here(small_works: Works) -> None:
    route = small_works.routes["R-POCKET"]
    out = tuple({**one.model_dump(), "subcontracted": one.operation == "quilt panels"} for one in route.steps)
    works = with_cards(small_works, Route.make(code="R-POCKET", steps=out))
    here, away = bill_of(small_works, "KNOT"), bill_of(works, "KNOT")
    # the panel is quilted at 1500 + 24 + 2 x 30 by 2000 + 24 + 2 x 30
    minutes = 0.5 + 0.6 * 1.584 * 2.084
    assert steps(here)["quilt panels"].labour_minutes == pytest.approx(minutes)
    assert steps(away)["quilt panels"].labour_minutes == 0
    assert away.minutes == pytest.approx(here.minutes - minutes)
    assert away.minutes_at("QUILTER") == pytest.approx(here.minutes_at("QUILTER") - minutes)
    assert [one.quantity for one in away.rows] == [one.quantity for one in here.rows]
    # no piece price of what is done outside: named, and no set-up of ours
    sheet = cost(works, away, date(2026, 3, 2))
    assert ("piece", "quilt panels") in {(one.of, one.item) for one in sheet.missing}
    assert not any(line.name == "set-up, quilt panels" for line in sheet.lines)


# --- what a row says


@pytest.mark.parametrize("bed", ["SNIPE", "KNOT", "RUFF"])
def test_the_mass_beside_a_row_stands_in_its_words(small_works: Works, bed: str) -> None:
    bill = bill_of(small_works, bed)
    for one in bill.rows:
        mass = one.taken_mass if one.group == "pack" else one.mass
        assert f"= {shown(mass)} kg" in one.how, (one.what, one.how)


def test_thread_says_what_stays_in_the_bed(small_works: Works) -> None:
    closing = row(bill_of(small_works, "KNOT"), "closing thread, taped")
    metres = 2 * closing_thread(4)
    kept = shown(metres * 0.0001 / WASTE)
    assert closing.how.endswith(f"= {shown(metres * 0.0001)} kg; of it 1/1.125 stays in the bed = {kept} kg")
    quilting = row(bill_of(small_works, "KNOT"), "quilting thread, panel A")
    share = 1.524 * 2.024 / (1.584 * 2.084)
    assert f"of it 1/1.125 x {shown(share)} left after trimming stays in the bed" in quilting.how


def test_thread_on_counted_cones_says_its_mass_too(small_works: Works) -> None:
    cones = like(small_works.trims["THREAD"], counted_in="each", piece_mass=9.0, mass_per_metre=None, length=20_000.0)
    one = row(bill_of(with_cards(small_works, cones), "KNOT"), "closing thread, taped")
    assert one.how.endswith(
        f"/ 20000 mm each, rounded up = 6 x 9 g = 0.054 kg; of it 1/1.125 stays in the bed = {shown(0.054 / WASTE)} kg"
    )
