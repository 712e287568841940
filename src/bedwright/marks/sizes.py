"""Measured size against label size. EN 1334 (en-1334): length and width within 20 mm of the label.

Mattresses for infants are out of scope of this program; what is asked about them is refused with a sentence.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NoReturn

from bedwright.errors import OutsideRange

EN_1334_TOLERANCE = 20.0  # mm, length and width (en-1334)
EN_1334_HEIGHT = (
    "between the highest point of the top, quilting included, and the point below it; never piping to piping"
)
INFANTS_REFUSED = (
    "Mattresses for infants are out of scope: this program gives no advice on them. EN 16890 asks for length and "
    "width of +25/-0 mm, thickness not above the marked one, and tests that only an accredited laboratory can make."
)


@dataclass(frozen=True, slots=True)
class SizeReading:
    """Label and measured size [mm], their difference, the tolerance, whether within, spread of the places [mm]."""

    label: float
    measured: float
    difference: float
    tolerance: float
    within: bool
    spread: float
    book: str = "en-1334"


def size_reading(label: float, measured: Sequence[float], tolerance: float = EN_1334_TOLERANCE) -> SizeReading:
    """The mean of several places [mm] against the label [mm]. EN 1334 (en-1334). Raises OutsideRange.

    Exactly at the tolerance is within. A house tolerance may be handed in; it may not be wider than 20 mm.
    """
    if not measured or not all(0 < one < math.inf for one in (label, *measured)):
        raise OutsideRange(f"label {label} mm and places {list(measured)} must be one or more sizes over 0")
    if not 0 <= tolerance <= EN_1334_TOLERANCE:
        raise OutsideRange(f"tolerance {tolerance} mm must be 0 to {EN_1334_TOLERANCE:g}, the most that EN 1334 allows")
    mean = math.fsum(measured) / len(measured)
    difference = mean - label
    return SizeReading(label, mean, difference, tolerance, abs(difference) <= tolerance, max(measured) - min(measured))


def cot_size_reading(label: float, measured: float) -> NoReturn:
    """Always refused: infants are out of scope. EN 16890 (en-16890) is named in the sentence. Raises OutsideRange."""
    raise OutsideRange(f"{INFANTS_REFUSED} (asked: label {label:g} mm, measured {measured:g} mm)")
