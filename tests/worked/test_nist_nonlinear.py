"""The fit of learning against certified values of a nonlinear regression (book `nist-strd`): Misra1a.

y = b1 (1 - exp(-b2 x)).

Figures so little known before that the cards say nothing: what is found is then plain least squares, and the spread of
each figure the certified standard deviation, with the certified residual as the noise.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from bedwright.mechanics.learn_fit import Read, fitted

Array = NDArray[np.float64]
X = np.array([77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0])
Y = np.array([10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78])
CERTIFIED, OFF = np.array([2.3894212918e02, 5.5015643181e-04]), np.array([2.7070075241e00, 7.2668688436e-06])
SQUARES, RESIDUAL = 1.2455138894e-01, 1.0187876330e-01
STARTS = np.array([[500.0, 0.0001], [250.0, 0.0005]])
WIDE = np.array([1e5, 1.0])  # standard deviations before: 40,000 and 100,000 times what comes out


@dataclass
class Misra:
    """The model as a press: z in its standard deviations before, about a start."""

    start: Array
    z: Array

    @property
    def b(self) -> Array:
        return np.asarray(self.start + self.z * WIDE)

    def seen(self, z: Array, near: object = None, *, by: bool = True) -> Misra:
        return Misra(self.start, z)

    def at(self, depth: Array) -> Array:
        return np.asarray(self.b[0] * (1 - np.exp(-self.b[1] * X)))

    def slope_at(self, depth: Array) -> Array:
        return np.zeros_like(X)

    def by_at(self, depth: Array) -> Array:
        gone = np.exp(-self.b[1] * X)
        return np.asarray(np.stack([1 - gone, self.b[0] * X * gone], axis=1) * WIDE)


class Even:
    """Independent errors of one size."""

    how = "certified"

    def spread(self, force: Array, slope: Array) -> Array:
        return np.asarray(np.eye(len(X)) * RESIDUAL**2)


@pytest.mark.parametrize("start", STARTS)
def test_misra1a(start: Array) -> None:
    press: Any = Misra(start, np.zeros(2))
    found = fitted([Read(X, Y, press, Even(), np.arange(2))], 2)
    b = start + found.z * WIDE
    assert b == pytest.approx(CERTIFIED, rel=5e-5)  # a five-hundredth of the certified spread
    assert found.spread * WIDE == pytest.approx(OFF, rel=1e-4)
    assert float(found.residuals @ found.residuals) * RESIDUAL**2 == pytest.approx(SQUARES, rel=2e-4)
