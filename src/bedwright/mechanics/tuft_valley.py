"""The valley round one tuft: how hard it pulls when clamped to a height, how wide the valley is, how high the crown.

Round a washer of radius a the panel of tension T lies on the stack whose pressure p follows its compression w by the
stack's own law in series: T (w'' + w'/r) = p(w), w(a) the depth at which it is clamped. Halfway to the next tufts
(radius b of a circle as large as one tuft's share of the bed) the slope is nothing. For straight columns that is a sum
of Bessel functions (derived); for the true law it is solved on rings.

A round cell stands for the pattern of tufts: against a true square one the crown reads up to 7 % low, the pull within
5 % (finite differences, tests). The washer is stiff; the panel's tension does not rise by its own valleys.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import solveh_banded
from scipy.optimize import brentq
from scipy.special import i0e, i1e, k0e, k1e

from bedwright.errors import Fault, FaultsFound, NotConverged
from bedwright.mechanics.crown import reach_of

Array = NDArray[np.float64]

RINGS = 200
MOST_ROUNDS, SETTLED = 60, 1e-8  # narrow rings leave rounding of about 1e-10


@dataclass(frozen=True, slots=True)
class Stack:
    """Pressure [kPa] of a stack against its compression [mm], both (points,), rising from nothing; straight between."""

    compression: Array
    pressure: Array

    def __post_init__(self) -> None:
        x, p = self.compression, self.pressure
        fits = x.shape == p.shape and x.ndim == 1 and len(x) >= 2 and x[0] == 0 and p[0] >= 0
        if not fits or np.any(np.diff(x) <= 0) or np.any(np.diff(p) <= 0):
            says = "the stack's law does not rise from nothing at every point"
            raise FaultsFound([Fault(says=says, remedy="start it at 0 mm and let both rise", field="pressure")])

    def at(self, compression: Array) -> tuple[Array, Array]:
        """Pressure [kPa] and its slope [kPa/mm] at compressions [mm], any shape; beyond the table its last slope."""
        x, p = self.compression, self.pressure
        slopes = np.diff(p) / np.diff(x)
        part = np.clip(np.searchsorted(x, compression, side="right") - 1, 0, len(slopes) - 1)
        return np.asarray(p[part] + slopes[part] * (compression - x[part])), np.asarray(slopes[part])


@dataclass(frozen=True, slots=True)
class Valley:
    """The valley of one tuft: radius and depth below the untufted face [mm], (rings,), outwards from the washer's edge.

    pull [N]: in the tuft; depth_at_tuft, depth_between [mm]; crown [mm]: how far the face between tufts stands above
    them; valley_radius [mm]: where the depth over that between has fallen to 1/e; reach [mm]: sqrt(T/k) with the
    stack's slope at rest, the estimate of it; residual: of the balance, relative to the pull.
    """

    radius: Array
    depth: Array
    pull: float
    depth_at_tuft: float
    depth_between: float
    valley_radius: float
    reach: float
    residual: float

    @property
    def crown(self) -> float:
        """How far the face between tufts stands above the tufts [mm]."""
        return self.depth_at_tuft - self.depth_between


def cell_radius(area_per_tuft: float) -> float:
    """Radius [mm] of the circle as large as one tuft's share of the bed [mm2]. Derived."""
    return math.sqrt(area_per_tuft / math.pi)


def tuft_valley(stack: Stack, tension: float, depth: float, washer: float, cell: float) -> Valley:
    """The valley of a tuft clamped to a depth below the untufted face [mm]; a depth of 0 or less pulls nothing.

    stack: the law of what it clamps; tension of the panel [N/m]; washer and cell: radii [mm]. Derived (module text).
    Raises FaultsFound, NotConverged.
    """
    faults = _faults(tension, washer, cell)
    if faults:
        raise FaultsFound(faults)
    radius = np.geomspace(washer, cell, RINGS + 1)
    slope_at_rest = float(stack.at(np.zeros(1))[1][0])
    reach = reach_of(tension, 1000 * slope_at_rest)
    if depth <= 0:
        return Valley(radius, np.zeros_like(radius), 0.0, 0.0, 0.0, reach, reach, 0.0)
    w, pull, residual = _solved(stack, tension, depth, radius)
    pressure = float(stack.at(np.array([depth]))[0][0])
    between = float(w[-1])
    left = between + (depth - between) / math.e
    return Valley(
        radius=radius,
        depth=w,
        pull=(math.pi * washer**2 * pressure + pull) / 1000,  # kPa mm2 and N/m mm are mN
        depth_at_tuft=depth,
        depth_between=between,
        valley_radius=float(np.interp(-left, -w, radius)) - washer,
        reach=reach,
        residual=residual,
    )


def depth_of_pull(stack: Stack, tension: float, pull: float, washer: float, cell: float) -> float:
    """Depth [mm] to which a tuft of a measured pull [N] draws the face: the other way round. Raises as tuft_valley."""
    if pull <= 0:
        return 0.0

    def over(depth: float) -> float:
        return tuft_valley(stack, tension, depth, washer, cell).pull - pull

    high = float(stack.compression[-1]) / 8
    while over(high) < 0:
        high *= 2
        if high > 100 * float(stack.compression[-1]):
            says = f"a pull of {pull:g} N presses the stack beyond its law"
            raise FaultsFound([Fault(says=says, remedy="give less pull or a law that goes further", field="tuft_pull")])
    return float(brentq(over, 0.0, high, xtol=1e-9))


def straight_valley(foundation: float, tension: float, depth: float, washer: float, cell: float, r: Array) -> Array:
    """Depth [mm] at radii r [mm], any shape, over straight columns [kPa/m]: the closed form that `tuft_valley` meets.

    w = d [I0(r/l) K1(b/l) + K0(r/l) I1(b/l)] / [the same at a], l = sqrt(T/k). Derived.
    """
    reach = reach_of(tension, foundation)
    a, b = washer / reach, cell / reach

    def shape(x: Array) -> Array:
        # scaled Bessel functions, and all of it by exp(a - b), so that nothing overflows
        rising = i0e(x) * k1e(b) * np.exp(x + a - 2 * b)
        falling = k0e(x) * i1e(b) * np.exp(a - x)
        return np.asarray(rising + falling, dtype=np.float64)

    return depth * shape(np.asarray(r) / reach) / shape(np.array(a))


def straight_pull(foundation: float, tension: float, depth: float, washer: float, cell: float) -> float:
    """Pull [N] of a tuft over straight columns [kPa/m]: washer's own columns, and the panel round its edge. Derived."""
    reach = reach_of(tension, foundation)
    a, b = washer / reach, cell / reach
    rising, falling = k1e(b) * math.exp(2 * (a - b)), i1e(b)
    slope = depth / reach * (k1e(a) * falling - i1e(a) * rising) / (i0e(a) * rising + k0e(a) * falling)
    return float(math.pi * washer**2 * foundation * depth / 1000 + 2 * math.pi * washer * tension * slope) / 1000


def crown_between_lines(depth: float, spacing: float, tension: float, foundation: float) -> float:
    """Crown [mm] between two held lines a spacing apart [mm], as between rows of close tufts: d (1 - 1/cosh(s/2l)).

    Derived from the strip of `crown`. Raises OutsideRange.
    """
    reach = reach_of(tension, foundation)
    ratio = spacing / 2 / reach if reach > 0 else math.inf
    return depth * (1 - (1 / math.cosh(ratio) if ratio < 700 else 0.0))


def _solved(stack: Stack, tension: float, depth: float, radius: Array) -> tuple[Array, float, float]:
    """Depth at every ring, the membrane's pull at the washer [mN], relative residual. Linear elements in r, Newton."""
    gap, middle = np.diff(radius), (radius[1:] + radius[:-1]) / 2
    spring = 2 * math.pi * tension * middle / gap
    area = np.zeros_like(radius)  # of the ring that each place stands for, exact for a depth straight in r
    area[:-1] += 2 * math.pi * gap * (radius[:-1] / 3 + radius[1:] / 6)
    area[1:] += 2 * math.pi * gap * (radius[:-1] / 6 + radius[1:] / 3)
    w = depth * np.exp(-(radius - radius[0]) / max(reach_of(tension, 1000 * float(stack.at(np.zeros(1))[1][0])), 1e-9))
    w[0] = depth

    def forces(w: Array) -> Array:
        pulled = spring * np.diff(w)
        total = area * stack.at(w)[0]
        total[:-1] -= pulled
        total[1:] += pulled
        return np.asarray(total)

    def energy(w: Array) -> float:
        return float(np.sum(spring * np.diff(w) ** 2) / 2 + np.sum(area * _work(stack, w)))

    rest = math.inf
    for _ in range(MOST_ROUNDS):
        out = forces(w)
        rest = float(np.sum(np.abs(out[1:])) / max(abs(float(out[0])), 1e-300))
        if rest < SETTLED:
            return w, float(out[0]), rest
        band = np.zeros((2, len(w) - 1))
        band[0, 1:] = -spring[1:]
        band[1] = spring + np.append(spring[1:], 0.0) + area[1:] * stack.at(w[1:])[1]
        step = solveh_banded(band, -out[1:])
        size, start = 1.0, energy(w)
        while size > 1e-6:
            trial = w.copy()
            trial[1:] += size * step
            if energy(trial) <= start * (1 + 1e-14):
                break
            size /= 2
        w = trial
    raise NotConverged(f"the valley of a tuft {depth:g} mm deep does not settle", residual=rest)


def _work(stack: Stack, w: Array) -> Array:
    """Integral of the pressure over the compression [kPa mm], straight between the points."""
    x, p = stack.compression, stack.pressure
    below = np.concatenate([[0.0], np.cumsum(np.diff(x) * (p[1:] + p[:-1]) / 2)])
    part = np.clip(np.searchsorted(x, w, side="right") - 1, 0, len(x) - 2)
    over = w - x[part]
    slope = np.diff(p)[part] / np.diff(x)[part]
    return np.asarray(below[part] + p[part] * over + slope * over**2 / 2)


def _faults(tension: float, washer: float, cell: float) -> list[Fault]:
    faults = []
    if not 0 < tension < math.inf:
        remedy = "give more than 0: without tension a tuft draws its washer's columns alone"
        faults.append(Fault(says=f"a panel of {tension:g} N/m", remedy=remedy, field="panel_tension"))
    if not 0 < washer < cell < math.inf:
        says = f"a washer of radius {washer:g} mm in a cell of {cell:g} mm"
        faults.append(Fault(says=says, remedy="give a washer smaller than its cell", field="washer"))
    return faults
