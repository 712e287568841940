"""Amounts in whole minor units: rounded half-even, once, when a line is printed."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal

_PLACES = {"JPY": 0, "KRW": 0, "VND": 0, "CLP": 0, "ISK": 0, "BHD": 3, "KWD": 3, "OMR": 3, "TND": 3, "JOD": 3}


def minor_places(currency: str) -> int:
    """Decimal places of a currency's minor unit: 2 for most, 0 and 3 for a few (ISO 4217, from memory)."""
    return _PLACES.get(currency.upper(), 2)


def to_minor(amount: Decimal, currency: str) -> int:
    """An amount as whole minor units, rounded half to even."""
    scaled = amount.scaleb(minor_places(currency))
    return int(scaled.quantize(Decimal(1), rounding=ROUND_HALF_EVEN))


def to_major(minor: int, currency: str) -> Decimal:
    """Whole minor units as an amount."""
    return Decimal(minor).scaleb(-minor_places(currency))


def money_words(minor: int, currency: str) -> str:
    """Whole minor units as people read them: 123456 GBP minor units are 1234.56."""
    return f"{to_major(minor, currency):.{minor_places(currency)}f}"


def exact(number: float) -> Decimal:
    """The decimal that a float is written as: 0.1 is 0.1."""
    return Decimal(repr(number))
