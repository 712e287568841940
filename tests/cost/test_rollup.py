"""The cost sheet: lines by hand, scrap and yield as two sums, what is missing is named, printed lines add up."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill, BillRow
from bedwright.cost.convert import priced_quantity
from bedwright.cost.ladder import price_ladder
from bedwright.cost.money import minor_places, money_words, to_minor
from bedwright.cost.rollup import cost
from bedwright.cost.sheet import CostLine, CostSheet
from bedwright.design.buildup import bed_at_size
from bedwright.errors import OutsideRange
from bedwright.works.card import Card
from bedwright.works.making import WorkPlace
from bedwright.works.trading import Price
from bedwright.works.works import Works

DAY = date(2026, 3, 2)


@pytest.fixture(scope="module")
def bill_of(small_works: Works) -> Callable[[str, str], Bill]:
    return lambda bed, size: make_bill(
        small_works, bed_at_size(small_works, small_works.beds[bed], small_works.sizes[size])
    )


@pytest.fixture(scope="module")
def knot(bill_of: Callable[[str, str], Bill]) -> Bill:
    return bill_of("KNOT", "150")


def line(sheet: CostSheet, name: str) -> CostLine:
    return next(one for one in sheet.lines if one.name == name)


def with_price(works: Works, item: str, **values: object) -> Works:
    """The works with the price of an item changed."""
    cards: list[Card] = [card for card in works.all_cards() if not (isinstance(card, Price) and card.item == item)]
    old = next(price for price in works.prices if price.item == item)
    return Works.of(works.about, [*cards, Price(**{**old.model_dump(), **values})])


def test_lines_by_hand(small_works: Works, knot: Bill) -> None:
    sheet = cost(small_works, knot, DAY)
    # ticking: fed 1584/0.98 x 2084/0.97 mm over a 2.2 m roll, 4 % of what goes in is lost, 8.40 a metre
    metres = (1.584 / 0.98) * (2.084 / 0.97) / 2.2 / 0.96
    assert line(sheet, "knit").amount == round(metres * 840)
    # rail foam: 110 for a cubic metre, 3 % lost
    rail = (2 * 1.96 + 2 * 1.32) * 0.07 * 0.15
    assert line(sheet, "rail foam").amount == round(rail / 0.97 * 11000)
    # 21 x 29 coils at 0.0125 min + 0.5, coiling is 15 an hour; rolling takes two people at the house rate of 14.50
    assert line(sheet, "coil and pocket").amount == round((0.5 + 609 * 0.0125) / 60 * 1500)
    assert line(sheet, "roll").amount == round(3 * 2 / 60 * 1450)
    assert line(sheet, "tape, first pass").part == "piece work"
    assert line(sheet, "tape, first pass").amount == 190
    # one hour and a half-hour set-ups stay with this one bed
    assert line(sheet, "set-up, coil and pocket").amount == 3000
    assert line(sheet, "overhead absorbed").amount == round((knot.minutes + 120 + 12 + 2) * 35)


def test_printed_lines_add_up(small_works: Works, bill_of: Callable[[str, str], Bill]) -> None:
    for bed in ("SNIPE", "KNOT", "RUFF"):
        sheet = cost(small_works, bill_of(bed, "135"), DAY)
        assert sheet.total == sum(one.amount for one in sheet.lines)
        assert [one.line for one in sheet.lines] == list(range(1, len(sheet.lines) + 1))
        assert sheet.total == sheet.variable + sheet.of_part("overhead")
        before = sum(one.amount for one in sheet.lines if one.part != "reject")
        assert line(sheet, "taped beds that cannot be put right").amount == round(before / 0.99 - before)


def test_set_up_is_shared_over_the_run_and_counted_once(small_works: Works, knot: Bill) -> None:
    alone, ten = cost(small_works, knot, DAY, run_beds=1), cost(small_works, knot, DAY, run_beds=10)
    assert alone.of_part("set-up") == 3000 + 290 + 60
    assert ten.of_part("set-up") == 300 + 29 + 6
    assert ten.total < alone.total
    with pytest.raises(OutsideRange, match="run of 0 beds"):
        cost(small_works, knot, DAY, run_beds=0)


def test_set_up_minutes_that_nobody_typed_are_named(small_works: Works, knot: Bill) -> None:
    place = small_works.work_places["QUILTER"]

    def with_setups(*setups: dict[str, object]) -> CostSheet:
        new = WorkPlace.make(**{**place.model_dump(), "setups": setups})
        works = Works.of(small_works.about, [new if old is place else old for old in small_works.all_cards()])
        return cost(works, knot, DAY)

    lost = with_setups({"position": 1, "family": "needle spacing", "setup_minutes": 90.0})
    found = [one for one in lost.missing if one.of == "set-up"]
    assert len(found) == 1 and found[0].item == "ticking at QUILTER"
    assert "no set-up minutes for ticking at QUILTER" in found[0].says
    assert not lost.complete and "set-up ticking at QUILTER" in lost.says
    # typed as nothing is known to be nothing
    free = with_setups({"position": 1, "family": "ticking", "setup_minutes": 0.0})
    assert not any(one.of == "set-up" for one in free.missing)
    assert free.of_part("set-up") == lost.of_part("set-up") == cost(small_works, knot, DAY).of_part("set-up") - 290


def test_scrap_and_yield_are_two_sums(small_works: Works, knot: Bill) -> None:
    plain = cost(small_works, knot, DAY)
    assert plain.material_by_yield is None
    assert plain.material_by_scrap == plain.of_part("material")
    cut = cost(small_works, knot, DAY, yields={"TICK2": 0.80})
    assert cut.material_by_scrap == plain.material_by_scrap
    assert cut.material_by_yield == cut.of_part("material") > cut.material_by_scrap
    metres = (1.584 / 0.98) * (2.084 / 0.97) / 2.2
    assert line(cut, "knit").amount == round(metres / 0.80 * 840)
    assert "yield 80 %" in line(cut, "knit").how and "scrap_quilting 4 %" in line(plain, "knit").how
    with pytest.raises(OutsideRange, match=r"yield 1\.2 of TICK2"):
        cost(small_works, knot, DAY, yields={"TICK2": 1.2})


def test_missing_prices_are_named_and_not_nothing(small_works: Works, bill_of: Callable[[str, str], Bill]) -> None:
    sheet = cost(small_works, bill_of("SNIPE", "150"), DAY)
    assert [(one.of, one.item) for one in sheet.missing] == [("trim", "GUARD")]
    assert not sheet.complete and sheet.says == "at least; not priced: trim GUARD"
    early = cost(small_works, bill_of("KNOT", "150"), date(2025, 12, 31))
    assert ("wire", "W19") in {(one.of, one.item) for one in early.missing}
    assert early.of_part("material") == early.of_part("piece work") == 0


def test_a_price_nobody_can_turn_is_named(small_works: Works, knot: Bill) -> None:
    works = with_price(small_works, "TAPE38", per="m3")
    sheet = cost(works, knot, DAY)
    assert [one.item for one in sheet.missing] == ["TAPE38"]
    assert "cannot turn m into that" in sheet.missing[0].says


def test_house_rates_that_stand_in_are_named(small_works: Works, knot: Bill) -> None:
    sheet = cost(small_works, knot, DAY)
    assert "labour of build at rule labour_per_hour" in sheet.assumed
    assert not any("coiling" in one for one in sheet.assumed)
    given = cost(small_works, knot, DAY, overhead_per_minute=Decimal("0.5"), reject_share=0.0)
    assert not any("overhead" in one or "reject" in one for one in given.assumed)


def test_margin_is_a_share_of_the_price(small_works: Works, knot: Bill) -> None:
    sheet = cost(small_works, knot, DAY, margin=Decimal("0.40"))
    assert sheet.price == pytest.approx(sheet.total / 0.6, abs=0.51)
    assert (sheet.price - sheet.total) / sheet.price == pytest.approx(0.40, abs=1e-4)


def test_contribution_per_bottleneck_minute(small_works: Works, knot: Bill) -> None:
    minutes = knot.minutes_at("TAPE-EDGE")
    sheet = cost(small_works, knot, DAY, selling_price=Decimal(300), bottleneck_minutes=minutes)
    assert sheet.left is not None and sheet.left.per_minute is not None
    assert sheet.left.contribution == Decimal(300) - Decimal(sheet.variable) / 100
    assert float(sheet.left.per_minute) == pytest.approx(float(sheet.left.contribution) / minutes)


def test_ladder_rises_with_the_size(small_works: Works, bill_of: Callable[[str, str], Bill]) -> None:
    bills = [bill_of("KNOT", size) for size in ("150", "90", "135")]
    rungs = price_ladder((bill, cost(small_works, bill, DAY)) for bill in bills)
    assert [rung.size for rung in rungs] == ["90", "135", "150"]
    assert rungs[0].step is None and all(rung.step is not None and rung.step > 0 for rung in rungs[1:])
    assert rungs[2].price == rungs[0].price + sum(rung.step or 0 for rung in rungs)


def row_of(bill: Bill, code: str) -> BillRow:
    return next(row for row in bill.rows if row.code == code)


@pytest.mark.parametrize(
    ("code", "per", "expected"),
    [
        (
            "W19",
            "m",
            0.609 * (math.hypot(5 * math.pi * 58, 190) + 1.5 * math.pi * 58),
        ),
        ("RAILFOAM", "m3", 1.96 * 2 * 0.07 * 0.15),
        ("PKT70", "m", 0.236 * 609 * 3.14159265 * 0.062 / 1.6),
        ("FOAM30", "each", 1.47 * 1.97 / 2.08**2),
        ("FILM125", "m", 2.220 * 2.2619467 / 4.0),
        ("TAPE38", "kg", 14.2 * 0.012),
    ],
)
def test_turns(small_works: Works, knot: Bill, code: str, per: str, expected: float) -> None:
    found = priced_quantity(small_works, row_of(knot, code), per)
    assert found is not None and found[0] == pytest.approx(expected, rel=1e-6)


def test_no_turn_is_none(small_works: Works, knot: Bill) -> None:
    assert priced_quantity(small_works, row_of(knot, "VENT"), "m") is None
    assert priced_quantity(small_works, row_of(knot, "W19"), "m2") is None
    assert priced_quantity(small_works, row_of(knot, "TAPE38"), "each") is None


def test_half_even_once() -> None:
    assert [to_minor(Decimal(text), "GBP") for text in ("0.125", "0.135", "0.1250001")] == [12, 14, 13]
    assert (minor_places("JPY"), minor_places("kwd"), to_minor(Decimal("1234.5"), "JPY")) == (0, 3, 1234)
    assert (money_words(123456, "GBP"), money_words(5, "GBP"), money_words(-150, "GBP")) == ("1234.56", "0.05", "-1.50")


@settings(max_examples=25, deadline=None)
@given(run=st.integers(1, 40), share=st.floats(0.5, 1.0), reject=st.floats(0, 0.2))
def test_sheets_add_up_whatever_is_given(small_works: Works, knot: Bill, run: int, share: float, reject: float) -> None:
    sheet = cost(small_works, knot, DAY, run_beds=run, yields={"TICK2": share, "W19": share}, reject_share=reject)
    assert sheet.total == sum(one.amount for one in sheet.lines)
    assert sheet.material_by_yield == sheet.of_part("material")
    assert all(one.amount >= 0 for one in sheet.lines)
