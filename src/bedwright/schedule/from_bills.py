"""The problem of the plan, from cards and bills: works orders from runs, operations from making routes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from datetime import date, timedelta

from bedwright.bill.rows import Bill
from bedwright.bill.rows import Operation as BedOperation
from bedwright.schedule.calendar import Shift, WallClock, absence, working_time
from bedwright.schedule.orders import Operation, WorksOrder
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import Oven, Person, WorkPlace
from bedwright.schedule.spans import Interval, merged
from bedwright.works.making import Person as PersonCard
from bedwright.works.making import Shift as ShiftCard
from bedwright.works.making import WorkPlace as WorkPlaceCard
from bedwright.works.runs import Run
from bedwright.works.works import Works

DAYS_BEYOND = 12
"""Days of work kept open after the last cut-off, so that late beds find their real end."""
OUTSIDE = "outside"
"""Code of the place where subcontracted operations are: it needs nobody here and never fills."""


Bills = Callable[[str, str], Bill]


def plan_problem(
    works: Works,
    bills: Bills,
    runs: tuple[Run, ...],
    today: date,
    material_days: Mapping[tuple[str, str], date] | None = None,
) -> Problem:
    """The whole problem. Raises FaultsFound with every fault.

    bills(bed, size) gives the bill of a bed at size; material_days: (run id, stream) -> first day on which the material
    of that stream is there.
    """
    there = material_days or {}
    clock = WallClock(works.about.time_zone, today)
    last = max([*(run.van.cut_off.date() for run in runs), *there.values()], default=today)
    last += timedelta(days=DAYS_BEYOND)
    days = (last - today).days + 1
    closed = frozenset(card.day for card in works.closed_days)
    hours = {card.code: working_time(clock, (_shift(card),), days, closed) for card in works.shifts}
    open_hours = merged([pair for stretches in hours.values() for pair in stretches])
    operations = [one for run in runs for one in _operations(works, clock, run, bills(run.bed, run.size), there)]
    manned = {one.place for one in operations if one.skill is not None}
    outside = sum(1 for one in operations if one.place == OUTSIDE)
    places = [
        _place(card, needs_person=card.code in manned, open_hours=open_hours)
        for card in works.work_places
        if card.form != "oven"
    ]
    if outside:
        places.append(WorkPlace(code=OUTSIDE, kind=OUTSIDE, count=outside, needs_person=False))
    return Problem(
        zone=works.about.time_zone,
        as_of=today,
        works_orders=tuple(_works_order(works, clock, run) for run in runs),
        operations=tuple(operations),
        places=tuple(places),
        ovens=tuple(_oven(card, open_hours) for card in works.work_places if card.form == "oven"),
        people=tuple(_person(card, clock, hours) for card in works.crew),
    )


def _works_order(works: Works, clock: WallClock, run: Run) -> WorksOrder:
    cut_off = run.van.cut_off
    bed = works.beds[run.bed]
    return WorksOrder(
        id=run.id,
        due=max(0, clock.second(cut_off.date(), cut_off.hour * 60 + cut_off.minute)),
        van_round=f"{run.van.van_round} {run.van.day.isoformat()}",
        beds=run.beds,
        words=f"{run.beds} x {bed.name or bed.code} {run.size}",
        pair=f"{run.order} {run.line}" if bed.pair != "none" and run.of > 1 else "",
    )


def _operations(
    works: Works, clock: WallClock, run: Run, bill: Bill, there: Mapping[tuple[str, str], date]
) -> Iterable[Operation]:
    """Operations of a run; an oven load larger than one charge becomes several that must all be done.

    Parts may be made ahead; build does not begin earlier than the house rule allows before the van.
    """
    early = run.van.cut_off.date() - timedelta(days=int(works.rule("order_early_days")))
    earliest = {"meet": max(0, clock.second(early))}
    for stream in ("unit", "panels", "border", "meet"):
        day = there.get((run.id, stream))
        if day is not None:
            earliest[stream] = max(earliest.get(stream, 0), clock.second(day))
    names: dict[int, tuple[str, ...]] = {}
    for step in bill.operations:
        after = tuple(name for position in step.after for name in names[position])
        parts = _oven_parts(works, step, run.beds)
        made = [
            Operation(
                id=f"{run.id}-{step.position}" + (f"-{part}" if len(parts) > 1 else ""),
                works_order=run.id,
                stream=step.stream,
                place=OUTSIDE if step.subcontracted else step.work_place,
                skill=None if step.oven or step.subcontracted else step.skill,
                run_seconds=_seconds(step, run.beds),
                setup_keys=((step.family, step.family_value),) if step.family else (),
                after=after,
                wait_seconds=round(step.wait_minutes * 60),
                hands=max(1, step.hands),
                rack_units=beds * step.rack_units if step.oven else 0,
                earliest=earliest.get(step.stream, 0),
                words=step.operation,
            )
            for part, beds in enumerate(parts, 1)
        ]
        names[step.position] = tuple(one.id for one in made)
        yield from made


def _seconds(step: BedOperation, beds: int) -> int:
    """Working seconds: none in an oven; one for what is done outside, whose time is the wait after it."""
    if step.oven:
        return 0
    return 1 if step.subcontracted else max(1, round(step.minutes * 60 * beds))


def _oven_parts(works: Works, step: BedOperation, beds: int) -> tuple[int, ...]:
    """Beds of each charge that the run is split into; one part for what is no oven."""
    if not step.oven:
        return (beds,)
    racks = works.work_places[step.work_place].rack_units or 1
    most = max(1, racks // max(1, step.rack_units))
    parts = math.ceil(beds / most)
    return tuple(beds // parts + (1 if part < beds % parts else 0) for part in range(parts))


def _shift(card: ShiftCard) -> Shift:
    return Shift(
        code=card.code,
        weekdays=card.weekdays,
        start_minute=card.start.hour * 60 + card.start.minute,
        end_minute=card.end.hour * 60 + card.end.minute,
        breaks=tuple(
            (row.start.hour * 60 + row.start.minute, row.end.hour * 60 + row.end.minute)
            for row in sorted(card.breaks, key=lambda row: row.position)
        ),
    )


def _person(card: PersonCard, clock: WallClock, hours: dict[str, tuple[Interval, ...]]) -> Person:
    return Person(
        code=card.code,
        skills=tuple(sorted((row.skill, round(row.skill_level)) for row in card.skills)),
        working=next(stretches for code, stretches in hours.items() if code.casefold() == card.shift.casefold()),
        absence=merged(absence(clock, row.first_day, row.last_day) for row in card.absence),
    )


def _place(card: WorkPlaceCard, *, needs_person: bool, open_hours: tuple[Interval, ...]) -> WorkPlace:
    return WorkPlace(
        code=card.code,
        kind=card.name or card.code,
        count=card.places,
        needs_person=needs_person,
        setup_seconds=tuple(sorted((row.family, round(row.setup_minutes * 60)) for row in card.setups)),
        working=() if needs_person else open_hours,
    )


def _oven(card: WorkPlaceCard, open_hours: tuple[Interval, ...]) -> Oven:
    assert card.rack_units is not None and card.charge_minutes is not None and card.warm_up_minutes is not None
    return Oven(
        code=card.code,
        capacity=card.rack_units,
        warm_up_seconds=round(card.warm_up_minutes * 60),
        charge_seconds=round(card.charge_minutes * 60),
        count=card.places,
        working=open_hours,
    )
