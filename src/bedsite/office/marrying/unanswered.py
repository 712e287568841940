"""What waits for somebody's answer: changes kept aside, enquiries, briefs that no bed answers."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bedsite.doors import rights
from bedsite.records import cards
from bedsite.records.bodies import ABOUT_KIND
from bedsite.records.models import Head
from bedwright.errors import BedwrightError
from bedwright.works.kinds import BY_KIND
from bedwright.works.trading import Brief, Order

MOST = 20
"""Of each kind; the lists hold the others."""


@dataclass(frozen=True, slots=True)
class Waits:
    """A card that waits: its list and code, and what for."""

    kind: str
    sheet: str
    code: str
    says: str


def unanswered(roles: Iterable[str]) -> tuple[list[Waits], bool]:
    """What waits, by kind; and whether there is more of it than stands here."""
    held = frozenset(roles)
    found: list[Waits] = []
    more = False
    for some in (_asides(held), _enquiries(), _briefs()):
        more = more or len(some) > MOST
        found += some[:MOST]
    return found, more


def _asides(roles: frozenset[str]) -> list[Waits]:
    rows = Head.objects.filter(asides__gt=0).order_by("kind", "folded").defer("body", "words")
    seen = [head for head in rows[: 4 * MOST] if head.kind == ABOUT_KIND or rights.may_see_kind(roles, head.kind)]
    return [Waits(head.kind, _sheet(head.kind), head.code, f"a merge: {head.asides} kept aside") for head in seen][
        : MOST + 1
    ]


def _enquiries() -> list[Waits]:
    found = []
    for head in cards.heads(Order.KIND, holding="enquiry", most=5 * MOST):
        try:
            card = cards.card_in(head)
        except BedwrightError:
            continue
        if isinstance(card, Order) and card.state == "enquiry":
            says = f"an answer to {card.customer}, who asks for {card.due}"
            found.append(Waits(Order.KIND, Order.SHEET, card.code, says))
    return found[: MOST + 1]


def _briefs() -> list[Waits]:
    found = []
    for head in cards.heads(Brief.KIND, most=10 * MOST):
        try:
            card = cards.card_in(head)
        except BedwrightError:
            continue
        if isinstance(card, Brief) and card.bed is None:
            found.append(Waits(Brief.KIND, Brief.SHEET, card.code, f"a bed for {card.customer}, wanted by {card.due}"))
    return found[: MOST + 1]


def _sheet(kind: str) -> str:
    return BY_KIND[kind].SHEET if kind in BY_KIND else ABOUT_KIND
