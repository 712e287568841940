"""The audit names the broken rule for every kind of tampering, and finds nothing where there is nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from bedwright.schedule.audit import audit
from bedwright.schedule.plan import Bound, Plan, Slip
from bedwright.schedule.problem import Problem
from bedwright.schedule.solve import solve

H = 3600


def with_slip(plan: Plan, name: str, **changes: object) -> Plan:
    slips = tuple(replace(s, **changes) if s.operation == name else s for s in plan.slips)  # type: ignore[arg-type]
    return replace(plan, slips=slips)


def moved(plan: Plan, name: str, by: int) -> Plan:
    slip = slip_of(plan, name)
    stretches = tuple((a + by, b + by) for a, b in slip.stretches)
    times = {"setup_start": slip.setup_start + by, "start": slip.start + by, "end": slip.end + by}
    return with_slip(plan, name, stretches=stretches, **times)


def slip_of(plan: Plan, name: str) -> Slip:
    return next(slip for slip in plan.slips if slip.operation == name)


def with_charge(plan: Plan, **changes: object) -> Plan:
    return replace(plan, charges=(replace(plan.charges[0], **changes), *plan.charges[1:]))  # type: ignore[arg-type]


def with_finish(plan: Plan, **changes: object) -> Plan:
    return replace(plan, finishes=(replace(plan.finishes[0], **changes), *plan.finishes[1:]))  # type: ignore[arg-type]


def clash(plan: Plan, slips: list[Slip]) -> Plan:
    return moved(plan, slips[1].operation, slips[0].setup_start - slips[1].setup_start)


def first(plan: Plan, tail: str) -> str:
    return next(slip.operation for slip in plan.slips if slip.operation.endswith(tail))


CASES: dict[str, tuple[str, Callable[[Plan], Plan]]] = {
    "an operation left out": ("once", lambda p: replace(p, slips=p.slips[1:])),
    "an operation twice": ("once", lambda p: replace(p, slips=(*p.slips, p.slips[0]))),
    "an unknown operation": ("once", lambda p: with_slip(p, "W1-tape", operation="W9-tape")),
    "another place": ("place", lambda p: with_slip(p, "W1-tape", place="bench")),
    "a machine that is not there": ("machine", lambda p: with_slip(p, "W1-tape", index=1)),
    "a person without the skill": ("skill", lambda p: with_slip(p, "W1-tape", people=("A",))),
    "nobody at it": ("hands", lambda p: with_slip(p, "W1-tape", people=())),
    "one pair of hands for two": ("hands", lambda p: with_slip(p, "W2-build", people=("C",))),
    "before the material": ("material date", lambda p: moved(p, first(p, "border"), -900)),
    "build before the panels relaxed": ("wait", lambda p: moved(p, first(p, "build"), -H)),
    "build before the set": ("set complete", lambda p: moved(p, first(p, "build"), -H)),
    "work at night": ("shift", lambda p: moved(p, "W4-tape", 12 * H)),
    "work while absent": ("absence", lambda p: with_slip(p, first(p, "border"), people=("D",))),
    "quilting while the place is shut": ("place hours", lambda p: moved(p, "W4-quilt", 12 * H)),
    "a set-up forgotten": ("set-up", lambda p: with_slip(p, first(p, "quilt"), start=p.slips[0].setup_start)),
    "two at one machine": ("machine in use", lambda p: clash(p, [s for s in p.slips if s.place == "quilter"])),
    "a person at two places": ("person in use", lambda p: clash(p, [s for s in p.slips if "B" in s.people])),
    "times that do not fit": ("times", lambda p: with_slip(p, "W1-tape", end=slip_of(p, "W1-tape").end + 60)),
    "a charge without a slip": ("charge", lambda p: with_slip(p, p.charges[0].operations[0], charge=7)),
    "a slip at another time than its charge": ("common start", lambda p: moved(p, p.charges[0].operations[0], 60)),
    "too short at heat": ("time at heat", lambda p: with_charge(p, end=p.charges[0].end - 60)),
    "heat counted from the door": ("unit temperature", lambda p: with_charge(p, hot=p.charges[0].start)),
    "units not stated right": ("capacity", lambda p: with_charge(p, units=1)),
    "an oven that is not there": ("charge", lambda p: with_charge(p, oven="kiln")),
    "a charge taken out at night": ("oven hours", lambda p: with_charge(p, start=22 * H, hot=22 * H + 900, end=23 * H)),
    "a finish stated too early": ("due", lambda p: with_finish(p, finish=60)),
    "lateness left out": ("due", lambda p: with_finish(p, seconds_late=999)),
    "a cut-off moved": ("due", lambda p: with_finish(p, due=p.finishes[0].due + 60)),
    "a works order forgotten": ("finishes", lambda p: replace(p, finishes=p.finishes[1:])),
    "an objective improved": ("objective", lambda p: replace(p, objective=p.objective._replace(setup_seconds=0))),
    "a bound above the plan": ("bound", lambda p: replace(p, bound=Bound(99, 0, 0, (), ()))),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_tampering_is_named(small: Problem, case: str) -> None:
    plan = solve(small, budget=2)
    assert audit(small, plan) == ()
    rule, tamper = CASES[case]
    assert rule in {fault.field for fault in audit(small, tamper(plan))}


def test_too_many_rack_units_in_one_charge(small: Problem) -> None:
    plan = solve(small, budget=2)
    names = tuple(name for charge in plan.charges for name in charge.operations)
    crowd = replace(plan.charges[0], operations=names, units=sum(charge.units for charge in plan.charges))
    assert crowd.units == 8
    assert "capacity" in {fault.field for fault in audit(small, replace(plan, charges=(crowd,)))}


def test_a_rest_over_night_is_only_for_work_longer_than_a_shift(small: Problem) -> None:
    plan = solve(small, budget=2)
    slip = slip_of(plan, "W4-tape")
    pieces = ((slip.end - 600, slip.end), (slip.end + 24 * H, slip.end + 24 * H + slip.end - slip.start - 600))
    torn = with_slip(plan, "W4-tape", setup_start=pieces[0][0], start=pieces[0][0], end=pieces[1][1], stretches=pieces)
    assert "rest" in {fault.field for fault in audit(small, torn)}


def test_the_faults_are_sentences_with_the_value(small: Problem) -> None:
    plan = with_slip(solve(small, budget=2), "W1-tape", people=("A",))
    assert "W1-tape" in str(audit(small, plan)[0]) and "A" in str(audit(small, plan)[0])
