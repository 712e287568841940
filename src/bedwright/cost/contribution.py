"""What a bed leaves over its variable cost, what it leaves for a minute at the bottleneck, and prices. Decimals.

Textbook practice (from-memory). Margin is a share of the price, mark-up a share of the cost: 35 % margin is a mark-up
of 53.8 %, so the two have two functions.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from bedwright.errors import OutsideRange


@dataclass(frozen=True, slots=True)
class Offered:
    """One bed offered: price and variable cost [money], minutes that it holds the bottleneck work place."""

    name: str
    price: Decimal
    variable_cost: Decimal
    bottleneck_minutes: Decimal


@dataclass(frozen=True, slots=True)
class Left:
    """What it leaves: contribution [money], the same for a bottleneck minute (None: it never goes there)."""

    name: str
    contribution: Decimal
    per_minute: Decimal | None


def contribution(bed: Offered) -> Left:
    """Price less variable cost, and that over the bottleneck minutes. Raises OutsideRange for minutes under 0."""
    left = bed.price - bed.variable_cost
    if bed.bottleneck_minutes < 0:
        raise OutsideRange(f"{bed.name}: {bed.bottleneck_minutes} bottleneck minutes; give 0 or more")
    return Left(bed.name, left, left / bed.bottleneck_minutes if bed.bottleneck_minutes else None)


def by_bottleneck(beds: Iterable[Offered]) -> tuple[Left, ...]:
    """Beds in the order in which a scarce minute earns most; those that use none of it first; ties by name."""
    found = [contribution(bed) for bed in beds]
    return tuple(sorted(found, key=lambda one: (one.per_minute is not None, -(one.per_minute or 0), one.name)))


def price_for_margin(cost: Decimal, margin: Decimal) -> Decimal:
    """Price at which `margin` of the price (share, under 1) is left over cost: cost / (1 - margin). Unrounded."""
    if not (cost >= 0 and 0 <= margin < 1):
        raise OutsideRange(f"margin {margin} must be a share of the price from 0 to under 1, cost {cost} 0 or more")
    return cost / (1 - margin)


def price_for_mark_up(cost: Decimal, mark_up: Decimal) -> Decimal:
    """Price with `mark_up` of the cost on top (share, may pass 1): cost x (1 + mark-up). Unrounded."""
    if not (cost >= 0 and mark_up >= 0):
        raise OutsideRange(f"mark-up {mark_up} must be a share of the cost, 0 or more, cost {cost} 0 or more")
    return cost * (1 + mark_up)


def margin_of(price: Decimal, cost: Decimal) -> Decimal:
    """The share of the price that is left over cost; under 0 where it loses. Raises OutsideRange for no price."""
    if price <= 0:
        raise OutsideRange(f"price {price} must be more than nothing")
    return (price - cost) / price


def break_even(fixed_cost: Decimal, price: Decimal, variable_cost: Decimal) -> int:
    """Whole beds that must be sold before fixed cost is covered. Raises OutsideRange where a bed leaves nothing."""
    left = price - variable_cost
    if left <= 0:
        raise OutsideRange(f"price {price} does not cover variable cost {variable_cost}: no number of beds breaks even")
    if fixed_cost < 0:
        raise OutsideRange(f"fixed cost {fixed_cost} must be 0 or more")
    return math.ceil(Fraction(fixed_cost) / Fraction(left))
