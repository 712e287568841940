"""A walk along the revisions of every card, as the chain has them: do they follow the rules, do the heads agree?"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from typing import Any

from bedsite.records.models import Head, Revision


@dataclass(slots=True)
class _Card:
    code: str = ""
    number: int = 0
    last: int = 0
    counts: tuple[Any, ...] = ()
    open: set[int] = field(default_factory=set)


@dataclass(slots=True)
class Walk:
    """Where each card stands after the revisions walked so far."""

    _cards: dict[tuple[str, str], _Card] = field(default_factory=dict)

    def step(self, row: Revision) -> str:
        """Go on by one revision; what is wrong with it, "" where nothing is."""
        card = self._cards.setdefault((row.kind, row.folded), _Card(row.code))
        called = f"{row.kind} {row.code}, revision {row.number}"
        if hashlib.sha256(row.body.encode()).hexdigest() != row.content:
            return f"{called} holds another card than its content id says"
        if row.number != card.last + 1 or row.code != card.code:
            return f"{called} follows revision {card.last} of {card.code}"
        if not 0 <= row.onto <= card.last or row.aside is (row.onto == card.number):
            return f"{called} was made from revision {row.onto} while {card.number} counted, aside: {row.aside}"
        if row.settles is not None and (row.aside or row.settles not in card.open):
            return f"{called} settles revision {row.settles}, which is not open"
        card.last = row.number
        if row.aside:
            card.open.add(row.number)
            return ""
        card.open.discard(row.settles or 0)
        card.number = row.number
        card.counts = (row.seq, row.schema, row.content, row.gone, row.who, row.at)
        return ""

    def heads_disagree(self) -> str:
        """Where the heads, which every list is read from, say something else than the revisions; "" where nowhere."""
        left = dict(self._cards)
        for head in Head.objects.order_by("pk").iterator():
            called = f"the head of {head.kind} {head.code}"
            card = left.pop((head.kind, head.folded), None)
            if card is None:
                return f"{called} belongs to no revision"
            counts = (head.seq, head.schema, head.content, head.gone, head.who, head.at)
            numbers = (head.code, head.number, head.last, head.asides)
            if counts != card.counts or numbers != (card.code, card.number, card.last, len(card.open)):
                return f"{called} says otherwise than its revisions"
            if hashlib.sha256(head.body.encode()).hexdigest() != head.content:
                return f"{called} holds another card than its revisions"
        return "" if not left else "{} {} has revisions and no head".format(*next(iter(left)))
