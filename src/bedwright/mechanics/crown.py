"""The crown of a panel: how much longer than straight across its way is, and the shape that fillings push it to.

A crown is either measured (its height, as a parabola or a circle over the case), or comes of fillings that would stand
higher than the rim holds them: a membrane of tension T over columns of k, held down at both rims. In the strip across
the bed that is T u'' = k (u - h), so u = h (1 - cosh(x/l)/cosh(b/l)), l = sqrt(T/k), b half the width (derived).
Slopes are taken as small in the balance, and as they are in the length of the way.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import OutsideRange

Array = NDArray[np.float64]

GAUSS_POINTS, PANELS = 16, 8
WIDE = 40.0  # reaches of width beyond which one rim knows nothing of the other, in a float


@dataclass(frozen=True, slots=True)
class Rise:
    """A measured crown: height of the middle above the rims [mm], and its shape."""

    height: float
    shape: Literal["parabola", "circle"] = "parabola"

    def way(self, chord: float, tension: float) -> float:
        """Length of the way over the crown [mm] from rim to rim; the tension [N/m] does not matter."""
        return (parabola_arc if self.shape == "parabola" else circle_arc)(chord, self.height)

    def middle(self, chord: float, tension: float) -> float:
        """Height of the middle above the rims [mm]."""
        return self.height


@dataclass(frozen=True, slots=True)
class Overheight:
    """Fillings that free of the panel would stand this much above the rims [mm], on columns of k [kPa/m]."""

    height: float
    foundation: float

    def way(self, chord: float, tension: float) -> float:
        """Length of the way over the crown [mm] from rim to rim at a tension [N/m]."""
        return membrane_arc(chord, self.height, tension, self.foundation)

    def middle(self, chord: float, tension: float) -> float:
        """Height of the middle above the rims [mm] at a tension [N/m]."""
        return float(strip_crown(np.zeros(1), chord, self.height, tension, self.foundation)[0])


def reach_of(tension: float, foundation: float) -> float:
    """How far a tension [N/m] carries over columns [kPa/m] sideways: l = sqrt(T/k) [mm]. Derived; 0 with no tension.

    It is also the radius of the valley round a tuft and of a panel's fall to its rim. Raises OutsideRange.
    """
    if not (0 <= tension < math.inf and 0 < foundation < math.inf):
        raise OutsideRange(f"tension {tension:g} N/m on {foundation:g} kPa/m has no reach; give 0 or more, and above 0")
    return 1000 * math.sqrt(tension / (1000 * foundation))


def parabola_arc(chord: float, height: float) -> float:
    """Length of a parabola [mm] over a chord with a height in the middle: c (sqrt(1+u^2) + asinh(u)/u)/2, u = 4h/c.

    Elementary calculus (derived). Raises OutsideRange.
    """
    _sizes(chord, height)
    u = 4 * height / chord
    return chord * (math.hypot(1, u) + (math.asinh(u) / u if u > 1e-8 else 1.0)) / 2


def circle_arc(chord: float, height: float) -> float:
    """Length of a circular arc [mm] over a chord: c (1 + v^2) atan(v)/v, v = 2h/c, up to half a circle and beyond.

    Elementary geometry (derived). Raises OutsideRange.
    """
    _sizes(chord, height)
    v = 2 * height / chord
    return chord * (1 + v * v) * (math.atan(v) / v if v > 1e-8 else 1.0)


def strip_crown(x: Array, chord: float, overheight: float, tension: float, foundation: float) -> Array:
    """Height of a held-down membrane above its rims [mm] at places x from the middle [mm], any shape; module text.

    tension [N/m], foundation [kPa/m], overheight [mm]. Derived. Raises OutsideRange.
    """
    _sizes(chord, overheight)
    reach = reach_of(tension, foundation)
    away = np.abs(np.asarray(x, dtype=np.float64))
    half = chord / 2
    if reach < half / 1e6:
        return np.where(away < half, overheight, 0.0)
    # cosh(x/l)/cosh(b/l) without the overflow of either
    fall = (np.exp((away - half) / reach) + np.exp(-(away + half) / reach)) / (1 + math.exp(-2 * half / reach))
    return np.asarray(overheight * (1 - fall), dtype=np.float64)


def membrane_arc(chord: float, overheight: float, tension: float, foundation: float) -> float:
    """Length of the way over a held-down membrane [mm], by Gauss quadrature of its slope, or closed where wide.

    From chord + 2 overheight (no tension: straight up at both rims) it falls to the chord as the tension grows.
    Raises OutsideRange.
    """
    _sizes(chord, overheight)
    reach = reach_of(tension, foundation)
    half = chord / 2
    if overheight == 0:
        return chord
    if chord >= WIDE * reach:
        return wide_membrane_arc(chord, overheight, tension, foundation)
    # t: distance from the rim in reaches, at most 20; panels grow, as the slope falls from the rim inwards
    last = half / reach
    edges = last * np.linspace(0, 1, PANELS + 1) ** 2
    nodes, weights = _gauss()
    width = np.diff(edges)[:, None]
    t = edges[:-1, None] + (nodes + 1) / 2 * width
    slope = overheight / reach * (np.exp(-t) - np.exp(t - 2 * last)) / (1 + math.exp(-2 * last))
    longer = slope * slope / (1 + np.sqrt(1 + slope * slope))  # sqrt(1 + s^2) - 1 without loss
    return chord + 2 * reach * float(np.sum(longer * weights / 2 * width))


def wide_membrane_arc(chord: float, overheight: float, tension: float, foundation: float) -> float:
    """The same where the bed is many reaches wide: c + 2 l [sqrt(1+a^2) - 1 - ln((1 + sqrt(1+a^2))/2)], a = h/l.

    Closed form of the integral with each rim on its own (derived); good to a float from 40 reaches on.
    Raises OutsideRange.
    """
    _sizes(chord, overheight)
    reach = reach_of(tension, foundation)
    if reach == 0:
        return chord + 2 * overheight
    root = math.hypot(1, overheight / reach)
    return chord + 2 * reach * (root - 1 - math.log((1 + root) / 2))


def rim_hold(chord: float, overheight: float, tension: float, foundation: float) -> float:
    """Pull [N/m] with which a rim holds the panel down against its fillings: h sqrt(T k) tanh(b/l).

    The border's wall carries it. Derived: tension times slope at the rim. Raises OutsideRange.
    """
    _sizes(chord, overheight)
    reach = reach_of(tension, foundation)
    return tension * overheight / reach * math.tanh(chord / 2 / reach) if reach > 0 else 0.0


@cache
def _gauss() -> tuple[Array, Array]:
    nodes, weights = np.polynomial.legendre.leggauss(GAUSS_POINTS)
    return nodes, weights


def _sizes(chord: float, height: float) -> None:
    if not (0 < chord < math.inf and 0 <= height < math.inf):
        raise OutsideRange(
            f"a crown of {height:g} mm over {chord:g} mm; give a height of 0 or more over a width above 0"
        )
