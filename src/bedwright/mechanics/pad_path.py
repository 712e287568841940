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
AIMS = (0.012, 0.04, 0.08, 0.125, 0.17, 0.24, 0.42, 0.52, 0.64, 0.76, 0.88)
FIRST_WAY, LONGEST_STEP = 4.0, 16.0  # [mm]
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
    depth = touch + FIRST_WAY
    while True:
        before = down[-2] if len(down) > 1 else None
        down.append(bench.settled(depth, down[-1] if down else rest, before))
        state = down[-1]
        if state.force >= greatest:
            break
        if len(down) >= MOST_POINTS or depth - touch > DEEPEST:
            raise OutsideRange(f"the bed does not carry {greatest:g} N under the pad at this spot")
        ahead = [aim for aim in aims if aim > state.force * 1.01 + 0.5] or [greatest]
        slope = _slope(down, touch)
        way = (ahead[0] - state.force) / slope if slope > 0 else LONGEST_STEP
        if ahead[0] == greatest:
            way = way * 1.02 + 0.05
        depth += float(np.clip(way, 0.3, LONGEST_STEP))
    return Path(rest, touch, tuple(down), _back(bench, down, touch) if back else ())


def _slope(states: list[Pressed], touch: float) -> float:
    """Slope ahead [N/mm]: of the last step, bent as the last two bend."""
    points = [(touch, 0.0), *((s.depth, s.force) for s in states)]
    (d1, f1), (d2, f2) = points[-2:]
    last = (f2 - f1) / (d2 - d1)
    if len(points) < 3:
        return 2 * last
    d0, f0 = points[-3]
    bend = (last - (f1 - f0) / (d1 - d0)) / ((d2 - d0) / 2)
    return max(last + bend * (d2 - d1), 0.5 * last)


def _back(bench: Bench, down: list[Pressed], touch: float) -> tuple[Pressed, ...]:
    deepest = down[-1]
    up = bench.unloading(deepest)
    whole = deepest.depth - touch
    states = [up.settled(deepest.depth, deepest)]
    for share in np.linspace(1, 0, BACK + 1)[1:-1]:
        before = states[-2] if len(states) > 1 else None
        states.append(up.settled(touch + whole * float(share), states[-1], before))
        if states[-1].force <= 0.0:
            break
    return tuple(states)


def tangents(one: Field, states: tuple[Pressed, ...], tolerance: float) -> tuple[Tangent, ...]:
    """The tangent at each state."""
    bench = Bench(one, tolerance)
    return tuple(bench.tangent(state) for state in states)
