"""Ties pull only: a cord, a stitch, a wall of cloth carries nothing until it is taut, and then pulls, never pushes.

One law serves all: nothing up to a length, then straight. Tufts clamp a stack to a height, side-stitch ties the border
to the outer coils, the border's wall holds the rim down; what a stitched border carries standing up is not a tie but a
measured stiffness, and it is kept apart. Panels have a room of their own (panel_tension), pockets and quilting too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import Fault, FaultsFound, NotKnown, OutsideRange

Array = NDArray[np.float64]

STANDING_MEASURE = (
    "standing stiffness of the border not known: cut a metre of finished border with its stitching, stand it up between"
    " two boards, and read the force at 5 and 10 mm: N per mm for that metre"
)


@dataclass(frozen=True, slots=True)
class Tie:
    """A tie between two points: slack up to a length, then straight.

    length [mm]: at which it begins to pull; stiffness [N/mm], or [N/mm per m] for a row of stitches, whose pull is then
    in N/m. A tie under pull at rest has a length shorter than the distance at rest.
    """

    length: float
    stiffness: float

    def __post_init__(self) -> None:
        faults = []
        if not math.isfinite(self.length):
            faults.append(Fault(says=f"length {self.length} mm", remedy="give a number of mm", field="length"))
        if not 0 < self.stiffness < math.inf:
            says = f"stiffness {self.stiffness:g} N/mm"
            faults.append(Fault(says=says, remedy="give more than 0", field="stiffness"))
        if faults:
            raise FaultsFound(faults)

    def pull(self, distance: Array) -> Array:
        """Pull [N] at distances between its points [mm], any shape: 0 while slack, never under 0, never falling."""
        return np.asarray(self.stiffness * self._beyond(distance), dtype=np.float64)

    def slope(self, distance: Array) -> Array:
        """Slope of the pull [N/mm]: 0 while slack."""
        return np.where(self._beyond(distance) > 0, self.stiffness, 0.0)

    def energy(self, distance: Array) -> Array:
        """Energy stored [N mm]: convex and smooth to its first derivative, as a solver wants it."""
        return np.asarray(self.stiffness * self._beyond(distance) ** 2 / 2, dtype=np.float64)

    def _beyond(self, distance: Array) -> Array:
        return np.maximum(np.asarray(distance, dtype=np.float64) - self.length, 0.0)


def tie_under_pull(pull: float, distance: float, stiffness: float) -> Tie:
    """A tie that pulls this much [N] at its distance at rest [mm]: its length is what is left when it goes slack.

    Derived. Raises FaultsFound for a pull under 0: a tie does not push.
    """
    if not 0 <= pull < math.inf:
        raise FaultsFound([Fault(says=f"a tie pulls with {pull:g} N", remedy="give 0 or more", field="pull")])
    return Tie(distance - pull / stiffness if stiffness > 0 else math.nan, stiffness)


def cord_stiffness(stretch: float, length: float) -> float:
    """Stiffness [N/mm] of a cord or a strip: pull for a stretch of 1 [N] over its length [mm]. Derived."""
    if not (0 < stretch < math.inf and 0 < length < math.inf):
        raise OutsideRange(f"a cord of {length:g} mm and {stretch:g} N has no stiffness; give both above 0")
    return stretch / length


@dataclass(frozen=True, slots=True)
class RimSupport:
    """Border under one metre of rim: what it carries standing, and how its cloth holds the rim down.

    standing [N/mm per m]: measured on a stitched border, 0 for a plain one that folds; wall [N/mm per m]: pull of the
    border's cloth once the rim is lifted; slack [mm]: lift before the wall is taut.
    """

    standing: float
    wall: float
    slack: float = 0.0

    def force(self, down: Array) -> Array:
        """Force on the rim, up [N/m], against how far it goes down [mm], any shape: never falling.

        Under 0 where the rim is lifted: the wall pulls it down.
        """
        s = np.asarray(down, dtype=np.float64)
        return self.standing * np.maximum(s, 0.0) - self.wall * np.maximum(-s - self.slack, 0.0)

    def slope(self, down: Array) -> Array:
        """Slope of `force` [N/mm per m], 0 or more."""
        s = np.asarray(down, dtype=np.float64)
        return np.where(s > 0, self.standing, np.where(s < -self.slack, self.wall, 0.0))


def rim_support(
    standing: float | None, border_stretch: float, border_height: float, *, stitched: bool, slack: float = 0.0
) -> RimSupport:
    """The border under the rim, from its cards.

    standing: measured [N/mm per m]; None is not known where the border is side-stitched, and nothing where it is not:
    cloth folds. border_stretch: pull on one metre of width for a stretch of 1 upright [N/m]; border_height [mm]; the
    wall is stretch over height. Derived. Raises NotKnown with how to measure it, OutsideRange.
    """
    if standing is None and stitched:
        raise NotKnown(STANDING_MEASURE)
    if not (0 <= (standing or 0.0) < math.inf and 0 <= slack < math.inf):
        raise OutsideRange(f"standing {standing} N/mm per m, slack {slack:g} mm: give 0 or more of each")
    return RimSupport(standing or 0.0, cord_stiffness(border_stretch, border_height), slack)


def side_stitch(rows: int, thread_stiffness: float, pull: float = 0.0) -> Tie:
    """Side-stitch that ties one metre of border to the outer coils: a tie on how far both have come apart [mm].

    rows of stitch; thread_stiffness: of one row [N/mm per m]; pull: of all rows at rest [N/m], as measured.
    Slack as soon as border and coil come together again. Raises FaultsFound.
    """
    if rows < 1:
        raise FaultsFound([Fault(says=f"{rows} rows of side-stitch", remedy="give 1 or more", field="rows")])
    return tie_under_pull(pull, 0.0, rows * thread_stiffness)
