"""Student's t: printed table values, and what one reading says."""

import numpy as np
import pytest

from bedwright.errors import OutsideRange
from bedwright.mechanics.few_readings import few_readings, from_summary

# t of both sides 95 %, by degrees of freedom, as every statistics handbook prints it (book `student-t`)
TABLE = {1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 9: 2.262, 10: 2.228, 30: 2.042}


@pytest.mark.parametrize("freedom", TABLE)
def test_half_widths_by_the_printed_table(freedom: int) -> None:
    n = freedom + 1
    found = from_summary(10.0, 2.0, n)
    assert found.mean_half == pytest.approx(TABLE[freedom] * 2 / n**0.5, rel=2e-4)
    assert found.next_half == pytest.approx(TABLE[freedom] * 2 * (1 + 1 / n) ** 0.5, rel=2e-4)


def test_mean_and_spread() -> None:
    found = few_readings([2.0, 4.0, 6.0])
    assert (found.count, found.mean, found.spread) == (3, 4.0, 2.0)
    assert found == from_summary(4.0, 2.0, 3)


def test_one_reading_has_no_interval() -> None:
    found = few_readings([3.0])
    assert (found.spread, found.mean_half, found.next_low, found.next_high) == (None, None, None, None)


def test_the_next_reading_falls_in_as_often_as_said() -> None:
    """Sampled: four readings, then a fifth; 95 % of the fifths lie within (binomial spread of 4,000 draws: 0.35 %)."""
    draws = np.random.default_rng(4).normal(5.0, 1.3, (4_000, 5))
    inside = 0
    for row in draws:
        found = few_readings(row[:4].tolist())
        assert found.next_low is not None and found.next_high is not None
        inside += found.next_low <= row[4] <= found.next_high
    assert inside / len(draws) == pytest.approx(0.95, abs=0.012)


@pytest.mark.parametrize("readings", [[], [1.0, float("nan")]])
def test_no_numbers_are_refused(readings: list[float]) -> None:
    with pytest.raises(OutsideRange, match="give one or more numbers"):
        few_readings(readings)
    with pytest.raises(OutsideRange, match="a spread of 0 or more"):
        from_summary(1.0, -1.0, 3)
