"""What may be released: order lines with beds that nobody released yet, each as reckoned, and why one may not be.

Reads the reckoning and writes nothing; `records.release` writes. The order of making is the van's: by the day it
leaves, then by the moment at which beds must be wrapped (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date, datetime

from bedsite.records.payloads import ReleasedStep
from bedsite.records.release import ToRelease
from bedwright.errors import BedwrightError, Fault, FaultsFound
from bedwright.identity import fold
from bedwright.reckoning import Reckoning
from bedwright.works.release_faults import release_faults
from bedwright.works.runs import Run
from bedwright.works.works import Works, reference_faults

MOST_BEDS = 2000
"""Beds in one release, so that nobody waits long for the ledger; ask again for more."""
_DAY_ZERO = datetime(2000, 1, 1)


@dataclass(frozen=True, slots=True)
class Line:
    """An order line with beds to release. before: beds of it released already; faults: why it may not be released."""

    order: str
    line: int
    state: str
    customer: str
    bed: str
    size: str
    runs: tuple[Run, ...]
    before: int
    faults: tuple[str, ...]

    @property
    def key(self) -> str:
        """The line in one word, as a form sends it back."""
        return f"{self.line} {self.order}"

    @property
    def beds(self) -> int:
        return sum(run.beds for run in self.runs)

    @property
    def day(self) -> date:
        """The day of the van."""
        return self.runs[0].van.day

    @property
    def van_round(self) -> str:
        return self.runs[0].van.van_round

    @property
    def in_time(self) -> bool:
        return self.runs[0].van.in_time


def lines_to_release(reckoning: Reckoning) -> tuple[Line, ...]:
    """Every line with beds to release, by van. Raises FaultsFound where cards name others that are not there."""
    works = reckoning.works
    broken = [fault for fault in reference_faults(works) if fault.grave]
    if broken:
        raise FaultsFound(broken)
    drafts: dict[tuple[str, int], list[Run]] = {}
    for run in reckoning.runs:
        if not run.serials:
            drafts.setdefault((run.order, run.line), []).append(run)
    told = {key: why_not(reckoning, *key) for key in sorted({(run.bed, run.size) for run in reckoning.runs})}
    found = [_line(works, tuple(runs), told[runs[0].bed, runs[0].size]) for runs in drafts.values()]
    return tuple(sorted(found, key=lambda one: (one.day, one.runs[0].van.cut_off, fold(one.order), one.line)))


def _line(works: Works, runs: tuple[Run, ...], faults: tuple[str, ...]) -> Line:
    first = runs[0]
    order = works.orders[first.order]
    before = sum(one.beds for one in works.releases_of(order.code) if one.line == first.line)
    return Line(order.code, first.line, order.state, order.customer, first.bed, first.size, runs, before, faults)


def why_not(reckoning: Reckoning, bed: str, size: str) -> tuple[str, ...]:
    """Why a bed at size may not be released, in sentences: parts that do not fit, a bill that cannot be made."""
    try:
        faults = tuple(str(fault) for fault in reckoning.fit(bed, size) if fault.grave)
        if not faults and not reckoning.bill(bed, size).operations:
            return (f"bed {bed} has no step of its route at size {size}",)
        return faults
    except BedwrightError as error:
        return (str(error),)


def chosen(lines: tuple[Line, ...], *, until: date | None = None, orders: Collection[str] = ()) -> tuple[Line, ...]:
    """Confirmed lines until a van day, whatever the order; with orders named, all lines of these."""
    named = {fold(code) for code in orders}
    return tuple(
        line
        for line in lines
        if (fold(line.order) in named if named else line.state == "confirmed") and (until is None or line.day <= until)
    )


def to_release(reckoning: Reckoning, lines: tuple[Line, ...]) -> list[ToRelease]:
    """The chosen lines as the ledger takes them. Raises FaultsFound naming every line that may not be released."""
    faults = list(_refusals(lines))
    if faults:
        raise FaultsFound(faults)
    return [_plain(reckoning, line) for line in lines]


def _refusals(lines: tuple[Line, ...]) -> Iterator[Fault]:
    for line in lines:
        for says in line.faults:
            yield Fault(f"line {line.line} of order {line.order} is not released: {says}")
    beds = sum(line.beds for line in lines)
    if beds > MOST_BEDS:
        yield Fault(f"{beds} beds at once; {MOST_BEDS} are released together", "take an earlier van day first")


def _plain(reckoning: Reckoning, line: Line) -> ToRelease:
    bill = reckoning.bill(line.bed, line.size)
    van = line.runs[0].van
    steps = tuple(
        ReleasedStep(
            position=step.position, operation=step.operation, place=step.work_place, after=step.after,
            stream=step.stream, minutes=step.minutes,
        )
        for step in bill.operations
    )  # fmt: skip
    return ToRelease(
        order=line.order, line=line.line, customer=line.customer, bed=line.bed, size=line.size,
        run_beds=tuple(run.beds for run in line.runs), due=van.day, van_round=van.van_round,
        rank=int((van.cut_off - _DAY_ZERO).total_seconds() // 60), steps=steps, beyond=line.before,
    )  # fmt: skip


def notes(works: Works) -> tuple[str, ...]:
    """Where the order book and what was released no longer agree."""
    return tuple(str(fault) for fault in release_faults(works))
