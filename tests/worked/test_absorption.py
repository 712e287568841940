"""Overhead absorption and yields in a row.

Books: cima-p1, absorption-exercise, ba2-2018, variance-exercise; yields derived.
"""

from decimal import Decimal

import pytest

from bedwright.cost.absorption import absorb, absorb_at, absorption_rate
from bedwright.cost.yields import serial_yield


def test_over_absorbed() -> None:
    # cima-p1 p.13: $10 a unit, 21000 units, spent 200000
    result = absorb_at(Decimal(10), actual_base=Decimal(21000), actual_overhead=Decimal(200000))
    assert result.difference == 10000
    assert result.says == "over-absorbed by 10000"


def test_under_absorbed() -> None:
    # absorption-exercise: budget £168000 over 14000 h, actual £172000 in 13500 h
    assert absorption_rate(Decimal(168000), Decimal(14000)) == 12
    result = absorb(
        budget_overhead=Decimal(168000),
        budget_base=Decimal(14000),
        actual_base=Decimal(13500),
        actual_overhead=Decimal(172000),
    )
    assert (result.absorbed, result.difference) == (162000, -10000)


def test_a_rate_rounded_first_moves_the_answer() -> None:
    # ba2-2018 p.81 prints 14.58 and 167670; unrounded the same figures are under by 14291.67
    unrounded = absorb(
        budget_overhead=Decimal(175000),
        budget_base=Decimal(12000),
        actual_base=Decimal(11500),
        actual_overhead=Decimal(182000),
    )
    assert unrounded.difference.quantize(Decimal("0.01")) == Decimal("-14291.67")
    printed = absorb_at(Decimal("14.58"), actual_base=Decimal(11500), actual_overhead=Decimal(182000))
    assert (printed.absorbed, printed.difference) == (167670, -14330)


def test_fixed_and_variable_apart() -> None:
    # variance-exercise: 3000 h; variable 2 an hour, spent 6400; fixed 9000 in the budget, spent 8800
    hours = Decimal(3000)
    variable = absorb_at(Decimal(2), actual_base=hours, actual_overhead=Decimal(6400))
    fixed = absorb(budget_overhead=Decimal(9000), budget_base=hours, actual_base=hours, actual_overhead=Decimal(8800))
    assert (variable.difference, fixed.difference) == (-400, 200)


def test_yields_in_a_row() -> None:
    # derived: 1000 good through 0.98, 0.95, 0.97
    result = serial_yield(1000, (0.98, 0.95, 0.97))
    assert result.rolled == pytest.approx(0.90307, abs=1e-4)
    assert result.start == pytest.approx(1107.33, abs=0.01)
    assert result.pieces_in == (1109, 1086, 1031)  # 1000/.97 -> 1031, /.95 -> 1086, /.98 -> 1109
