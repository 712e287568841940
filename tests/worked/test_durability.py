"""Roller time, losses and published grades. Books: en-1957, mark-grades, vlaovic-2024."""

import pytest

from bedwright.marks.durability import loss_grades, loss_percent, roller_time


def test_roller_time() -> None:
    time = roller_time(30_000)
    assert time.hours == 31.25
    assert (time.least, time.most) == (pytest.approx(27.8, abs=0.05), pytest.approx(35.7, abs=0.05))
    assert roller_time(120_000).hours == 125


@pytest.mark.parametrize(
    ("height", "hardness", "grades"),
    [(5.9, 11.9, (2, 2)), (6.0, 12.0, (3, 3)), (2.9, 7.9, (1, 1)), (12.0, 20.0, (5, 5)), (11.9, 19.9, (4, 4))],
)
def test_grades(height: float, hardness: float, grades: tuple[int, int]) -> None:
    read = loss_grades(height, hardness)
    assert (read.height, read.hardness) == grades


def test_published_pocket_mattress() -> None:
    # 5.86 to 5.21 N/mm is 11.1 %, 2.86 mm of height: grades 1 and 2
    loss = loss_percent(5.86, 5.21)
    assert loss == pytest.approx(11.1, abs=0.05)
    assert loss_grades(2.86, loss) == loss_grades(2.86, 11.1)
    assert loss_grades(2.86, loss).hardness == 2
