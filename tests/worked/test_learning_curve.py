"""Learning curves. Book: learning-curve; the unit-time total and the 90 % curve are derived."""

import pytest

from bedwright.cost.learning import rate_from_totals, total_time, unit_time


def test_wright_at_80_percent() -> None:
    averages = [total_time(100, 0.8, units, "cumulative average") / units for units in (2, 4, 8)]
    assert averages == pytest.approx([80, 64, 51.2], abs=1e-6)
    assert total_time(100, 0.8, 8, "cumulative average") == pytest.approx(409.6, abs=1e-6)
    assert unit_time(100, 0.8, 2, "cumulative average") == pytest.approx(60, abs=1e-6)


def test_unit_time_is_another_model() -> None:
    assert total_time(100, 0.8, 8, "unit time") == pytest.approx(534.591, abs=1e-3)


def test_seven_batches_at_90_percent() -> None:
    total = total_time(100, 0.9, 7, "cumulative average")
    assert total == pytest.approx(520.763, abs=1e-3)
    assert total / 7 == pytest.approx(74.395, abs=1e-3)


def test_rate_from_two_totals() -> None:
    # 1 batch 1500 h, 16 batches 9000 h: the published answer prints 0.78
    assert rate_from_totals(1, 1500, 16, 9000) == pytest.approx(0.7825, abs=1e-4)
