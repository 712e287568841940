"""Runs and their vans: the make list is the reverse of the van's list."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.works.beds import Bed
from bedwright.works.card import Card
from bedwright.works.making import ClosedDay
from bedwright.works.runs import Run, runs_to_make
from bedwright.works.trading import Order
from bedwright.works.works import Works

TODAY = date(2026, 3, 2)


def with_cards(works: Works, *new: Card) -> Works:
    """The works with cards added; a card of the same kind and code is replaced."""
    taken = {(card.KIND, card.code) for card in new}
    kept = [card for card in works.all_cards() if (card.KIND, card.code) not in taken]
    return Works.of(works.about, [*kept, *new])


def order(code: str, lines: list[tuple[str, str, int]], **values: Any) -> Order:
    given: dict[str, Any] = {
        "customer": "QUIET", "ordered": date(2026, 2, 20), "due": date(2026, 3, 13), "van_round": "NORTH", **values,
    }  # fmt: skip
    rows = tuple(
        {"position": i, "bed": bed, "size": size, "quantity": beds} for i, (bed, size, beds) in enumerate(lines, 1)
    )
    return Order.make(code=code, lines=rows, **given)


def runs_of(works: Works, code: str, today: date = TODAY) -> list[Run]:
    return [run for run in runs_to_make(works, today) if run.order == code]


def linked(works: Works) -> Works:
    pair = {**works.beds["KNOT"].model_dump(), "code": "PAIR", "pair": "zip-linked", "pair_zip": "ZIPPER"}
    return with_cards(works, Bed.make(**pair))


def test_latest_van_by_the_day_promised(small_works: Works) -> None:
    # NORTH leaves tuesdays and fridays; promised thursday 12 march: tuesday the 10th, cut-off the day before at 14:00
    van = runs_of(small_works, "O-1")[0].van
    assert (van.day, van.cut_off) == (date(2026, 3, 10), datetime(2026, 3, 9, 14))
    assert {run.van.day for run in runs_of(small_works, "O-2")} == {date(2026, 3, 13)}
    assert all(run.van.in_time for run in runs_to_make(small_works, TODAY))


def test_held_orders_are_not_made(small_works: Works) -> None:
    assert {run.order for run in runs_to_make(small_works, TODAY)} == {"O-1", "O-2"}


def test_large_lines_are_split_evenly_and_keep_their_works_order(small_works: Works) -> None:
    runs = [run for run in runs_of(small_works, "O-2") if run.line == 1]
    assert [(run.beds, run.number, run.of) for run in runs] == [(7, 1, 2), (7, 2, 2)]  # 14 beds: too many for one
    name = runs[0].id.removesuffix("-1")
    assert [run.id for run in runs] == [f"{name}-1", f"{name}-2"]


def test_ids_do_not_move_with_other_orders(small_works: Works) -> None:
    before = {(run.order, run.line, run.number): run.id for run in runs_to_make(small_works, TODAY)}
    more = with_cards(small_works, order("A-0", [("KNOT", "90", 5)]))
    after = {(run.order, run.line, run.number): run.id for run in runs_to_make(more, TODAY)}
    assert before.items() <= after.items() and len(after) == len(before) + 1


def test_late_order_takes_the_next_van_and_says_so(small_works: Works) -> None:
    late = with_cards(small_works, order("L-1", [("KNOT", "90", 1)], due=date(2026, 2, 27)))
    (run,) = runs_of(late, "L-1")
    assert (run.van.day, run.van.in_time) == (date(2026, 3, 3), False)


def test_van_whose_cut_off_has_passed_is_not_taken(small_works: Works) -> None:
    van = runs_of(small_works, "O-1", date(2026, 3, 10))[0].van
    assert (van.day, van.in_time) == (date(2026, 3, 13), False)  # tuesday's cut-off was on monday


def test_no_van_on_a_closed_day(small_works: Works) -> None:
    shut = with_cards(small_works, ClosedDay(code="FRI13", day=date(2026, 3, 13)))
    assert {run.van.day for run in runs_of(shut, "O-2")} == {date(2026, 3, 10)}


def test_zip_linked_halves_stay_together(small_works: Works) -> None:
    works = with_cards(linked(small_works), order("P-1", [("PAIR", "90", 26)]))
    runs = runs_of(works, "P-1")
    most = works.rule("max_run")
    assert sum(run.beds for run in runs) == 26 and all(run.beds % 2 == 0 and run.beds <= most for run in runs)


@settings(max_examples=60, deadline=None)
@given(quantity=st.integers(1, 300), pair=st.booleans())
def test_split(small_works: Works, quantity: int, pair: bool) -> None:
    works = with_cards(linked(small_works), order("S-1", [("PAIR" if pair else "KNOT", "90", quantity)]))
    beds = [run.beds for run in runs_of(works, "S-1")]
    most = int(works.rule("max_run"))
    assert sum(beds) == quantity and max(beds) <= most and min(beds) >= 1
    assert len(beds) == -(-quantity // most)
    if pair:
        assert sum(count % 2 for count in beds) == quantity % 2
    else:
        assert max(beds) - min(beds) <= 1


@pytest.mark.parametrize("bed", ["SNIPE", "KNOT", "RUFF"])
def test_codes_are_those_of_the_cards(small_works: Works, bed: str) -> None:
    works = with_cards(small_works, order("K-1", [(bed.lower(), "90", 1)]))
    assert runs_of(works, "K-1")[0].bed == bed
