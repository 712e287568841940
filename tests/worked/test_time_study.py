"""Standard times in both conventions. Book: time-study (worked answers)."""

import pytest

from bedwright.cost.time_study import standard_time, with_allowance


@pytest.mark.parametrize(("observed", "rating", "allowance", "standard"), [(20, 1.2, 0.2, 28.8), (30, 1.25, 0.2, 45.0)])
def test_allowance_of_normal_time(observed: float, rating: float, allowance: float, standard: float) -> None:
    assert standard_time(observed, rating, allowance, "normal time") == pytest.approx(standard, abs=1e-12)


@pytest.mark.parametrize(("observed", "rating", "standard"), [(0.452, 0.90, 0.468), (1.508, 0.85, 1.474)])
def test_allowance_of_the_day(observed: float, rating: float, standard: float) -> None:
    # 13 % of the day; printed to 3 places, hence the tolerance
    assert standard_time(observed, rating, 0.13, "the day") == pytest.approx(standard, abs=0.001)


def test_the_two_conventions_differ() -> None:
    # the 23 % exercise: normal time 3.2341 min with one reading struck out
    assert with_allowance(3.2341, 0.23, "normal time") == pytest.approx(3.9779, abs=1e-3)
    assert with_allowance(3.2341, 0.23, "the day") == pytest.approx(4.2001, abs=1e-3)
