"""What the lines of an order and the beds they name must be to each other."""

from __future__ import annotations

from collections.abc import Iterable

from bedwright.errors import Fault
from bedwright.works.beds import Bed
from bedwright.works.card import Cards
from bedwright.works.trading import Order, OrderLine


def pair_faults(beds: Cards[Bed], orders: Iterable[Order]) -> list[Fault]:
    """Order lines that leave one half of a zip-linked pair alone; a cancelled order asks for nothing."""
    faults = []
    for order in orders:
        for line in sorted(order.lines, key=lambda line: line.position):
            bed = beds.get(line.bed)
            if bed is None or bed.pair == "none" or line.quantity % 2 == 0 or order.state == "cancelled":
                continue
            faults.append(
                Fault(
                    says=f"asks for {line.quantity} of {bed.called}, which is sold as a {bed.pair} pair, two by two",
                    remedy=f"order {line.quantity + 1}, or a bed that is sold singly",
                    value=str(line.quantity),
                    sheet=OrderLine.SHEET,
                    column="quantity",
                    card=f"{order.called}, lines {line.position}",
                    field="quantity",
                )
            )
    return faults
