"""The cost of one bed, line by line, in whole minor units: the sum of the printed lines is the total."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from bedwright.cost.contribution import Left
from bedwright.cost.money import to_major

PARTS = ("material", "labour", "piece work", "outside", "set-up", "overhead", "reject")
VARIABLE = ("material", "labour", "piece work", "outside", "set-up", "reject")


@dataclass(frozen=True, slots=True)
class CostLine:
    """One printed line: part of the cost, code, quantity in its unit, price for one, amount in minor units, the sum."""

    line: int
    part: str
    code: str
    name: str
    quantity: float
    unit: str
    price: Decimal
    amount: int
    how: str


@dataclass(frozen=True, slots=True)
class Missing:
    """Something that has no price on the day, or one that cannot be used; it is not in the total."""

    of: str
    item: str
    says: str


@dataclass(frozen=True, slots=True)
class CostSheet:
    """What one bed costs on a day.

    All amounts in minor units of `currency`. material_by_scrap: materials by the house's scrap rates on what is put in;
    material_by_yield: the same by the cut plan's yields where it gives one, None without a plan; lines use the yield
    where there is one. missing: not in the total, which is then the least it can be. assumed: house figures that stood
    in for what no card says. price: for `margin` (share of the price) over the total. left: contribution over variable
    cost (everything but overhead) and for a bottleneck minute, None where no bottleneck was named.
    """

    bed: str
    size: str
    as_of: date
    currency: str
    run_beds: int
    lines: tuple[CostLine, ...]
    missing: tuple[Missing, ...]
    assumed: tuple[str, ...]
    material_by_scrap: int
    material_by_yield: int | None
    total: int
    margin: Decimal
    price: int
    left: Left | None

    @property
    def complete(self) -> bool:
        """Whether nothing is missing; otherwise total and price are the least they can be."""
        return not self.missing

    @property
    def made_for(self) -> Decimal | None:
        """The total in whole money; None while something is missing from it."""
        return to_major(self.total, self.currency) if self.complete else None

    def of_part(self, part: str) -> int:
        """Sum of the lines of one part [minor units]."""
        return sum(line.amount for line in self.lines if line.part == part)

    @property
    def variable(self) -> int:
        """Everything but overhead [minor units]."""
        return sum(self.of_part(part) for part in VARIABLE)

    @property
    def says(self) -> str:
        """How sure the total is, in words."""
        if self.complete:
            return "every price is known"
        names = ", ".join(f"{one.of} {one.item}" for one in self.missing)
        return f"at least; not priced: {names}"
