"""What a press is likely to give, from the builds already pressed: a straight line and, on what it leaves, a Gaussian
process with one length (kriging; book `rasmussen-2006`). It only orders what is to be pressed next; nothing it says is
ever handed on as a result.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import LinAlgError, cho_factor, cho_solve
from scipy.linalg.lapack import dpotri

from bedwright.weighing.space import Places, Space

Array = NDArray[np.float64]
LEAST, MOST = 12, 400
"""Builds from which it speaks, and of which it is made at most, the latest."""
CHOOSE = 150
"""Builds, at most, on which the length is chosen."""
LENGTHS = (0.5, 1.0, 2.0, 4.0)
NOISE, RIDGE = 1e-3, 1e-3
GUIDE = 2.0
"""Weight of the closed forms beside the knobs in the distance of two builds."""


def features(space: Space, places: Places, guide: Sequence[float]) -> list[float]:
    """A build as numbers: closed forms, ordered knobs from 0 to 1, choices each as a place of its own."""
    found = [GUIDE * value for value in guide]
    for knob, place in zip(space.knobs, places, strict=True):
        last = len(knob.values) - 1
        on = space.counts(places, knob)
        if knob.ordered:
            found.append(place / last if last and on else 0.0)
        else:
            found += [float(on and place == index) * 0.7 for index in range(last + 1)]
    return found


@dataclass(frozen=True, slots=True)
class Emulator:
    """Made by `emulator`; foretold: values (builds,) and their spread of builds' features (builds, features)."""

    at: Array
    middle: Array
    scale: Array
    line: Array
    weights: Array
    factor: tuple[Array, bool]
    length: float
    spread: float
    left_out: float

    def foretold(self, features: Array) -> tuple[Array, Array]:
        """Likely values and how sure they are (one standard deviation)."""
        x = (features - self.middle) / self.scale
        near = _kernel(x, self.at, self.length)
        value = _straight(x) @ self.line + near @ self.weights
        left = 1 + NOISE - np.sum(near * cho_solve(self.factor, near.T).T, axis=1)
        return value, self.spread * np.sqrt(np.maximum(left, 0.0))


def emulator(features: Array, values: Array) -> Emulator | None:
    """Made from features (builds, features) and values (builds,); None while there are too few.

    left_out: root mean square error of each build foretold from all others.
    """
    if len(values) < LEAST:
        return None
    features, values = features[-MOST:], values[-MOST:]
    middle = np.asarray(features.mean(axis=0), dtype=np.float64)
    scale = np.where(features.std(axis=0) > 1e-9, features.std(axis=0), 1.0)
    x = (features - middle) / scale
    straight = _straight(x)
    square = straight.T @ straight + RIDGE * len(values) * np.eye(straight.shape[1])
    line = np.asarray(np.linalg.solve(square, straight.T @ values), dtype=np.float64)
    rest = values - straight @ line
    some = slice(None, None, -(-len(x) // CHOOSE))  # evenly over all: a length needs no more
    tried = [_solved(x[some], rest[some], share * float(np.sqrt(x.shape[1]))) for share in LENGTHS]
    good = [one for one in tried if one is not None]
    made = _solved(x, rest, min(good, key=lambda one: one.left_out).length) if good else None
    if made is None:
        return None
    return Emulator(
        x, middle, scale, line, made.weights, made.factor, made.length, _spread(rest, made.weights), made.left_out
    )


@dataclass(frozen=True, slots=True)
class _Solved:
    weights: Array
    factor: tuple[Array, bool]
    length: float
    left_out: float


def _solved(x: Array, rest: Array, length: float) -> _Solved | None:
    """The process of one length, and how far each value lies from what all others say of it (eq. 5.12)."""
    try:
        factor = cho_factor(_kernel(x, x, length) + NOISE * np.eye(len(x)), lower=True)
    except LinAlgError:
        return None
    weights = np.asarray(cho_solve(factor, rest), dtype=np.float64)
    inverse, failed = dpotri(factor[0], lower=1)
    if failed:
        return None
    return _Solved(weights, factor, length, float(np.sqrt(np.mean((weights / np.diag(inverse)) ** 2))))


def _spread(rest: Array, weights: Array) -> float:
    return float(np.sqrt(max(float(np.mean(rest * weights)), 0.0)))


def _straight(x: Array) -> Array:
    return np.hstack([np.ones((len(x), 1)), x])


def _kernel(one: Array, other: Array, length: float) -> Array:
    square = np.sum(one**2, axis=1)[:, None] + np.sum(other**2, axis=1)[None] - 2 * one @ other.T
    return np.asarray(np.exp(-0.5 * np.maximum(square, 0.0) / length**2), dtype=np.float64)
