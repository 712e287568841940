"""Bought foam against its grade: indentation hardness as the foam trade graded it in 1994 (pfa-1994)."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.errors import OutsideRange

N_PER_LBF = 4.4482216152605
INDENTER_MM2 = 50 * 25.4**2  # 50 in2, a disc of 203 mm
SOFT_GRADE = 30.0  # lbf: up to here +-3 lbf, harder grades +-10 %


@dataclass(frozen=True, slots=True)
class FoamReading:
    """Grade, measured and tolerance [lbf], and whether within."""

    grade: float
    measured: float
    tolerance: float
    within: bool
    book: str = "pfa-1994"


def foam_reading(grade: float, measured: float) -> FoamReading:
    """Indentation force at 25 % [lbf] against the grade: +-3 lbf up to a 30 lbf grade, else +-10 %. Book: pfa-1994."""
    if not (grade > 0 and measured >= 0):
        raise OutsideRange(f"grade {grade} lbf must be over 0 and measured {measured} lbf 0 or more")
    tolerance = 3.0 if grade <= SOFT_GRADE else grade / 10
    return FoamReading(grade, measured, tolerance, abs(measured - grade) <= tolerance)


def indentation_pressure(force_n: float) -> float:
    """Nominal pressure [kPa] of a force [N] on the 50 in2 indenter. Book: derived."""
    return force_n / INDENTER_MM2 * 1000
