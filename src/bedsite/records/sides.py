"""One card on three sides: as it stood at a revision N, as it counts now, as a file has it; and what differs."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256

from bedsite.records import cards
from bedsite.records.bodies import ABOUT_KIND, about_of, body_of, card_of, content_of, named
from bedsite.records.formats import schema_of
from bedsite.records.models import Head, Revision
from bedwright.identity import fold
from bedwright.works.about import About
from bedwright.works.card import Card

ADDED, CHANGED, GONE, CLASHING = "added", "changed", "gone", "clashing"
Key = tuple[str, str]
"""(kind, folded code)."""
_AT_ONCE = 500


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
class Row:
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
class Sides:
    """One card on three sides: at N, now, and in the file."""

    kind: str
    then: Row | None
    today: Row | None
    file: Card | About | None

    def of_file(self) -> Change | None:
        """What the file changed; None where it is as at N, or as it is now."""
        if _says(self.then, self.file) or _says(self.today, self.file):
            return None
        base = self.then.number if self.then is not None else 0
        before, after = in_use(self.then), self._spelled()
        moved = self.today is not None and self.today.number != base
        if moved and self.today is not None and _says(self.today, before):
            base, moved = self.today.number, False  # changed and turned back: nobody's change is in the way
        if moved and self._known(base):
            return None
        what = CLASHING if moved else ADDED if before is None else GONE if after is None else CHANGED
        shown = after if after is not None else before
        assert shown is not None
        return Change(self.kind, named(shown)[1], what, base, before, after, in_use(self.today) if moved else None)

    def of_ledger(self) -> Change | None:
        """What the ledger changed since N."""
        if self.today is None or (self.then is not None and self.then.number == self.today.number):
            return None
        before, after = in_use(self.then), in_use(self.today)
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
        shown = self.file if self.file is not None else in_use(self.then)
        assert shown is not None
        kind, code = named(shown)
        given = Revision.objects.filter(kind=kind, folded=fold(code), number__gt=base, gone=self.file is None)
        if self.file is None:
            return given.filter(onto=base).exists()
        return given.filter(content=content_of(self._spelled() or shown)).exists()


def _says(row: Row | None, card: Card | About | None) -> bool:
    if row is None or row.gone:
        return card is None
    return card is not None and row.holds(card)


def in_use(row: Row | None) -> Card | About | None:
    return None if row is None or row.gone else row.card


def _fields(before: Card | About | None, after: Card | About | None) -> tuple[cards.Difference, ...]:
    if before is None or after is None:
        return ()
    left_out = {"format", "version", "works_id", "revision"} if isinstance(before, About) else {"code"}
    if isinstance(after, Card):
        after = card_of(after.KIND, schema_of(after.KIND), body_of(after))
    found = (one for one in cards.compare(before, after) if one.row or one.field not in left_out)
    return tuple(one for one in found if _bare(one.before) != _bare(one.after))


def _bare(value: object) -> object:
    """Signs without a shape at the ends of a text are cut off by any reader of files, and are no content."""
    return value.strip() if isinstance(value, str) else value


def key_of(card: Card | About) -> Key:
    kind, code = named(card)
    return kind, fold(code)


def counting_now() -> dict[Key, Row]:
    return {(row.kind, row.folded): row_of(row) for row in Head.objects.all().iterator()}


def counted_then(base: int) -> dict[Key, Row]:
    """What counted at N. Most of it is what counts now, so only cards that moved since are looked for in the chain."""
    found = {(row.kind, row.folded): row_of(row) for row in Head.objects.filter(seq__lte=base).iterator()}
    moved: dict[str, list[str]] = {}
    for kind, folded in Head.objects.filter(seq__gt=base).values_list("kind", "folded"):
        moved.setdefault(kind, []).append(folded)
    for kind, names in moved.items():
        for start in range(0, len(names), _AT_ONCE):
            some = Revision.objects.filter(kind=kind, folded__in=names[start : start + _AT_ONCE], aside=False)
            for row in some.filter(seq__lte=base).order_by("seq"):
                found[kind, row.folded] = row_of(row)
    return found


def row_of(row: Head | Revision) -> Row:
    return Row(row.kind, row.number, row.schema, row.content, row.body, row.gone)
