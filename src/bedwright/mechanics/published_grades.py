"""Grades and limits that other bodies put on results of the EN 1957 roller test: tables, with their edges.

The standard itself has none (book `en-1957`). A grade judges one report's figures, no bed of the same name, and says
nothing of years: no body's words about years are repeated here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bedwright.errors import OutsideRange

NO_YEARS = "a grade or limit judges one report's figures after a number of cycles; it promises no years of use"


@dataclass(frozen=True, slots=True)
class Grades:
    """Grades 1 (best) to 5 of a test house: edges of height loss [mm] and of hardness loss [%], and book.

    Grade 1 is below the first edge, 5 from the last one on. cycles: after which the body reads them.
    """

    says: str
    height_edges: tuple[float, float, float, float]
    hardness_edges: tuple[float, float, float, float]
    cycles: tuple[int, ...]
    book: str


@dataclass(frozen=True, slots=True)
class Limit:
    """One body's limit: greatest loss of height [mm], or [%] where so said, and of hardness [%]; None: none printed.

    cycles: after how many; book. A limit from memory must be looked up before it is used.
    """

    says: str
    height: float | None
    height_unit: str
    hardness: float | None
    cycles: int
    book: str


MARK_GRADES = Grades(
    "a test house's mark", (3.0, 6.0, 9.0, 12.0), (8.0, 12.0, 16.0, 20.0), (30_000, 120_000), "mark-grades"
)
LIMITS = (
    Limit("a consumer laboratory's reference", 18.0, "mm", 18.0, 30_000, "consumer-limits"),
    Limit("a maker association's own protocol, half as many cycles again", None, "mm", None, 45_000, "longer-roller"),
    Limit("the European ecolabel for mattresses; look it up before use", 15.0, "%", 20.0, 30_000, "ecolabel-mattress"),
)


def height_grade(loss: float, grades: Grades = MARK_GRADES) -> int:
    """Grade 1 to 5 of a height loss [mm]. Book `mark-grades`. Raises OutsideRange for no number."""
    return _grade(loss, grades.height_edges)


def hardness_grade(loss: float, grades: Grades = MARK_GRADES) -> int:
    """Grade 1 to 5 of a hardness loss [%]. Book `mark-grades`. Raises OutsideRange for no number."""
    return _grade(loss, grades.hardness_edges)


def grade_range(low: float, high: float | None, grades: Grades = MARK_GRADES) -> tuple[int, int | None]:
    """Best and worst grade within an interval of height loss [mm]; an upper end not known has no worst grade."""
    return height_grade(low, grades), None if high is None else height_grade(high, grades)


def _grade(loss: float, edges: tuple[float, ...]) -> int:
    if not math.isfinite(loss):
        raise OutsideRange(f"a loss of {loss} has no grade; give a number")
    return 1 + sum(loss >= edge for edge in edges)
