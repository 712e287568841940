"""What is known of a bed's curve and of its H at one spot, before anything was read and after: values with bands.

Both bands hold 90 of 100 beds such as the cards, or the cards and the readings, describe. What the model itself leaves
out is in neither.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from bedwright.errors import OutsideRange
from bedwright.mechanics.hardness import Hardness, hardness
from bedwright.mechanics.learn_pressed import PAD, Press
from bedwright.mechanics.pad_path import Path

Array = NDArray[np.float64]
WITHIN = 0.90
HALF = float(ndtri(0.5 + WITHIN / 2))
"""Standard deviations in half an interval that holds 90 of 100."""
ENDS = 0.5 - WITHIN / 2, 0.5 + WITHIN / 2
SHORT_STEP = 0.05  # of one standard deviation, over which H is followed


@dataclass(frozen=True, slots=True)
class Spread:
    """A value with both ends of its interval, in one unit."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Known:
    """A curve going down: depth [mm], force [N] with its band low, high; tangent, secant: H [N/mm], None where the bed
    does not carry its forces at this spot."""

    depth: Array
    force: Array
    low: Array
    high: Array
    tangent: Spread | None
    secant: Spread | None


def known_before(press: Press) -> Known:
    """By the cards alone: every figure goes to both ends of its own interval; what it moves is added by squares."""
    none = np.zeros(len(press.figures))
    path, effect = press.whole(none)
    base = _hardness(path, path.force)
    down, up = np.zeros_like(path.force), np.zeros_like(path.force)
    h_down, h_up = np.zeros(2), np.zeros(2)
    for k, figure in enumerate(press.figures):
        ends = []
        for sign in (-1.0, 1.0):
            if figure.bends:
                z = none.copy()
                z[k] = sign * HALF
                ends.append(press.again(path, z) - path.force)
            else:
                ends.append(sign * HALF * effect[:, k])
        down += np.minimum(np.minimum(*ends), 0.0) ** 2
        up += np.maximum(np.maximum(*ends), 0.0) ** 2
        if base is not None:
            gone = [_apart(base, _hardness(path, path.force + end)) for end in ends]
            h_down += np.minimum(np.minimum(*gone), 0.0) ** 2
            h_up += np.maximum(np.maximum(*gone), 0.0) ** 2
    low, high = np.maximum(path.force - np.sqrt(down), 0.0), path.force + np.sqrt(up)
    tangent, secant = _spreads(base, np.sqrt(h_down), np.sqrt(h_up))
    return Known(path.depth, path.force, low, high, tangent, secant)


def known_after(press: Press, z: Array, along: Array) -> Known:
    """By cards and readings: the curve with figures of the press at z, and its band by draws; along: of each draw, how
    far each figure lies along its slope there (learn_posterior), (draws, figures)."""
    path, effect = press.whole(z)
    low, high = np.quantile(along @ effect.T, ENDS, axis=0)
    base = _hardness(path, path.force)
    tangent = secant = None
    if base is not None:
        by = np.zeros((2, len(z)))
        for k in range(len(z)):
            there = _hardness(path, path.force + SHORT_STEP * effect[:, k])
            by[:, k] = _apart(base, there) / SHORT_STEP
        tangent, secant = (
            drawn(value + along @ one) for value, one in zip((base.tangent, base.secant), by, strict=True)
        )
    return Known(
        path.depth,
        path.force,
        np.maximum(path.force + np.minimum(low, 0.0), 0.0),
        path.force + np.maximum(high, 0.0),
        tangent,
        secant,
    )


def drawn(values: Array) -> Spread:
    """The middle of draws, and the ends between which 90 of 100 of them lie."""
    low, middle, high = np.quantile(values, (ENDS[0], 0.5, ENDS[1]))
    return Spread(float(middle), float(low), float(high))


def _hardness(path: Path, force: Array) -> Hardness | None:
    keep = np.concatenate([[True], np.diff(np.maximum.accumulate(force)) > 1e-9])
    try:
        return hardness(path.depth[keep], force[keep], PAD.slope_forces, smooth=True)
    except OutsideRange:
        return None


def _apart(base: Hardness, other: Hardness | None) -> Array:
    if other is None:
        return np.zeros(2)
    return np.array([other.tangent - base.tangent, other.secant - base.secant])


def _spreads(base: Hardness | None, down: Array, up: Array) -> tuple[Spread | None, Spread | None]:
    if base is None:
        return None, None
    first, second = (
        Spread(value, max(0.0, value - float(low)), value + float(high))
        for value, low, high in zip((base.tangent, base.secant), down, up, strict=True)
    )
    return first, second
