"""What was released for the vans of a day: each run, its beds, and how many of them are open in which stream.

Steps are counted by the ledger, grouped; no bed is read by itself. A bed is made when every step of it is done.
"""

from __future__ import annotations

import functools
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Min, Q

from bedsite.records.events import payload_of
from bedsite.records.models import Event, Step
from bedsite.records.payloads import Release

OPEN = ("to do", "in work", "trouble")
STREAMS = ("unit", "panels", "border", "meet")
"""Streams of a making route; meet is what is done once the others have met."""
_AT_ONCE = 400


@dataclass(frozen=True, slots=True)
class Gap:
    """A stream of a run: open: beds with a step of it not done; first: the earliest such operation, "" for none.

    begun: whether any bed has a step of it done, or has its first in work.
    """

    stream: str
    steps: int
    open: int
    first: str
    begun: bool


@dataclass(frozen=True, slots=True)
class RunForVan:
    """A run as it was released for a van, and how far its bookings are."""

    run: str
    works_order: str
    order: str
    line: int
    customer: str
    bed: str
    size: str
    due: date
    van_round: str
    rank: int
    beds: int
    open: int
    in_work: int
    trouble: int
    gaps: tuple[Gap, ...]

    @property
    def made(self) -> int:
        """Beds with every step done."""
        return self.beds - self.open


@dataclass(frozen=True, slots=True)
class _Made:
    """A works order as its release says it, without its serials."""

    works_order: str
    order: str
    line: int
    customer: str
    bed: str
    size: str
    due: date
    van_round: str
    rank: int
    beds_of: tuple[tuple[str, int], ...]
    steps: tuple[tuple[int, str], ...]
    """(position, stream) of each step."""


def open_days(first: date, *, most: int, before: date | None = None) -> list[date]:
    """Van days from `first` on with anything open, in their order, by jumps along an index."""
    found: list[date] = []
    after = first
    while len(found) < most:
        rows = Step.objects.filter(due__gte=after)
        if before is not None:
            rows = rows.filter(due__lt=before)
        nexts = [rows.filter(state=state).aggregate(first=Min("due"))["first"] for state in OPEN]
        there = [day for day in nexts if day is not None]
        if not there:
            return found
        found.append(min(there))
        after = date.fromordinal(found[-1].toordinal() + 1)
    return found


def anything_released() -> bool:
    """Whether the ledger holds any release."""
    return Event.objects.filter(type=Release.TYPE).exists()


def runs_of_days(days: Iterable[date]) -> list[RunForVan]:
    """Every run released for the vans of these days, in the order of making."""
    rows = Step.objects.filter(state__in=(*OPEN, "done"), due__in=list(days)).order_by()
    runs = sorted(set(rows.values_list("run", flat=True).distinct()))
    made = _released(sorted({run.rpartition(".")[0] for run in runs}))
    by_route: dict[tuple[tuple[int, str], ...], list[str]] = defaultdict(list)
    for run in runs:
        if (of := made.get(run.rpartition(".")[0])) is not None:
            by_route[of.steps].append(run)
    found = []
    for steps, alike in by_route.items():
        for begin in range(0, len(alike), _AT_ONCE):
            some = alike[begin : begin + _AT_ONCE]
            counts, firsts = _counts(some, steps), _firsts(some, dict(steps))
            found += [_run(made[run.rpartition(".")[0]], run, counts.get(run, {}), firsts) for run in some]
    return sorted(found, key=lambda one: (one.due, one.rank, one.van_round, one.run))


def _counts(runs: list[str], steps: tuple[tuple[int, str], ...]) -> dict[str, dict[str, int]]:
    """Run -> beds open by stream, in all, in work and in trouble; one grouped question for runs of one route."""
    sums = {
        f"of_{stream}": Count(
            "serial", distinct=True, filter=Q(position__in=[place for place, its in steps if its == stream])
        )
        for stream in STREAMS
    }
    rows = (
        Step.objects.filter(run__in=runs, state__in=OPEN)
        .order_by()
        .values("run")
        .annotate(
            open=Count("serial", distinct=True),
            in_work=Count("serial", distinct=True, filter=Q(state="in work")),
            trouble=Count("serial", distinct=True, filter=Q(state="trouble")),
            **sums,
        )
    )
    return {row["run"]: row for row in rows}


First = tuple[int, str, int]
"""Position and words of an operation, and the steps of its stream that nobody has begun, over all beds."""


def _firsts(runs: list[str], stream_of: dict[int, str]) -> dict[tuple[str, str], First]:
    """(run, stream) -> the earliest operation of it that is open on any bed."""
    rows = Step.objects.filter(run__in=runs, state__in=OPEN).order_by().values_list("run", "position", "operation")
    found: dict[tuple[str, str], First] = {}
    for run, position, operation, untouched in rows.annotate(untouched=Count("id", filter=Q(state="to do"))):
        key = run, stream_of.get(position, "")
        before = found.get(key, (position, operation, 0))
        found[key] = (*min(before[:2], (position, operation)), before[2] + untouched)
    return found


def _run(of: _Made, run: str, counts: dict[str, int], firsts: dict[tuple[str, str], First]) -> RunForVan:
    beds = dict(of.beds_of)[run]
    gaps = []
    for stream in STREAMS:
        steps = sum(its == stream for _, its in of.steps)
        _, first, untouched = firsts.get((run, stream), (0, "", 0))
        gaps.append(Gap(stream, steps, counts.get(f"of_{stream}", 0), first, untouched < steps * beds))
    return RunForVan(
        run=run, works_order=of.works_order, order=of.order, line=of.line, customer=of.customer, bed=of.bed,
        size=of.size, due=of.due, van_round=of.van_round, rank=of.rank, beds=beds,
        open=counts.get("open", 0), in_work=counts.get("in_work", 0), trouble=counts.get("trouble", 0),
        gaps=tuple(gaps),
    )  # fmt: skip


def _released(works_orders: Iterable[str]) -> dict[str, _Made]:
    wanted = list(works_orders)
    found = {}
    for begin in range(0, len(wanted), _AT_ONCE):
        some = Event.objects.filter(subject__in=wanted[begin : begin + _AT_ONCE], type=Release.TYPE)
        for seq, hash_ in some.values_list("seq", "hash"):
            made = _made(seq, hash_)
            found[made.works_order] = made
    return found


@functools.lru_cache(maxsize=5000)
def _made(seq: int, hash_: str) -> _Made:
    """A release in short. Events never change, so it is read once; the hash tells one ledger's from another's."""
    one = payload_of(Event.objects.get(seq=seq, hash=hash_))
    assert isinstance(one, Release)
    return _Made(
        one.works_order, one.order, one.line, one.customer, one.bed, one.size, one.due, one.van_round, one.rank,
        tuple((run.id, run.beds) for run in one.runs),
        tuple((step.position, step.stream if step.stream in STREAMS else "meet") for step in one.steps),
    )  # fmt: skip
