"""A few readings of the maker's own: their mean, their spread, and how far the next one may lie.

Student's t (book `student-t`): with few readings the spread itself is uncertain, so the intervals are wider than two
spreads. One reading alone says nothing of the spread, and no interval is made for it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.special import stdtrit

from bedwright.errors import OutsideRange

CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class FewReadings:
    """Readings of one quantity, all in its unit: how many, their mean, their spread (standard deviation of one).

    mean_half: half width of the interval of the true mean; next_half: of the next single reading (one more bed, one
    more lot). Both None with one reading: not known.
    """

    count: int
    mean: float
    spread: float | None
    mean_half: float | None
    next_half: float | None
    confidence: float = CONFIDENCE

    @property
    def next_low(self) -> float | None:
        """Lower end of the interval of the next reading; None with one reading."""
        return None if self.next_half is None else self.mean - self.next_half

    @property
    def next_high(self) -> float | None:
        """Upper end of the interval of the next reading; None with one reading."""
        return None if self.next_half is None else self.mean + self.next_half


def few_readings(readings: Sequence[float], confidence: float = CONFIDENCE) -> FewReadings:
    """Mean, spread and intervals of readings, any one unit. Book `student-t`.

    Raises OutsideRange for none and for what is no number.
    """
    values = [float(value) for value in readings]
    if not values or not all(math.isfinite(value) for value in values):
        raise OutsideRange(f"readings {list(readings)!r}: give one or more numbers")
    mean = math.fsum(values) / len(values)
    if len(values) == 1:
        return from_summary(mean, None, 1, confidence)
    spread = math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1))
    return from_summary(mean, spread, len(values), confidence)


def from_summary(mean: float, spread: float | None, count: int, confidence: float = CONFIDENCE) -> FewReadings:
    """The same from mean, spread (standard deviation of one reading) and count, as a report gives them.

    Mean: t spread / sqrt(n); next reading: t spread sqrt(1 + 1/n); t of n - 1 degrees of freedom, both sides.
    Book `student-t`. Raises OutsideRange.
    """
    if not (math.isfinite(mean) and count >= 1 and (spread is None or 0 <= spread < math.inf) and 0 < confidence < 1):
        raise OutsideRange(
            f"mean {mean}, spread {spread}, count {count}, confidence {confidence}: give a mean, a spread of 0 or more,"
            " a count of 1 or more and a confidence between 0 and 1"
        )
    if spread is None or count < 2:
        return FewReadings(count, mean, None, None, None, confidence)
    t = float(stdtrit(count - 1, (1 + confidence) / 2))
    return FewReadings(
        count, mean, spread, t * spread / math.sqrt(count), t * spread * math.sqrt(1 + 1 / count), confidence
    )
