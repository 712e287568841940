"""The plan as plain rows of the day, for paper and spreadsheet, and finish times for loading: wall time, no ids of
people but their keys, no judgement."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from bedwright.schedule.calendar import WallClock
from bedwright.schedule.plan import Plan
from bedwright.schedule.problem import Problem
from bedwright.schedule.spans import Interval, clipped


@dataclass(frozen=True, slots=True)
class DayRow:
    """What one machine or oven does in one go on one day, in wall time; work that rests over a night has two rows.

    machine: counted from 1. setup_minutes: of this day's part, to be done first [min]. goes_on: the work is not
    finished at `to`. charge: oven charge, counted from 1; 0 elsewhere.
    """

    day: date
    place: str
    machine: int
    start: str
    to: str
    works_order: str
    bed: str
    beds: int
    work: str
    people: tuple[str, ...]
    setup_minutes: int
    goes_on: bool
    charge: int
    operation: str


@dataclass(frozen=True, slots=True)
class FinishRow:
    """When a works order is ready for its van, and the cut-off, in wall time and in plan seconds [s].

    finish is None where the plan does not hold all of it.
    """

    works_order: str
    van_round: str
    bed: str
    beds: int
    pair: str
    due: datetime
    due_second: int
    finish: datetime | None
    finish_second: int | None
    makes_van: bool
    seconds_late: int


def day_rows(problem: Problem, plan: Plan) -> tuple[DayRow, ...]:
    """Rows in order of day, place, machine and time, in the problem's zone."""
    clock = problem.clock
    orders = {order.id: order for order in problem.works_orders}
    operations = {operation.id: operation for operation in problem.operations}
    out = []
    for slip in plan.slips:
        operation = operations[slip.operation]
        order = orders[operation.works_order]
        parts = _by_day(clock, slip.stretches)
        for day, worked in parts:
            setup = sum(b - a for a, b in clipped(worked, slip.setup_start, slip.start))
            row = DayRow(
                day=day, place=slip.place, machine=slip.index + 1,
                start=_clock(clock, worked[0][0], day), to=_clock(clock, worked[-1][1], day),
                works_order=order.id, bed=order.words, beds=order.beds, work=operation.words or operation.id,
                people=slip.people, setup_minutes=-(-setup // 60), goes_on=worked[-1][1] < slip.end,
                charge=slip.charge + 1, operation=operation.id,
            )  # fmt: skip
            out.append(((day, slip.place, slip.index, worked[0][0], slip.operation), row))
    return tuple(row for _, row in sorted(out, key=lambda pair: pair[0]))


def finish_rows(problem: Problem, plan: Plan) -> tuple[FinishRow, ...]:
    """One row for each works order, in order of cut-off, van round and id."""
    clock = problem.clock
    orders = {order.id: order for order in problem.works_orders}
    out = []
    for finish in plan.finishes:
        order = orders[finish.works_order]
        ready = None if finish.finish is None else clock.wall(finish.finish)
        row = FinishRow(
            order.id, order.van_round, order.words, order.beds, order.pair, clock.wall(order.due), order.due,
            ready, finish.finish, finish.makes_van, finish.seconds_late,
        )  # fmt: skip
        out.append(row)
    return tuple(sorted(out, key=lambda row: (row.due_second, row.van_round, row.works_order)))


def _clock(clock: WallClock, second: int, day: date) -> str:
    """`06:30`; the midnight that ends the day is 24:00."""
    wall = clock.wall(second)
    return f"{wall:%H:%M}" if wall.date() == day else "24:00"


def _by_day(clock: WallClock, stretches: tuple[Interval, ...]) -> list[tuple[date, tuple[Interval, ...]]]:
    """Stretches [s] cut at every midnight of the wall, by day."""
    out: list[tuple[date, tuple[Interval, ...]]] = []
    day = clock.wall(stretches[0][0]).date()
    last = clock.wall(stretches[-1][1]).date()
    while day <= last:
        begin, end = clock.second(day), clock.second(day + timedelta(days=1))
        worked = clipped(stretches, begin, end)
        if worked:
            out.append((day, worked))
        day += timedelta(days=1)
    return out


def start_days(problem: Problem, plan: Plan) -> dict[tuple[str, str], date]:
    """(works order, stream) -> day on which it begins, in the works' zone: when its material must be there."""
    streams = {operation.id: (operation.works_order, operation.stream) for operation in problem.operations}
    first: dict[tuple[str, str], int] = {}
    for slip in plan.slips:
        key = streams[slip.operation]
        first[key] = min(slip.setup_start, first.get(key, slip.setup_start))
    return {key: problem.clock.wall(first[key]).date() for key in sorted(first)}


def misses(problem: Problem, plan: Plan) -> dict[str, str]:
    """Works order -> when it will be ready, in words, for those that miss their van."""
    return {
        one.works_order: (
            f"will be ready {problem.clock.words(one.finish)}, after its van's cut-off"
            if one.finish is not None
            else "is not planned to its end, so nobody knows when it will be ready"
        )
        for one in plan.finishes
        if not one.makes_van
    }
