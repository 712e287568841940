"""Will the wire break? Fatigue of cold coiled springs by the lines of Goodman and Gerber through Zimmerli's data.

Mattress coils work at stresses well below these; knots, lacing wear, kinks and rust break them first, and none of those
is here. The charts of EN 13906-1 were not readable and are not imitated. Any one unit of stress may be used throughout.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bedwright.errors import OutsideRange

Line = Literal["Goodman", "Gerber"]
ZIMMERLI_UNPEENED = (241.0, 379.0)  # amplitude and mean shear stress [MPa] of endless life (35 and 55 kpsi)
ZIMMERLI_PEENED = (398.0, 534.0)  # (57.5 and 77.5 kpsi)
SHEAR_ULTIMATE_SHARE = 0.67  # of the tensile strength (Shigley)


@dataclass(frozen=True, slots=True)
class Endurance:
    """Amplitude that the wire endures with no mean (endurance) and along the load line (allowed), in the unit given."""

    endurance: float
    allowed: float


def endurance(line: Line, ultimate_shear: float, load_ratio: float, amplitude: float, mean: float) -> Endurance:
    """Endured stress amplitude along a load line amplitude/mean = load_ratio, from one known (amplitude, mean) pair.

    Shigley ch. 10, Goodman and Gerber; stresses in one unit. Raises OutsideRange where the line does not reach.
    """
    if not (load_ratio > 0 and amplitude > 0 and 0 <= mean < ultimate_shear):
        raise OutsideRange(
            f"Load ratio {load_ratio:g} with a known pair {amplitude:g}, {mean:g} under {ultimate_shear:g} has no"
            " fatigue line; give a ratio above 0 and a mean below the ultimate shear stress."
        )
    r, Ssu = load_ratio, ultimate_shear
    if line == "Goodman":
        Sse = amplitude / (1 - mean / Ssu)
        return Endurance(Sse, r * Sse * Ssu / (r * Ssu + Sse))
    Sse = amplitude / (1 - (mean / Ssu) ** 2)
    return Endurance(Sse, r**2 * Ssu**2 / (2 * Sse) * (-1 + math.sqrt(1 + (2 * Sse / (r * Ssu)) ** 2)))


def index_for(allowed_amplitude: float, force_amplitude: float, wire_diameter: float) -> float:
    """Spring index C at which KB 8 F C/(pi d^2) is just the allowed stress, in matching units.

    Shigley ch. 10, worked examples. Raises OutsideRange when the wire is too thin for any index.
    """
    a, b = allowed_amplitude, 8 * force_amplitude / (math.pi * wire_diameter**2)
    half = (2 * a - b) / (4 * b)
    inside = half**2 - 3 * a / (4 * b)
    if inside < 0 or half < 0:
        raise OutsideRange(
            f"Wire of {wire_diameter:g} is too thin for a force amplitude of {force_amplitude:g} at {a:g};"
            " use thicker wire or less force."
        )
    return half + math.sqrt(inside)


@dataclass(frozen=True, slots=True)
class FatigueCheck:
    """A cycle against one line: its amplitude and mean, what the line allows on that load line, and the factor between.

    Stresses in the unit given. endurance: amplitude with no mean; factor: allowed over amplitude, infinite for a coil
    that does not move.
    """

    line: Line
    amplitude: float
    mean: float
    endurance: float
    allowed: float
    factor: float


def fatigue_check(
    line: Line, tensile: float, low: float, high: float, known: tuple[float, float] = ZIMMERLI_UNPEENED
) -> FatigueCheck:
    """Modified Goodman or Gerber check of a shear stress that goes from low to high, both corrected for curvature.

    tensile: tensile strength; the ultimate shear stress is 0.67 of it; known: an endless (amplitude, mean), Zimmerli's
    for wire that is not peened. All in one unit (MPa by default). Shigley ch. 10. Raises OutsideRange where low is
    under 0 or above high, or where the line does not reach.
    """
    if not 0 <= low <= high < math.inf:
        raise OutsideRange(f"a cycle from {low:g} to {high:g} is none; give 0 or more, the lower one first")
    amplitude, mean = (high - low) / 2, (high + low) / 2
    ratio = amplitude / mean if amplitude > 0 else 1.0
    found = endurance(line, SHEAR_ULTIMATE_SHARE * tensile, ratio, *known)
    if amplitude == 0:
        return FatigueCheck(line, 0.0, mean, found.endurance, math.nan, math.inf)
    return FatigueCheck(line, amplitude, mean, found.endurance, found.allowed, found.allowed / amplitude)
