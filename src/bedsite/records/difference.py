"""The difference between a works read from a file and the ledger, three ways, and taking it in, all or nothing.

A file is a view, stamped with the revision N of the works that it was taken from. What it changed is judged against the
works as it stood at N: a card that is as it was at N is no change of the file, whatever the ledger did to it since, so
a stale file never turns anything back. A card that both changed is a clash: taken in as made from its number at N, and
so kept aside, side by side with what counts, until a person merges.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from bedsite.records import cards
from bedsite.records.bodies import ABOUT_KIND
from bedsite.records.chain import Pen, now, pen, reading
from bedsite.records.judge import new_faults
from bedsite.records.ledger import end
from bedsite.records.models import Revision
from bedsite.records.sides import (
    ADDED,
    CHANGED,
    CLASHING,
    GONE,
    Change,
    Key,
    Row,
    Sides,
    counted_then,
    counting_now,
    key_of,
)
from bedwright.errors import BedwrightError, Fault, FaultsFound, NotReadable
from bedwright.works.about import About
from bedwright.works.card import Card
from bedwright.works.kinds import KINDS
from bedwright.works.works import Works

__all__ = (
    "ADDED", "CHANGED", "CLASHING", "GONE",
    "Applied", "Change", "Counts", "Difference", "Shifted", "apply", "difference",
)  # fmt: skip

ORDER = (ABOUT_KIND, *(kind.KIND for kind in KINDS))
"""Kinds in the order of the workbook's sheets."""
MOST_GONE = 0.10
"""More of a kind gone than this, and at least one card, needs its number typed."""


@dataclass(frozen=True, slots=True)
class Counts:
    """One kind: cards in use at N, and how many of them (or beside them) the file added, changed and left out."""

    kind: str
    at_base: int
    added: int
    changed: int
    gone: int
    clashing: int
    missing: int
    """Cards in use that the file no longer holds: gone ones, and clashing ones that it left out."""

    @property
    def share_gone(self) -> float:
        """Share of the kind's cards at N that the file no longer holds."""
        return self.missing / self.at_base if self.at_base else 0.0

    @property
    def needs_number(self) -> bool:
        """Whether so much is gone that the number must be typed."""
        return self.missing > 0 and self.share_gone > MOST_GONE


@dataclass(frozen=True, slots=True)
class Difference:
    """What a file changed against the works as it stood at `base`, and what the ledger changed since then."""

    stamp: int
    """Revision in the file's sheet `about`."""
    base: int
    """N: the revision compared with; the one at which the works was taken in, for a file made before that."""
    head: int
    """Revision of the works now, when this was worked out."""
    changes: tuple[Change, ...]
    """Of the file, kind by kind in the order of the workbook, codes in order."""
    since: tuple[Change, ...]
    """Of the ledger since N, the file's clashes among them; what of it the file did not touch stays as it is."""
    counts: tuple[Counts, ...]
    """Of kinds in which the file changed anything."""
    found: Works
    """The works as the file has it."""

    @property
    def empty(self) -> bool:
        """Whether the file changed nothing."""
        return not self.changes

    def of_kind(self, kind: str) -> tuple[Change, ...]:
        """The changes of one kind."""
        return tuple(change for change in self.changes if change.kind == kind)

    @property
    def numbers(self) -> dict[str, int]:
        """Kind -> how many cards of it are gone, for the kinds whose number must be typed."""
        return {one.kind: one.missing for one in self.counts if one.needs_number}


@dataclass(frozen=True, slots=True)
class Applied:
    """What was taken in: the revision of the works now, and each card with what became of it."""

    revision: int
    puts: tuple[cards.Put, ...]

    @property
    def aside(self) -> tuple[cards.Put, ...]:
        """The clashes: kept beside what counts until a person merges them."""
        return tuple(put for put in self.puts if put.state == "aside")


class Shifted(BedwrightError):
    """The ledger moved between showing and taking in, and the difference is another one now: carried along, to show."""

    def __init__(self, difference: Difference) -> None:
        self.difference = difference
        super().__init__("the works was changed meanwhile; nothing was taken in, look at the difference as it is now")


def difference(found: Works) -> Difference:
    """Compare a works read from a file with the ledger.

    Raises NotReadable for a file of another works, or stamped with a revision that this ledger has not reached.
    """
    with reading():
        return _difference(found)


def _difference(found: Works) -> Difference:
    stamp = end()
    if found.about.works_id != stamp.works_id:
        raise NotReadable(
            f"the file is of the works {found.about.works_id!r}, and the ledger of {stamp.works_id!r}; nothing was read"
        )
    if found.about.revision > stamp.cards_seq:
        raise NotReadable(
            f"the file is stamped with revision {found.about.revision}, and the ledger has reached {stamp.cards_seq}: "
            "it was taken from another copy of the ledger; export from this one, and change that"
        )
    base = max(found.about.revision, taken_in_at())
    then, today = counted_then(base), counting_now()
    inside: list[Card | About] = [found.about, *found.all_cards()]
    files = {key_of(card): card for card in inside}
    changes, since = [], []
    for key in sorted(then.keys() | today.keys() | files.keys(), key=lambda one: (ORDER.index(one[0]), one[1])):
        sides = Sides(key[0], then.get(key), today.get(key), files.get(key))
        if (of_file := sides.of_file()) is not None:
            changes.append(of_file)
        if (of_ledger := sides.of_ledger()) is not None:
            since.append(of_ledger)
    counts = tuple(_counts(changes, then))
    return Difference(found.about.revision, base, stamp.cards_seq, tuple(changes), tuple(since), counts, found)


def apply(shown: Difference, who: str, why: str, gone: Mapping[str, int] | None = None) -> Applied:
    """Take a difference in as it was shown, all of it or nothing. gone: kind -> number typed.

    Raises FaultsFound where a kind loses more than a tenth and its number was not typed, or where the works after would
    have a fault that it has not now; Shifted where the ledger moved and the difference is another one.
    """
    with pen() as held:
        current = shown
        if end().cards_seq != shown.head:
            current = difference(shown.found)
            if current.changes != shown.changes:
                raise Shifted(current)
        _refuse_gone(current, gone or {})
        _refuse_faults(current)
        at = now()
        puts = tuple(_take(held, change, who, why or "from a file", at) for change in current.changes)
        return Applied(held.end.cards_seq, puts)


def taken_in_at() -> int:
    """The revision at which the works was taken in: everything before it was one act."""
    first = Revision.objects.order_by("seq").first()
    if first is None:
        return 0
    return int(Revision.objects.filter(at=first.at, number=1).order_by("-seq").values_list("seq", flat=True)[0])


def _counts(changes: list[Change], then: Mapping[Key, Row]) -> Iterator[Counts]:
    for kind in ORDER:
        of_kind = [change for change in changes if change.kind == kind]
        if not of_kind:
            continue
        at_base = sum(1 for (other, _), row in then.items() if other == kind and not row.gone)
        told = {what: sum(1 for change in of_kind if change.what == what) for what in (ADDED, CHANGED, GONE, CLASHING)}
        missing = sum(1 for change in of_kind if change.after is None)
        yield Counts(kind, at_base, told[ADDED], told[CHANGED], told[GONE], told[CLASHING], missing)


def _refuse_gone(current: Difference, typed: Mapping[str, int]) -> None:
    faults = []
    for one in current.counts:
        if one.needs_number and typed.get(one.kind) != one.missing:
            says = f"{one.missing} of {one.at_base} cards {one.kind} are gone from the file, more than a tenth"
            value = str(typed[one.kind]) if one.kind in typed else ""
            faults.append(Fault(says, f"if that is meant, give their number: {one.kind}={one.missing}", value=value))
    if faults:
        raise FaultsFound(faults)


def _refuse_faults(current: Difference) -> None:
    """Refuse what would leave the works with a grave fault that it has not now; clashes count for nothing yet."""
    taken = [change for change in current.changes if change.what != CLASHING]
    put = [change.after for change in taken if isinstance(change.after, Card)]
    faults = new_faults(put, [(change.kind, change.code) for change in taken if change.after is None])
    if faults:
        raise FaultsFound(faults)


def _take(held: Pen, change: Change, who: str, why: str, at: datetime) -> cards.Put:
    if change.after is None:
        return cards.take_out_with(held, change.kind, change.code, expected=change.base, who=who, why=why, at=at)
    return cards.put_with(held, change.after, expected=change.base, who=who, why=why, at=at)
