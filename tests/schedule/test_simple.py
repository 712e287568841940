"""The plain rule on small works whose right plan can be found by hand (sums beside each)."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bedwright.schedule.audit import audit
from bedwright.schedule.orders import Operation, WorksOrder
from bedwright.schedule.plan import Plan, Slip
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import Oven, Person, WorkPlace
from bedwright.schedule.rules import Rule
from bedwright.schedule.simple import simple

DAY = date(2026, 10, 19)
H = 3600
SHIFT = ((6 * H, 9 * H), (9 * H + 900, 14 * H))  # a tea break of 15 min


def works(
    operations: tuple[Operation, ...],
    people: tuple[Person, ...] = (),
    places: tuple[WorkPlace, ...] = (WorkPlace("bench", "bench"),),
    ovens: tuple[Oven, ...] = (),
    orders: tuple[WorksOrder, ...] | None = None,
) -> Problem:
    names = sorted({operation.works_order for operation in operations})
    orders = orders or tuple(WorksOrder(name, 100 * H) for name in names)
    return Problem("Europe/London", DAY, orders, operations, places, ovens, people)


def sound(problem: Problem, rule: Rule | None = None) -> tuple[Plan, dict[str, Slip]]:
    plan = simple(problem, rule)
    assert audit(problem, plan) == ()
    return plan, {slip.operation: slip for slip in plan.slips}


def hand(code: str, *skills: str, level: int = 100, working: tuple[tuple[int, int], ...] = SHIFT) -> Person:
    return Person(code, tuple((skill, level) for skill in skills), working)


def op(name: str, run: int, after: tuple[str, ...] = (), **more: object) -> Operation:
    order, _, _ = name.partition("-")
    fields: dict[str, object] = {"stream": "unit", "place": "bench", **more}
    return Operation(name, order, run_seconds=run, after=after, **fields)  # type: ignore[arg-type]


def test_work_rests_over_the_tea_break_and_goes_on_with_the_same_person() -> None:
    _, slips = sound(works((op("A-1", 4 * H),), (hand("P"),)))
    assert slips["A-1"].stretches == ((6 * H, 9 * H), (9 * H + 900, 10 * H + 900))
    assert slips["A-1"].end - slips["A-1"].start == 4 * H + 900


def test_work_that_does_not_fit_before_the_end_of_the_shift_begins_next_day() -> None:
    two_days = (*SHIFT, *((a + 24 * H, b + 24 * H) for a, b in SHIFT))
    _, slips = sound(works((op("A-1", 5 * H), op("A-2", 5 * H, ("A-1",))), (hand("P", working=two_days),)))
    assert slips["A-1"].end == 11 * H + 900
    assert slips["A-2"].start == 30 * H


def test_work_longer_than_any_shift_rests_over_the_night_and_holds_its_machine() -> None:
    two_days = (*SHIFT, *((a + 24 * H, b + 24 * H) for a, b in SHIFT))
    long, short = op("A-1", 10 * H), op("B-1", 600)
    orders = (WorksOrder("A", 40 * H), WorksOrder("B", 90 * H))
    problem = works((long, short), (hand("P", working=two_days), hand("Q", working=two_days)), orders=orders)
    _, slips = sound(problem)
    assert slips["A-1"].end == 32 * H + 900  # 7 h 45 min on the first day, 2 h 15 min on the second
    assert slips["B-1"].start == slips["A-1"].end


def test_a_starter_takes_twice_as_long_and_a_pair_of_hands_the_slower_pace() -> None:
    people = (hand("P", "tape", level=50),)
    _, slips = sound(works((op("A-1", 601, skill="tape"),), people))
    assert slips["A-1"].end - slips["A-1"].start == 1202
    people = (hand("P", "lift", level=75), hand("Q", "lift"))
    _, slips = sound(works((op("A-1", 600, skill="lift", hands=2),), people))
    assert slips["A-1"].people == ("P", "Q") and slips["A-1"].end - slips["A-1"].start == 800


def test_the_quick_person_is_chosen_and_the_one_of_many_skills_kept_free() -> None:
    people = (hand("A", "tape", "tuft"), hand("B", "tape"), hand("C", "tape", level=50))
    _, slips = sound(works((op("A-1", 600, skill="tape"),), people))
    assert slips["A-1"].people == ("B",)


def test_the_three_streams_meet_and_their_waits_hold_the_build() -> None:
    operations = (
        op("A-unit", 600),
        op("A-panels", 300, stream="panels", wait_seconds=4 * H),
        op("A-border", 300, stream="border", earliest=7 * H),
        op("A-build", 600, ("A-unit", "A-panels", "A-border"), stream="meet"),
    )
    places = (WorkPlace("bench", "bench", 3),)
    plan, slips = sound(works(operations, (hand("P"), hand("Q"), hand("R")), places))
    assert slips["A-border"].start == 7 * H
    assert slips["A-build"].start == 6 * H + 300 + 4 * H
    assert plan.finishes[0].finish == slips["A-build"].end


def test_an_oven_charge_counts_from_unit_temperature_and_the_units_cool_but_the_oven_does_not() -> None:
    oven = Oven("oven", 4, warm_up_seconds=900, cooling_seconds=1800)
    names = ("A", "B", "C")
    operations = tuple(op(f"{n}-heat", 0, place="oven", rack_units=2) for n in names)
    operations += tuple(op(f"{n}-clip", 60, (f"{n}-heat",)) for n in names)
    places = (WorkPlace("bench", "bench", 3, needs_person=False),)
    plan, slips = sound(works(operations, (), places, (oven,)))
    first, second = plan.charges
    assert first.operations == ("A-heat", "B-heat") and first.units == 4
    assert (first.start, first.hot, first.end) == (0, 900, 900 + 45 * 60)
    assert second.start == first.end  # the oven goes on at once
    assert slips["A-clip"].start == first.end + 1800  # the unit cools


def test_an_oven_waits_for_a_fuller_charge_but_not_for_ever() -> None:
    oven = Oven("oven", 4, warm_up_seconds=900)
    late = op("B-heat", 0, place="oven", rack_units=2, earliest=1000)
    operations = (op("A-heat", 0, place="oven", rack_units=2), late)
    patient = Rule("patient", fill_percent=100, oven_wait_seconds=H)
    plan, _ = sound(works(operations, ovens=(oven,)), patient)
    assert [charge.start for charge in plan.charges] == [1000]
    operations = (operations[0], replace(late, earliest=2 * H))
    plan, _ = sound(works(operations, ovens=(oven,)), patient)
    assert [charge.start for charge in plan.charges] == [H, H + 900 + 45 * 60]


def test_a_charge_comes_out_while_somebody_is_there() -> None:
    oven = Oven("oven", 4, warm_up_seconds=900, working=SHIFT)
    heat = op("A-heat", 0, place="oven", rack_units=2, earliest=8 * H + 300)  # would come out in the tea break
    plan, _ = sound(works((heat,), ovens=(oven,)), Rule("at once", fill_percent=1, oven_wait_seconds=0))
    assert plan.charges[0].end == 9 * H + 901
    late = replace(heat, earliest=13 * H + 1)  # no full hour is left
    plan = simple(works((late,), ovens=(oven,)))
    assert plan.unplaced[0][0] == "A-heat" and plan.charges == ()


def test_two_heats_never_share_a_charge() -> None:
    oven = Oven("oven", 4, warm_up_seconds=0)
    operations = tuple(
        op(f"{n}-heat", 0, place="oven", rack_units=1, setup_keys=(("heat", h),)) for n, h in (("A", "1"), ("B", "2"))
    )
    plan, _ = sound(works(operations, ovens=(oven,)))
    assert [charge.operations for charge in plan.charges] == [("A-heat",), ("B-heat",)]


def test_set_ups_are_charged_by_change_and_the_window_saves_them() -> None:
    places = (WorkPlace("quilter", "quilter", 1, False, (("ticking", 720), ("needle", 5400)), (("needle", "fine"),)),)
    keys = {"A": "blue", "B": "grey", "C": "blue"}
    operations = tuple(
        op(f"{n}-quilt", 600, place="quilter", setup_keys=(("ticking", t), ("needle", "fine"))) for n, t in keys.items()
    )
    orders = tuple(WorksOrder(n, (50 + i) * H) for i, n in enumerate(keys))
    plan, _ = sound(works(operations, (), places, orders=orders))
    assert [slip.operation for slip in plan.slips] == ["A-quilt", "B-quilt", "C-quilt"]
    assert plan.objective.setup_seconds == 3 * 720
    plan, _ = sound(works(operations, (), places, orders=orders), Rule("window", setup_window=5 * H))
    assert [slip.operation for slip in plan.slips] == ["A-quilt", "C-quilt", "B-quilt"]
    assert plan.objective.setup_seconds == 2 * 720


def test_one_person_is_not_at_two_machines() -> None:
    places = (WorkPlace("bench", "bench", 2),)
    _, slips = sound(works((op("A-1", 600), op("B-1", 600)), (hand("P"),), places))
    assert slips["B-1"].start == slips["A-1"].end


def test_an_absent_person_does_nothing_until_they_are_back() -> None:
    away = replace(hand("P"), absence=((0, 8 * H),))
    _, slips = sound(works((op("A-1", 600),), (away,)))
    assert slips["A-1"].start == 8 * H


def test_zip_linked_halves_miss_the_van_together() -> None:
    orders = (WorksOrder("A", 8 * H, beds=1, pair="Z"), WorksOrder("B", 8 * H, beds=1, pair="Z"))
    plan, _ = sound(works((op("A-1", 600), op("B-1", 600, earliest=9 * H + 900)), (hand("P"),), orders=orders))
    assert plan.late == ("A", "B") and plan.objective.beds_missing == 2
    assert plan.bound.beds_missing == 2 and plan.how_sure.startswith("proven")


def test_a_calendar_that_ends_too_soon_still_gives_a_plan_that_says_so() -> None:
    plan, _ = sound(works((op("A-1", 5 * H), op("A-2", 5 * H, ("A-1",)), op("A-3", 1, ("A-2",))), (hand("P"),)))
    assert dict(plan.unplaced).keys() == {"A-2", "A-3"}
    assert plan.finishes[0].finish is None and plan.late == ("A",)


def test_overtime_is_used_only_where_the_rule_may() -> None:
    person = replace(hand("P"), overtime=((14 * H, 16 * H),))
    problem = works((op("A-1", 7 * H), op("A-2", H, ("A-1",))), (person,))
    assert len(simple(problem).unplaced) == 1
    plan, slips = sound(problem, Rule("overtime", overtime=True))
    assert slips["A-2"].end == 14 * H + 900 and plan.objective.overtime_seconds == 900


def test_the_order_in_which_things_are_listed_does_not_matter() -> None:
    operations = tuple(op(f"{n}-{k}", 300 + 60 * k, (f"{n}-{k - 1}",) if k else ()) for n in "ABCD" for k in range(4))
    people = (hand("P"), hand("Q"))
    places = (WorkPlace("bench", "bench", 2),)
    orders = tuple(WorksOrder(n, 20 * H) for n in "ABCD")
    one = simple(works(operations, people, places, orders=orders))
    other = simple(works(operations[::-1], people[::-1], places, orders=orders[::-1]))
    assert one.slips == other.slips and one.finishes == other.finishes


def test_a_bound_by_hours_says_how_many_beds_cannot_go() -> None:
    operations = tuple(op(f"{n}-tuft", 2 * H, skill="tuft") for n in "ABCDE")
    orders = tuple(WorksOrder(n, 14 * H, beds=1) for n in "ABCDE")
    plan, _ = sound(works(operations, (hand("P", "tuft"), hand("Q")), (WorkPlace("bench", "bench", 2),), orders=orders))
    # 10 h of work, 7 h 45 min of one tufter: at least 2 h 15 min over, so two works orders of 2 h
    assert plan.bound.beds_missing == 2 and plan.objective.beds_missing == 2
    assert "tuft: 10.0 h of work" in plan.bound.limits[0] and "7.8 h" in plan.bound.limits[0]


@pytest.mark.parametrize("by", ["cut-off", "slack"])
def test_the_earlier_van_goes_first(by: str) -> None:
    orders = (WorksOrder("A", 50 * H), WorksOrder("B", 40 * H), WorksOrder("C", 40 * H, priority=1))
    plan, _ = sound(works((op("A-1", 60), op("B-1", 60), op("C-1", 60)), (hand("P"),), orders=orders), Rule("r", by=by))
    assert [slip.operation for slip in plan.slips] == ["C-1", "B-1", "A-1"]
