"""The door: a counted budget, the best of the passes, the same plan for the same question."""

from __future__ import annotations

import pytest

from bedwright.schedule.audit import audit
from bedwright.schedule.problem import Problem
from bedwright.schedule.rules import Rule
from bedwright.schedule.simple import simple, walk
from bedwright.schedule.solve import RULES, solve


def test_the_best_pass_is_kept_and_the_work_is_counted(crowded: Problem) -> None:
    seen: list[tuple[int, int]] = []
    plan = solve(crowded, progress=lambda done, of: seen.append((done, of)))
    assert audit(crowded, plan) == ()
    assert seen == [(i + 1, len(RULES)) for i in range(len(RULES))]
    assert plan.passes == len(RULES) and plan.operations_placed == len(RULES) * len(crowded.operations)
    assert plan.objective <= min(walk(crowded, rule).objective for rule in RULES[:1])
    assert plan.why_stopped == "the budget of passes was used"


def test_same_question_same_plan_and_more_passes_are_never_worse(crowded: Problem) -> None:
    one, again, longer = solve(crowded, 9, seed=5), solve(crowded, 9, seed=5), solve(crowded, 14, seed=5)
    assert one == again
    assert longer.objective <= one.objective
    assert audit(crowded, longer) == ()


def test_bound_gap_and_lateness_are_said(crowded: Problem) -> None:
    plan = solve(crowded)
    assert plan.late == ("W1", "W2", "W3", "W4") and plan.gap == 0
    assert plan.how_sure.startswith("proven") and len(plan.bound.cannot) == 4
    assert plan.bound.seconds_late <= plan.objective.seconds_late


def test_overtime_is_tried_where_beds_miss_their_van(small: Problem) -> None:
    plan = solve(small, budget=12)
    assert plan.objective <= simple(small).objective
    assert audit(small, simple(small, Rule("overtime", overtime=True))) == ()


def test_a_budget_of_nothing_is_refused(small: Problem) -> None:
    with pytest.raises(ValueError, match="budget of 0"):
        solve(small, budget=0)


def test_weeks_of_beds_through_one_oven_are_planned_soundly(weeks: Problem) -> None:
    plan = solve(weeks, budget=2)
    assert audit(weeks, plan) == ()
    assert plan.unplaced == () and len(plan.slips) == 2100
    assert sum(charge.units for charge in plan.charges) == sum(o.rack_units for o in weeks.operations)
    assert max(len(charge.operations) for charge in plan.charges) > 1
    assert plan.bound.beds_missing <= plan.objective.beds_missing
