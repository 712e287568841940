"""How much must go in for a good amount to come out: two sums that are often mixed up, named here.

"scrap on output" adds a share of the good amount, good x (1 + s). "scrap on input" is a yield, good / (1 - s). At 5 %
they give 1.0500 and 1.0526. A works must say which one its figure was measured as.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from bedwright.errors import OutsideRange

Number = int | float | Decimal
ScrapOn = Literal["output", "input"]


@dataclass(frozen=True, slots=True)
class SerialYield:
    """Steps in a row: the rolled yield (0 to 1), the start amount unrounded, and whole pieces into each step.

    pieces_in: what each step must be given, first step first, rounded up at every step since half a bed is none.
    """

    rolled: float
    start: float
    pieces_in: tuple[int, ...]


def gross(good: Number, scrap: Number, scrap_on: ScrapOn) -> float:
    """Amount to be put in for `good` to come out, same unit; scrap is a share, 0 to under 1.

    Book: derived. scrap_on "output": good x (1 + s); "input": good / (1 - s). Raises OutsideRange.
    """
    g, s = _exact(good), _exact(scrap)
    if g < 0 or not 0 <= s < 1:
        raise OutsideRange(f"good {good} must be 0 or more and scrap {scrap} a share from 0 to under 1 (5 % is 0.05)")
    if scrap_on == "output":
        return float(g * (1 + s))
    if scrap_on == "input":
        return float(g / (1 - s))
    raise OutsideRange(f"scrap on {scrap_on!r}; say whether it was measured on output or on input")


def serial_yield(good: int, yields: Sequence[Number]) -> SerialYield:
    """What must start so that `good` whole pieces leave the last step. Yields are shares, first step first.

    Book: derived (yields of steps in a row multiply). Raises OutsideRange.
    """
    steps = [_exact(y) for y in yields]
    if good < 0 or not steps or not all(0 < y <= 1 for y in steps):
        raise OutsideRange(f"yields {list(yields)} must be one or more shares over 0 up to 1, good {good} 0 or more")
    rolled = Fraction(1)
    pieces, needed = [], good
    for y in reversed(steps):
        rolled *= y
        needed = math.ceil(needed / y)
        pieces.append(needed)
    return SerialYield(float(rolled), float(good / rolled), tuple(reversed(pieces)))


def _exact(value: Number) -> Fraction:
    """The decimal that was typed, so that 95 at 0.95 needs 100 and not 101."""
    try:
        return Fraction(repr(value)) if isinstance(value, float) else Fraction(value)
    except (ValueError, OverflowError):
        raise OutsideRange(f"{value} is not a number that can be reckoned with") from None
