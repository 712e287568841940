"""Why late: the wait that dominates is named, with its place; nothing is claimed beyond this plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bedwright.schedule.orders import Operation, WorksOrder
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import Oven, Person, WorkPlace
from bedwright.schedule.simple import simple
from bedwright.schedule.why_late import late_reasons, spoken

H = 3600
DAY = date(2026, 10, 19)


def problem(
    *operations: Operation, due: int, people: int = 1, machines: int = 1, ovens: tuple[Oven, ...] = ()
) -> Problem:
    crew = tuple(Person(f"P{i}", (("tape", 100),), ((6 * H, 14 * H),)) for i in range(people))
    names = sorted({operation.works_order for operation in operations})
    orders = tuple(WorksOrder(name, due + i) for i, name in enumerate(names))
    return Problem("Europe/London", DAY, orders, operations, (WorkPlace("t", "t", machines),), ovens, crew)


def tape(name: str, **more: int) -> Operation:
    return Operation(f"{name}-tape", name, "meet", "t", "tape", 3 * H, **more)


def reason(question: Problem) -> tuple[str, tuple[tuple[str, str, int], ...]]:
    last = late_reasons(question, simple(question))[-1]
    return last.words, last.parts


def test_a_queue_at_the_machine() -> None:
    words, parts = reason(problem(tape("A"), tape("B"), due=10 * H, people=2))
    assert ("machines in use", "t", 3 * H) in parts and ("nobody at work", "tape", 6 * H) in parts
    assert "waited 3 h at t while every machine there was in use" in words and words.startswith("as far as")


def test_people_at_other_work() -> None:
    words, parts = reason(problem(tape("A"), tape("B"), due=10 * H, machines=2))
    assert ("people in use", "tape", 3 * H) in parts
    assert "waited 3 h for people for tape" in words


def test_material_that_comes_late_and_a_cut_off_too_near() -> None:
    words, parts = reason(problem(tape("A", earliest=8 * H), due=10 * H))
    assert parts[0] == ("material date", "t", 8 * H)
    assert words.startswith("the cut-off is too near: even alone it would not be ready before Mon 19 Oct 11:00")
    assert "until its first day" in words


def test_the_oven() -> None:
    heat = Operation("A-heat", "A", "unit", "oven", rack_units=1)
    again = replace(heat, id="B-heat", works_order="B")
    question = problem(heat, again, due=H, ovens=(Oven("oven", 1, 900),))
    words, parts = reason(question)
    assert parts == (("oven", "oven", 2 * H),)
    assert "spent 2 h waiting for and in the oven" in words


def test_the_other_half_and_what_is_not_in_the_plan() -> None:
    question = problem(tape("A"), tape("B"), tape("C"), due=10 * H)
    pair = tuple(replace(o, pair="Z" if o.id in "AB" else "", due=10 * H) for o in question.works_orders)
    question = replace(question, works_orders=pair)
    reasons = late_reasons(question, simple(question))
    assert reasons[0].words == "ready in time, but its other half B is not"
    assert reasons[2].words.startswith("not in the plan: C-tape")


def test_nothing_late_nothing_said_and_time_as_it_is_spoken() -> None:
    question = problem(tape("A"), due=12 * H)
    assert late_reasons(question, simple(question)) == ()
    assert [spoken(s) for s in (61, H, 5 * H + 1200, 24 * H, 27 * H)] == [
        "2 min",
        "1 h",
        "5 h 20 min",
        "1 d",
        "1 d 3 h",
    ]
