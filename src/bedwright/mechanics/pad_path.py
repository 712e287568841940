"""The path of a pad test: down to a force in steps that aim at forces, and back up; from it, curve and slopes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import OutsideRange
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.solver import Bench, Pressed, Tangent

Array = NDArray[np.float64]
# Forces the way down aims at, as shares of the greatest; with the three of H between, so that its slopes are read where
# the curve was worked out.
AIMS = (0.04, 0.08, 0.125, 0.17, 0.24, 0.305, 0.41, 0.48, 0.56, 0.64, 0.73, 0.82, 0.91)
FIRST_WAY, LEAST_STEP, LONGEST_STEP = 5.0, 0.3, 20.0  # [mm]
SHORT, LITTLE = 0.018, 0.012  # share of the greatest force by which an aim may be missed; one where a slope is read
BACK = 10
MOST_POINTS, DEEPEST = 120, 900.0


@dataclass(frozen=True, slots=True)
class Path:
    """States of a test. down: from the first touch to the greatest force; back: from there to nothing.

    rest: before the pad; touch: depth of the pad's lowest point, from the untouched plane, at which it first touches.
    """

    rest: Pressed
    touch: float
    down: tuple[Pressed, ...]
    back: tuple[Pressed, ...]

    @property
    def depth(self) -> Array:
        """Depths going down, from the first touch [mm]."""
        return np.array([0.0, *(s.depth - self.touch for s in self.down)])

    @property
    def force(self) -> Array:
        """Forces going down [N]."""
        return np.array([0.0, *(s.force for s in self.down)])


def rest_of(bench: Bench, one: Field) -> tuple[Pressed, float]:
    """The bed before the pad, and the depth at which the pad first touches it [mm]."""
    rest = bench.settled(-1e6)
    touched = one.touch > 0
    return rest, float(np.min(one.face[touched] + rest.u[touched, 0]))


def press(one: Field, greatest: float, slope_forces: tuple[float, ...], tolerance: float, back: bool = True) -> Path:
    """The whole test of a bed. Raises NotConverged, or OutsideRange for a bed that does not carry it."""
    bench = Bench(one, tolerance)
    rest, touch = rest_of(bench, one)
    aims = sorted({*(share * greatest for share in AIMS), *(f for f in slope_forces if f < greatest), greatest})
    down: list[Pressed] = []
    way = FIRST_WAY
    while True:
        state = bench.settled(
            touch + way if not down else down[-1].depth + way, down[-1] if down else rest, _behind(down, way)
        )
        down.append(state)
        if state.force >= greatest:
            break
        if len(down) >= MOST_POINTS or state.depth - touch > DEEPEST:
            raise OutsideRange(f"the bed does not carry {greatest:g} N under the pad at this spot")
        missed = {aim: greatest * (LITTLE if aim in slope_forces else SHORT) for aim in aims[:-1]}
        aim = next((aim for aim in missed if state.force < aim - missed[aim]), greatest)
        way = _way(down, touch, aim * 1.003 if aim == greatest else aim)
    return Path(rest, touch, tuple(down), _back(bench, down, touch) if back else ())


def _behind(states: list[Pressed], way: float) -> Pressed | None:
    """A state to look ahead from together with the last: far enough behind it for a step of this way [mm]."""
    for state in reversed(states[:-1]):
        if states[-1].depth - state.depth >= 0.5 * way:
            return state
    return states[0] if len(states) > 1 else None


def _way(states: list[Pressed], touch: float, aim: float) -> float:
    """Way on to a force [mm]: by the slope of the last step, bent as the last two bend."""
    points = [(touch, 0.0), *((s.depth, s.force) for s in states)]
    (d1, f1), (d2, f2) = points[-2:]
    last = (f2 - f1) / (d2 - d1)
    if len(points) < 3:
        slope, bend = 2 * last, 0.0
    else:
        d0, f0 = points[-3]
        bend = (last - (f1 - f0) / (d1 - d0)) / ((d2 - d0) / 2)
        slope = max(last + bend * (d2 - d1) / 2, 0.3 * last)
    missing = aim - f2
    inside = slope**2 + 2 * bend * missing  # of slope way + bend way^2 / 2 = missing
    if slope <= 0 or inside <= 0:
        return LONGEST_STEP
    return float(np.clip(2 * missing / (slope + np.sqrt(inside)), LEAST_STEP, LONGEST_STEP))


def _back(bench: Bench, down: list[Pressed], touch: float) -> tuple[Pressed, ...]:
    deepest = down[-1]
    up = bench.unloading(deepest)
    whole = deepest.depth - touch
    states = [up.settled(deepest.depth, deepest)]
    for share in np.linspace(1, 0, BACK + 1)[1:-1]:
        before = states[-2] if len(states) > 1 else down[-2]
        states.append(up.settled(touch + whole * float(share), states[-1], before))
        if states[-1].force <= 0.0:
            break
    return tuple(states)


def tangents(one: Field, states: tuple[Pressed, ...], tolerance: float) -> tuple[Tangent, ...]:
    """The tangent at each state."""
    bench = Bench(one, tolerance)
    return tuple(bench.tangent(state) for state in states)
