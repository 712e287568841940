"""The roller test's time, losses, and the grades that one test body publishes for them.

EN 1957 gives no pass or fail (en-1957); grades after 30,000 cycles are a test body's own (mark-grades). Neither says
how many years a bed lasts.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bedwright.errors import OutsideRange
from bedwright.mechanics.published_grades import hardness_grade, height_grade

CYCLES = 30_000
CYCLES_A_MINUTE = 16.0  # en-1957: 16 +-2
CYCLES_TOLERANCE = 2.0


@dataclass(frozen=True, slots=True)
class RollerTime:
    """Hours on the roller, and the least and most that the tolerance of its speed gives."""

    hours: float
    least: float
    most: float


@dataclass(frozen=True, slots=True)
class LossGrades:
    """Grades 1 (best) to 5 for loss of height and of hardness, each by itself."""

    height: int
    hardness: int
    says: str = "grades of one test body for a report's figures; EN 1957 itself knows no pass or fail"
    book: str = "mark-grades"


def roller_time(cycles: int = CYCLES) -> RollerTime:
    """Hours on the roller at 16 +-2 cycles a minute. Book: en-1957, derived."""
    if cycles < 0:
        raise OutsideRange(f"{cycles} cycles; give 0 or more")
    hours = [
        cycles / speed / 60
        for speed in (CYCLES_A_MINUTE, CYCLES_A_MINUTE + CYCLES_TOLERANCE, CYCLES_A_MINUTE - CYCLES_TOLERANCE)
    ]
    return RollerTime(*hours)


def loss_percent(before: float, after: float) -> float:
    """Loss of a quantity in percent of its first value; under 0 where it rose. Book: derived."""
    if not (0 < before < math.inf and 0 <= after < math.inf):
        raise OutsideRange(f"before {before} must be more than 0 and after {after} 0 or more")
    return 100 * (before - after) / before


def loss_grades(height_loss_mm: float, hardness_loss_percent: float) -> LossGrades:
    """The published grades for a report's losses. Book: mark-grades. Raises OutsideRange for no number."""
    if not (math.isfinite(height_loss_mm) and math.isfinite(hardness_loss_percent)):
        raise OutsideRange(f"losses {height_loss_mm} mm and {hardness_loss_percent} % must be numbers")
    return LossGrades(height_grade(height_loss_mm), hardness_grade(hardness_loss_percent))
