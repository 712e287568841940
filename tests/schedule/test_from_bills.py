"""From make list, bills and cards to a problem that can be planned and whose plan passes the audit."""

from __future__ import annotations

from datetime import date
from typing import Any

from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill
from bedwright.design.buildup import bed_at_size
from bedwright.schedule.audit import audit
from bedwright.schedule.from_bills import OUTSIDE, plan_problem
from bedwright.schedule.problem import Problem
from bedwright.schedule.solve import solve
from bedwright.works.beds import Bed
from bedwright.works.card import Card
from bedwright.works.making import Route, WorkPlace
from bedwright.works.runs import Run, runs_to_make
from bedwright.works.trading import Order
from bedwright.works.works import Works


def runs_of(works: Works) -> tuple[Run, ...]:
    return runs_to_make(works, works.about.as_of)


def problem_of(works: Works) -> Problem:
    def bill(bed: str, size: str) -> Bill:
        return make_bill(works, bed_at_size(works, works.beds[bed], works.sizes[size]))

    return plan_problem(works, bill, runs_of(works), works.about.as_of)


def changed(works: Works, card: Card, **values: Any) -> Works:
    new = type(card).model_validate({**card.model_dump(), **values})
    kept = [one for one in works.all_cards() if one is not card]
    return Works.of(works.about, [*kept, new])


def test_plan_of_the_small_works_passes_the_audit(small_works: Works) -> None:
    problem = problem_of(small_works)
    plan = solve(problem)
    assert audit(problem, plan) == ()
    assert plan.unplaced == ()
    assert {finish.works_order for finish in plan.finishes} == {run.id for run in runs_of(small_works)}


def test_run_seconds_and_due(small_works: Works) -> None:
    problem = problem_of(small_works)
    runs = {run.id: run for run in runs_of(small_works)}
    snipe = next(run for run in runs.values() if run.bed == "SNIPE")
    order = next(order for order in problem.works_orders if order.id == snipe.id)
    assert order.due == problem.clock.second(date(2026, 3, 9), 14 * 60)
    coil = next(one for one in problem.operations if one.id == f"{snipe.id}-10")
    assert coil.run_seconds == round((0.5 + 0.017 * 312) * 2 * 60)
    assert coil.setup_keys == (("wire", "W22"),)
    flip = next(one for one in problem.operations if one.id == f"{snipe.id}-52")
    assert flip.hands == 2


def test_oven_holds_what_its_racks_hold(small_works: Works) -> None:
    oven = small_works.work_places["OVEN"]
    works = changed(small_works, oven, rack_units=1)
    problem = problem_of(works)
    charges = [one for one in problem.operations if one.place == "OVEN"]
    assert [(one.id.removeprefix(one.works_order), one.rack_units, one.run_seconds) for one in charges] == [
        ("-12-1", 1, 0),
        ("-12-2", 1, 0),
    ]
    rod = next(one for one in problem.operations if one.id.endswith("-13") and "-12-" in one.after[0])
    assert set(rod.after) == {one.id for one in charges}
    assert charges[0].wait_seconds == 30 * 60
    plan = solve(problem)
    assert audit(problem, plan) == () and len(plan.charges) == 2


def test_work_done_outside_is_a_wait(small_works: Works) -> None:
    route = small_works.routes["R-OPEN"]
    steps = tuple(
        {**step.model_dump(), "subcontracted": step.operation in ("quilt deep panels", "lace"), "wait_minutes": 600.0}
        if step.operation in ("quilt deep panels", "lace")
        else step.model_dump()
        for step in route.ordered()
    )
    kept = [one for one in small_works.all_cards() if one is not route]
    works = Works.of(small_works.about, [*kept, Route.make(code="R-OPEN", steps=steps)])
    problem = problem_of(works)
    snipe = next(run for run in runs_of(works) if run.bed == "SNIPE")
    own = [one for one in problem.operations if one.works_order == snipe.id]
    outside = [one for one in own if one.place == OUTSIDE]
    assert {one.words for one in outside} == {"quilt deep panels", "lace"}
    assert all((one.skill, one.run_seconds, one.wait_seconds) == (None, 1, 36_000) for one in outside)
    plan = solve(problem)
    assert audit(problem, plan) == () and plan.unplaced == ()
    start = {slip.operation: slip.start for slip in plan.slips}
    assert start[f"{snipe.id}-32"] >= start[f"{snipe.id}-31"] + 36_000


def test_machine_that_needs_nobody(small_works: Works) -> None:
    places = {place.code: place for place in problem_of(small_works).places}
    assert all(place.needs_person for place in places.values())
    assert places["COILER"].setup_seconds == (("coil height", 7200), ("wire", 1800))
    assert "OVEN" not in places


def test_absence_and_shift_come_from_the_crew_cards(small_works: Works) -> None:
    problem = problem_of(small_works)
    person = next(one for one in problem.people if one.code == "P7")
    clock = problem.clock
    assert person.absence == ((clock.second(date(2026, 3, 4)), clock.second(date(2026, 3, 5))),)
    assert person.working[:2] == (
        (clock.second(date(2026, 3, 2), 360), clock.second(date(2026, 3, 2), 600)),
        (clock.second(date(2026, 3, 2), 630), clock.second(date(2026, 3, 2), 840)),
    )


def test_same_cards_same_problem_whatever_their_order(small_works: Works) -> None:
    backwards = Works.of(small_works.about, list(small_works.all_cards())[::-1])
    assert problem_of(backwards) == problem_of(small_works)


def test_unknown_place_is_told_by_the_oven_card(small_works: Works) -> None:
    works = changed(small_works, small_works.work_places["OVEN"], form="bench")
    assert isinstance(works.work_places["OVEN"], WorkPlace)
    problem = problem_of(works)
    assert problem.ovens == () and any(place.code == "OVEN" for place in problem.places)


def test_days_away_that_touch_are_one_stretch(small_works: Works) -> None:
    away = (
        {"position": 1, "first_day": date(2026, 3, 5), "last_day": date(2026, 3, 6)},
        {"position": 2, "first_day": date(2026, 3, 4), "last_day": date(2026, 3, 4)},
    )
    problem = problem_of(changed(small_works, small_works.crew["P7"], absence=away))
    person = next(one for one in problem.people if one.code == "P7")
    assert person.absence == ((problem.clock.second(date(2026, 3, 4)), problem.clock.second(date(2026, 3, 7))),)


def test_all_runs_of_a_linked_pair_meet_one_van(small_works: Works) -> None:
    pair = {**small_works.beds["KNOT"].model_dump(), "code": "PAIR", "pair": "zip-linked", "pair_zip": "ZIPPER"}
    rows = tuple({"position": i, "bed": "PAIR", "size": "90", "quantity": beds} for i, beds in ((1, 10), (2, 2)))
    order = Order.make(
        code="P-1", customer="QUIET", ordered=date(2026, 2, 20), due=date(2026, 3, 12), van_round="NORTH", lines=rows
    )
    cards = [card for card in small_works.all_cards() if card.KIND != "order"]
    problem = problem_of(Works.of(small_works.about, [*cards, Bed.make(**pair), order]))
    first = [one for one in problem.works_orders if one.pair]
    assert [one.beds for one in first] == [6, 4] and len({(one.pair, one.van_round, one.due) for one in first}) == 1
    assert all(one.beds % 2 == 0 for one in problem.works_orders), "halves are made in one run, never one without one"
    plan = solve(problem)
    assert audit(problem, plan) == ()
    missing = {finish.works_order for finish in plan.finishes if not finish.makes_van}
    assert {one.id for one in first} <= missing or not missing & {one.id for one in first}
