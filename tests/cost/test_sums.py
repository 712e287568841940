"""Yields, prices and watched times: hand sums and refusals."""

from decimal import Decimal

import pytest

from bedwright.cost.contribution import (
    Offered,
    break_even,
    by_bottleneck,
    contribution,
    margin_of,
    price_for_margin,
    price_for_mark_up,
)
from bedwright.cost.learning import total_time
from bedwright.cost.time_study import Element, normal_time, standard_time
from bedwright.cost.yields import gross, serial_yield
from bedwright.errors import OutsideRange


def test_scrap_and_yield_are_two_sums() -> None:
    assert gross(1, 0.05, "output") == 1.05
    assert gross(1, 0.05, "input") == pytest.approx(1.0526, abs=5e-5)
    assert gross(95, Decimal("0.05"), "input") == 100.0


def test_no_piece_too_many_from_rounding() -> None:
    assert serial_yield(95, (0.95,)).pieces_in == (100,)  # 95/0.95 in floats is a hair over 100


def test_price_for_margin_is_not_price_for_mark_up() -> None:
    cost, share = Decimal("130"), Decimal("0.35")
    assert price_for_margin(cost, share) == 200
    assert price_for_mark_up(cost, share) == Decimal("175.50")
    assert margin_of(Decimal(200), cost) == share


def test_the_scarce_minute_ranks_the_beds() -> None:
    beds = [
        Offered("Heron", Decimal(900), Decimal(500), Decimal(40)),  # 10 a minute
        Offered("Teal", Decimal(300), Decimal(150), Decimal(9)),  # 16.67 a minute
        Offered("Avocet", Decimal(200), Decimal(190), Decimal(0)),
    ]
    ranked = by_bottleneck(beds)
    assert [one.name for one in ranked] == ["Avocet", "Teal", "Heron"]
    assert ranked[2].per_minute == 10
    assert contribution(beds[0]).contribution == 400


def test_break_even() -> None:
    assert break_even(Decimal(1000), Decimal(30), Decimal(20)) == 100
    assert break_even(Decimal(1001), Decimal(30), Decimal(20)) == 101
    with pytest.raises(OutsideRange, match="no number of beds"):
        break_even(Decimal(1000), Decimal(20), Decimal(20))


def test_readings_are_struck_by_people_with_a_reason() -> None:
    # (0.5 + 0.7)/2 x 1.1 + 0.3 x 1.0
    elements = [
        Element("fold corner", (0.5, 3.7, 0.7), 1.1, struck=(1,), why="thread broke"),
        Element("press", (0.3,)),
    ]
    assert normal_time(elements) == pytest.approx(0.96)
    with pytest.raises(OutsideRange, match="without a reason"):
        normal_time([Element("fold corner", (0.5, 3.7), struck=(1,))])
    with pytest.raises(OutsideRange, match="needs one reading"):
        normal_time([Element("fold corner", ())])
    with pytest.raises(OutsideRange, match="not all among"):
        normal_time([Element("fold corner", (0.5,), struck=(1,), why="x")])


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (lambda: gross(1, 5, "input"), "5 % is 0.05"),
        (lambda: gross(1, 0.05, "both"), "output or on input"),
        (lambda: gross(float("nan"), 0.05, "input"), "nan"),
        (lambda: serial_yield(10, ()), "one or more"),
        (lambda: serial_yield(10, (0.0,)), "over 0"),
        (lambda: price_for_margin(Decimal(1), Decimal(1)), "under 1"),
        (lambda: standard_time(1, 1, 20, "the day"), "20 % is 0.20"),
        (lambda: standard_time(1, 0, 0.2, "the day"), "100 % is 1.0"),
        (lambda: standard_time(1, 1, 0.2, "week"), "'week'"),
        (lambda: total_time(1, 80, 2, "unit time"), "80 % is 0.80"),
        (lambda: total_time(1, 0.8, 2, "other"), "'other'"),
        (lambda: margin_of(Decimal(0), Decimal(1)), "more than nothing"),
    ],
)
def test_refusals_say_what_would_do(wrong, says: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(OutsideRange, match=says):
        wrong()
