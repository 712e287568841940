"""How far a reading may be off: of depth, of force, and of the zero that all depths of a test are counted from.

Every reading is off by itself, in depth by `depth` mm and in force by `share` of it; and the whole test is off
together, in its zero by `depth` and in its scale by `share`: the same ruler read the first touch, the same balance or
load cell all forces. All normal, all one standard deviation; however many readings a test has, they never make it surer
than its zero and its scale are. Which figures hold is the maker's to say; what stands in else is plausible only.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright import typed
from bedwright.errors import NotUnderstood

Array = NDArray[np.float64]
LEAST_FORCE = 1.0  # [N] that any force is uncertain by
MOST_POINTS = 40  # readings of one test that count; more are averaged, and count as one
_WORDS = re.compile(r"(?P<depth>[^%]*?mm)?[ ,;and]*(?P<share>[0-9.,]+ ?%)?")
MOST_DEPTH, MOST_SHARE = 20.0, 25.0  # [mm], [%]


@dataclass(frozen=True, slots=True)
class Noise:
    """Standard deviations: depth [mm] of one reading and of the zero, share of the force of one reading and of the
    scale. how: whose figures they are."""

    depth: float
    share: float
    how: str = "plausible, not measured"

    def spread(self, force: Array, slope: Array) -> Array:
        """Covariance [N2] of the forces of one test, (readings, readings): force [N] and slope [N/mm] there."""
        own = (slope * self.depth) ** 2 + (force * self.share) ** 2 + LEAST_FORCE**2
        return (
            np.diag(own) + self.depth**2 * np.outer(slope, slope) + self.share**2 * np.outer(force, force)
        )  # fmt: skip

    def common(self, force: Array, slope: Array, left: Array) -> tuple[float, float]:
        """Likeliest zero [mm] and scale [share] by which a whole test is off, of what is left over [N]: a positive zero
        is a touch taken too late, a positive scale reads too much."""
        solved = np.linalg.solve(self.spread(force, slope), left)
        return float(self.depth**2 * slope @ solved), float(self.share**2 * force @ solved)

    @property
    def words(self) -> str:
        """The figures for people."""
        return f"{typed.show(self.depth, 2)} mm and {typed.show(100 * self.share, 2)} % of the force, {self.how}"


BY_HAND = Noise(0.5, 0.01)
"""A batten and a ruler, weights from a shelf: plausible, not measured."""


def noise(text: str) -> Noise:
    """Typed noise: "0.5 mm 1 %", either part alone. Raises NotUnderstood."""
    how = 'write it as "0.5 mm 1 %": one standard deviation of a depth and of a force'
    match = _WORDS.fullmatch(" ".join(text.split()))
    if match is None or not (match["depth"] or match["share"]):
        raise NotUnderstood(text[:80], "is no reading error", how)
    depth = typed.length_mm(match["depth"].strip(" ,;")) if match["depth"] else BY_HAND.depth
    share = typed.number(match["share"].rstrip("% ")) if match["share"] else 100 * BY_HAND.share
    if not (0 < depth <= MOST_DEPTH and 0 < share <= MOST_SHARE):
        says = f"is not above 0, up to {MOST_DEPTH:g} mm and {MOST_SHARE:g} %"
        raise NotUnderstood(text[:80], says, how)
    return Noise(depth, share / 100, "as given")


def thinned(depth: Sequence[float], force: Sequence[float], most: int = MOST_POINTS) -> tuple[Array, Array]:
    """Readings by rising depth, at most so many of them: neighbours averaged where there are more.

    A machine that writes ten times a second does not read ten times as surely; averages count as one reading.
    """
    order = np.argsort(np.asarray(depth, dtype=np.float64), kind="stable")
    d, f = np.asarray(depth, dtype=np.float64)[order], np.asarray(force, dtype=np.float64)[order]
    if len(d) <= most:
        return d, f
    parts = np.array_split(np.arange(len(d)), most)
    return np.array([d[part].mean() for part in parts]), np.array([f[part].mean() for part in parts])


def roughness(depth: Array, force: Array) -> float:
    """Scatter of single forces [N] about a smooth curve, from third differences; nan with fewer than eight readings.

    Of readings at even steps with independent errors the third differences vary 20 times as much as the readings;
    the middle one of their sizes is taken, so that one bad reading does not count.
    """
    if len(depth) < 8:
        return float("nan")
    steps = np.array([_third(depth[i : i + 4], force[i : i + 4]) for i in range(len(depth) - 3)])
    return float(np.median(np.abs(steps)) / 0.6745)


def _third(depth: Array, force: Array) -> float:
    """What the cubic's own weight of four readings is, as one standard deviation of a reading."""
    weights = np.array([1 / np.prod([d - e for e in np.delete(depth, k)]) for k, d in enumerate(depth)])
    return float(weights @ force / np.linalg.norm(weights))
