"""One coil under a repeated way: which turn is strained most, by how much, and may it be pressed flat without a set.

A turn that has come flat keeps the stress it went flat with, so in a progressive coil the worst range may sit in a
turn that closes within the cycle. Checks are the handbook's; D/d of a mattress coil lies outside its springs, and that
is said. Knots, lacing wear, kinks and rust break mattress coils first (common practice), and none of those is here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bedwright.errors import OutsideRange
from bedwright.mechanics.coil_fatigue import FatigueCheck, fatigue_check
from bedwright.mechanics.coil_force import force_curve, force_table
from bedwright.mechanics.coil_shape import CoilShape, longest_way
from bedwright.mechanics.coil_stress import STATIC_SHARE, bergstraesser, flat_stress
from bedwright.mechanics.wire import strength

TEXTBOOK_INDEX, STANDARD_INDEX = (4.0, 12.0), (4.0, 20.0)  # D/d: Shigley; EN 15800
NEAR = 0.05  # share of a limit within which a verdict is too close to call: wire, pitch and factor are not known better
TURNS_LOOKED_AT = 65


@dataclass(frozen=True, slots=True)
class CycleStress:
    """Corrected shear stress [MPa] at the lower and upper end of a cycle, in the turn whose range is widest.

    diameter: mean diameter of that turn [mm]; greatest: greatest stress in any turn; force_low, force_high: of the coil
    [N]; closes: whether a turn comes to lie within the cycle.
    """

    low: float
    high: float
    diameter: float
    greatest: float
    force_low: float
    force_high: float
    closes: bool

    @property
    def amplitude(self) -> float:
        """Half the range [MPa]."""
        return (self.high - self.low) / 2


@dataclass(frozen=True, slots=True)
class FlatCheck:
    """May the smallest turn be pressed flat without a set? Stress plain and corrected, limit [MPa], turn [mm].

    may: True, False, or None where stress and limit are too close to call (`NEAR`); limit is 0.45 of the least tensile
    strength, before setting.
    """

    diameter: float
    stress: float
    corrected: float
    limit: float
    may: bool | None
    note: str


@dataclass(frozen=True, slots=True)
class LifeCheck:
    """A coil's cycle, both fatigue lines, its greatest stress as a share of the static limit, flat check, notes."""

    cycle: CycleStress
    goodman: FatigueCheck
    gerber: FatigueCheck
    static_share: float
    flat: FlatCheck
    notes: tuple[str, ...]


def cycle_stress(shape: CoilShape, low: float, high: float) -> CycleStress:
    """Stress range of a coil that goes between two compressions from free [mm].

    8 F D/(pi d^3) with the Bergstraesser factor, F no more than what the turn closed with (Shigley eq. 10-5 and 10-7,
    book `conical-springs`). Raises OutsideRange for a cycle outside the coil's way.
    """
    solid = longest_way(shape)
    if not 0 <= low <= high <= solid * (1 + 1e-9):
        raise OutsideRange(f"a cycle from {low:g} to {high:g} mm is not within 0 and solid at {solid:.4g} mm")
    curve, d = force_curve(shape), shape.wire_diameter
    diameters = np.linspace(shape.smallest_diameter, shape.largest_diameter, TURNS_LOOKED_AT)
    # free_diameter never rises: a turn lies flat from the first point at which the largest free one is smaller
    closed = np.array([np.argmax(np.append(curve.free_diameter < D - 1e-9, True)) for D in diameters])
    closing = np.append(curve.compression, solid)[closed]
    correction = np.array([bergstraesser(float(D) / d) for D in diameters])
    lever = correction * 8 * diameters / (math.pi * d**3)
    at_low, at_high = (lever * force_table(shape, np.minimum(s, closing)) for s in (low, min(high, solid)))
    worst = int(np.argmax(at_high - at_low + 1e-12 * at_high))
    forces = force_table(shape, np.array([low, min(high, solid)]))
    return CycleStress(
        low=float(at_low[worst]),
        high=float(at_high[worst]),
        diameter=float(diameters[worst]),
        greatest=float(np.max(at_high)),
        force_low=float(forces[0]),
        force_high=float(forces[1]),
        closes=low < curve.closing < high,
    )


def flat_check(shape: CoilShape, grade: str) -> FlatCheck:
    """Whether the smallest turn may be pressed flat without a set: G d h/(pi D^2) against 0.45 of the least strength.

    Derived from the plain rate of a turn; limit of cold drawn wire before setting, Shigley Table 10-6. Raises
    OutsideRange for a wire outside its grade's sizes.
    """
    D = shape.smallest_diameter
    stress = flat_stress(shape, D)
    corrected = stress * bergstraesser(D / shape.wire_diameter)
    limit = STATIC_SHARE * strength(grade, shape.wire_diameter).least
    told = f"{corrected:.4g} MPa with curvature ({stress:.4g} without) against {limit:.4g}"
    if stress > limit * (1 + NEAR):
        may: bool | None = False
        note = f"the smallest coil takes a set when pressed flat, {told}, unless it was pressed flat by the maker first"
    elif corrected < limit * (1 - NEAR):
        may, note = True, f"the smallest coil may be pressed flat without a set: {told}"
    else:
        may, note = None, f"too close to call whether the smallest coil sets when pressed flat: {told}; press ten coils"
    return FlatCheck(D, stress, corrected, limit, may, note)


def life_check(shape: CoilShape, grade: str, low: float, high: float) -> LifeCheck:
    """Goodman and Gerber, static share and flat check of a coil that goes between two compressions from free [mm].

    Zimmerli's data for wire that is not peened; least tensile strength of the grade. Books `shigley-11`, `zimmerli`.
    Raises OutsideRange.
    """
    cycle = cycle_stress(shape, low, high)
    tensile = strength(grade, shape.wire_diameter).least
    goodman, gerber = (fatigue_check(line, tensile, cycle.low, cycle.high) for line in ("Goodman", "Gerber"))
    flat = flat_check(shape, grade)
    share = cycle.greatest / (STATIC_SHARE * tensile)
    notes = [*index_notes(shape), flat.note]
    if cycle.closes:
        notes.append("turns come to lie within the cycle: wire strikes wire or pad, and that wear is not in the check")
    if share > 1:
        notes.append(f"the greatest stress is {share:.2f} of the static limit before setting: the coil sets")
    notes.append("fatigue of plain wire only: knots, lacing wear, kinks and rust are not in it; no promise of years")
    return LifeCheck(cycle, goodman, gerber, share, flat, tuple(notes))


def index_notes(shape: CoilShape) -> list[str]:
    """Sentences where D/d leaves the springs that textbook and standard were made for."""
    index = shape.smallest_diameter / shape.wire_diameter, shape.largest_diameter / shape.wire_diameter
    told = f"D/d is {index[0]:.3g}" if index[0] == index[1] else f"D/d is {index[0]:.3g} to {index[1]:.3g}"
    if index[1] > STANDARD_INDEX[1]:
        return [
            f"{told}, outside 4 to 12 of the textbook and 4 to 20 of EN 15800: their limits, tolerances and charts do"
            " not apply; the mechanics does."
        ]
    if index[1] > TEXTBOOK_INDEX[1]:
        return [f"{told}, outside 4 to 12 of the textbook, within 4 to 20 of EN 15800."]
    return []
