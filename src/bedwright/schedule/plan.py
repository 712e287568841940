"""The answer: slips and oven charges, when each works order is finished, what is late, and how far that is proven."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from bedwright.schedule.orders import WorksOrder
from bedwright.schedule.problem import Problem
from bedwright.schedule.spans import Interval, common, measure, without


class Objective(NamedTuple):
    """What makes one plan better than another, in this order; less is better.

    beds_missing beds that miss their van · seconds_late [s] summed over works orders · setup_seconds [s] ·
    overtime_seconds [s of people] · last_finish [s]
    """

    beds_missing: int
    seconds_late: int
    setup_seconds: int
    overtime_seconds: int
    last_finish: int


@dataclass(frozen=True, slots=True)
class Slip:
    """One operation in the plan: at which machine (index from 0), by whom, set up from, run from, to [s].

    stretches: the seconds really worked, set-up included; between them the people are at a meal or away and the work
    lies on the machine. charge: the number of its oven charge, -1 elsewhere.
    """

    operation: str
    place: str
    index: int
    people: tuple[str, ...]
    setup_start: int
    start: int
    end: int
    stretches: tuple[Interval, ...]
    charge: int = -1


@dataclass(frozen=True, slots=True)
class Charge:
    """One oven charge: door shut, units at temperature, door open [s]; its operations and their rack units."""

    number: int
    oven: str
    index: int
    start: int
    hot: int
    end: int
    operations: tuple[str, ...]
    units: int


@dataclass(frozen=True, slots=True)
class Finish:
    """When a works order is ready for its van [s], waits after its last operations included; None: not in the plan.

    A pair is ready when both are; seconds_late counts from the cut-off, at least to the end of the calendar where
    the order is not in the plan.
    """

    works_order: str
    due: int
    finish: int | None
    seconds_late: int
    makes_van: bool


@dataclass(frozen=True, slots=True)
class Bound:
    """What no plan can do better, and why: no promise that any plan does as well.

    cannot: works orders that miss their van in every plan of this problem, with the earliest finish of each [s]
    last_finish: of a plan that has everything in it [s]
    limits: the arguments in words
    """

    beds_missing: int
    seconds_late: int
    last_finish: int
    cannot: tuple[tuple[str, int], ...]
    limits: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan, what bounds it, the gap between both, why the search stopped and how much work it did.

    gap: beds missing their van above the bound; 0 means proven to be the fewest. It says nothing of set-ups.
    work_done: passes of the rule, and operations placed in all of them. rule: the name of the pass that won.
    """

    slips: tuple[Slip, ...]
    charges: tuple[Charge, ...]
    finishes: tuple[Finish, ...]
    unplaced: tuple[tuple[str, str], ...]
    objective: Objective
    bound: Bound
    why_stopped: str
    passes: int
    operations_placed: int
    rule: str

    @property
    def gap(self) -> int:
        """Beds missing their van above the bound [beds]."""
        return self.objective.beds_missing - self.bound.beds_missing

    @property
    def how_sure(self) -> str:
        """In words, how far the number of beds that miss their van is proven."""
        if self.gap == 0:
            return "proven: no plan of this problem has fewer beds missing their van"
        at_least, have = self.bound.beds_missing, self.objective.beds_missing
        return f"not proven: {have} beds miss their van here, at least {at_least} do in any plan"

    @property
    def late(self) -> tuple[str, ...]:
        """Works orders that miss their van, in order of their ids."""
        return tuple(finish.works_order for finish in self.finishes if not finish.makes_van)


def finishes_of(problem: Problem, ready: Mapping[str, int | None]) -> tuple[Finish, ...]:
    """Finishes in order of works order id, from the second at which each order by itself is ready (None: not made)."""
    together: dict[str, list[WorksOrder]] = {}
    for order in problem.works_orders:
        together.setdefault(f"pair {order.pair}" if order.pair else f"order {order.id}", []).append(order)
    horizon = problem.horizon
    out = []
    for members in together.values():
        times = [ready[member.id] for member in members]
        known = [second for second in times if second is not None]
        whole = len(known) == len(times)
        last = max(known, default=0) if whole else max([*known, horizon + 1])
        for member in members:
            late = max(0, last - member.due) if whole else max(1, last - member.due)
            out.append(Finish(member.id, member.due, ready[member.id], late, whole and late == 0))
    return tuple(sorted(out, key=lambda finish: finish.works_order))


def objective_of(problem: Problem, slips: Sequence[Slip], finishes: Iterable[Finish]) -> Objective:
    """The objective of slips and the finishes that follow from them."""
    beds = {order.id: order.beds for order in problem.works_orders}
    finishes = tuple(finishes)
    extra = {p.code: without(p.overtime, p.working) for p in problem.people if p.overtime}
    overtime = sum(measure(common(s.stretches, extra[who])) for s in slips for who in s.people if who in extra)
    return Objective(
        beds_missing=sum(beds[finish.works_order] for finish in finishes if not finish.makes_van),
        seconds_late=sum(finish.seconds_late for finish in finishes),
        setup_seconds=sum(
            measure(s.stretches) - measure(common(s.stretches, ((s.start, s.end),))) for s in slips if s.charge < 0
        ),
        overtime_seconds=overtime,
        last_finish=max((finish.finish for finish in finishes if finish.finish is not None), default=0),
    )
