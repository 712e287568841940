"""What a change would do to the works as a whole: mentions of cards that are not there, codes and prices doubled.

A card judges itself; only the works sees that what it names exists. Faults that the works has already are left to be
mended in their own time, so that they never stand in the way of another change.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date

from django.db.models import Q

from bedsite.records.bodies import ABOUT_KIND
from bedsite.records.cards import card_in
from bedsite.records.models import Head, Released
from bedwright.errors import Fault
from bedwright.identity import fold
from bedwright.works.about import FORMAT, About
from bedwright.works.beds import Bed
from bedwright.works.card import Card, Row
from bedwright.works.kinds import child_rows, references
from bedwright.works.trading import STUFF, Order, Price
from bedwright.works.works import Works, reference_faults

Key = tuple[str, str]
"""(kind, folded code)."""
_FEW = 40
"""So many changed cards are judged among their neighbours alone; more of them against the whole works."""
_DAY = date(2000, 1, 1)
_NOBODY = About(
    format=FORMAT, version="", works_id="?", name="", revision=0, time_zone="UTC", as_of=_DAY, currency="---"
)


def new_faults(changes: Sequence[Card], gone: Sequence[tuple[str, str]]) -> tuple[Fault, ...]:
    """Grave faults that the works would have with these cards put, and those (kind, code) gone, and has not now.

    Call it while the pen is held, so that nobody takes away in between what a card is about to name.
    """
    if len(changes) + len(gone) > _FEW:
        heads = list(Head.objects.filter(gone=False).exclude(kind=ABOUT_KIND))
    elif gone:
        heads = _only_once([*neighbours(changes), *mentioning(gone)])
    else:
        heads = neighbours(changes)
    before = {(head.kind, head.folded): card_in(head) for head in heads}
    return (*released_orders(gone), *faults_gained(before.values(), changes, gone))


def released_orders(gone: Iterable[tuple[str, str]]) -> tuple[Fault, ...]:
    """Orders that are to go while beds of theirs were released: these have works orders and serials that last."""
    folded = {fold(code): code for kind, code in gone if kind == Order.KIND}
    released = Released.objects.filter(what="works order", order_folded__in=list(folded)).order_by("id")
    ids: dict[str, list[str]] = {}
    for row in released:
        ids.setdefault(row.order_folded, []).append(row.id)
    return tuple(
        Fault(
            f"has released works orders ({', '.join(found)}), so it stays",
            "set its state to cancelled instead",
            card=f"{Order.KIND} {folded[code]}",
        )
        for code, found in ids.items()
    )


def faults_gained(
    before: Iterable[Card], changes: Iterable[Card], gone: Iterable[tuple[str, str]] = ()
) -> tuple[Fault, ...]:
    """The same, for cards in hand."""
    cards = {_key(card): card for card in before}
    had = Counter(map(_told, _faults(cards.values())))
    for kind, code in gone:
        cards.pop((kind, fold(code)), None)
    cards |= {_key(card): card for card in changes}
    found = []
    for fault in _faults(cards.values()):
        told = _told(fault)
        if had[told]:
            had[told] -= 1
        elif fault.grave:
            found.append(fault)
    return tuple(found)


def neighbours(changes: Sequence[Card]) -> list[Head]:
    """Heads that decide what these cards do to the works: themselves, what they name, and what shares their name."""
    wanted = {_key(card) for card in changes}
    for card in changes:
        wanted |= set(_named_by(card))
        if card.KIND in STUFF:
            wanted |= {(kind, fold(card.code)) for kind in STUFF}
    whole: set[str] = set()
    if any(isinstance(card, Price) for card in changes):
        whole.add(Price.KIND)
    if any(isinstance(card, Bed) for card in changes):
        whole.add(Order.KIND)  # a bed that is now sold as a pair
    asked = Q(kind__in=whole)
    for kind in {kind for kind, _ in wanted} - whole:
        asked |= Q(kind=kind, folded__in=[code for one, code in wanted if one == kind])
    # a price or an order read only for company names cards that are not read here: faults before and after alike
    return list(Head.objects.filter(asked, gone=False))


def mentioning(gone: Sequence[tuple[str, str]]) -> list[Head]:
    """Heads that may name these cards, and these cards: all whose words hold one of the codes."""
    asked = Q(pk__in=())
    for kind, code in gone:
        asked |= Q(words__contains=fold(code)) | Q(kind=kind, folded=fold(code))
    return list(Head.objects.filter(asked, gone=False).exclude(kind=ABOUT_KIND))


def _only_once(heads: Iterable[Head]) -> list[Head]:
    return list({head.pk: head for head in heads}.values())


def _named_by(card: Card) -> Iterable[Key]:
    models: list[Card | Row] = [card]
    for name in child_rows(type(card)):
        models += getattr(card, name)
    for model in models:
        for name, kinds in references(type(model)).items():
            code = getattr(model, name)
            if code is not None:
                yield from ((kind, fold(code)) for kind in kinds)
    if isinstance(card, Price) and card.of in STUFF:
        yield card.of, fold(card.item)


def _key(card: Card) -> Key:
    return card.KIND, fold(card.code)


def _told(fault: Fault) -> tuple[str, str, str, str]:
    return fault.card, fault.field, fault.value, fault.says  # the remedy names what is near, which says nothing


def _faults(cards: Iterable[Card]) -> list[Fault]:
    return reference_faults(Works.of(_NOBODY, cards))
