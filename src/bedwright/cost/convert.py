"""From what a bill counts to what a price is for: kg, m, m2, m3, each. What no card can turn is said, never guessed."""

from __future__ import annotations

from bedwright.bill.rows import BillRow
from bedwright.mechanics.wire import mass_per_metre
from bedwright.works.card import Card
from bedwright.works.materials import Cloth, Filling, Film, Trim
from bedwright.works.springs import Unit, Wire
from bedwright.works.works import Works


def priced_quantity(works: Works, row: BillRow, per: str) -> tuple[float, str] | None:
    """(quantity in the price's unit, the turn in words), before scrap; None where the card lacks what it takes.

    A running metre is the area over the full roll width: width that is left over is the cut plan's yield.
    """
    if per == row.counted_in:
        return row.quantity, ""
    if per == "kg":
        return (row.taken_mass, "by mass") if row.taken_mass > 0 else None
    return _turned(works.stuff(row.code), row, per)


def _turned(card: Card, row: BillRow, per: str) -> tuple[float, str] | None:
    if isinstance(card, Wire):
        if per == "m" and card.form == "round":
            return row.quantity * 1000 / mass_per_metre(card.diameter), "by g/m"
        return None
    if isinstance(card, Cloth):
        return (row.quantity * 1000 / card.roll_width, f"/ {card.roll_width:g} mm roll") if per == "m" else None
    if isinstance(card, Filling):
        return _filling(card, row, per)
    if isinstance(card, Film):
        if per == "m" and card.tube_width:
            return row.quantity * 1000 / (2 * card.tube_width), f"/ tube 2 x {card.tube_width:g} mm"
        return None
    if isinstance(card, Trim):
        return _trim(card, row, per)
    if isinstance(card, Unit) and per == "m2" and row.cut_width and row.cut_length:
        return row.quantity * row.cut_width * row.cut_length / 1e6, "by width x length"
    return None


def _filling(card: Filling, row: BillRow, per: str) -> tuple[float, str] | None:
    if per == "m3":
        return row.quantity * card.thickness / 1000, f"x {card.thickness:g} mm"
    if per == "m":
        return row.quantity * 1000 / card.sheet_width, f"/ {card.sheet_width:g} mm roll"
    if per == "each" and card.sheet_length:
        return row.quantity * 1e6 / (card.sheet_width * card.sheet_length), "by sheet"
    return None


def _trim(card: Trim, row: BillRow, per: str) -> tuple[float, str] | None:
    metres: float | None = None
    if row.counted_in == "m":
        metres = row.quantity
    elif row.counted_in == "kg" and card.mass_per_metre:
        metres = row.quantity * 1000 / card.mass_per_metre
    elif row.counted_in == "each" and card.length:
        metres = row.quantity * card.length / 1000
    if per == "m" and metres is not None:
        return metres, "by length"
    if per == "each":
        if metres is not None and card.length:
            return metres * 1000 / card.length, f"/ {card.length:g} mm each"
        if row.counted_in == "kg" and card.piece_mass:
            return row.quantity * 1000 / card.piece_mass, "by piece mass"
    return None
