"""What a label must say about contents: when fibres must be named, and the order of fillings on a US law label.

Fibre names: Regulation (EU) 1007/2011 as kept in GB (eu-1007-2011). US law label: states' acts (law-label).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from bedwright.errors import OutsideRange

TEXTILE_FROM = 80.0  # percent of the cover's mass


@dataclass(frozen=True, slots=True)
class Content:
    """One filling or fibre and its share of the mass [%]."""

    name: str
    percent: Decimal


def fibres_must_be_named(textile_percent: float) -> bool:
    """Whether a mattress cover must name its fibres: textiles are 80 % or more of its mass. Book: eu-1007-2011."""
    if not 0 <= textile_percent <= 100:
        raise OutsideRange(f"textile share {textile_percent} % must be 0 to 100")
    return textile_percent >= TEXTILE_FROM


def in_order_of_mass(contents: Iterable[Content]) -> tuple[Content, ...]:
    """Contents as a label lists them: greatest share first, equal shares by name; together 100 %.

    Books: law-label, eu-1007-2011. Raises OutsideRange where they do not make 100 %.
    """
    listed = tuple(sorted(contents, key=lambda one: (-one.percent, one.name)))
    names = [one.name for one in listed]
    if len(set(names)) != len(names):
        raise OutsideRange(f"{', '.join(names)}: each content is listed once, with all its mass")
    if not listed or not all(one.percent > 0 for one in listed):
        raise OutsideRange("give one or more contents, each with a share over 0 %")
    total = sum(one.percent for one in listed)
    if total != 100:
        raise OutsideRange(f"{', '.join(names)} make {total} %, not 100 %")
    return listed


def shares_of_mass(masses: Iterable[tuple[str, float]]) -> tuple[Content, ...]:
    """Whole percents from masses (one unit), made to sum to 100 by the largest remainders, greatest share first.

    Book: derived. Raises OutsideRange for a mass of nothing or a content so small that its share rounds to 0.
    """
    given = list(masses)
    if not given or not all(0 < mass < math.inf for _, mass in given):
        raise OutsideRange("give one or more contents, each with a mass over 0")
    total = sum(Fraction(mass) for _, mass in given)
    exact = {name: Fraction(mass) * 100 / total for name, mass in given}
    whole = {name: math.floor(share) for name, share in exact.items()}
    by_rest = sorted(exact, key=lambda name: (whole[name] - exact[name], name))
    for name in by_rest[: 100 - sum(whole.values())]:
        whole[name] += 1
    small = sorted(name for name, percent in whole.items() if percent == 0)
    if small:
        raise OutsideRange(f"{', '.join(small)}: under half a percent; the label rule for traces is the state's own")
    return in_order_of_mass(Content(name, Decimal(percent)) for name, percent in whole.items())
