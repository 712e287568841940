"""Random small works: every plan of the rule is sound, never better than its bound, and corruptions are named."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bedwright.schedule.audit import audit
from bedwright.schedule.orders import Operation, WorksOrder
from bedwright.schedule.plan import Plan, Slip
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import Oven, Person, WorkPlace
from bedwright.schedule.rows import day_rows
from bedwright.schedule.rules import Rule
from bedwright.schedule.simple import simple
from bedwright.schedule.spans import clipped, merged, without
from bedwright.schedule.why_late import late_reasons

H = 3600
SKILLS = ("coil", "build", "tape")


def hours(rng: random.Random) -> tuple[tuple[int, int], ...]:
    """A few days of one shift with a break, or two ragged stretches a day."""
    start = rng.randrange(0, 16 * H, 60)
    rest = start + rng.randrange(600, 5 * H, 60)
    day = ((start, rest), (rest + rng.choice((300, 900, 2 * H)), start + 8 * H))
    return merged((d * 24 * H + a, d * 24 * H + b) for d in range(rng.randint(2, 4)) for a, b in day)


def crew(rng: random.Random) -> Iterator[Person]:
    for skill in SKILLS:  # two for each, so that hands of two can be had
        yield Person(f"{skill} 1", ((skill, 100),), hours(rng))
        others = {skill: rng.choice((50, 75, 100)), rng.choice(SKILLS): rng.choice((33, 50, 100))}
        working = hours(rng)
        extra = without(((0, 30 * H),), working)
        away = ((20 * H, 20 * H + rng.randrange(1, 30 * H)),) if rng.random() < 0.4 else ()
        yield Person(f"{skill} 2", tuple(sorted(others.items())), working, away, clipped(extra, 18 * H, 26 * H))


def bed(rng: random.Random, name: str) -> Iterator[Operation]:
    def op(tail: str, stream: str, place: str, skill: str | None, *after: str, **more: object) -> Operation:
        oven = place == "oven"
        run = 0 if oven else rng.choice((60, 601, 1800, rng.randint(1, 12 * H)))
        names = tuple(f"{name}-{other}" for other in after)
        wait = rng.choice((0, 0, 600, 4 * H))
        early = rng.choice((0, 0, rng.randrange(30 * H)))
        return Operation(
            f"{name}-{tail}", name, stream, place, skill, run,
            after=names, wait_seconds=wait, earliest=early, rack_units=rng.randint(1, 4) if oven else 0, **more,
        )  # type: ignore[arg-type]  # fmt: skip

    keys = (("wire", rng.choice("ab")), ("height", rng.choice("xy")))
    ends = []
    if rng.random() < 0.8:
        yield op("coil", "unit", "coiler", "coil", setup_keys=keys)
        yield op("heat", "unit", "oven", None, "coil", setup_keys=(("heat", rng.choice("1112")),))
        ends.append("heat")
    if rng.random() < 0.8:
        yield op("quilt", "panels", "quilter", None, setup_keys=(("ticking", rng.choice("pq")),))
        ends.append("quilt")
    if rng.random() < 0.8:
        yield op("border", "border", "bench", rng.choice((None, "build")))
        ends.append("border")
    yield op("build", "meet", "bench", "build", *ends, hands=rng.choice((1, 1, 2)))
    yield op("tape", "meet", "tape edge", "tape", "build", setup_keys=(("colour", rng.choice("gh")),))


def works(seed: int, beds: int) -> Problem:
    rng = random.Random(seed)
    names = [f"W{i}" for i in range(beds)]
    paired = beds > 1 and rng.random() < 0.5
    due = rng.randrange(80 * H)
    orders = tuple(
        WorksOrder(
            name,
            due if paired and i < 2 else rng.randrange(80 * H),
            beds=rng.randint(1, 4),
            pair="Z" if paired and i < 2 else "",
        )
        for i, name in enumerate(names)
    )
    opening = hours(rng)
    places = (
        WorkPlace("coiler", "coiler", 1, True, (("wire", 600), ("height", 2400)), (("wire", "a"),)),
        WorkPlace("quilter", "quilter", 1, False, (("ticking", 720),), working=opening if rng.random() < 0.5 else ()),
        WorkPlace("bench", "bench", rng.randint(1, 2)),
        WorkPlace("tape edge", "tape", 1, True, (("colour", 120),), working=opening if rng.random() < 0.3 else ()),
    )
    oven = Oven("oven", 4, rng.randrange(0, 1800), 2700, rng.choice((0, 1800)), rng.randint(1, 2))
    oven = replace(oven, working=opening if rng.random() < 0.5 else ())
    operations = tuple(operation for name in names for operation in bed(rng, name))
    pause = rng.choice((0, 600, 3600))
    return Problem("Europe/London", date(2026, 10, 23), orders, operations, places, (oven,), tuple(crew(rng)), pause)


rules = st.builds(
    Rule,
    name=st.just("any"),
    by=st.sampled_from(["cut-off", "slack"]),
    setup_window=st.sampled_from([0, 20 * H]),
    fill_percent=st.sampled_from([1, 60, 100]),
    oven_wait_seconds=st.sampled_from([0, 1800, 10 * H]),
    overtime=st.booleans(),
    shake_seconds=st.sampled_from([0, H]),
)


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(seed=st.integers(0, 10**9), beds=st.integers(1, 6), rule=rules)
def test_every_plan_is_sound_and_not_better_than_its_bound(seed: int, beds: int, rule: Rule) -> None:
    problem = works(seed, beds)
    plan = simple(problem, rule)
    assert audit(problem, plan) == ()
    assert plan.bound.beds_missing <= plan.objective.beds_missing
    assert plan.bound.seconds_late <= plan.objective.seconds_late
    assert plan.unplaced or plan.bound.last_finish <= plan.objective.last_finish
    assert {name for name, _ in plan.bound.cannot} <= set(plan.late)
    assert tuple(reason.works_order for reason in late_reasons(problem, plan)) == plan.late
    assert {row.operation for row in day_rows(problem, plan)} == {slip.operation for slip in plan.slips}


def changed(plan: Plan, at: int, **values: object) -> Plan:
    slips = list(plan.slips)
    slips[at] = replace(slips[at], **values)  # type: ignore[arg-type]
    return replace(plan, slips=tuple(slips))


def shifted(plan: Plan, at: int, by: int) -> Plan:
    slip = plan.slips[at]
    stretches = tuple((a + by, b + by) for a, b in slip.stretches)
    times = {"setup_start": slip.setup_start + by, "start": slip.start + by, "end": slip.end + by}
    return changed(plan, at, stretches=stretches, **times)


Corruption = Callable[[Problem, Plan, random.Random], Plan | None]


def one_time(problem: Problem, plan: Plan, rng: random.Random) -> Plan:
    at, field = rng.randrange(len(plan.slips)), rng.choice(("setup_start", "start", "end"))
    return changed(plan, at, **{field: getattr(plan.slips[at], field) + rng.choice((-1, 1)) * rng.randint(1, 5000)})


def one_stretch(problem: Problem, plan: Plan, rng: random.Random) -> Plan:
    at = rng.randrange(len(plan.slips))
    a, b = plan.slips[at].stretches[-1]
    return changed(plan, at, stretches=(*plan.slips[at].stretches[:-1], (a, b + rng.randint(1, 900))))


def before_its_turn(problem: Problem, plan: Plan, rng: random.Random) -> Plan | None:
    after = {operation.id: operation.after for operation in problem.operations}
    ends = {slip.operation: slip.end for slip in plan.slips}
    late = [i for i, slip in enumerate(plan.slips) if after[slip.operation] and slip.charge < 0]
    if not late:
        return None
    at = rng.choice(late)
    bar = min(ends[name] for name in after[plan.slips[at].operation])
    return shifted(plan, at, bar - rng.randint(1, 500) - plan.slips[at].start)


def at_the_same_machine(problem: Problem, plan: Plan, rng: random.Random) -> Plan | None:
    def both(one: Slip, two: Slip) -> bool:
        return (one.place, one.index) == (two.place, two.index) and one.charge < 0 and one is not two

    pairs = [(i, j) for i, s in enumerate(plan.slips) for j, t in enumerate(plan.slips) if both(s, t)]
    if not pairs:
        return None
    i, j = rng.choice(pairs)
    return shifted(plan, i, plan.slips[j].start - plan.slips[i].start)


def other_people(problem: Problem, plan: Plan, rng: random.Random) -> Plan | None:
    skill = {operation.id: operation.skill for operation in problem.operations}
    manned = [i for i, slip in enumerate(plan.slips) if slip.people and skill[slip.operation]]
    if not manned:
        return None
    at = rng.choice(manned)
    slip = plan.slips[at]
    wrong = [p.code for p in problem.people if p.level(skill[slip.operation]) == 0]
    people = rng.choice(((), (*slip.people, slip.people[0]), (rng.choice(wrong), *slip.people[1:])))
    return changed(plan, at, people=people)


def lost_or_doubled(problem: Problem, plan: Plan, rng: random.Random) -> Plan:
    at = rng.randrange(len(plan.slips))
    twice = (*plan.slips, plan.slips[at])
    return replace(plan, slips=rng.choice((plan.slips[:at] + plan.slips[at + 1 :], twice)))


def elsewhere(problem: Problem, plan: Plan, rng: random.Random) -> Plan:
    at = rng.randrange(len(plan.slips))
    places = [place.code for place in problem.places if place.code != plan.slips[at].place]
    return changed(plan, at, **rng.choice(({"place": rng.choice(places)}, {"index": rng.choice((-1, 2, 9))})))


def a_charge(problem: Problem, plan: Plan, rng: random.Random) -> Plan | None:
    if not plan.charges:
        return None
    at = rng.randrange(len(plan.charges))
    charge = plan.charges[at]
    field = rng.choice(("start", "hot", "end", "units", "number", "index", "operations"))
    value = charge.operations[1:] if field == "operations" else getattr(charge, field) + rng.choice((-1, 1)) * 7
    charges = list(plan.charges)
    charges[at] = replace(charge, **{field: value})
    return replace(plan, charges=tuple(charges))


def a_statement(problem: Problem, plan: Plan, rng: random.Random) -> Plan:
    if rng.random() < 0.4:
        field = rng.choice(plan.objective._fields)
        return replace(plan, objective=plan.objective._replace(**{field: getattr(plan.objective, field) + 1}))
    at = rng.randrange(len(plan.finishes))
    finish = plan.finishes[at]
    fields = {
        "due": finish.due + 1,
        "finish": 0 if finish.finish is None else finish.finish - 1,
        "seconds_late": finish.seconds_late + 1,
        "makes_van": not finish.makes_van,
    }
    field = rng.choice(sorted(fields))
    finishes = list(plan.finishes)
    finishes[at] = replace(finish, **{field: fields[field]})  # type: ignore[arg-type]
    return replace(plan, finishes=tuple(finishes))


CORRUPTIONS: tuple[Corruption, ...] = (
    one_time, one_stretch, before_its_turn, at_the_same_machine, other_people, lost_or_doubled, elsewhere, a_charge,
    a_statement,
)  # fmt: skip


@pytest.mark.parametrize("corrupt", CORRUPTIONS, ids=lambda f: f.__name__)
def test_at_least_95_in_100_corruptions_are_named(corrupt: Corruption) -> None:
    rng = random.Random(20261019)
    tried = named = 0
    for seed in range(60):
        problem = works(seed, 1 + seed % 5)
        plan = simple(problem)
        bad = corrupt(problem, plan, rng) if plan.slips else None
        if bad is not None and bad != plan:
            tried += 1
            named += bool(audit(problem, bad))
    assert tried >= 30
    assert named >= 0.95 * tried
