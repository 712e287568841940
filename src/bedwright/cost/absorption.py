"""Overhead carried into beds by a rate, and how far that was over or under what was spent.

The rate is never rounded before use: rounding 175000/12000 to 14.58 moves the answer by 38 (ba2-2018).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from bedwright.errors import OutsideRange


@dataclass(frozen=True, slots=True)
class Absorption:
    """absorbed, actual and their difference, all in the money of the inputs, unrounded.

    difference over 0: more was carried into beds than was spent (over-absorbed); under 0: under-absorbed.
    """

    absorbed: Decimal
    actual: Decimal
    difference: Decimal

    @property
    def says(self) -> str:
        if self.difference == 0:
            return "absorbed exactly"
        return f"{'over' if self.difference > 0 else 'under'}-absorbed by {abs(self.difference)}"


def absorption_rate(budget_overhead: Decimal, budget_base: Decimal) -> Decimal:
    """Money for one unit of the base (hour, minute, bed), to 28 figures, for showing. Book: cima-p1.

    Raises OutsideRange for a base of nothing.
    """
    return _decimal(_rate(budget_overhead, budget_base))


def absorb(
    *, budget_overhead: Decimal, budget_base: Decimal, actual_base: Decimal, actual_overhead: Decimal
) -> Absorption:
    """Over- or under-absorption from budget and actual, without rounding between.

    Books: absorption-exercise, ba2-2018.
    """
    absorbed = _rate(budget_overhead, budget_base) * Fraction(actual_base)
    return _result(absorbed, actual_overhead)


def absorb_at(rate: Decimal, *, actual_base: Decimal, actual_overhead: Decimal) -> Absorption:
    """The same for a rate that is given, as where a price list fixes it. Book: cima-p1."""
    return _result(Fraction(rate) * Fraction(actual_base), actual_overhead)


def _rate(budget_overhead: Decimal, budget_base: Decimal) -> Fraction:
    if not (budget_base.is_finite() and budget_overhead.is_finite() and budget_base > 0 and budget_overhead >= 0):
        raise OutsideRange(f"overhead {budget_overhead} over base {budget_base}: the base must be more than nothing")
    return Fraction(budget_overhead) / Fraction(budget_base)


def _result(absorbed: Fraction, actual: Decimal) -> Absorption:
    return Absorption(_decimal(absorbed), actual, _decimal(absorbed - Fraction(actual)))


def _decimal(exact: Fraction) -> Decimal:
    return Decimal(exact.numerator) / Decimal(exact.denominator)
