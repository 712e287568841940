"""A problem refuses what cannot be planned, everything at once, and says what would do."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bedwright.errors import FaultsFound
from bedwright.schedule.orders import Operation, WorksOrder
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import Oven, Person, WorkPlace

DAY = date(2026, 10, 19)
UNIT = Operation("W1-unit", "W1", "unit", "bench", None, 60)
BORDER = Operation("W1-border", "W1", "border", "bench", None, 60)
BUILD = Operation("W1-build", "W1", "meet", "bench", "build", 60, after=("W1-unit", "W1-border"))
GOOD = Problem(
    "Europe/London",
    DAY,
    (WorksOrder("W1", 1000),),
    (UNIT, BORDER, BUILD),
    (WorkPlace("bench", "bench"),),
    (Oven("oven", 4, 600),),
    (Person("P1", (("build", 100),), ((0, 5000),)),),
)


def refused(**changes: object) -> str:
    with pytest.raises(FaultsFound) as caught:
        replace(GOOD, **changes)  # type: ignore[arg-type]
    return str(caught.value)


def test_a_build_that_forgets_its_border_is_refused_by_name() -> None:
    text = refused(operations=(UNIT, BORDER, replace(BUILD, after=("W1-unit",))))
    assert "operation W1-build" in text and "W1-border left out" in text


def test_a_part_from_stock_needs_no_operation() -> None:
    assert replace(GOOD, operations=(UNIT, replace(BUILD, after=("W1-unit",)))).operations[1].stream == "meet"


def test_a_chain_through_another_works_order_counts_as_waiting() -> None:
    orders = (WorksOrder("W1", 1000), WorksOrder("W2", 1000))
    lay = Operation("W2-lay", "W2", "panels", "bench", None, 60, after=("W1-border",))
    build = replace(BUILD, after=("W1-unit", "W2-lay"))
    assert replace(GOOD, works_orders=orders, operations=(UNIT, BORDER, lay, build))


def test_a_ring_in_the_net_is_named() -> None:
    text = refused(operations=(replace(UNIT, after=("W1-border",)), replace(BORDER, after=("W1-unit",)), BUILD))
    assert "ring" in text and "W1-border, W1-build, W1-unit" in text


def test_zip_linked_halves_with_two_cut_offs_are_refused() -> None:
    pair = (WorksOrder("W1", 1000, pair="Z"), WorksOrder("W2", 2000, pair="Z"))
    assert "zip-linked halves must meet the same van" in refused(works_orders=pair)
    assert "a pair has two" in refused(works_orders=pair[:1])


def test_what_nobody_can_do_and_no_charge_can_hold_is_refused() -> None:
    heat = Operation("W1-heat", "W1", "unit", "oven", rack_units=5)
    build = replace(BUILD, skill="tuft", after=("W1-unit", "W1-border", "W1-heat"))
    text = refused(operations=(UNIT, BORDER, heat, build))
    assert "5 rack units do not fit into one charge of oven (4)" in text
    assert "1 people with the skill tuft are needed and there are 0" in text
    assert "2 people with the skill build" in refused(operations=(UNIT, BORDER, replace(BUILD, hands=2)))


def test_all_faults_come_at_once() -> None:
    text = refused(
        places=(WorkPlace("bench", "bench", 0, setup_seconds=(("wire", -1),)), WorkPlace("oven", "x")),
        people=(Person("P1", (("build", 0),), ((5, 3),)),),
        operations=(replace(UNIT, place="nowhere", earliest=-4), replace(BORDER, stream="lid", run_seconds=0), BUILD),
    )
    wanted = ("count", "setup_seconds wire", "place or oven oven", "level of build", "in order", "nowhere", "-4", "lid")
    assert [word for word in wanted if word not in text] == []


def test_codes_come_once_and_references_resolve() -> None:
    text = refused(
        works_orders=(WorksOrder("W1", 1000), WorksOrder("W1", 2000, beds=0)),
        operations=(UNIT, UNIT, replace(BUILD, works_order="W9", after=("W1-unit",))),
    )
    assert "works order W1" in text and "operation W1-unit" in text and "'W9'" in text and "beds" in text
    assert "waits for no known operation" in refused(operations=(replace(UNIT, after=("W1-lace",)), BORDER, BUILD))


def test_the_horizon_is_the_end_of_time_or_the_last_cut_off() -> None:
    assert GOOD.horizon == 5000
    assert replace(GOOD, works_orders=(WorksOrder("W1", 9000),)).horizon == 9000
