"""The make list: runs, ids, vans. It is the reverse of the van's list."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.bill.make_list import _split, make_list, van_days
from bedwright.works.beds import Bed
from bedwright.works.card import Card
from bedwright.works.making import ClosedDay
from bedwright.works.trading import Order
from bedwright.works.works import Works


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


def test_latest_van_by_the_day_promised(small_works: Works) -> None:
    runs = {(run.order, run.line): run for run in make_list(small_works)}
    # NORTH leaves tuesdays and fridays; promised thursday 12 march: tuesday the 10th, cut-off the day before at 14:00
    first = runs["O-1", 1]
    assert (first.van_day, first.cut_off_day, first.cut_off.hour) == (date(2026, 3, 10), date(2026, 3, 9), 14)
    assert runs["O-2", 2].van_day == date(2026, 3, 13)
    assert all(run.says == "" for run in runs.values())


def test_held_orders_are_not_made(small_works: Works) -> None:
    assert {run.order for run in make_list(small_works)} == {"O-1", "O-2"}


def test_large_lines_are_split_evenly_and_keep_their_works_order(small_works: Works) -> None:
    runs = [run for run in make_list(small_works) if (run.order, run.line) == ("O-2", 1)]
    assert [run.beds for run in runs] == [7, 7]  # 14 beds, at most 12 in a run
    assert len({run.works_order for run in runs}) == 1
    assert [run.id for run in runs] == [f"{runs[0].works_order}-1", f"{runs[0].works_order}-2"]


def test_ids_do_not_move_with_other_orders(small_works: Works) -> None:
    before = {(run.order, run.line, run.beds): run.id for run in make_list(small_works)}
    more = with_cards(small_works, order("A-0", [("KNOT", "90", 5)]))
    after = {(run.order, run.line, run.beds): run.id for run in make_list(more)}
    assert before.items() <= after.items()


def test_late_order_takes_the_next_van_and_says_so(small_works: Works) -> None:
    late = with_cards(small_works, order("L-1", [("KNOT", "90", 1)], due=date(2026, 2, 27)))
    run = next(run for run in make_list(late) if run.order == "L-1")
    assert run.van_day == date(2026, 3, 3)
    assert "no van of NORTH is left that gets there by 2026-02-27" in run.says


def test_van_whose_cut_off_has_passed_is_not_taken(small_works: Works) -> None:
    run = next(run for run in make_list(small_works, as_of=date(2026, 3, 10)) if run.order == "O-1")
    assert run.van_day == date(2026, 3, 13) and run.says  # tuesday's cut-off was on monday


def test_no_van_on_a_closed_day(small_works: Works) -> None:
    shut = with_cards(small_works, ClosedDay(code="FRI13", day=date(2026, 3, 13)))
    run = next(run for run in make_list(shut) if run.order == "O-2")
    assert run.van_day == date(2026, 3, 10)
    north = small_works.van_rounds["NORTH"]
    assert van_days(shut, north, date(2026, 3, 9), date(2026, 3, 17)) == (date(2026, 3, 10), date(2026, 3, 17))


def linked(works: Works) -> Works:
    pair = {**works.beds["KNOT"].model_dump(), "code": "PAIR", "pair": "zip-linked", "pair_zip": "ZIPPER"}
    return with_cards(works, Bed.make(**pair))


def test_zip_linked_halves_stay_together(small_works: Works) -> None:
    works = with_cards(linked(small_works), order("P-1", [("PAIR", "90", 26)]))
    runs = [run for run in make_list(works) if run.order == "P-1"]
    assert sum(run.beds for run in runs) == 26 and all(run.beds % 2 == 0 and run.beds <= 12 for run in runs)
    assert all(run.pair == "" for run in runs)


def test_two_odd_lines_of_one_order_are_each_others_halves(small_works: Works) -> None:
    works = with_cards(linked(small_works), order("P-2", [("PAIR", "90", 1), ("PAIR", "90", 1)]))
    assert [run.pair for run in make_list(works) if run.order == "P-2"] == ["P-2 90", "P-2 90"]
    alone = with_cards(linked(small_works), order("P-3", [("PAIR", "90", 3)]))
    run = next(run for run in make_list(alone) if run.order == "P-3")
    assert run.pair == "" and "one has no other half" in run.says


@settings(max_examples=200, deadline=None)
@given(quantity=st.integers(1, 500), largest=st.integers(1, 40), even=st.booleans())
def test_split(quantity: int, largest: int, even: bool) -> None:
    runs = _split(quantity, largest, even=even)
    assert sum(runs) == quantity and max(runs) <= largest and min(runs) >= 1
    assert len(runs) == -(-quantity // (largest - largest % 2 if even and largest > 1 else largest))
    if even and largest > 1:
        assert sum(beds % 2 for beds in runs) == quantity % 2
    else:
        assert max(runs) - min(runs) <= 1


@pytest.mark.parametrize("bed", ["SNIPE", "KNOT", "RUFF"])
def test_key_is_the_key_of_the_bill(small_works: Works, bed: str) -> None:
    works = with_cards(small_works, order("K-1", [(bed.lower(), "90", 1)]))
    run = next(run for run in make_list(works) if run.order == "K-1")
    assert run.key == f"{bed} 90"
