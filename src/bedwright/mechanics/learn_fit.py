"""From readings to figures: the likeliest open figures of a bed given its cards and what was read, and how sure.

Every figure is a standard normal z before (learn_figures), every reading is off as the noise says (learn_noise). Sought
is the z of least |whitened residuals|^2 + |z|^2 (maximum a posteriori), by Gauss-Newton steps that are held back where
they do not lead down (Levenberg). Round that the posterior is taken as normal (Laplace): covariance (I + J'J)^-1, J the
whitened slopes. All statistics from any textbook (book `bayes-normal`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import solve_triangular

from bedwright.errors import NotConverged

Array = NDArray[np.float64]
MOST_STEPS = 25
STILL = 0.01  # of misfit still to be gained, at which it rests: a hundredth of one reading's
LEAST_HELD, MOST_HELD = 1e-2, 1e4
LONGEST = 2.0  # of z in one step
KINK, ASIDE = 0.1, 0.15  # of misfit left where no step leads down; of z, to both sides, that slopes are then taken over


class Seen(Protocol):
    """What is predicted of one test: readings, their slope over depth, what each figure does (readings, figures)."""

    def at(self, depth: Array) -> Array: ...
    def slope_at(self, depth: Array) -> Array: ...
    def by_at(self, depth: Array) -> Array: ...


class Press(Protocol):
    """What predicts a test with figures at z, from what it predicted before; by: with what each figure does.

    Raises NotConverged.
    """

    def seen(self, z: Array, near: Any = None, *, by: bool = True) -> Seen: ...


class Noise(Protocol):
    """How far readings of one test are off together: covariance in the unit of the readings."""

    @property
    def how(self) -> str: ...
    def spread(self, force: Array, slope: Array) -> Array: ...


@dataclass(frozen=True, slots=True)
class Read:
    """Readings of one test that is fitted: depth [mm], force [N] (or another unit), what predicts them, their noise.

    at: place of each of the press's figures among all figures of the fit.
    """

    depth: Array
    force: Array
    press: Press
    noise: Noise
    at: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Fitted:
    """The posterior: z at its peak, covariance; slopes: whitened, (readings, figures); residuals: whitened, readings
    less prediction; seen: the curve of each test at the peak. left: of the misfit, what straight lines say could still
    be gained where the search had to end: readings that no such bed gives lead it out of all that can be pressed."""

    z: Array
    covariance: Array
    slopes: Array
    residuals: Array
    seen: tuple[Seen, ...]
    steps: int
    left: float = 0.0

    @property
    def spread(self) -> Array:
        """One standard deviation of each z."""
        return np.sqrt(np.diag(self.covariance))

    @property
    def misfit(self) -> float:
        """Least |residuals|^2 + |z|^2: of as many degrees as there are readings, when the cards and noise hold."""
        return float(self.residuals @ self.residuals + self.z @ self.z)


@dataclass(frozen=True, slots=True)
class _At:
    """Where the search stands: z, curves, whitened residuals and slopes."""

    z: Array
    seen: tuple[Seen, ...]
    residuals: Array
    slopes: Array

    @property
    def misfit(self) -> float:
        return float(self.residuals @ self.residuals + self.z @ self.z)


def fitted(reads: Sequence[Read], count: int, start: Array | None = None) -> Fitted:
    """The posterior of `count` figures by readings; start: z to seek from.

    Raises NotConverged where the bed of the cards, or that at `start`, does not settle.
    """
    z = np.zeros(count) if start is None else np.asarray(start, dtype=np.float64)
    seen = _seen(reads, z, None)
    steps, left = 0, 0.0
    for _ in range(2):  # the noise follows force and slope: once by what the cards say, once by what was found
        factors = _factors(reads, seen)
        at, gone, left = _sought(reads, factors, _At(z, seen, *_whitened(reads, seen, factors, count)), count)
        z, seen, steps = at.z, at.seen, steps + gone
    covariance = np.linalg.inv(np.eye(count) + at.slopes.T @ at.slopes)
    return Fitted(at.z, (covariance + covariance.T) / 2, at.slopes, at.residuals, at.seen, steps, left)


def _sought(reads: Sequence[Read], factors: Sequence[Array], at: _At, count: int) -> tuple[_At, int, float]:
    """The least misfit that is found, steps taken, and what of it is left to gain.

    Tufts that go slack, and pads that touch or lift, leave kinks in the misfit. Where even the smallest steps lead up,
    slopes are taken over both sides; where they lead up with those too, the search rests in such a kink.
    """
    held, steps, kinked = 0.0, 0, False
    while True:
        curved, down = at.slopes.T @ at.slopes + np.eye(count), at.slopes.T @ at.residuals - at.z
        left = float(down @ np.linalg.solve(curved, down))
        there, lost = None, False
        while left >= STILL and there is None and held <= MOST_HELD:
            way = np.linalg.solve(curved + held * np.diag(np.diag(curved)), down)
            way *= min(1.0, LONGEST / float(np.max(np.abs(way))))
            there, settles = _led_down(reads, factors, at, at.z + way, count)
            lost = lost or not settles
            held = max(10 * held, LEAST_HELD) if there is None else held / 10
        if there is None and left > KINK and not kinked:
            at, held, kinked = replace(at, slopes=_pressed(reads, factors, at, count)), 0.0, True
            continue
        if there is None or steps == MOST_STEPS:
            rests = there is None and not lost
            return at, steps, 0.0 if rests else left
        at, steps, kinked = there, steps + 1, False


def _led_down(
    reads: Sequence[Read], factors: Sequence[Array], at: _At, z: Array, count: int
) -> tuple[_At | None, bool]:  # fmt: skip
    """What is found at z, None where it is no better; and whether beds settle there."""
    try:
        seen = _seen(reads, z, at.seen, by=False)
        residuals, _ = _whitened(reads, seen, factors, count)
        if float(residuals @ residuals + z @ z) > at.misfit:
            return None, True
        seen = _seen(reads, z, seen)
    except NotConverged:
        return None, False
    return _At(z, seen, *_whitened(reads, seen, factors, count)), True


def _pressed(reads: Sequence[Read], factors: Sequence[Array], at: _At, count: int) -> Array:
    """Whitened slopes by pressing on both sides of z: where tufts go slack or lift, those at z itself mislead."""
    slopes = np.zeros_like(at.slopes)
    for k in range(count):
        ends = []
        for sign in (-1.0, 1.0):
            z = at.z.copy()
            z[k] += sign * ASIDE
            try:
                ends.append(_whitened(reads, _seen(reads, z, at.seen, by=False), factors, count)[0])
            except NotConverged:
                ends.append(at.residuals - sign * ASIDE * at.slopes[:, k])
        slopes[:, k] = (ends[0] - ends[1]) / (2 * ASIDE)
    return slopes


def _seen(reads: Sequence[Read], z: Array, near: Sequence[Seen] | None, *, by: bool = True) -> tuple[Seen, ...]:
    starts: Sequence[Seen | None] = near or [None] * len(reads)
    return tuple(read.press.seen(z[read.at], start, by=by) for read, start in zip(reads, starts, strict=True))


def _factors(reads: Sequence[Read], seen: Sequence[Seen]) -> list[Array]:
    """Lower factor of the covariance of each test's readings."""
    return [
        np.asarray(np.linalg.cholesky(read.noise.spread(one.at(read.depth), one.slope_at(read.depth))), np.float64)
        for read, one in zip(reads, seen, strict=True)
    ]


def _whitened(reads: Sequence[Read], seen: Sequence[Seen], factors: Sequence[Array], count: int) -> tuple[Array, Array]:
    """Residuals and slopes of all readings, in standard deviations."""
    residuals, slopes = [], []
    for read, one, factor in zip(reads, seen, factors, strict=True):
        by = np.zeros((len(read.depth), count))
        by[:, read.at] = one.by_at(read.depth)
        residuals.append(solve_triangular(factor, read.force - one.at(read.depth), lower=True))
        slopes.append(solve_triangular(factor, by, lower=True))
    return np.concatenate(residuals), np.concatenate(slopes)
