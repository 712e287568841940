"""The binder of the plan: runs of the make list, their bills and the cards of places and people make a problem.

What is done outside has no operation here: its time becomes a wait after what comes before it. A run that is too large
for one oven charge is shared among several charges. Parts may be made ahead; build does not begin earlier than the
house's `order_early_days` before the van.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, time, timedelta

from bedwright.bill.make_list import Run
from bedwright.bill.rows import Bill
from bedwright.bill.rows import Operation as Step
from bedwright.errors import Fault, FaultsFound
from bedwright.schedule.calendar import Shift, WallClock, absence, working_time
from bedwright.schedule.orders import Operation, WorksOrder
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import Oven, Person, WorkPlace
from bedwright.schedule.spans import Interval
from bedwright.works.making import Shift as ShiftCard
from bedwright.works.works import Works

SPARE_DAYS = 14  # days of people's time after the last cut-off, so that what is late still has a place to go


@dataclass(frozen=True, slots=True)
class _Link:
    """Operations that stand for a step: what must be finished, and how long to wait after where nothing is."""

    ids: tuple[str, ...]
    wait: int


def schedule_problem(
    works: Works,
    runs: Iterable[Run],
    bills: Mapping[str, Bill],
    *,
    as_of: date | None = None,
    material_days: Mapping[str, date] | None = None,
    days: int | None = None,
) -> Problem:
    """The problem of a make list.

    bills: by `Run.key`; material_days: run id -> first day on which all its material is there; days: how many days of
    people's time are laid out (default: to the last cut-off and two weeks more). Raises FaultsFound for runs without a
    bill, and for whatever the problem itself refuses.
    """
    wanted = tuple(runs)
    lacking = sorted({run.key for run in wanted if run.key not in bills})
    if lacking:
        raise FaultsFound(Fault("has no bill", "make one", key, card=f"bed {key}") for key in lacking)
    clock = WallClock(works.about.time_zone, works.about.as_of if as_of is None else as_of)
    last = max((run.cut_off_day for run in wanted), default=clock.as_of)
    span = max((last - clock.as_of).days, 0) + SPARE_DAYS if days is None else days
    closed = [card.day for card in works.closed_days]
    operations: list[Operation] = []
    for run in wanted:
        first = clock.second((material_days or {}).get(run.id, clock.as_of))
        build = clock.second(run.van_day - timedelta(days=round(works.rule("order_early_days"))))
        operations += run_operations(works, run, bills[run.key], max(first, 0), max(build, 0))
    used = {operation.place for operation in operations}
    return Problem(
        zone=works.about.time_zone,
        as_of=clock.as_of,
        works_orders=tuple(works_order(clock, run) for run in wanted),
        operations=tuple(operations),
        places=_places(works, bills, used),
        ovens=_ovens(works, clock, span, closed, used),
        people=_people(works, clock, span, closed),
    )


def works_order(clock: WallClock, run: Run) -> WorksOrder:
    """A run as the plan's works order: due is the cut-off of its van."""
    return WorksOrder(
        id=run.id,
        due=clock.second(run.cut_off_day, run.cut_off.hour * 60 + run.cut_off.minute),
        van_round=run.van_round,
        beds=run.beds,
        words=f"{run.beds} x {run.key}",
        pair=run.pair,
    )


def run_operations(works: Works, run: Run, bill: Bill, first: int, build: int) -> tuple[Operation, ...]:
    """The net of one run: its streams and their meeting. first, build: earliest second of parts and of build [s]."""
    links: dict[int, _Link] = {}
    made: dict[str, Operation] = {}
    by_position = {step.position: step for step in bill.operations}
    for step in _in_order(by_position):
        after = tuple(name for position in step.after for name in links[position].ids)
        waited = max((links[position].wait for position in step.after), default=0)
        wait = round(step.wait_minutes * 60)
        if step.subcontracted:
            _wait_longer(made, after, wait)
            links[step.position] = _Link(after, 0 if after else waited + wait)
            continue
        earliest = max(first + waited, build if step.stream == "meet" else 0)
        parts = _oven_parts(works, step, run.beds) if step.oven else (run.beds,)
        names = []
        for number, beds in enumerate(parts, 1):
            name = f"{run.id}/{step.position}" + (f".{number}" if len(parts) > 1 else "")
            made[name] = _operation(run, step, name, beds, after, wait, earliest)
            names.append(name)
        links[step.position] = _Link(tuple(names), 0)
    return tuple(made.values())


def _in_order(steps: Mapping[int, Step]) -> list[Step]:
    """Parts before what meets: each step after those it waits for."""
    return sorted(steps.values(), key=lambda step: (step.stream == "meet", step.position))


def _wait_longer(made: dict[str, Operation], names: tuple[str, ...], wait: int) -> None:
    """Time outside becomes a wait after the operations before it."""
    for name in names:
        made[name] = replace(made[name], wait_seconds=made[name].wait_seconds + wait)


def _oven_parts(works: Works, step: Step, beds: int) -> tuple[int, ...]:
    """Beds of each charge: as many as the racks hold, the rest in the last."""
    room = works.work_places[step.work_place].rack_units or 0
    most = max(1, room // max(step.rack_units, 1))
    return tuple(min(most, beds - start) for start in range(0, beds, most))


def _operation(
    run: Run, step: Step, name: str, beds: int, after: tuple[str, ...], wait: int, earliest: int
) -> Operation:
    return Operation(
        id=name,
        works_order=run.id,
        stream=step.stream,
        place=step.work_place,
        skill=None if step.oven else step.skill,
        run_seconds=0 if step.oven else max(1, round(step.minutes * beds * 60)),
        setup_keys=((step.family, step.family_value),) if step.family and step.family_value else (),
        after=after,
        wait_seconds=wait,
        hands=max(1, step.hands),
        rack_units=step.rack_units * beds,
        earliest=earliest,
        words=step.operation,
    )


def _places(works: Works, bills: Mapping[str, Bill], used: set[str]) -> tuple[WorkPlace, ...]:
    manned = {step.work_place for bill in bills.values() for step in bill.operations if step.hands > 0}
    return tuple(
        WorkPlace(
            code=card.code,
            kind=card.form,
            count=card.places,
            needs_person=card.code in manned,
            setup_seconds=tuple((row.family, round(row.setup_minutes * 60)) for row in card.setups),
        )
        for card in works.work_places
        if card.form != "oven" and card.code in used
    )


def _ovens(works: Works, clock: WallClock, days: int, closed: list[date], used: set[str]) -> tuple[Oven, ...]:
    """Ovens, charged and emptied while somebody is there; breaks are run through."""
    shifts = [_shift(card, breaks=False) for card in works.shifts]
    return tuple(
        Oven(
            code=card.code,
            capacity=card.rack_units or 0,
            warm_up_seconds=round((card.warm_up_minutes or 0) * 60),
            charge_seconds=round((card.charge_minutes or 0) * 60),
            count=card.places,
            working=working_time(clock, shifts, days, closed),
        )
        for card in works.work_places
        if card.form == "oven" and card.code in used
    )


def _people(works: Works, clock: WallClock, days: int, closed: list[date]) -> tuple[Person, ...]:
    hours: dict[str, tuple[Interval, ...]] = {
        card.code: working_time(clock, [_shift(card, breaks=True)], days, closed) for card in works.shifts
    }
    return tuple(
        Person(
            code=card.code,
            skills=tuple((row.skill, round(row.skill_level)) for row in card.skills),
            working=hours[works.shifts[card.shift].code],
            absence=_away(clock, [(row.first_day, row.last_day) for row in card.absence]),
        )
        for card in works.crew
    )


def _away(clock: WallClock, spans: list[tuple[date, date]]) -> tuple[Interval, ...]:
    """Days away as stretches that do not touch."""
    out: list[Interval] = []
    for first, last in sorted(spans):
        start, end = absence(clock, first, last)
        if out and start <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], end))
        else:
            out.append((start, end))
    return tuple(out)


def _shift(card: ShiftCard, *, breaks: bool) -> Shift:
    rest = tuple((_minute(row.start), _minute(row.end)) for row in card.breaks) if breaks else ()
    return Shift(card.code, card.weekdays, _minute(card.start), _minute(card.end), rest)


def _minute(moment: time) -> int:
    return moment.hour * 60 + moment.minute
