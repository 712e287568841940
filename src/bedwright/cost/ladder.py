"""The price ladder: one bed at every size, cheapest area first, each step beside the one below."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bedwright.bill.rows import Bill
from bedwright.cost.sheet import CostSheet


@dataclass(frozen=True, slots=True)
class Rung:
    """One size: area [m2], cost and price [minor units], step over the rung below (None on the lowest), price per m2
    [minor units], and whether every price behind it is known."""

    bed: str
    size: str
    area: float
    total: int
    price: int
    step: int | None
    per_m2: int
    complete: bool


def price_ladder(sheets: Iterable[tuple[Bill, CostSheet]]) -> tuple[Rung, ...]:
    """Rungs by bed, then by area. A step below nothing (a larger bed for less) is shown, not put right."""
    ordered = sorted(sheets, key=lambda pair: (pair[1].bed, pair[0].bed.width * pair[0].bed.length, pair[1].size))
    rungs: list[Rung] = []
    for bill, sheet in ordered:
        area = bill.bed.width * bill.bed.length / 1e6
        below = rungs[-1] if rungs and rungs[-1].bed == sheet.bed else None
        rungs.append(
            Rung(
                bed=sheet.bed,
                size=sheet.size,
                area=area,
                total=sheet.total,
                price=sheet.price,
                step=sheet.price - below.price if below else None,
                per_m2=round(sheet.price / area),
                complete=sheet.complete,
            )
        )
    return tuple(rungs)
