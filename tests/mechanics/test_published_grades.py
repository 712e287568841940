"""Edges of the published grades, and limits with their book."""

import math

import pytest

from bedwright.books import BOOKS
from bedwright.errors import OutsideRange
from bedwright.mechanics.published_grades import LIMITS, MARK_GRADES, grade_range, hardness_grade, height_grade


@pytest.mark.parametrize(
    ("loss", "grade"), [(0, 1), (2.99, 1), (3, 2), (5.9, 2), (6, 3), (8.9, 3), (9, 4), (11.9, 4), (12, 5), (40, 5)]
)
def test_height(loss: float, grade: int) -> None:
    assert height_grade(loss) == grade  # as printed, book mark-grades


@pytest.mark.parametrize(("loss", "grade"), [(7.9, 1), (8, 2), (11.9, 2), (12, 3), (16, 4), (19.9, 4), (20, 5)])
def test_hardness(loss: float, grade: int) -> None:
    assert hardness_grade(loss) == grade


def test_an_interval_has_two_grades() -> None:
    assert grade_range(2.0, 7.0) == (1, 3)
    assert grade_range(2.0, None) == (1, None)


def test_limits_name_a_book_and_no_body() -> None:
    assert {limit.book for limit in (*LIMITS, MARK_GRADES)} <= set(BOOKS)
    first = LIMITS[0]
    assert (first.height, first.height_unit, first.hardness, first.cycles) == (18.0, "mm", 18.0, 30_000)
    remembered = [limit for limit in LIMITS if BOOKS[limit.book].read == "from memory"]
    assert remembered and all("look it up" in limit.says for limit in remembered)


def test_no_number_has_no_grade() -> None:
    with pytest.raises(OutsideRange, match="give a number"):
        height_grade(math.nan)
