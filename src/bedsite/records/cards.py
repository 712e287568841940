"""Cards as chains of revisions: put, keep both, merge, bring back, take out of use. Nothing is changed or deleted.

A card is put with the number that its writer had before him. Where the head has moved on meanwhile, the new revision
is kept aside and the head stays: two contents side by side until a person merges them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from bedsite.records.bodies import body_of, card_of, content_of, named
from bedsite.records.chain import Pen, now, pen
from bedsite.records.formats import schema_of
from bedsite.records.models import Head, Revision
from bedwright.errors import BedwrightError
from bedwright.identity import fold
from bedwright.works.about import About
from bedwright.works.card import Card
from bedwright.works.kinds import child_rows

UNTOUCHED = -1
"""As `expected`: whatever the head is. Only for what no person edits from a page or file."""


class Moved(BedwrightError):
    """The expected revision is not one of the card's."""


@dataclass(frozen=True, slots=True)
class Put:
    """What became of a card that was put: its number, and whether it counts or was kept aside."""

    kind: str
    code: str
    number: int
    state: str  # new, changed, same, aside
    head: int
    """The number that counts now."""


def put(card: Card | About, *, expected: int, who: str, why: str = "", at: datetime | None = None) -> Put:
    """Append a card as a revision of its chain; expected is the number it was made from, 0 for a new card.

    Content that counts already is not written again. Raises Moved for an expected number that never was.
    """
    with pen() as held:
        return put_with(held, card, expected=expected, who=who, why=why, at=at)


def put_with(
    held: Pen,
    card: Card | About,
    *,
    expected: int,
    who: str,
    why: str = "",
    at: datetime | None = None,
    settles: int | None = None,
) -> Put:
    """`put` as one of several in one transaction. settles: the aside revision that this one settles."""
    kind, code = named(card)
    return _append(held, kind, code, body_of(card), content_of(card), False, expected, who, why, at or now(), settles)


def take_out(kind: str, code: str, *, expected: int, who: str, why: str = "", at: datetime | None = None) -> Put:
    """Take a card out of use: a revision that says so. Bringing an older one back puts it in use again."""
    with pen() as held:
        return take_out_with(held, kind, code, expected=expected, who=who, why=why, at=at)


def take_out_with(
    held: Pen, kind: str, code: str, *, expected: int, who: str, why: str = "", at: datetime | None = None
) -> Put:
    """`take_out` as one of several in one transaction. Raises Moved for a card that is not there."""
    head = _head(kind, code)
    if head is None:
        raise Moved(f"{kind} {code} is not in the ledger")
    base = revision(kind, code, expected) if expected > 0 else None
    body, content = (base.body, base.content) if base is not None else (head.body, head.content)
    return _append(held, kind, head.code, body, content, True, expected, who, why, at or now(), None)


def bring_back(kind: str, code: str, number: int, *, expected: int, who: str, why: str = "") -> Put:
    """An old revision as a new one. Raises Moved where there is no such revision."""
    old = revision(kind, code, number)
    with pen() as held:
        return _append(
            held, kind, old.code, old.body, old.content, old.gone, expected, who,
            why or f"revision {number} brought back", now(), None,
        )  # fmt: skip


def merge(card: Card | About, *, aside: int, expected: int, who: str, why: str = "") -> Put:
    """Settle an aside revision: the card as a person decided it, made from the head. Raises Moved.

    expected is the head's number that the person saw; if the head moved on again, the merge is kept aside itself.
    """
    kind, code = named(card)
    with pen() as held:
        kept = revision(kind, code, aside)
        if not kept.aside:
            raise Moved(f"revision {aside} of {kind} {code} was not kept aside")
        if Revision.objects.filter(kind=kind, folded=fold(code), settles=aside).exists():
            raise Moved(f"revision {aside} of {kind} {code} is settled already")
        return put_with(held, card, expected=expected, who=who, why=why, settles=aside)


def _append(
    held: Pen,
    kind: str,
    code: str,
    body: str,
    content: str,
    gone: bool,
    expected: int,
    who: str,
    why: str,
    at: datetime,
    settles: int | None,
) -> Put:
    head = _head(kind, code)
    current = head.number if head is not None else 0
    if expected == UNTOUCHED:
        expected = current
    if not 0 <= expected <= (head.last if head is not None else 0):
        raise Moved(f"{kind} {code} has no revision {expected}")
    if head is not None and settles is None and (head.content, head.gone) == (content, gone):
        return Put(kind, head.code, head.number, "same", head.number)
    aside = expected != current
    if aside and settles is None:
        base = revision(kind, code, expected) if expected else None
        if base is not None and (base.content, base.gone) == (content, gone):
            return Put(kind, code, expected, "same", current)
    row = Revision(
        kind=kind,
        folded=fold(code),
        code=head.code if head is not None else code,
        number=(head.last if head is not None else 0) + 1,
        onto=expected,
        aside=aside,
        settles=settles if not aside else None,
        gone=gone,
        schema=schema_of(kind),
        body=body,
        content=content,
        who=who,
        at=at,
        why=why[:400],
    )
    held.link(row)
    _keep_head(head, row)
    state = "aside" if aside else "new" if head is None else "changed"
    return Put(kind, row.code, row.number, state, current if aside else row.number)


def _keep_head(head: Head | None, row: Revision) -> None:
    if head is None:
        head = Head(kind=row.kind, folded=row.folded, code=row.code)
    head.last = row.number
    if row.aside:
        head.asides += 1
    else:
        head.number, head.seq, head.schema = row.number, row.seq, row.schema
        head.content, head.body, head.gone = row.content, row.body, row.gone
        head.who, head.at = row.who, row.at
        head.asides -= row.settles is not None
    head.save()


def _head(kind: str, code: str) -> Head | None:
    return Head.objects.filter(kind=kind, folded=fold(code)).first()


def head(kind: str, code: str) -> Head:
    """The revision that counts. Raises Moved where the ledger has no such card."""
    found = _head(kind, code)
    if found is None:
        raise Moved(f"{kind} {code} is not in the ledger")
    return found


def heads(kind: str, *, gone: bool = False, holding: str = "", after: str = "", most: int = 0) -> list[Head]:
    """Cards of a kind in the order of their codes: one indexed read. after: folded code to go on from.

    holding: only cards whose body holds this text, whatever its case (not indexed).
    """
    found = Head.objects.filter(kind=kind, gone=gone, folded__gt=after)
    if holding:
        found = found.filter(Q(body__icontains=holding) | Q(code__icontains=holding))
    found = found.order_by("folded")
    return list(found[:most] if most else found)


def revision(kind: str, code: str, number: int) -> Revision:
    """One revision of a card. Raises Moved."""
    found = Revision.objects.filter(kind=kind, folded=fold(code), number=number).first()
    if found is None:
        raise Moved(f"{kind} {code} has no revision {number}")
    return found


def history(kind: str, code: str, most: int = 0) -> list[Revision]:
    """Every revision of a card, the newest first."""
    found = Revision.objects.filter(kind=kind, folded=fold(code)).order_by("-number")
    return list(found[:most] if most else found)


def open_asides(kind: str, code: str) -> list[Revision]:
    """Revisions kept beside the head that nobody has settled, the oldest first."""
    rows = Revision.objects.filter(kind=kind, folded=fold(code)).order_by("number")
    settled = {row.settles for row in rows if row.settles is not None}
    return [row for row in rows if row.aside and row.number not in settled]


def card_in(row: Head | Revision) -> Card:
    """The card that a head or revision holds. Raises NotReadable for a newer schema; not for `about`."""
    return card_of(row.kind, row.schema, row.body)


@dataclass(frozen=True, slots=True)
class Difference:
    """One field of a card in two revisions, as people read it; row names a nested row, "" for the card itself."""

    field: str
    row: str
    before: object
    after: object


def compare(before: Card | About, after: Card | About) -> tuple[Difference, ...]:
    """What two contents of a card differ in, field by field, nested rows by their position (and face)."""
    return tuple(_compare(before, after))


def _compare(before: Card | About, after: Card | About) -> Iterator[Difference]:
    nested = child_rows(type(before)) if isinstance(before, Card) else {}
    for name in type(before).model_fields:
        if name not in nested:
            one, other = getattr(before, name), getattr(after, name)
            if one != other:
                yield Difference(name, "", one, other)
            continue
        rows = [{row_key(row): row for row in getattr(card, name)} for card in (before, after)]
        for key in sorted(rows[0].keys() | rows[1].keys()):
            one, other = rows[0].get(key), rows[1].get(key)
            for field in nested[name].model_fields:
                values = [getattr(row, field) if row is not None else None for row in (one, other)]
                if values[0] != values[1]:
                    yield Difference(field, f"{name} {' '.join(map(str, key))}", *values)


def row_key(row: object) -> tuple[str, int]:
    """What names a nested row within its card: its face, where it has one, and its position."""
    return str(getattr(row, "face", "") or ""), int(getattr(row, "position", 0))
