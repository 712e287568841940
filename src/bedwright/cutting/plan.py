"""What every cut plan says of itself: value, bound, gap, why it stopped, work done; and what could not be cut."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.words import counted

BOUND_MET = "the bound is met: no plan takes less"
ORDERS_DONE = "all orders allowed by the budget were tried"


@dataclass(frozen=True, slots=True)
class Proof:
    """How good a plan is and how sure that is.

    value: what the plan takes (slits: tenths of a millimetre of stock; sheets: square tenths; lays: tenths of a
    millimetre of roll); bound: what no plan for the same pieces can go below, same unit; stopped: why the trying
    ended; tried: orders of pieces packed; work: placements examined (a count, never a time).
    """

    value: int
    bound: int
    stopped: str
    tried: int
    work: int

    @property
    def gap(self) -> float:
        """Share of the value that is not proven to be needed, 0 to 1."""
        return (self.value - self.bound) / self.value if self.value else 0.0

    @property
    def proven(self) -> bool:
        return self.value == self.bound

    def words(self) -> str:
        if self.proven:
            return f"least possible, proven; {counted(self.tried, 'order')} tried"
        above = f"{100 * (self.value / self.bound - 1):.2g} %" if self.bound else "an unknown share"
        return f"at most {above} above the least possible; {self.stopped} ({self.tried} tried)"


@dataclass(frozen=True, slots=True)
class Short:
    """Pieces that stay uncut because the stock on hand is used up."""

    piece: str
    count: int
    reason: str


def millimetres(tenths: int) -> str:
    """Tenths of a millimetre as people read them: 18505 -> 1850.5, 18500 -> 1850."""
    whole, rest = divmod(abs(tenths), 10)
    sign = "-" if tenths < 0 else ""
    return f"{sign}{whole}.{rest}" if rest else f"{sign}{whole}"


def metres(tenths: int) -> str:
    """Tenths of a millimetre in metres with two decimals, rounded up: cloth is never short by rounding."""
    centimetres = -(-tenths // 100)
    return f"{centimetres // 100}.{centimetres % 100:02d}"
