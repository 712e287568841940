"""Time-phased records and lots against published or recomputed figures."""

from __future__ import annotations

import pytest

from bedwright.errors import OutsideRange
from bedwright.supply.lot_size import best_lots, economic_lot, safety_stock
from bedwright.supply.mrp_record import mrp_record


def test_seat_subassembly() -> None:
    """Lot 230, lead 2 weeks, on hand 37, 230 arriving in week 1. Book: mrp-record (its filled table was recomputed)."""
    record = mrp_record((150, 0, 0, 120, 0, 150, 120, 0), (230, 0, 0, 0, 0, 0, 0, 0), 37, 2, lot=230)
    assert record.projected == (117, 117, 117, 227, 227, 77, 187, 187)
    assert record.receipts == (0, 0, 0, 230, 0, 0, 230, 0)
    assert record.releases == (0, 230, 0, 0, 230, 0, 0, 0)
    assert record.past_due == ()


def test_lot_for_lot_with_a_lead_of_two() -> None:
    """On hand 120, lead 2, lot for lot. Book: mrp-lot-for-lot."""
    record = mrp_record((41, 44, 84, 42, 84, 86, 7, 18, 49, 30), (0,) * 10, 120, 2)
    assert record.net == (0, 0, 49, 42, 84, 86, 7, 18, 49, 30)
    assert record.receipts == record.net
    assert record.releases == (49, 42, 84, 86, 7, 18, 49, 30, 0, 0)
    assert record.projected == (79, 35, 0, 0, 0, 0, 0, 0, 0, 0)


def test_release_before_today_is_past_due() -> None:
    """Book: derived. What is short in period 1 with a lead of 2 should have been released one period before today."""
    record = mrp_record((10, 5), (0, 0), 0, 2)
    assert record.releases == (0, 0)
    assert record.past_due == ((-1, 10), (0, 5))


def test_safety_stock_is_kept_in_the_record() -> None:
    """Book: derived."""
    record = mrp_record((10, 10), (0, 0), 15, 0, safety=8)
    assert record.net == (3, 10) and record.projected == (8, 8)


@pytest.mark.parametrize("given", [((1,), (0, 0), 0, 0), ((1,), (0,), 0, -1), ((-1,), (0,), 0, 0), ((), (), 0, 0)])
def test_records_that_cannot_be(given: tuple[tuple[float, ...], tuple[float, ...], float, int]) -> None:
    with pytest.raises(OutsideRange):
        mrp_record(*given)


def test_economic_lot() -> None:
    """D 1000 a year, K 50, h 4: 158.11, 632.46. Book: eoq (computed from the formula, from memory)."""
    lot = economic_lot(1000, 50, 4)
    assert lot.quantity == pytest.approx(158.11, abs=0.005)
    assert lot.cost == pytest.approx(632.46, abs=0.005)


def test_safety_stocks() -> None:
    """z(95 %) = 1.6449; sigma 10 a week over 4 weeks: 32.9; with 50 a week and a lead that varies 0.5 week: 52.7."""
    assert safety_stock(0.95, 1.0, 1.0) == pytest.approx(1.6449, abs=5e-5)
    assert safety_stock(0.95, 10, 4) == pytest.approx(32.9, abs=0.05)
    assert safety_stock(0.95, 10, 4, demand=50, lead_deviation=0.5) == pytest.approx(52.7, abs=0.05)


def test_twelve_months_of_known_demand() -> None:
    """Book: wagner-whitin; optimum 864, cost up to each month as printed."""
    demand = (69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56)
    set_up = (85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114)
    lots = best_lots(demand, set_up, (1,) * 12)
    assert lots.cost == 864
    assert lots.cost_to == (85, 114, 186, 277, 348, 400, 469, 555, 600, 710, 789, 864)
    assert sum(lots.quantities) == sum(demand)


def test_ten_weeks_of_known_demand() -> None:
    """Book: factory-physics; lot for lot 1000, optimum 580 with lots 80, 130, 90 in weeks 1, 4, 8."""
    lots = best_lots((20, 50, 10, 50, 50, 10, 20, 40, 20, 30), (100,) * 10, (1,) * 10)
    assert lots.cost == 580
    assert lots.cost_to == (100, 150, 170, 270, 320, 340, 400, 480, 520, 580)
    assert {week: quantity for week, quantity in enumerate(lots.quantities, 1) if quantity} == {1: 80, 4: 130, 8: 90}
