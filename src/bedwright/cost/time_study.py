"""Standard time from watched work. Two conventions for the allowance are taught, so it must be named.

"of normal time": standard = normal x (1 + A). "of the day": standard = normal / (1 - A). Book: time-study.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from bedwright.errors import OutsideRange

AllowanceOf = Literal["normal time", "the day"]


@dataclass(frozen=True, slots=True)
class Element:
    """One element of an operation: the times watched [min or s], the rating (1.0 is normal pace), readings struck.

    struck: places (0 is the first) that a person left out, with `why` written down; never struck by the program.
    """

    name: str
    watched: tuple[float, ...]
    rating: float = 1.0
    struck: tuple[int, ...] = ()
    why: str = ""


def standard_time(observed: float, rating: float, allowance: float, allowance_of: AllowanceOf) -> float:
    """Standard time, unit of `observed`, from rating (1.2 is 120 %) and allowance as a share. Book: time-study.

    Raises OutsideRange.
    """
    if not (math.isfinite(observed) and observed >= 0 and 0 < rating < math.inf):
        raise OutsideRange(f"observed {observed} must be 0 or more and rating {rating} over 0 (100 % is 1.0)")
    return with_allowance(observed * rating, allowance, allowance_of)


def with_allowance(normal: float, allowance: float, allowance_of: AllowanceOf) -> float:
    """Standard time from normal time and an allowance given as a share, 0 to under 1. Book: time-study."""
    if not 0 <= allowance < 1:
        raise OutsideRange(f"allowance {allowance} must be a share from 0 to under 1 (20 % is 0.20)")
    if allowance_of == "normal time":
        return normal * (1 + allowance)
    if allowance_of == "the day":
        return normal / (1 - allowance)
    raise OutsideRange(f"allowance of {allowance_of!r}; say whether it is of normal time or of the day")


def normal_time(elements: Iterable[Element]) -> float:
    """Sum over the elements of mean watched time x rating, unit as watched. Book: time-study.

    Raises OutsideRange for an element without a reading left, or one struck without a reason.
    """
    total = 0.0
    for element in elements:
        if element.struck and not element.why.strip():
            raise OutsideRange(f"{element.name}: a reading is struck without a reason; write why")
        if not all(0 <= place < len(element.watched) for place in element.struck):
            raise OutsideRange(f"{element.name}: struck places {element.struck} are not all among the readings")
        kept = [time for place, time in enumerate(element.watched) if place not in element.struck]
        if not kept or element.rating <= 0 or not all(0 <= time < math.inf for time in kept):
            raise OutsideRange(f"{element.name}: needs one reading of 0 or more and a rating over 0")
        total += math.fsum(kept) / len(kept) * element.rating
    return total
