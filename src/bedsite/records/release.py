"""Release: works orders, runs, bundles and serials come into being, with ids from the ledger that last.

Before it, ids derive from order line and size; after it, these count. What is released is never split or numbered anew
by a later reckoning; a line that grows afterwards is released again for the beds that were added.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from bedsite.records.chain import Pen, pen
from bedsite.records.events import append_with, payload_of
from bedsite.records.models import Event, Released, Step
from bedsite.records.payloads import Release, ReleasedBundle, ReleasedRun, ReleasedStep
from bedwright.errors import Fault, FaultsFound, NotReadable
from bedwright.identity import canonical, fold, gs1_check_digit
from bedwright.works.released import IssuedRun, LineReleased

STREAMS = ("unit", "panels", "border")
"""The parts that travel as bundles until they meet at build."""
SENDER = re.compile(r"[0-9A-Za-z:._-]{8,56}")
_LETTER = {"unit": "U", "panels": "P", "border": "B"}


@dataclass(frozen=True, slots=True)
class ToRelease:
    """One order line as reckoned: its runs by beds, its route, its van. Plain rows, so that no room is imported."""

    order: str
    line: int
    customer: str
    bed: str
    size: str
    run_beds: tuple[int, ...]
    due: date
    van_round: str
    rank: int
    steps: tuple[ReleasedStep, ...]
    beyond: int = 0
    """Beds of this line that were released before, as the reckoning saw it."""


def release(lines: list[ToRelease], *, revision: int, who: str, device: str = "", sender: str = "") -> list[Release]:
    """Release these lines, all or nothing. sender: id of whoever asks; the same id again releases nothing more and
    gives what it released the first time.

    Raises FaultsFound naming every line that was released meanwhile or stands twice, NotReadable for an id that is
    none.
    """
    if sender and not SENDER.fullmatch(sender):
        raise NotReadable(f"{sender[:60]!r} is no id of a sender; it is 8 to 56 letters, digits and . : _ -")
    with pen() as held:
        if sender and (before := released_by(sender)):
            return before
        faults = list(_not_releasable(lines))
        if faults:
            raise FaultsFound(faults)
        numbers = {what: Released.objects.filter(what=what).count() for what in ("works order", "serial")}
        return [
            _release(held, line, numbers, revision, who, device, f"{sender}:{place}" if sender else "")
            for place, line in enumerate(lines, 1)
        ]


def released_by(sender: str) -> list[Release]:
    """What was released under the id of whoever asked; empty for nothing."""
    found = []
    place = 1
    while (event := Event.objects.filter(sender=f"{sender}:{place}", type=Release.TYPE).first()) is not None:
        payload = payload_of(event)
        assert isinstance(payload, Release)
        found.append(payload)
        place += 1
    return found


def _not_releasable(lines: list[ToRelease]) -> Iterator[Fault]:
    seen: set[tuple[str, int]] = set()
    for line in lines:
        called = f"line {line.line} of order {line.order}"
        key = fold(line.order), line.line
        if key in seen:
            yield Fault(f"{called} stands twice", remedy="name it once")
        seen.add(key)
        there = beds_released(line.order, line.line)
        if there != line.beyond:
            many = "1 bed" if there == 1 else f"{there} beds"
            yield Fault(f"{called} is released already, {many} of it", remedy="look at the list again")
        if not line.run_beds or min(line.run_beds) < 1:
            yield Fault(f"{called} has no bed to release", remedy="leave it out")


def _release(
    held: Pen, line: ToRelease, numbers: dict[str, int], revision: int, who: str, device: str, sender: str
) -> Release:
    numbers["works order"] += 1
    works_order = f"W{numbers['works order']:06d}"
    runs = []
    for number, beds in enumerate(line.run_beds, 1):
        serials = []
        for _ in range(beds):
            numbers["serial"] += 1
            serials.append(serial(numbers["serial"]))
        run = f"{works_order}.{number}"
        bundles = tuple(ReleasedBundle(id=f"{run}{_LETTER[stream]}", stream=stream) for stream in STREAMS)
        runs.append(ReleasedRun(id=run, beds=beds, serials=tuple(serials), bundles=bundles))
    payload = Release(
        works_order=works_order,
        order=line.order,
        line=line.line,
        customer=line.customer,
        bed=line.bed,
        size=line.size,
        beds=sum(line.run_beds),
        due=line.due,
        van_round=line.van_round,
        rank=line.rank,
        revision=revision,
        runs=tuple(runs),
        steps=line.steps,
    )
    event = append_with(
        held, payload, sender=sender or f"release:{works_order}", subject=works_order, who=who, device=device
    ).event
    project(payload, event.seq)
    return payload


def serial(number: int) -> str:
    """The serial of the nth bed: S, seven digits or more, and a check digit after GS1, so that a misread sign shows."""
    digits = f"{number:07d}"
    return f"S{digits}{gs1_check_digit(digits)}"


def project(payload: Release, seq: int) -> None:
    """The rows that a release makes beside its event: ids for looking up, steps for the stations."""
    Released.objects.bulk_create(released_rows(payload, seq), batch_size=200)
    Step.objects.bulk_create(step_rows(payload), batch_size=200)


def released_rows(payload: Release, seq: int) -> list[Released]:
    """Every id of a release as a row. seq: of its event."""
    facts = {"bed": payload.bed, "size": payload.size, "customer": payload.customer}

    def row(id_: str, what: str, of: str, number: int, more: dict[str, Any] | None = None) -> Released:
        return Released(
            id=id_, what=what, of=of, order=payload.order, order_folded=fold(payload.order), line=payload.line,
            number=number, facts=canonical(facts | (more or {})).decode(), event=seq,
        )  # fmt: skip

    rows = [row(payload.works_order, "works order", "", 1, {"beds": payload.beds, "due": payload.due})]
    for number, run in enumerate(payload.runs, 1):
        rows.append(row(run.id, "run", payload.works_order, number, {"beds": run.beds}))
        rows += [row(b.id, "bundle", run.id, place, {"stream": b.stream}) for place, b in enumerate(run.bundles, 1)]
        rows += [row(one, "serial", run.id, place) for place, one in enumerate(run.serials, 1)]
    return rows


def step_rows(payload: Release) -> list[Step]:
    """Every step of every bed of a release, to do."""
    return [
        step_row(payload, run.id, one, step) for run in payload.runs for one in run.serials for step in payload.steps
    ]


def step_row(payload: Release, run: str, bed_serial: str, step: ReleasedStep) -> Step:
    """A step to do, as release leaves it."""
    return Step(
        serial=bed_serial,
        run=run,
        position=step.position,
        operation=step.operation[:60],
        place=fold(step.place),
        after=json.dumps(step.after),
        due=payload.due,
        rank=payload.rank,
    )


def beds_released(order: str, line: int) -> int:
    """Beds of an order line that were released so far."""
    return Released.objects.filter(order_folded=fold(order), line=line, what="serial").count()


def of_order(order: str) -> list[Released]:
    """The works orders released of an order, by line."""
    return list(Released.objects.filter(what="works order", order_folded=fold(order)).order_by("line", "id"))


def find(id_: str) -> Released | None:
    """What an id names: works order, run, bundle or serial; None where the ledger made no such id."""
    return Released.objects.filter(pk=id_.strip().upper()).first()


def release_of(found: Released) -> Release:
    """The release by which an id came into being."""
    payload = payload_of(Event.objects.get(seq=found.event))
    assert isinstance(payload, Release)
    return payload


def lines_released() -> tuple[LineReleased, ...]:
    """Every release of a line with its lasting ids, as the core takes them, in the order of the ledger."""
    found = []
    for event in Event.objects.filter(type=Release.TYPE).order_by("seq").iterator():
        payload = payload_of(event)
        assert isinstance(payload, Release)
        runs = tuple(IssuedRun(run.id, run.beds, run.serials) for run in payload.runs)
        found.append(
            LineReleased(
                order=payload.order, line=payload.line, bed=payload.bed, size=payload.size,
                works_order=payload.works_order, runs=runs,
            )
        )  # fmt: skip
    return tuple(found)
