"""Cards as chains of revisions: put, keep both, merge, bring back, take out of use. Nothing is changed or deleted.

A card is put with the number that its writer had before him. Where the head has moved on meanwhile, the new revision
is kept aside and the head stays: two contents side by side until a person merges them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from bedsite.records.bodies import ABOUT_KIND, body_of, card_of, content_of, named, words_in
from bedsite.records.chain import Pen, now, pen
from bedsite.records.formats import schema_of
from bedsite.records.models import Head, Revision
from bedwright.errors import BedwrightError, Fault, FaultsFound
from bedwright.identity import fold
from bedwright.works.about import About
from bedwright.works.card import Card
from bedwright.works.kinds import child_rows


class _Untouched(int):
    """A number of its own kind, so that no -1 from a form or file is taken for it."""


UNTOUCHED = _Untouched(-1)
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
    return _put(held, card, False, expected, who, why, at, settles)


def _put(
    held: Pen,
    card: Card | About,
    gone: bool,
    expected: int,
    who: str,
    why: str,
    at: datetime | None,
    settles: int | None,
) -> Put:
    kind, code = named(card)
    head = _head(kind, code)
    if head is not None and head.code != code:
        card = card.model_copy(update={"code": head.code})  # a code stays as it was first written
    return _append(held, head, kind, code, body_of(card), content_of(card), gone, expected, who, why, at, settles)


def take_out(kind: str, code: str, *, expected: int, who: str, why: str = "", at: datetime | None = None) -> Put:
    """Take a card out of use: a revision that says so. Bringing an older one back puts it in use again."""
    with pen() as held:
        return take_out_with(held, kind, code, expected=expected, who=who, why=why, at=at)


def take_out_with(
    held: Pen, kind: str, code: str, *, expected: int, who: str, why: str = "", at: datetime | None = None
) -> Put:
    """`take_out` as one of several in one transaction. Raises Moved for a card that is not there."""
    if kind == ABOUT_KIND:
        raise FaultsFound([Fault("what a works says of itself is not taken out of use", "change it")])
    counts = head(kind, code)
    held.flush()
    base = revision(kind, code, expected) if expected > 0 and expected != counts.number else counts
    return _append(held, counts, kind, code, base.body, base.content, True, expected, who, why, at, None)


def bring_back(kind: str, code: str, number: int, *, expected: int, who: str, why: str = "") -> Put:
    """An old revision as a new one. Raises Moved where there is no such revision."""
    old = revision(kind, code, number)
    with pen() as held:
        return _append(
            held, _head(kind, code), kind, old.code, old.body, old.content, old.gone, expected, who,
            why or f"revision {number} brought back", None, None,
        )  # fmt: skip


def merge(card: Card | About, *, aside: int, expected: int, who: str, why: str = "", gone: bool = False) -> Put:
    """Settle an aside revision: the card as a person decided it, made from the head. Raises Moved.

    expected is the head's number that the person saw; if the head moved on again, the merge is kept aside itself.
    gone: decided that the card is not, or no longer, in use.
    """
    if gone and isinstance(card, About):
        raise FaultsFound([Fault("what a works says of itself is not taken out of use", "change it")])
    kind, code = named(card)
    with pen() as held:
        kept = revision(kind, code, aside)
        if not kept.aside:
            raise Moved(f"revision {aside} of {kind} {code} was not kept aside")
        if Revision.objects.filter(kind=kind, folded=kept.folded, settles=aside).exists():
            raise Moved(f"revision {aside} of {kind} {code} is settled already")
        return _put(held, card, gone, expected, who, why, None, aside)


def _append(
    held: Pen,
    head: Head | None,
    kind: str,
    code: str,
    body: str,
    content: str,
    gone: bool,
    expected: int,
    who: str,
    why: str,
    at: datetime | None,
    settles: int | None,
) -> Put:
    current = head.number if head is not None else 0
    if expected is UNTOUCHED:
        expected = current
    if not 0 <= expected <= (head.last if head is not None else 0):
        raise Moved(f"{kind} {code} has no revision {expected}")
    if head is not None and settles is None and (head.content, head.gone) == (content, gone):
        return Put(kind, head.code, head.number, "same", head.number)
    aside = expected != current
    if aside and head is not None:
        held.flush()
        base = revision(kind, code, expected) if expected and settles is None else None
        if base is not None and (base.content, base.gone) == (content, gone):
            return Put(kind, head.code, expected, "same", current)
        for kept in open_asides(kind, code):  # the same form sent twice
            if (kept.onto, kept.who, kept.content, kept.gone) == (expected, who, content, gone):
                return Put(kind, head.code, kept.number, "aside", current)
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
        at=at or now(),
        why=why,
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
        head.words = words_in(row.kind, row.body)
        head.who, head.at = row.who, row.at
        head.asides -= row.settles is not None
    head.save()


def _head(kind: str, code: str) -> Head | None:
    return Head.objects.filter(kind=kind, folded=_asked(code)).first()


def _asked(text: str) -> str:
    """A text from outside, folded, as a query may ask for it: "" (no card's) where it is none that a table holds."""
    sound = "\0" not in text and not any("\ud800" <= sign <= "\udfff" for sign in text)
    return fold(text) if sound else ""


def head(kind: str, code: str) -> Head:
    """The revision that counts. Raises Moved where the ledger has no such card."""
    found = _head(kind, code)
    if found is None:
        raise Moved(f"{kind} {code} is not in the ledger")
    return found


def heads(kind: str, *, gone: bool = False, holding: str = "", after: str = "", most: int = 0) -> list[Head]:
    """Cards of a kind in the order of their codes: one indexed read. after: folded code to go on from.

    holding: only cards with this text in a text or figure of theirs, whatever its case (not indexed; money left out).
    """
    found = Head.objects.filter(kind=kind, gone=gone, folded__gt=_asked(after))
    if holding:
        wanted = _asked(holding.strip())
        if len(wanted) > _LONGEST_TEXT or not wanted:
            return []
        found = found.filter(words__contains=wanted)
    found = found.order_by("folded")
    return list(found[:most] if most else found)


_LONGEST_TEXT = 1200
"""No text of a card is longer, folded."""


def revision(kind: str, code: str, number: int) -> Revision:
    """One revision of a card. Raises Moved."""
    found = Revision.objects.filter(kind=kind, folded=_asked(code), number=number).first()
    if found is None:
        raise Moved(f"{kind} {code} has no revision {number}")
    return found


def history(kind: str, code: str, most: int = 0) -> list[Revision]:
    """Every revision of a card, the newest first."""
    found = Revision.objects.filter(kind=kind, folded=_asked(code)).order_by("-number")
    return list(found[:most] if most else found)


def open_asides(kind: str, code: str) -> list[Revision]:
    """Revisions kept beside the head that nobody has settled, the oldest first."""
    rows = Revision.objects.filter(kind=kind, folded=_asked(code))
    settled = rows.filter(settles__isnull=False).values("settles")
    return list(rows.filter(aside=True).exclude(number__in=settled).order_by("number"))


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
