"""The difference between a works read from a file and the ledger, three ways, and taking it in, all or nothing.

A file is a view, stamped with the revision N of the works that it was taken from. What it changed is judged against the
works as it stood at N: a card that is as it was at N is no change of the file, whatever the ledger did to it since, so
a stale file never turns anything back. A card that both changed is a clash: taken in as made from its number at N, and
so kept aside, side by side with what counts, until a person merges.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import sha256

from bedsite.records import cards
from bedsite.records.bodies import ABOUT_KIND, about_of, body_of, card_of, content_of, named
from bedsite.records.chain import Pen, now, pen
from bedsite.records.formats import schema_of
from bedsite.records.ledger import end
from bedsite.records.models import Head, Revision
from bedwright.errors import BedwrightError, Fault, FaultsFound, NotReadable
from bedwright.identity import fold
from bedwright.works.about import About
from bedwright.works.card import Card
from bedwright.works.kinds import KINDS
from bedwright.works.works import Works, reference_faults

ORDER = (ABOUT_KIND, *(kind.KIND for kind in KINDS))
"""Kinds in the order of the workbook's sheets."""
MOST_GONE = 0.10
"""More of a kind gone than this, and at least one card, needs its number typed."""
ADDED, CHANGED, GONE, CLASHING = "added", "changed", "gone", "clashing"


@dataclass(frozen=True, slots=True)
class Change:
    """One card that differs: as it stood at N, as the file (or, of `since`, the ledger) has it; None where not in use.

    what is added, changed, gone or clashing; base is the number that counted at N, 0 for a card new since.
    """

    kind: str
    code: str
    what: str
    base: int
    before: Card | About | None
    after: Card | About | None
    now: Card | About | None = None
    """Of a clash: the card that counts now, None where the ledger took it out of use."""

    @property
    def fields(self) -> tuple[cards.Difference, ...]:
        """What the file changed, field by field; of an added or gone card nothing, its whole content is the change."""
        return _fields(self.before, self.after)

    @property
    def since(self) -> tuple[cards.Difference, ...]:
        """Of a clash: what the ledger changed in this card since N, field by field."""
        return _fields(self.before, self.now)


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
    then, today = _counted(base), _heads()
    inside: list[Card | About] = [found.about, *found.all_cards()]
    files = {_key(card): card for card in inside}
    changes, since = [], []
    for key in sorted(then.keys() | today.keys() | files.keys(), key=lambda one: (ORDER.index(one[0]), one[1])):
        sides = _Sides(key[0], then.get(key), today.get(key), files.get(key))
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


@dataclass(frozen=True, slots=True)
class _Row:
    """A card as the ledger has it at some place of the chain."""

    kind: str
    number: int
    schema: int
    content: str
    body: str
    gone: bool

    @property
    def card(self) -> Card | About:
        if self.kind == ABOUT_KIND:
            return about_of(self.body, self.schema, works_id="-", revision=0)
        return card_of(self.kind, self.schema, self.body)

    def holds(self, card: Card | About) -> bool:
        """Whether the card says the same; older schema, order of nested rows, spelling of the code do not count."""
        if sha256(body_of(card).encode()).hexdigest() == self.content:
            return True
        return not _fields(self.card, card)


@dataclass(frozen=True, slots=True)
class _Sides:
    """One card on three sides: at N, now, and in the file."""

    kind: str
    then: _Row | None
    today: _Row | None
    file: Card | About | None

    def of_file(self) -> Change | None:
        """What the file changed; None where it is as at N, or as it is now."""
        if _says(self.then, self.file) or _says(self.today, self.file):
            return None
        base = self.then.number if self.then is not None else 0
        before, after = _in_use(self.then), self._spelled()
        moved = self.today is not None and self.today.number != base
        if moved and self.today is not None and _says(self.today, before):
            base, moved = self.today.number, False  # changed and turned back: nobody's change is in the way
        if moved and self._known(base):
            return None
        what = CLASHING if moved else ADDED if before is None else GONE if after is None else CHANGED
        shown = after if after is not None else before
        assert shown is not None
        return Change(self.kind, named(shown)[1], what, base, before, after, _in_use(self.today) if moved else None)

    def of_ledger(self) -> Change | None:
        """What the ledger changed since N."""
        if self.today is None or (self.then is not None and self.then.number == self.today.number):
            return None
        before, after = _in_use(self.then), _in_use(self.today)
        shown = after if after is not None else before
        if shown is None or (before is not None and after is not None and not _fields(before, after)):
            return None
        what = ADDED if before is None else GONE if after is None else CHANGED
        number = self.then.number if self.then is not None else 0
        return Change(self.kind, named(shown)[1], what, number, before, after)

    def _spelled(self) -> Card | About | None:
        """The file's card as the ledger would keep it: its code as first spelled, its figures at nine digits."""
        if self.file is None or isinstance(self.file, About):
            return self.file
        row = self.then or self.today
        code = row.card.code if row is not None and isinstance(row.card, Card) else self.file.code
        kept = self.file.model_copy(update={"code": code})
        return card_of(self.kind, schema_of(self.kind), body_of(kept))

    def _known(self, base: int) -> bool:
        """Whether the ledger was given this very change before: the same file taken in twice adds nothing."""
        shown = self.file if self.file is not None else _in_use(self.then)
        assert shown is not None
        kind, code = named(shown)
        given = Revision.objects.filter(kind=kind, folded=fold(code), number__gt=base, gone=self.file is None)
        if self.file is None:
            return given.filter(onto=base).exists()
        return given.filter(content=content_of(self._spelled() or shown)).exists()


def _says(row: _Row | None, card: Card | About | None) -> bool:
    if row is None or row.gone:
        return card is None
    return card is not None and row.holds(card)


def _in_use(row: _Row | None) -> Card | About | None:
    return None if row is None or row.gone else row.card


def _key(card: Card | About) -> tuple[str, str]:
    kind, code = named(card)
    return kind, fold(code)


def _fields(before: Card | About | None, after: Card | About | None) -> tuple[cards.Difference, ...]:
    if before is None or after is None:
        return ()
    left_out = {"format", "version", "works_id", "revision"} if isinstance(before, About) else {"code"}
    if isinstance(after, Card):
        after = card_of(after.KIND, schema_of(after.KIND), body_of(after))
    return tuple(one for one in cards.compare(before, after) if one.row or one.field not in left_out)


def _heads() -> dict[tuple[str, str], _Row]:
    return {(row.kind, row.folded): _row(row) for row in Head.objects.all().iterator()}


def _counted(base: int) -> dict[tuple[str, str], _Row]:
    """What counted at N. Most of it is what counts now, so only cards that moved since are looked for in the chain."""
    found = {(row.kind, row.folded): _row(row) for row in Head.objects.filter(seq__lte=base).iterator()}
    moved = Head.objects.filter(seq__gt=base).values_list("kind", "folded")
    for kind, folded in list(moved):
        row = Revision.objects.filter(kind=kind, folded=folded, seq__lte=base, aside=False).order_by("-seq").first()
        if row is not None:
            found[kind, folded] = _row(row)
    return found


def _row(row: Head | Revision) -> _Row:
    return _Row(row.kind, row.number, row.schema, row.content, row.body, row.gone)


def _counts(changes: list[Change], then: Mapping[tuple[str, str], _Row]) -> Iterator[Counts]:
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
    faults = new_faults(_works_now(), current.changes)
    if faults:
        raise FaultsFound(faults)


def new_faults(works: Works, changes: tuple[Change, ...]) -> list[Fault]:
    """Grave faults that the works would gain by these changes."""
    kept = {_key(card): card for card in works.all_cards()}
    about = works.about
    for change in changes:
        key = (change.kind, fold(change.code))
        if change.what == CLASHING:
            continue
        if isinstance(change.after, About):
            about = change.after
        elif change.after is None:
            kept.pop(key, None)
        else:
            kept[key] = change.after
    had = {_bare(fault) for fault in reference_faults(works)}
    after = reference_faults(Works.of(about, kept.values()))
    return [fault for fault in after if fault.grave and _bare(fault) not in had]


def _bare(fault: Fault) -> Fault:
    return replace(fault, remedy="", row=0, cell="")


def _works_now() -> Works:
    heads = [row for row in _heads().items() if not row[1].gone]
    about = next(row.card for (kind, _), row in heads if kind == ABOUT_KIND)
    assert isinstance(about, About)
    return Works.of(about, [row.card for _, row in heads if isinstance(row.card, Card)])


def _take(held: Pen, change: Change, who: str, why: str, at: datetime) -> cards.Put:
    if change.after is None:
        return cards.take_out_with(held, change.kind, change.code, expected=change.base, who=who, why=why, at=at)
    return cards.put_with(held, change.after, expected=change.base, who=who, why=why, at=at)
