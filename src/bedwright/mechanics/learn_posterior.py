"""Draws from what is believed of the figures after the readings, where a normal round the peak does not do.

A figure with a range (a tension from nothing to three times a plausible one) is flat at its ends as a standard normal:
a normal round the peak cuts its tail off. What does follow straight is the force with the figure's own value. So round
the peak the readings are taken as straight in the values of such figures, and in the z of all others, and draws are
made of the exact posterior of that by a random walk (Metropolis) of many chains at once, from a seed that is fixed:
same readings, same draws. Book `bayes-normal`.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.learn_figures import FARTHEST, Figure
from bedwright.mechanics.learn_fit import Fitted

Array = NDArray[np.float64]
SEED, CHAINS, SETTLING, STEPS, EVERY = 20, 100, 400, 1600, 8
STRIDE = 2.4  # over the root of the number of figures: of a random walk that is neither stuck nor idle
TABLE = np.linspace(-FARTHEST, FARTHEST, 801)
FLATTEST = 1e-3  # of the steepest: a map is not read as flatter


class Along:
    """How far readings move with each figure, as a length along its column of slopes: z less the peak, or for a figure
    with a range its value less that at the peak, over the map's slope there."""

    def __init__(self, figures: Sequence[Figure], peak: Array) -> None:
        """figures: in the order of z; peak: where the slopes were taken."""
        self.peak = peak
        self._tables: dict[int, tuple[Array, float, float]] = {}
        for k, figure in enumerate(figures):
            if figure.bends:
                values = np.array([figure.value(float(z)) for z in TABLE])
                slopes = np.gradient(values, TABLE)
                slope = max(float(np.interp(peak[k], TABLE, slopes)), FLATTEST * float(slopes.max()))
                self._tables[k] = values, float(np.interp(peak[k], TABLE, values)), slope

    def of(self, z: Array) -> Array:
        """Lengths at z, both (draws, figures)."""
        along = z - self.peak
        for k, (values, at_peak, slope) in self._tables.items():
            along[:, k] = (np.interp(z[:, k], TABLE, values) - at_peak) / slope
        return along


def draws(fit: Fitted, figures: Sequence[Figure], seed: int = SEED) -> Array:
    """Draws of z, (draws, figures)."""
    count = len(fit.z)
    chance = np.random.default_rng(seed)
    along = Along(figures, fit.z)
    root = np.linalg.cholesky(fit.covariance + 1e-12 * np.eye(count))

    def belief(z: Array) -> Array:
        left = fit.residuals - along.of(z) @ fit.slopes.T
        return np.asarray(-0.5 * (np.sum(left**2, axis=1) + np.sum(z**2, axis=1)), dtype=np.float64)

    z = fit.z + chance.standard_normal((CHAINS, count)) @ root.T
    now = belief(z)
    kept = []
    for step in range(SETTLING + STEPS):
        stride = STRIDE / np.sqrt(count) * (1.0 if step % 4 else 0.25)
        there = z + stride * chance.standard_normal((CHAINS, count)) @ root.T
        then = belief(there)
        taken = (np.log(chance.random(CHAINS)) < then - now) & (np.abs(there).max(axis=1) < FARTHEST)
        z = np.where(taken[:, None], there, z)
        now = np.where(taken, then, now)
        if step >= SETTLING and step % EVERY == 0:
            kept.append(z)
    return np.concatenate(kept)


def prior(count: int, seed: int = SEED) -> Array:
    """Draws of z before anything was read, as many as after, (draws, figures)."""
    return np.random.default_rng(seed).standard_normal((CHAINS * STEPS // EVERY, count))
