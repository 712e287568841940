"""The chain: every append locks its end, takes the next number, and covers the hash before it.

hash = sha256(prior hash, newline, canonical JSON of the row's content); the first prior covers whose works it is.
Whoever changes an old row behind the program's back must change every hash after it; the last hash, printed on a paper
or kept with a backup, then tells (`verify(known=...)`).
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from django.core.exceptions import ObjectDoesNotExist
from django.db import DatabaseError, connection, models, transaction
from django.utils import timezone

from bedsite.records.models import Blob, ChainEnd, Event, Linked, Revision, Snapshot
from bedsite.records.troubles import sentence, told
from bedsite.records.walk import Walk
from bedwright.errors import BedwrightError, NotReadable
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
"""What the hash of a row covers; a revision's body by its content id, a snapshot's bytes by theirs and their medium."""
NOT_COVERED = (
    "chain end: format",
    "heads: the words they are found by",
    "released, steps, taken: made anew from events",
    "blobs: the medium of one that no kept paper names",
    "people, devices, doors, jobs, kept answers",
)
"""What stands beside the chain, so that its hashes say nothing of it."""
_COUNTED: dict[type[Linked], str] = {Revision: "revisions", Event: "events", Snapshot: "snapshots"}
_COLUMNS: dict[type[Linked], tuple[tuple[str, int], ...]] = {
    model: tuple(
        (one.attname, one.max_length or 0)
        for one in (model._meta.get_field(name.removesuffix("_id")) for name in names)
    )
    for model, names in CONTENT.items()
}
"""Covered column -> the most characters it holds, 0 for any number."""
_IN_HAND: ContextVar[str] = ContextVar("_IN_HAND", default="")
"""What this thread holds: "a pen", "a reading", nothing."""


class ChainBroken(BedwrightError):
    """The chain does not hold: a row was changed, lost or put in behind the program's back; says where first."""


@dataclass(slots=True)
class Pen:
    """The right to append, held for one transaction."""

    end: ChainEnd
    written: dict[type[Linked], list[Linked]] = field(default_factory=dict)
    """Linked, and not yet put into the tables."""
    senders: dict[str, Event] = field(default_factory=dict)
    """Events linked with this pen by their sender's id."""

    def link(self, row: Linked) -> None:
        """Give a row its place and hash, and keep it to be written when the pen is put down.

        Raises NotReadable for a text that a column cannot hold on every engine.
        """
        _fits(row)
        end = self.end
        row.seq = end.seq + 1
        row.prior = end.hash
        row.hash = hash_of(row)
        end.seq, end.hash = row.seq, row.hash
        name = _COUNTED[type(row)]
        setattr(end, name, getattr(end, name) + 1)
        if isinstance(row, Revision):
            end.cards_seq = row.seq
        elif isinstance(row, Event):
            self.senders[row.sender] = row
        self.written.setdefault(type(row), []).append(row)

    def flush(self) -> None:
        """Put what is linked into the tables now, so that a query in this transaction finds it."""
        for model, rows in self.written.items():
            model._default_manager.bulk_create(rows, batch_size=200)
        self.written.clear()


@contextmanager
def pen() -> Iterator[Pen]:
    """All or nothing: what is linked inside is written at its end, or nothing of it is. Writers wait for each other.

    One at a time: a pen inside a pen would number from the same end twice, so it is refused (RuntimeError); pass the
    one in hand on (put_with, append_with). Raises NotKept where the disk or database does not take it.
    """
    with _in_hand("a pen"), told(), transaction.atomic():
        held = Pen(ChainEnd.objects.select_for_update().get(pk=1))
        first = held.end.seq
        yield held
        held.flush()
        if held.end.seq != first:
            held.end.save()


@contextmanager
def reading() -> Iterator[None]:
    """One moment of the ledger for several queries, whoever writes meanwhile, and no writer waits for it.

    Inside a transaction that is open already (a pen's) its moment counts.
    """
    if connection.in_atomic_block:
        yield
        return
    with _in_hand("a reading"):
        connection.ensure_connection()
        if connection.vendor != "sqlite":
            with transaction.atomic(), connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
                yield
            return
        mode, connection.transaction_mode = connection.transaction_mode, None  # IMMEDIATE would lock writers out
        try:
            with transaction.atomic():
                connection.transaction_mode = mode
                yield
        finally:
            connection.transaction_mode = mode


@contextmanager
def _in_hand(what: str) -> Iterator[None]:
    if _IN_HAND.get():
        raise RuntimeError(f"{what} inside {_IN_HAND.get()}: pass on the one that is in hand")
    token = _IN_HAND.set(what)
    try:
        yield
    finally:
        _IN_HAND.reset(token)


def beginning(end: ChainEnd) -> str:
    """What stands before the first row: whose works the chain is of, and since when."""
    return hashlib.sha256(canonical({"works_id": end.works_id, "made_at": end.made_at.astimezone(UTC)})).hexdigest()


def hash_of(row: Linked) -> str:
    """The hash that a row must have, from its content and the hash before it."""
    content: dict[str, Any] = {"seq": row.seq, "is": type(row).__name__}
    for name in CONTENT[type(row)]:
        content[name] = getattr(row, name)
    if isinstance(row, Snapshot):
        content["media"] = row.blob.media
    return hashlib.sha256(row.prior.encode() + b"\n" + canonical(content)).hexdigest()


def _fits(row: Linked) -> None:
    """SQLite takes texts of any length and with a NUL in it, and moments of no zone; the other engine does not."""
    for name, most in _COLUMNS[type(row)]:
        value = getattr(row, name)
        if isinstance(value, str):
            if most and len(value) > most:
                raise NotReadable(f"{name} has {len(value)} characters, and {most} are kept; say it shorter")
            if "\0" in value:
                raise NotReadable(f"{name} holds a sign that is none (NUL); type it again")
        elif isinstance(value, datetime) and value.tzinfo is None:
            raise NotReadable(f"{name} is a moment without a time zone ({value}); give it one")


def rows_in_order() -> Iterator[Linked]:
    """Every row of the chain by seq, read in pieces."""
    sources = [_by_seq(model) for model in CONTENT]
    waiting = [(row.seq, place, row) for place, source in enumerate(sources) if (row := next(source, None)) is not None]
    while waiting:
        least = min(waiting, key=lambda one: one[:2])
        waiting.remove(least)
        yield least[2]
        after_it = next(sources[least[1]], None)
        if after_it is not None:
            waiting.append((after_it.seq, least[1], after_it))


def _by_seq(model: type[Linked]) -> Iterator[Linked]:
    rows = model._default_manager.order_by("seq")
    if model is Snapshot:
        rows = rows.select_related("blob").defer("blob__data")
    after: int | None = None
    while True:
        found = list((rows if after is None else rows.filter(seq__gt=after))[:2000])
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


def verify(known: Mapping[int, str] | None = None) -> Verified:
    """Read the whole chain and everything it covers, as it stands at one moment; others may go on writing.

    known: place -> hash as once told (on a paper, with a backup); each must still be there. Raises ChainBroken naming
    the first place that does not hold.
    """
    place = 0
    try:
        with reading():
            for place, verified in _read_through(known or {}):  # noqa: B007
                pass
    except (ValueError, TypeError, AttributeError, OverflowError, ObjectDoesNotExist, DatabaseError) as error:
        if isinstance(error, DatabaseError) and not sentence(error):
            raise
        says = sentence(error) if isinstance(error, DatabaseError) else str(error)
        raise ChainBroken(f"after place {place} of the chain something cannot be read ({says})") from error
    assert verified is not None
    return verified


def _read_through(known: Mapping[int, str]) -> Iterator[tuple[int, Verified | None]]:
    end = ChainEnd.objects.filter(pk=1).first()
    if end is None or ChainEnd.objects.count() != 1:
        raise ChainBroken("the chain has no end, or more than one")
    counts = dict.fromkeys(CONTENT, 0)
    walk = Walk()
    prior, seq, cards_seq = beginning(end), 0, 0
    for row in rows_in_order():
        seq += 1
        called = f"{type(row).__name__.lower()} at place {row.seq}"
        if row.seq != seq:
            raise ChainBroken(f"place {seq} of the chain is missing or stands twice; the next row is the {called}")
        if row.prior != prior or row.hash != hash_of(row):
            raise ChainBroken(f"the {called} does not agree with its hash: it, or what stands before it, was changed")
        if known.get(seq, row.hash) != row.hash:
            raise ChainBroken(f"the {called} has another hash than was once told: the chain was written anew")
        if isinstance(row, Revision):
            cards_seq = seq
            _refuse(f"the {called}", walk.step(row))
        counts[type(row)] += 1
        prior = row.hash
        yield seq, None
    found = (*(counts[model] for model in (Revision, Event, Snapshot)), cards_seq)
    stated = (end.revisions, end.events, end.snapshots, end.cards_seq)
    if (seq, prior, found) != (end.seq, end.hash, stated):
        raise ChainBroken(
            f"the chain ends at place {seq} with {found[:3]} revisions, events and snapshots, the last revision at "
            f"{cards_seq}, and its end says {end.seq} with {stated[:3]}, {end.cards_seq}"
        )
    if any(place > seq for place in known):
        raise ChainBroken(f"the chain ends at place {seq}, and places up to {max(known)} were once told: rows are lost")
    _refuse("a list", walk.heads_disagree())
    for blob in Blob.objects.iterator(chunk_size=1):
        data = bytes(blob.data)
        if hashlib.sha256(data).hexdigest() != blob.sha256 or len(data) != blob.size:
            raise ChainBroken(f"the kept file {blob.sha256[:12]} holds other bytes than were kept")
    yield seq, Verified(seq, prior, *found[:3])


def _refuse(what: str, says: str) -> None:
    if says:
        raise ChainBroken(f"{what}: {says}")


def now() -> datetime:
    """This moment in UTC."""
    return timezone.now()


def count(model: type[models.Model]) -> int:
    """Rows of a table."""
    return int(model._default_manager.count())
