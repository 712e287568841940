"""What is kept beside the chain for quick reading, made anew from it: ids, steps, what was taken up, heads.

`differences` compares and changes nothing (verify asks it); `make_anew` writes the rows again from the chain alone.
Rows of ids are never changed, so one that says otherwise than its release cannot be made anew; it is named.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from bedsite.records.adding_up import Act
from bedsite.records.bookings import WORKED_OUT, acts_by_place, sums_of, taken_of
from bedsite.records.chain import pen
from bedsite.records.events import payload_of
from bedsite.records.models import Event, Head, Released, Revision, Step, Taken
from bedsite.records.payloads import Release
from bedsite.records.release import released_rows, step_rows

_ID = ("what", "of", "order", "order_folded", "line", "number", "facts", "event")
_STEP = ("run", "operation", "place", "after", "due", "rank")
_TAKEN = ("place", "hand", "said", "serial")
_HEAD = ("code", "number", "last", "seq", "schema", "content", "body", "gone", "asides", "who", "at")


@dataclass(frozen=True, slots=True)
class MadeAnew:
    """How many rows of each were made."""

    ids: int
    steps: int
    taken: int
    heads: int


def differences(most: int = 50) -> list[str]:
    """Where kept rows say otherwise than the chain, each in a sentence; empty where all agree."""
    found = []
    for says in _differences():
        found.append(says)
        if len(found) >= most:
            break
    return found


def _differences() -> Iterator[str]:
    counted = Counter[str]()
    for event, payload in _releases():
        serials = [one for run in payload.runs for one in run.serials]
        ids = {row.id: row for row in released_rows(payload, event.seq)}
        kept_ids = {row.id: row for row in Released.objects.filter(event=event.seq)}
        yield from _unlike("id", ids, kept_ids, _ID)
        acts = _acts(serials)
        taken = {row.sender: row for serial in serials for row in taken_of(serial, acts.get(serial, {}))}
        kept_taken = {row.sender: row for row in Taken.objects.filter(serial__in=serials)}
        yield from _unlike("taking up", taken, kept_taken, _TAKEN)
        kept_steps = {(row.serial, row.position): row for row in Step.objects.filter(serial__in=serials)}
        steps = {(row.serial, row.position): row for row in _worked_out(payload, acts)}
        yield from _unlike("step", steps, kept_steps, (*_STEP, *WORKED_OUT))
        counted.update(ids=len(ids), steps=len(steps), taken=len(taken))
    for name, model in (("ids", Released), ("steps", Step), ("taken", Taken)):
        there = model._default_manager.count()
        if there > counted[name]:
            yield f"{there - counted[name]} rows of {name} belong to no release"
    yield from _unlike("head", _heads(), {(row.kind, row.folded): row for row in Head.objects.all()}, _HEAD)


def _unlike(what: str, wanted: dict, there: dict, fields: tuple[str, ...]) -> Iterator[str]:  # type: ignore[type-arg]
    for key in sorted(wanted.keys() | there.keys()):
        name = key if isinstance(key, str) else " ".join(map(str, key))
        if key not in there:
            yield f"{what} {name} is missing"
        elif key not in wanted:
            yield f"{what} {name} comes from nothing in the chain"
        else:
            wrong = [one for one in fields if getattr(wanted[key], one) != getattr(there[key], one)]
            if wrong:
                yield f"{what} {name}: {', '.join(wrong)} is not as the chain has it"


def make_anew() -> MadeAnew:
    """Write steps, what was taken up and heads anew, and ids that are missing; all or nothing."""
    with pen():
        Step.objects.all().delete()
        Taken.objects.all().delete()
        ids = steps = taken = 0
        for event, payload in _releases():  # first what was taken up: the steps of any bed may ask for it
            serials = [one for run in payload.runs for one in run.serials]
            there = set(Released.objects.filter(event=event.seq).values_list("id", flat=True))
            missing = [row for row in released_rows(payload, event.seq) if row.id not in there]
            ids += len(Released.objects.bulk_create(missing, batch_size=200))
            acts = _acts(serials)
            rows = [row for serial in serials for row in taken_of(serial, acts.get(serial, {}))]
            taken += len(Taken.objects.bulk_create(rows, batch_size=200))
        for _, payload in _releases():
            serials = [one for run in payload.runs for one in run.serials]
            steps += len(Step.objects.bulk_create(_worked_out(payload, _acts(serials)), batch_size=200))
        Head.objects.all().delete()
        heads = len(Head.objects.bulk_create(_heads().values(), batch_size=200))
    return MadeAnew(ids, steps, taken, heads)


def _releases() -> Iterator[tuple[Event, Release]]:
    last = 0
    while True:
        event = Event.objects.filter(type=Release.TYPE, seq__gt=last).order_by("seq").first()
        if event is None:
            return
        payload = payload_of(event)
        assert isinstance(payload, Release)
        yield event, payload
        last = event.seq


def _acts(serials: list[str]) -> dict[str, dict[str, list[Act]]]:
    """Serial -> folded place -> the bookings that stand."""
    said: dict[str, list[Event]] = {}
    for start in range(0, len(serials), 500):
        for event in Event.objects.filter(subject__in=serials[start : start + 500]).order_by("seq"):
            said.setdefault(event.subject, []).append(event)
    return {serial: acts_by_place(events) for serial, events in said.items()}


def _worked_out(payload: Release, acts: dict[str, dict[str, list[Act]]]) -> list[Step]:
    by_serial: dict[str, list[Step]] = {}
    for row in step_rows(payload):
        by_serial.setdefault(row.serial, []).append(row)
    found = []
    for serial, rows in by_serial.items():
        for step, one in sums_of(serial, rows, acts.get(serial, {})):
            for name in WORKED_OUT:
                setattr(step, name, getattr(one, name))
            found.append(step)
    return found


def _heads() -> dict[tuple[str, str], Head]:
    """The heads as the revisions have them."""
    counting: dict[tuple[str, str], Head] = {}
    for row in Revision.objects.order_by("seq").iterator():
        head = counting.get((row.kind, row.folded))
        if head is None:
            head = counting[row.kind, row.folded] = Head(kind=row.kind, folded=row.folded, code=row.code)
        head.last = row.number
        if row.aside:
            head.asides += 1
            continue
        head.number, head.seq, head.schema, head.content = row.number, row.seq, row.schema, row.content
        head.body, head.gone, head.who, head.at = row.body, row.gone, row.who, row.at
        head.asides -= row.settles is not None
    return counting
