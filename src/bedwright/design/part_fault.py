"""How a fault of fit is told: the card that carries the cause, in which bed, at which size."""

from __future__ import annotations

from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import Fault
from bedwright.works.card import Card


def part_fault(
    bed: BedAtSize, card: Card, field: str, value: object, says: str, remedy: str, *, grave: bool = True
) -> Fault:
    """A fault of one part of a bed at size."""
    where = card.called if card is bed.bed else f"{card.called} in bed {bed.bed.code}"
    return Fault(
        says=says,
        remedy=remedy,
        value="" if value is None else str(value),
        sheet=type(card).SHEET,
        column=field,
        card=f"{where} at {bed.size.code}",
        field=field,
        grave=grave,
    )
