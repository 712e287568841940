"""The fit against closed forms and a reference library, on presses that are no beds (book `bayes-normal`)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import least_squares
from scipy.stats import kstest

from bedwright.mechanics.learn_fit import Fitted, Read, fitted
from bedwright.mechanics.learn_noise import Noise, noise, roughness, thinned
from bedwright.mechanics.learn_told import apart, check

Array = NDArray[np.float64]
DEPTH = np.linspace(4.0, 60.0, 15)


@dataclass
class Line:
    """A curve that somebody wrote down: force = base + by z, or bent by the square of it."""

    base: Array
    by: Array
    bent: float = 0.0

    def seen(self, z: Array, near: object = None, *, by: bool = True) -> Line:
        return Line(self.base + self.by @ z + self.bent * (self.by @ z) ** 2 / 100,
                    self.by * (1 + 2 * self.bent * (self.by @ z) / 100)[:, None])  # fmt: skip

    def at(self, depth: Array) -> Array:
        return self.base

    def slope_at(self, depth: Array) -> Array:
        return np.full(len(depth), 5.0)

    def by_at(self, depth: Array) -> Array:
        return self.by


OFF = Noise(0.5, 0.01)


def read(line: Line, force: Array, off: Noise = OFF) -> list[Read]:
    press: Any = line
    return [Read(DEPTH, force, press, off, np.arange(line.by.shape[1]))]


def drawn(seed: int, bent: float = 0.0) -> tuple[Line, Array, Array]:
    """A line of three figures, what they are in truth, and readings of it."""
    chance = np.random.default_rng(seed)
    line = Line(5 * DEPTH, np.stack([DEPTH / 3, DEPTH**2 / 150, 8 * np.sin(DEPTH / 12)], axis=1), bent)
    truth = chance.standard_normal(3)
    at = line.seen(truth)
    factor = np.linalg.cholesky(OFF.spread(at.base, at.slope_at(DEPTH)))
    return line, truth, at.base + factor @ chance.standard_normal(len(DEPTH))


@pytest.mark.parametrize("seed", range(5))
def test_a_straight_line_meets_the_closed_form(seed: int) -> None:
    """z = (A' C^-1 A + I)^-1 A' C^-1 (y - base), by stacked least squares of another library."""
    line, _, force = drawn(seed)
    off = Noise(0.5, 1e-9)  # so that the noise does not follow the force, and the closed form is exact
    found = fitted(read(line, force, off), 3)
    root = np.linalg.inv(np.linalg.cholesky(off.spread(line.base, line.slope_at(DEPTH))))
    stacked = np.concatenate([root @ line.by, np.eye(3)])
    right = np.concatenate([root @ (force - line.base), np.zeros(3)])
    z, least, _, _ = np.linalg.lstsq(stacked, right, rcond=None)
    assert found.z == pytest.approx(z, abs=1e-6)
    assert found.covariance == pytest.approx(np.linalg.inv(stacked.T @ stacked), rel=1e-9)
    assert found.misfit == pytest.approx(float(least[0]), rel=1e-9)
    # the same number from the other side: readings before anything is learned vary by A A' + C
    whole = off.spread(line.base, line.slope_at(DEPTH)) + line.by @ line.by.T
    assert found.misfit == pytest.approx((force - line.base) @ np.linalg.solve(whole, force - line.base), rel=1e-6)


@pytest.mark.parametrize("seed", range(5))
def test_a_bent_line_meets_another_librarys_least_squares(seed: int) -> None:
    line, _, force = drawn(seed, bent=0.4)
    off = Noise(0.5, 1e-9)
    found = fitted(read(line, force, off), 3)
    root = np.linalg.inv(np.linalg.cholesky(off.spread(line.base, line.slope_at(DEPTH))))
    other = least_squares(lambda z: np.concatenate([root @ (force - line.seen(z).base), z]), np.zeros(3))
    assert found.z == pytest.approx(other.x, abs=0.02)
    assert found.misfit == pytest.approx(2 * other.cost, rel=1e-3)


def test_intervals_hold_their_share_and_checks_are_even() -> None:
    """Of 300 lines 90 % intervals hold 87 to 93 of 100, and what the checks call rare is as rare as they say."""
    held, rare = [], []
    for seed in range(300):
        line, truth, force = drawn(1000 + seed)
        found = fitted(read(line, force), 3)
        held += list(np.abs(found.z - truth) < 1.645 * found.spread)
        outcome = check(found, ("a", "b", "c"))
        rare.append((outcome.rare_misfit, outcome.rare_strain))
    assert 0.87 <= np.mean(held) <= 0.93
    for one in np.array(rare).T:
        assert kstest(one, "uniform").pvalue > 0.01
    assert np.mean(np.min(rare, axis=1) < 0.005) < 0.03


def test_a_curve_outside_the_cards_is_said_to_be() -> None:
    line, _, force = drawn(1)
    within = check(fitted(read(line, force), 3), ("a", "b", "c"))
    assert not within.outside and "within what the cards allow" in within.words
    far = check(fitted(read(line, line.seen(np.array([6.0, 0.0, 0.0])).base), 3), ("a", "b", "c"))
    assert far.outside and "too far" in far.words
    assert "it would take a 4.3 standard deviations up" in far.words  # drawn back from 6, as everything likely is
    odd = check(fitted(read(line, line.base + 60 * np.sin(DEPTH)), 3), ("a", "b", "c"))
    assert odd.outside and "the shape of the curve" in odd.words


def slopes(columns: Array) -> Fitted:
    covariance = np.asarray(np.linalg.inv(np.eye(columns.shape[1]) + columns.T @ columns), dtype=np.float64)
    return Fitted(np.zeros(columns.shape[1]), covariance, columns, np.zeros(len(columns)), (), 1)


def test_what_cannot_be_told_apart_is_named() -> None:
    way, other = np.eye(5)[0], np.eye(5)[1]
    columns = np.stack([1.5 * way, 3 * way, 0.1 * other, 9 * (0.9 * way + 0.43 * other), 0.1 * way], axis=1)
    names = ("wire", "turns", "rim", "tension", "felt")
    told = apart(slopes(columns), names, coils=("wire", "turns"))
    words = [one.words for one in told]
    assert words[0].startswith("the readings say next to nothing of rim and felt")
    assert words[1] == "wire and turns act alike: only their product, the rate of the coils, is known"
    assert told[2].how == "stand in" and told[2].names == ("turns", "tension") and "more of one with less" in words[2]
    turned = apart(slopes(np.stack([2 * way, -2 * way], axis=1)), ("coil", "pocket"))
    assert "pocket the other way round" in turned[0].words
    # beside one that acts six times as far, another hides nothing
    assert all(one.how == "says nothing" for one in apart(slopes(np.stack([6 * way, way], axis=1)), ("tie", "wire")))


def test_noise_as_typed() -> None:
    assert (noise("0.2 mm 0,5 %").depth, noise("0.2 mm 0,5 %").share) == (0.2, 0.005)
    assert noise("2%").depth == 0.5 and noise("1 mm").share == 0.01
    for wrong in ("", "mm", "0 mm", "30 mm", "1", "1 mm 90 %", "one mm", "-1 mm"):
        with pytest.raises(ValueError, match=r"standard deviation|mm"):
            noise(wrong)


def test_many_readings_are_few_and_their_scatter_is_found() -> None:
    chance = np.random.default_rng(2)
    depth = np.linspace(0, 60, 2000)
    force = 0.1 * depth**2 + 3.0 * chance.standard_normal(2000)
    assert roughness(depth, force) == pytest.approx(3.0, rel=0.1)
    assert np.isnan(roughness(depth[:7], force[:7]))
    d, f = thinned(depth.tolist(), force.tolist())
    assert len(d) == 40 and np.all(np.diff(d) > 0)
    assert f == pytest.approx(0.1 * d**2, abs=2.5)


def test_a_zero_and_a_scale_that_are_off_are_found() -> None:
    off, force, slope = Noise(1.0, 0.02), 0.1 * DEPTH**2, 0.2 * DEPTH
    zero, scale = off.common(force, slope, 1.0 * slope + 0.02 * force)
    assert zero == pytest.approx(1.0, abs=0.25) and scale == pytest.approx(0.02, abs=0.01)


@dataclass
class Kinked:
    """A curve that a figure stiffens on one side of a place far more than on the other, as a tuft that goes slack."""

    z: Array
    depth: Array

    def seen(self, z: Array, near: object = None, *, by: bool = True) -> Kinked:
        return Kinked(z, self.depth)

    def at(self, depth: Array) -> Array:
        z = self.z[0]
        by = 2.0 * max(z - 0.5, 0.0) - 0.2 * max(0.5 - z, 0.0)
        return np.asarray(self.depth * (5 + by), dtype=np.float64)

    def slope_at(self, depth: Array) -> Array:
        return np.full(len(depth), 5.0)

    def by_at(self, depth: Array) -> Array:
        return np.asarray((self.depth * (2.0 if self.z[0] > 0.5 else 0.2))[:, None], dtype=np.float64)


def test_a_search_rests_in_a_kink() -> None:
    """Readings that ask for less than the kink gives, with a prior that asks for less still, and then for more."""
    press: Any = Kinked(np.zeros(1), DEPTH)
    for more in (0.02, 0.3, -0.05):
        force = 5 * DEPTH + more * DEPTH
        found = fitted([Read(DEPTH, force, press, Noise(0.5, 1e-9), np.arange(1))], 1)

        def misfit(z: float, force: Array = force) -> float:
            root = np.linalg.inv(np.linalg.cholesky(Noise(0.5, 1e-9).spread(force, np.full(len(DEPTH), 5.0))))
            return float(np.sum((root @ (force - Kinked(np.array([z]), DEPTH).at(DEPTH))) ** 2) + z**2)

        best = min(np.linspace(-2, 2, 4001), key=misfit)
        assert found.left == 0.0
        assert found.misfit <= misfit(float(best)) + 0.02
