"""A person laid on a bed again and again with other figures: sinks of its parts, and how they follow each figure.

What a figure does is had by moving it and letting the person come to rest anew, each from the rest before. Figures with
a wide range are moved wherever the fit stands, all others once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize
from bedwright.mechanics.base import Base
from bedwright.mechanics.bed_field import bed_field, place
from bedwright.mechanics.bed_model import BedModel
from bedwright.mechanics.learn_figures import COVERED, Figure, moved
from bedwright.mechanics.lying import Lies, bedded_on, told_of, untouched_face
from bedwright.mechanics.lying_bench import Rested, rested
from bedwright.mechanics.posture import FLESH, Flesh

Array = NDArray[np.float64]
CELL = 30.0  # [mm] of the map while learning: sinks are wanted, no peaks
TOLERANCE = 1e-5
FIVE = 5.0  # times: how far the stiffness of soft tissue may be off
STEP = 0.4  # of z: sinks are read at the deepest node near a mark, and so in small jumps


@dataclass(frozen=True, slots=True)
class Sunk:
    """Sinks [mm] of the parts, and by [mm per z], (parts, figures). rest: to start the next from."""

    sink: Array
    by: Array
    rest: Rested

    def at(self, depth: Array) -> Array:
        """The sinks; depth does not matter."""
        return self.sink

    def slope_at(self, depth: Array) -> Array:
        """Nothing: a sink is read, not worked out at a depth."""
        return np.zeros_like(self.sink)

    def by_at(self, depth: Array) -> Array:
        """What each figure does to the sinks."""
        return self.by


class SunkPress:
    """A person on a bed on a base, laid down with other figures. parts: those whose sinks are wanted, in order."""

    def __init__(
        self, bed: BedAtSize, model: BedModel, found: tuple[Figure, ...], lies: Lies, parts: tuple[str, ...],
        base: Base, cell: float = CELL,
    ) -> None:  # fmt: skip
        self.model, self.figures, self.base, self.parts = model, found, base, parts
        self._bed, self._lies, self._cell = bed, lies, cell
        self._bedded = bedded_on(bed, [lies], model, base, cell)
        self._once: dict[str, Array] = {}

    def seen(self, z: Array, near: Sunk | None = None, *, by: bool = True) -> Sunk:
        """The sinks with figures at z. Raises NotConverged."""
        named = dict(zip((one.name for one in self.figures), map(float, z), strict=True))
        sink, rest = self._laid(named, None if near is None else near.rest)
        effect = np.zeros((len(sink), len(self.figures)))
        for k, figure in enumerate(self.figures if by else ()):
            if figure.bends or figure.name not in self._once:
                step = -STEP if named[figure.name] > 0 else STEP
                there, _ = self._laid({**named, figure.name: named[figure.name] + step}, rest)
                self._once[figure.name] = (there - sink) / step
            effect[:, k] = self._once[figure.name]
        return Sunk(sink, effect, rest)

    def unsure(self) -> tuple[tuple[float, ...], ...]:
        """What is not known of any body does to all sinks together [mm], one standard deviation of each: soft tissue
        five times as stiff (known within a factor of five, taken as 95 of 100), and on the side the lower shoulder as
        far forward as it goes, or not at all."""
        base, _ = self._laid({one.name: 0.0 for one in self.figures}, None)
        stiff = self._with(replace(FLESH, modulus=FIVE * FLESH.modulus))
        found = [tuple(((stiff - base) / COVERED).tolist())]
        if self._lies.posture == "side":
            back, ahead = (self._with(replace(FLESH, forward=share)) for share in (0.0, 1.0))
            found.append(tuple(((ahead - back) / 2 / COVERED).tolist()))
        return tuple(found)

    def _with(self, flesh: Flesh) -> Array:
        """Sinks by the cards, of a body of other flesh."""
        bedded = bedded_on(self._bed, [self._lies], self.model, self.base, self._cell, flesh)
        one = bed_field(self.model, bedded.placed)
        found = rested(one, bedded.on, TOLERANCE)
        lain = told_of(self._bed, self.model, bedded, found, untouched_face(self.model, one)).persons[0]
        return np.array([lain.sink[part] for part in self.parts])

    def _laid(self, named: dict[str, float], start: Rested | None) -> tuple[Array, Rested]:
        model = moved(self.model, self.figures, named)
        anew = any(one.moves_places and named[one.name] != 0.0 for one in self.figures)
        bedded = self._bedded
        if anew:
            bedded = replace(bedded, placed=place(model, bedded.placed.where, self.base))
        one = bed_field(model, bedded.placed)
        found = rested(one, bedded.on, TOLERANCE, start)
        lain = told_of(self._bed, model, bedded, found, untouched_face(model, one)).persons[0]
        return np.array([lain.sink[part] for part in self.parts]), found
