"""Hardness H of EN 1957: the mean slope at 210, 275 and 340 N, as tangent and as secant, both always named.

The explainers read differ on which slope is meant (book `en-1957-pad`), so both are given. The firmness rating is not
made from it here: its formula was not found, and nothing is invented.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline, PchipInterpolator
from scipy.optimize import brentq

from bedwright.errors import OutsideRange

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Hardness:
    """H [N/mm] as tangent and secant, and the depths [mm] at the three forces."""

    tangent: float
    secant: float
    depths: tuple[float, float, float]


def hardness(
    depth: Array, force: Array, forces: tuple[float, float, float] = (210.0, 275.0, 340.0), *, smooth: bool = False
) -> Hardness:
    """H of a measured or predicted loading curve: depth [mm] and force [N], shape (points,), both rising.

    Monotone cubic between the points; smooth: a spline, for a curve without noise, if it rises too. Raises OutsideRange
    when the curve does not reach the highest force or falls.
    """
    if np.any(np.diff(depth) <= 0) or np.any(np.diff(force) <= 0):
        raise OutsideRange("the loading curve does not rise at every point; take out doubled or falling points")
    if force[-1] < forces[-1]:
        raise OutsideRange(f"the curve ends at {force[-1]:.0f} N, and H needs {forces[-1]:g} N")
    curve = PchipInterpolator(depth, force)
    slope = curve.derivative()
    if smooth and len(depth) > 3:
        spline = CubicSpline(depth, force)
        within = np.linspace(depth[0], depth[-1], 8 * len(depth))
        if np.all(spline(within[1:], 1) > 0):
            curve, slope = spline, spline.derivative()
    depths = tuple(float(brentq(lambda x, at=at: float(curve(x)) - at, depth[0], depth[-1])) for at in forces)
    tangents = [float(slope(x)) for x in depths]
    secants = [at / x for at, x in zip(forces, depths, strict=True)]
    return Hardness(float(np.mean(tangents)), float(np.mean(secants)), (depths[0], depths[1], depths[2]))
