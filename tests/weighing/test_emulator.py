"""The emulator: left-out errors against leaving each out by hand; a smooth field foretold; too few, none."""

from __future__ import annotations

import numpy as np
import pytest

from bedwright.weighing.emulator import LEAST, emulator


def field(x: np.ndarray) -> np.ndarray:
    return 2 + x[:, 0] - 0.5 * x[:, 1] + 0.3 * np.sin(2 * x[:, 0] * x[:, 2])


def test_it_foretells_a_smooth_field_better_than_the_mean() -> None:
    chance = np.random.default_rng(1)
    x, new = chance.random((60, 3)), chance.random((40, 3))
    made = emulator(x, field(x))
    assert made is not None
    value, sure = made.foretold(new)
    wrong = np.sqrt(np.mean((value - field(new)) ** 2))
    assert wrong < 0.1 * np.std(field(new)) and np.all(sure >= 0)
    at, near = made.foretold(x)
    assert at == pytest.approx(field(x), abs=0.02) and near.max() < sure.max()


def test_left_out_is_leaving_out() -> None:
    """Rasmussen & Williams eq. 5.12 (book `rasmussen-2006`) against a solve for each left out, line kept."""
    chance = np.random.default_rng(2)
    x = chance.random((20, 2))
    y = np.sin(4 * x[:, 0]) + x[:, 1]
    made = emulator(x, y)
    assert made is not None
    scaled = made.at
    square = np.sum((scaled[:, None] - scaled[None]) ** 2, axis=2)
    matrix = np.exp(-0.5 * square / made.length**2) + 1e-3 * np.eye(20)
    rest = y - np.hstack([np.ones((20, 1)), scaled]) @ made.line
    errors = []
    for out in range(20):
        keep = np.arange(20) != out
        told = matrix[out, keep] @ np.linalg.solve(matrix[np.ix_(keep, keep)], rest[keep])
        errors.append(rest[out] - told)
    assert made.left_out == pytest.approx(np.sqrt(np.mean(np.square(errors))), rel=1e-6)


def test_too_few_say_nothing() -> None:
    assert emulator(np.zeros((LEAST - 1, 2)), np.zeros(LEAST - 1)) is None
