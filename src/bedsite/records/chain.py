"""The chain: every append locks its end, takes the next number, and covers the hash before it.

hash = sha256(prior hash, newline, canonical JSON of the row's content). Whoever changes an old row behind the program's
back must change every hash after it; the last hash, printed on a paper or kept with a backup, then tells.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from django.db import models, transaction
from django.utils import timezone

from bedsite.records.models import ChainEnd, Event, Linked, Revision, Snapshot
from bedwright.errors import BedwrightError
from bedwright.identity import canonical

CONTENT: dict[type[Linked], tuple[str, ...]] = {
    Revision: (
        "kind", "folded", "code", "number", "onto", "aside", "settles", "gone", "schema", "content", "who", "at", "why",
    ),
    Event: (
        "sender", "type", "schema", "subject", "corrects", "said", "received", "who", "device", "body",
    ),
    Snapshot: ("id", "paper", "name", "subject", "cards", "results", "blob_id", "who", "at"),
}  # fmt: skip
"""What the hash of a row covers; a revision's body by its content id, a snapshot's bytes by theirs."""
_COUNTED: dict[type[Linked], str] = {Revision: "revisions", Event: "events", Snapshot: "snapshots"}


class ChainBroken(BedwrightError):
    """The chain does not hold: a row was changed, lost or put in behind the program's back; says where first."""


@dataclass(slots=True)
class Pen:
    """The right to append, held for one transaction."""

    end: ChainEnd
    written: dict[type[Linked], list[Linked]] = field(default_factory=dict)

    def link(self, row: Linked) -> None:
        """Give a row its place and hash, and keep it to be written when the pen is put down."""
        end = self.end
        row.seq = end.seq + 1
        row.prior = end.hash
        row.hash = hash_of(row)
        end.seq, end.hash = row.seq, row.hash
        name = _COUNTED[type(row)]
        setattr(end, name, getattr(end, name) + 1)
        if isinstance(row, Revision):
            end.cards_seq = row.seq
        self.written.setdefault(type(row), []).append(row)


@contextmanager
def pen() -> Iterator[Pen]:
    """All or nothing: what is linked inside is written at its end, or nothing of it is. Writers wait for each other."""
    with transaction.atomic():
        held = Pen(ChainEnd.objects.select_for_update().get(pk=1))
        first = held.end.seq
        yield held
        for model, rows in held.written.items():
            model._default_manager.bulk_create(rows, batch_size=200)
        if held.end.seq != first:
            held.end.save()


def hash_of(row: Linked) -> str:
    """The hash that a row must have, from its content and the hash before it."""
    content: dict[str, Any] = {"seq": row.seq, "is": type(row).__name__}
    for name in CONTENT[type(row)]:
        value = getattr(row, name)
        content[name] = value.astimezone(UTC) if isinstance(value, datetime) else value
    return hashlib.sha256(row.prior.encode() + b"\n" + canonical(content)).hexdigest()


def rows_in_order(after: int = 0) -> Iterator[Linked]:
    """Every row of the chain by seq, read in pieces."""
    sources = [_by_seq(model, after) for model in CONTENT]
    waiting = [(row.seq, place, row) for place, source in enumerate(sources) if (row := next(source, None)) is not None]
    while waiting:
        least = min(waiting, key=lambda one: one[:2])
        waiting.remove(least)
        yield least[2]
        after_it = next(sources[least[1]], None)
        if after_it is not None:
            waiting.append((after_it.seq, least[1], after_it))


def _by_seq(model: type[Linked], after: int) -> Iterator[Linked]:
    while True:
        found = list(model._default_manager.filter(seq__gt=after).order_by("seq")[:2000])
        yield from found
        if len(found) < 2000:
            return
        after = found[-1].seq


@dataclass(frozen=True, slots=True)
class Verified:
    """What a whole reading of the chain found."""

    seq: int
    hash: str
    revisions: int
    events: int
    snapshots: int


def verify() -> Verified:
    """Read the whole chain and everything it covers. Raises ChainBroken naming the first place that does not hold."""
    end = ChainEnd.objects.get(pk=1)
    counts = dict.fromkeys(CONTENT, 0)
    prior, seq = "", 0
    for row in rows_in_order():
        seq += 1
        called = f"{type(row).__name__.lower()} at place {row.seq}"
        if row.seq != seq:
            raise ChainBroken(f"place {seq} of the chain is missing or stands twice; the next row is the {called}")
        if row.prior != prior or row.hash != hash_of(row):
            raise ChainBroken(f"the {called} does not agree with its hash: it, or what stands before it, was changed")
        _inside(row, called)
        counts[type(row)] += 1
        prior = row.hash
    told = (end.revisions, end.events, end.snapshots)
    found = tuple(counts[model] for model in (Revision, Event, Snapshot))
    if (seq, prior, found) != (end.seq, end.hash, told):
        raise ChainBroken(
            f"the chain ends at place {seq} with {found} revisions, events and snapshots, "
            f"and its end says {end.seq} with {told}"
        )
    return Verified(seq, prior, *found)


def _inside(row: Linked, called: str) -> None:
    if isinstance(row, Revision) and hashlib.sha256(row.body.encode()).hexdigest() != row.content:
        raise ChainBroken(f"the {called} ({row.kind} {row.code}) holds another card than its content id says")
    if isinstance(row, Snapshot):
        data = bytes(row.blob.data)
        if hashlib.sha256(data).hexdigest() != row.blob_id:
            raise ChainBroken(f"the {called} ({row.name}) holds other bytes than were printed")


def now() -> datetime:
    """This moment in UTC."""
    return timezone.now()


def count(model: type[models.Model]) -> int:
    """Rows of a table."""
    return int(model._default_manager.count())
