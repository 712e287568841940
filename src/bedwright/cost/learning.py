"""Learning curves. Two models share a name and differ by a third in the total: the model must be named.

"cumulative average" (Wright 1936): the mean over the first x units is a x^b. "unit time": unit x alone takes a x^b.
In both b = log2(rate). Book: learning-curve.
"""

from __future__ import annotations

import math
from typing import Literal

from bedwright.errors import OutsideRange

Model = Literal["cumulative average", "unit time"]


def total_time(first: float, rate: float, units: int, model: Model) -> float:
    """Time for the first `units` units, unit of `first`; rate is the share kept at each doubling (0.8 for 80 %).

    Book: learning-curve. Raises OutsideRange.
    """
    b = _slope(rate)
    if units < 1 or first < 0:
        raise OutsideRange(f"{units} units from a first of {first}: units count from 1 and time is 0 or more")
    if model == "cumulative average":
        return first * math.pow(units, 1 + b)
    if model == "unit time":
        return first * math.fsum(math.pow(x, b) for x in range(1, units + 1))
    raise OutsideRange(f"model {model!r} is neither cumulative average nor unit time")


def unit_time(first: float, rate: float, unit: int, model: Model) -> float:
    """Time of the one unit numbered `unit`. Book: learning-curve."""
    if model == "unit time":
        return first * math.pow(unit, _slope(rate))
    before = total_time(first, rate, unit - 1, model) if unit > 1 else 0.0
    return total_time(first, rate, unit, model) - before


def rate_from_totals(units_1: int, total_1: float, units_2: int, total_2: float) -> float:
    """The rate of a cumulative-average curve through two totals. Book: learning-curve. Raises OutsideRange."""
    if not (0 < units_1 < units_2 and 0 < total_1 < total_2):
        raise OutsideRange(f"totals {total_1} at {units_1} and {total_2} at {units_2} must both rise")
    b = math.log((total_2 / units_2) / (total_1 / units_1)) / math.log(units_2 / units_1)
    return math.pow(2, b)


def _slope(rate: float) -> float:
    if not 0.5 < rate <= 1:
        raise OutsideRange(f"rate {rate} must be a share over 0.5 up to 1 (80 % is 0.80)")
    return math.log2(rate)
