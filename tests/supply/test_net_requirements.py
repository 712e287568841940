"""Net requirements: who starves, when to order at last, and the closed form that a person can redo."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import accumulate

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.bill.make import make_bill
from bedwright.design.buildup import bed_at_size
from bedwright.errors import FaultsFound
from bedwright.supply.from_bills import Wanted, demands, lead_days, stock_on_hand
from bedwright.supply.net_requirements import Arrival, Demand, OnHand, net_requirements, starving_beds
from bedwright.works.card import Card
from bedwright.works.trading import Stock
from bedwright.works.works import Works

DAY = date(2026, 3, 2)


def demand(day: int, quantity: float, order: str = "W1", code: str = "TICK") -> Demand:
    return Demand(code, DAY + timedelta(days=day), quantity, "m2", order, f"1 x {order}")


def test_later_beds_starve_first_and_are_named() -> None:
    (need,) = net_requirements(
        [demand(9, 4.0, "W2"), demand(3, 4.0, "W1"), demand(9, 4.0, "W3")],
        [OnHand("TICK", 6.0, "m2")],
        {"TICK": 7},
        DAY,
    )
    assert (need.gross, need.on_hand, need.net, need.left) == (12.0, 6.0, 6.0, 0.0)
    assert [(one.works_order, one.short) for one in need.starved] == [("W2", 2.0), ("W3", 4.0)]
    (order,) = need.orders
    assert (order.needed, order.order_by, order.quantity) == (DAY + timedelta(days=9), DAY + timedelta(days=2), 6.0)
    assert order.late_days == 0 and not need.late
    assert starving_beds([need]) == {"W2": ("TICK",), "W3": ("TICK",)}


def test_order_that_is_already_late_says_by_how_much() -> None:
    (need,) = net_requirements([demand(3, 4.0)], [], {"TICK": 42}, DAY)
    assert need.orders[0].late_days == 39 and need.late


def test_unknown_lead_is_said_and_never_taken_as_nothing() -> None:
    (need,) = net_requirements([demand(3, 4.0)], [], {}, DAY)
    assert need.lead_days is None and need.orders[0].order_by is None and need.late


def test_arrivals_serve_their_own_day_and_not_the_one_before() -> None:
    coming = [Arrival("TICK", DAY + timedelta(days=5), 10.0, "m2")]
    (need,) = net_requirements([demand(4, 3.0, "W1"), demand(5, 3.0, "W2")], [], {"TICK": 1}, DAY, coming)
    assert [one.works_order for one in need.starved] == ["W1"]
    assert (need.arriving, need.left) == (10.0, 7.0)


def test_two_units_for_one_item_are_refused() -> None:
    with pytest.raises(FaultsFound, match="is counted in kg and in m2"):
        net_requirements([demand(3, 4.0)], [OnHand("TICK", 6.0, "kg")], {}, DAY)


@settings(max_examples=80, deadline=None)
@given(
    wanted=st.lists(st.tuples(st.integers(0, 20), st.integers(1, 50)), min_size=1, max_size=15),
    coming=st.lists(st.tuples(st.integers(0, 20), st.integers(1, 50)), max_size=6),
    held=st.integers(0, 200),
)
def test_closed_form(wanted: list[tuple[int, int]], coming: list[tuple[int, int]], held: int) -> None:
    """What is bought in all is the deepest hole: max over days of demand to date - stock - arrivals to date."""
    (need,) = net_requirements(
        [demand(day, float(quantity), f"W{i}") for i, (day, quantity) in enumerate(wanted)],
        [OnHand("TICK", float(held), "m2")],
        {"TICK": 3},
        DAY,
        [Arrival("TICK", DAY + timedelta(days=day), float(quantity), "m2") for day, quantity in coming],
    )
    out = [sum(quantity for day, quantity in wanted if day == one) for one in range(21)]
    into = [sum(quantity for day, quantity in coming if day == one) for one in range(21)]
    hole = max(d - held - a for d, a in zip(accumulate(out), accumulate(into), strict=True))
    assert need.net == max(0, hole)
    assert need.net == sum(one.short for one in need.starved)
    assert need.left >= 0


def test_demands_from_a_bill_carry_scrap_or_yield(small_works: Works) -> None:
    bill = make_bill(small_works, bed_at_size(small_works, small_works.beds["SNIPE"], small_works.sizes["150"]))
    found = {one.code: one for one in demands(small_works, [Wanted("W1", bill, 3, DAY)])}
    ticking = sum(row.quantity for row in bill.rows if row.code == "TICK")
    assert found["TICK"].quantity == pytest.approx(3 * ticking / 0.96)
    assert found["TICK"].unit == "m2" and found["TICK"].words == "3 x SNIPE 150"
    layers = sum(row.quantity for row in bill.rows if row.code == "WOOL" and row.group == "build-up")
    plies = sum(row.quantity for row in bill.rows if row.code == "WOOL" and row.group == "panels")
    assert found["WOOL"].quantity == pytest.approx(3 * (layers / 0.97 + plies / 0.96))
    planned = {one.code: one for one in demands(small_works, [Wanted("W1", bill, 3, DAY)], {"TICK": 0.8})}
    assert planned["TICK"].quantity == pytest.approx(3 * ticking / 0.8)


def test_stock_is_turned_into_what_beds_take_or_named(small_works: Works) -> None:
    cards: list[Card] = [card for card in small_works.all_cards() if not isinstance(card, Stock)]
    stock = [
        Stock(code="A", part="TICK", in_stock=50.0, counted_in="m"),
        Stock(code="B", part="TICK", in_stock=10.0, counted_in="m2"),
        Stock(code="C", part="W22", in_stock=1000.0, counted_in="m"),
        Stock(code="D", part="CLIP", in_stock=3.2, counted_in="kg"),
        Stock(code="E", part="VENT", in_stock=3.0, counted_in="kg"),
        Stock(code="F", part="LABEL", in_stock=9.0, counted_in="each"),
    ]
    works = Works.of(small_works.about, [*cards, *stock])
    bill = make_bill(works, bed_at_size(works, works.beds["SNIPE"], works.sizes["150"]))
    left = stock_on_hand(works, demands(works, [Wanted("W1", bill, 1, DAY)]))
    held = {one.code: one.quantity for one in left.on_hand}
    assert held["TICK"] == pytest.approx(50 * 2.2 + 10)
    assert held["W22"] == pytest.approx(29.8406, rel=1e-4)
    assert held["CLIP"] == pytest.approx(2000)
    assert [code for code, _ in left.unusable] == ["E"]
    assert lead_days(works, ["TICK", "W22", "OPEN"]) == {"OPEN": None, "TICK": 42, "W22": 14}
