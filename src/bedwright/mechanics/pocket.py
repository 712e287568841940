"""One pocketed coil: pressed down into its pocket before anything lies on it, by cloth that pulls and never pushes.

At rest the cloth carries the force F0 with which it holds the coil down, so the law of the pocket starts with a step:
F(s) = F_coil(held + s) - (what the cloth still carries). The cloth goes slack over a short way delta, taken as
F0 exp(-s/delta): stiff woven cloth would be a sharp corner, which no solver likes. What delta does is said by
`taken_by_way`: after three of it 5 % of F0 is left, and the work it takes is F0 delta at most. Upwards the cloth is
stiff, with the slope that the law has at rest.

The step does not change the rate (springs and pockets, derived). Left out: rub of coil and cloth, pockets that hang
together, the weld that gives.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import Fault, FaultsFound, OutsideRange
from bedwright.mechanics.coil_force import force_curve
from bedwright.mechanics.coil_shape import CoilShape, longest_way, solid_height
from bedwright.mechanics.coil_stress import grown_outside

Array = NDArray[np.float64]

CLOTH_WAY = 0.5
"""Way [mm] over which pocket cloth goes slack where it was not measured: plausible, not measured."""
STOP_RATE = 50.0
"""Rate [N/mm] of a coil pressed solid: a stop, not a measurement."""


@dataclass(frozen=True, slots=True)
class PocketLaw:
    """Force of one pocketed coil against the way it goes down from rest.

    compression [mm] and coil_force [N], shape (points,): the coil alone, from free; held [mm]: how far the pocket
    presses it; held_force F0 [N]; cloth_way delta [mm]; solid_way [mm]: way from rest to solid, where `stop` [N/mm]
    begins.
    """

    compression: Array
    coil_force: Array
    held: float
    held_force: float
    cloth_way: float
    solid_way: float
    stop: float = STOP_RATE

    def force(self, way: Array) -> Array:
        """Force [N] at ways down from rest [mm], any shape: rising everywhere, 0 at rest, under 0 above it."""
        s = np.asarray(way, dtype=np.float64)
        return np.where(s < 0, self._upward * s, self._coil(s) - self._slackening(s))

    def slope(self, way: Array) -> Array:
        """Slope of `force` [N/mm] at ways [mm], any shape; above 0 everywhere."""
        s = np.asarray(way, dtype=np.float64)
        cloth = self._slackening(s) / self.cloth_way
        return np.where(s < 0, self._upward, self._coil_slope(s) + cloth)

    def cloth_pull(self, way: Array) -> Array:
        """What the cloth carries [N] at ways [mm], any shape: never under 0."""
        s = np.asarray(way, dtype=np.float64)
        lifted = np.interp(self.held + s, self.compression, self.coil_force) - self._upward * s
        return np.where(s < 0, np.maximum(lifted, 0.0), self._slackening(s))

    def taken_by_way(self, way: float) -> tuple[float, float]:
        """What a cloth that goes slack over delta, not at once, takes up to a way [mm]: force [N] there, work [N mm].

        Both are how much the law reads below that of a cloth that gives nothing. Derived.
        """
        left = math.exp(-max(way, 0.0) / self.cloth_way)
        return self.held_force * left, self.held_force * self.cloth_way * (1 - left)

    @property
    def _upward(self) -> float:
        return self.held_force / self.cloth_way + float(self._coil_slope(np.zeros(1))[0])

    def _slackening(self, s: Array) -> Array:
        return np.asarray(self.held_force * np.exp(-np.maximum(s, 0.0) / self.cloth_way), dtype=np.float64)

    def _coil(self, s: Array) -> Array:
        inside = np.interp(self.held + np.minimum(s, self.solid_way), self.compression, self.coil_force)
        return np.asarray(inside + self.stop * np.maximum(s - self.solid_way, 0.0), dtype=np.float64)

    def _coil_slope(self, s: Array) -> Array:
        rates = np.diff(self.coil_force) / np.diff(self.compression)
        at = np.searchsorted(self.compression, self.held + s, side="right") - 1
        return np.where(s >= self.solid_way, self.stop, rates[np.clip(at, 0, len(rates) - 1)])


def pocket_law(
    compression: Array,
    coil_force: Array,
    held: float,
    *,
    cloth_way: float = CLOTH_WAY,
    solid: float | None = None,
    stop: float = STOP_RATE,
) -> PocketLaw:
    """The law of a pocketed coil from the coil's own table, free to solid: compression [mm], force [N], (points,).

    held: how far the pocket presses the coil [mm]; solid: compression at which it is solid [mm], the table's end where
    left out. Derived. Raises FaultsFound with every fault.
    """
    x, F = np.asarray(compression, dtype=np.float64), np.asarray(coil_force, dtype=np.float64)
    faults = []
    table = x.shape == F.shape and x.ndim == 1 and len(x) >= 2
    if not table or x[0] != 0 or abs(F[0]) > 1e-9 or np.any(np.diff(x) <= 0) or np.any(np.diff(F) <= 0):
        says, remedy = (
            "the coil's table does not rise from nothing at every point",
            "start it at 0 mm, 0 N; let it rise",
        )
        faults.append(Fault(says=says, remedy=remedy, field="coil_force"))
    last = float(x.flat[-1]) if x.size else 0.0
    end = last if solid is None else min(solid, last)
    if not 0 <= held < end:
        says = f"the pocket presses the coil by {held:g} mm, which is not within 0 and solid at {end:.4g} mm"
        remedy = "give a pocket no higher than the free coil and higher than the solid one"
        faults.append(Fault(says=says, remedy=remedy, field="pocket_height"))
    for field, value in (("cloth_way", cloth_way), ("stop", stop)):
        if not 0 < value < math.inf:
            faults.append(Fault(says=f"{field} {value:g} is not above 0", remedy="give more than 0", field=field))
    if faults:
        raise FaultsFound(faults)
    return PocketLaw(x, F, held, float(np.interp(held, x, F)), cloth_way, end - held, stop)


def pocketed(shape: CoilShape, pocket_height: float, *, cloth_way: float = CLOTH_WAY) -> PocketLaw:
    """The law of a coil in a pocket that holds it to a height over the wire [mm]. Raises FaultsFound."""
    curve = force_curve(shape)
    held = held_down(shape.free_height, shape.wire_diameter, pocket_height)
    return pocket_law(curve.compression, curve.force, held, cloth_way=cloth_way, solid=longest_way(shape))


def held_down(free_height: float, wire_diameter: float, pocket_height: float) -> float:
    """How far a pocket presses its coil [mm]: free height over the wire less pocket height; 0 for a slack pocket.

    free_height is wire centre to wire centre, as on the coil card; pocket_height is over the wire. Derived.
    """
    return max(0.0, free_height + wire_diameter - pocket_height)


def measured_cloth_way(held_force: float, pocket_height: float, pocket_inside: float, cloth_stretch: float) -> float:
    """delta [mm] from the cloth itself: F0 over the rate of a tube of cloth, J pi D / H.

    held_force [N], pocket height H and inside diameter D [mm], cloth_stretch J: stretch stiffness of the cloth along
    the coil, N per m of width for a stretch of 1. At rest the law then starts with the cloth's own rate. Derived.
    Raises OutsideRange.
    """
    if not (held_force >= 0 and min(pocket_height, pocket_inside, cloth_stretch) > 0):
        raise OutsideRange(
            f"a pocket {pocket_height:g} mm high and {pocket_inside:g} wide, cloth of {cloth_stretch:g} N/m, held with"
            f" {held_force:g} N, has no cloth way; give sizes and stretch above 0"
        )
    return held_force / (cloth_stretch * math.pi * pocket_inside / 1000 / pocket_height)


@dataclass(frozen=True, slots=True)
class PocketRoom:
    """Room of a coil in its pocket [mm]: clear width over the grown coil, height when solid, way from rest to solid.

    clearance: pocket's inside diameter less the outside diameter of the largest coil pressed flat; under 0 the coil
    binds and wears the cloth. book: of the growth.
    """

    inside: float
    grown_outside: float
    clearance: float
    solid_height: float
    way: float
    note: str
    book: str = "en-13906-1"


def inside_of_flat(flat_width: float) -> float:
    """Inside diameter [mm] of a pocket whose cloth lies flat this wide between its welds: 2 w / pi. Derived."""
    return 2 * flat_width / math.pi


def pocket_room(shape: CoilShape, pocket_height: float, inside: float, cloth_thickness: float = 0.0) -> PocketRoom:
    """Clearance, solid height and way of a coil in a pocket of an inside diameter and a height over the wire [mm].

    Growth of a coil whose ends do not turn: EN 13906-1, from memory. The solid height has the cloth above and below.
    Raises OutsideRange for a pocket lower than the solid coil.
    """
    grown = grown_outside(shape)
    solid = solid_height(shape) + 2 * cloth_thickness
    way = min(pocket_height, shape.free_height + shape.wire_diameter) + 2 * cloth_thickness - solid
    if way <= 0:
        raise OutsideRange(
            f"A pocket of {pocket_height:g} mm is no higher than its coil pressed solid, {solid_height(shape):.4g} mm;"
            " give a higher pocket."
        )
    clearance = inside - grown
    if clearance < 0:
        note = f"the coil grows to {grown:.1f} mm when flat and binds in a pocket of {inside:.1f} mm: give more width"
    else:
        note = f"{clearance:.1f} mm of room round the coil pressed flat; coils grow by their ends not turning"
    return PocketRoom(inside, grown, clearance, solid, way, note)


def stored_energy(law: PocketLaw, way: float = 0.0) -> float:
    """Energy [J] in one coil at a way down from rest [mm], 0 being as it lies in its pocket: work of the coil alone."""
    to = law.held + min(max(way, 0.0), law.solid_way)
    x = np.append(law.compression[law.compression < to], to)
    F = np.interp(x, law.compression, law.coil_force)
    return float(np.sum(np.diff(x) * (F[1:] + F[:-1]) / 2)) / 1000
