"""A bed's predicted curve at depths that somebody read, and how it follows each open figure.

One press at a dozen or more depths, between them a cubic spline. How the curve follows a figure is had at each depth
from the fields as they are: one solve tells how the force follows any change of the bed's own forces (as in
intervals.py), so each figure costs no more than those forces.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from bedwright.errors import NotConverged
from bedwright.mechanics.base import Base
from bedwright.mechanics.bed_field import Layout, Placed, bed_field, layout, place
from bedwright.mechanics.bed_model import BedModel
from bedwright.mechanics.learn_figures import Figure, moved
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.pad_path import Path, press, rest_of, tangents
from bedwright.mechanics.solver import Bench, Pressed

Array = NDArray[np.float64]
KNOTS, APART = 12, 7.0  # at least so many depths, at most so far apart [mm]
PAD = Protocol()
STEP = 0.02  # of z, over which a figure's effect is taken
LOOSE = 1e-4


@dataclass(frozen=True, slots=True)
class Seen:
    """A curve at its knots: depth [mm] from the first touch (0 first), force [N], and by [N per z], (knots, figures).

    states: to start the next press from.
    """

    depth: Array
    force: Array
    by: Array
    states: tuple[Pressed, ...]

    def at(self, depth: Array) -> Array:
        """Force [N] at depths [mm]; nothing before the first touch."""
        return np.where(depth > 0, CubicSpline(self.depth, self.force)(depth), 0.0)

    def slope_at(self, depth: Array) -> Array:
        """Slope [N/mm] at depths [mm]."""
        return np.asarray(CubicSpline(self.depth, self.force)(np.maximum(depth, 0.0), 1), dtype=np.float64)

    def by_at(self, depth: Array) -> Array:
        """What each figure does there, (depths, figures) [N per z]."""
        return np.where(depth[:, None] > 0, CubicSpline(self.depth, self.by)(depth), 0.0)


class Press:
    """A bed on a base at a spot, pressed again and again with other figures."""

    def __init__(
        self,
        model: BedModel,
        found: tuple[Figure, ...],
        spot: Spot,
        base: Base,
        deepest: float,
        *,
        fineness: float = 1.0,
        tolerance: float = 1e-6,
    ) -> None:
        """found: the open figures; deepest: of the depths asked for [mm]."""
        self.model, self.figures, self.base, self.spot = model, found, base, spot
        self.tolerance = tolerance
        self._where: Layout = layout(model, spot, PAD, fineness)
        self._placed: Placed = place(model, self._where, base)
        count = max(KNOTS, int(np.ceil(deepest / APART)))
        # closer together near the touch, where the curve bends
        self.knots = deepest * np.linspace(0.0, 1.0, count + 1)[1:] ** 1.2

    def placed(self, model: BedModel, z: dict[str, float]) -> Placed:
        """Where things are for a moved model."""
        anew = any(one.moves_places and z.get(one.name, 0.0) != 0.0 for one in self.figures)
        return place(model, self._where, self.base) if anew else self._placed

    def seen(self, z: Array, near: Seen | None = None, *, by: bool = True) -> Seen:
        """The curve with figures at z; near: a curve pressed before, to start from; by: with what each figure does.

        Raises NotConverged.
        """
        named = self._named(z)
        model = moved(self.model, self.figures, named)
        one = bed_field(model, self.placed(model, named))
        bench = Bench(one, self.tolerance)
        rest, touch = rest_of(bench, one)
        states: list[Pressed] = []
        for index, depth in enumerate(self.knots):
            states.append(self._state(bench, touch + float(depth), rest, states, near, index))
        force = np.array([0.0, *(state.force for state in states)])
        effect = np.zeros((len(force), len(self.figures)))
        if by:
            effect[1:] = self._effect(bench, tuple(states), touch, named)
        return Seen(np.array([0.0, *self.knots]), force, effect, tuple(states))

    def whole(self, z: Array) -> tuple[Path, Array]:
        """The test to its greatest force with figures at z, as the pad test goes; and what each figure does at its
        points, (points, figures) [N per z]. Raises NotConverged, OutsideRange."""
        named = self._named(z)
        model = moved(self.model, self.figures, named)
        one = bed_field(model, self.placed(model, named))
        path = press(one, PAD.greatest_force, PAD.slope_forces, self.tolerance, back=False)
        effect = self._effect(Bench(one, self.tolerance), path.down, path.touch, named)
        return path, np.concatenate([np.zeros((1, len(self.figures))), effect])

    def again(self, path: Path, z: Array) -> Array:
        """Forces [N] at the depths of a path with other figures, each settled anew. Raises NotConverged."""
        named = self._named(z)
        model = moved(self.model, self.figures, named)
        one = bed_field(model, self.placed(model, named))
        bench = Bench(one, LOOSE)
        rest, touch = rest_of(bench, one)
        states: list[Pressed] = []
        for depth in path.depth[1:]:
            last = states[-1] if states else rest
            states.append(bench.settled(touch + float(depth), last, states[-2] if len(states) > 1 else None))
        return np.array([0.0, *(state.force for state in states)])

    def _named(self, z: Array) -> dict[str, float]:
        return dict(zip((one.name for one in self.figures), map(float, z), strict=True))

    def _effect(self, bench: Bench, states: tuple[Pressed, ...], touch: float, named: dict[str, float]) -> Array:
        """What each figure does to the force at held depths under the first touch, (states, figures) [N per z]."""
        found = tangents(bench.field, states, LOOSE)
        before = [bench.imbalance(state) for state in states]
        effect = np.zeros((len(states), len(self.figures)))
        for column, figure in enumerate(self.figures):
            step = -STEP if named[figure.name] > 0 else STEP  # away from a range's end, where its map is flat
            there = {**named, figure.name: named[figure.name] + step}
            model = moved(self.model, self.figures, there)
            field = bed_field(model, self.placed(model, there))
            other = Bench(field, LOOSE)
            drop = rest_of(other, field)[1] - touch if len(field.tie_down) else 0.0
            for row, (tangent, state, base) in enumerate(zip(found, states, before, strict=True)):
                fields = np.concatenate([tangent.du.ravel(), tangent.dq])
                effect[row, column] = (float(fields @ (other.imbalance(state) - base)) + tangent.slope * drop) / step
        return effect

    def _state(
        self, bench: Bench, depth: float, rest: Pressed, states: list[Pressed], near: Seen | None, index: int
    ) -> Pressed:
        if near is not None:
            try:
                return bench.settled(depth, near.states[index])
            except NotConverged:
                pass
        last = states[-1] if states else rest
        return bench.settled(depth, last, states[-2] if len(states) > 1 else None)
