"""Stress, stability, surge and clearances of one coil: closed forms of the handbooks, side by side.

Mattress coils have D/d of 20 to 40. The spring standards state 4 to 20 (EN 15800) and the textbooks 4 to 12: the forms
below still hold there as mechanics, the standards' limits, charts and tolerances do not apply.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from bedwright.errors import OutsideRange
from bedwright.mechanics.coil_force import force, free_diameter_at
from bedwright.mechanics.coil_rate import plain_rate
from bedwright.mechanics.coil_shape import CoilShape, mass

Seat = Literal["both flat", "one flat one pivot", "both pivot", "one clamped one free"]
Ends = Literal["plain", "plain ground", "squared", "squared ground"]
# How the ends are held, as a share of the height between points of no moment (Shigley; all but the first from memory).
SEATS: dict[str, float] = {
    "both flat": 0.5,
    "one flat one pivot": 0.707,
    "both pivot": 1.0,
    "one clamped one free": 2.0,
}
STATIC_SHARE = 0.45  # static shear limit of cold drawn carbon wire before setting, share of tensile strength (Shigley)
SOLID_SHARE = 0.56  # shear limit at solid length of cold coiled springs (EN 13906-1, from memory)


def bergstraesser(index: float) -> float:
    """Curvature factor KB = (4C + 2)/(4C - 3) at the index C = D/d.

    Shigley eq. 10-5; the factor k of EN 13906-1 is the same. Raises OutsideRange below C = 2.
    """
    _index(index)
    return (4 * index + 2) / (4 * index - 3)


def wahl(index: float) -> float:
    """Curvature and shear factor KW = (4C - 1)/(4C - 4) + 0.615/C at the index C = D/d.

    Shigley eq. 10-4. Raises OutsideRange below C = 2.
    """
    _index(index)
    return (4 * index - 1) / (4 * index - 4) + 0.615 / index


def plain_stress(axial_force: float, coil_diameter: float, wire_diameter: float) -> float:
    """Uncorrected shear stress 8 F D/(pi d^3) [MPa] of a coil [mm] under an axial force [N]. Shigley eq. 10-7."""
    return 8 * axial_force * coil_diameter / (math.pi * wire_diameter**3)


def shear_stress(shape: CoilShape, compression: float) -> float:
    """Largest shear stress [MPa] at a compression [mm]: 8 F D/(pi d^3), D of the largest coil still free.

    The closed form without curvature factor; a coil that is flat keeps the stress it went flat with, which is less.
    Shigley eq. 10-7, largest active coil (book `conical-springs`). Raises OutsideRange beyond solid.
    """
    return plain_stress(force(shape, compression), _free_diameter(shape, compression), shape.wire_diameter)


def corrected_shear_stress(shape: CoilShape, compression: float) -> float:
    """`shear_stress` times the Bergstraesser factor of the same coil [MPa]. Shigley eq. 10-5 and 10-7."""
    index = _free_diameter(shape, compression) / shape.wire_diameter
    return bergstraesser(index) * shear_stress(shape, compression)


def flat_stress(shape: CoilShape, coil_diameter: float) -> float:
    """Shear stress [MPa] of a turn of this coil pressed flat: G d h/(pi D^2), h the free pitch [mm].

    Derived from the plain rate of one turn; the smallest coil governs setting.
    """
    return shape.shear_modulus * shape.wire_diameter * shape.pitch / (math.pi * coil_diameter**2)


def active_turns(total_turns: float, ends: Ends) -> float:
    """Turns that give way. Shigley Table 10-1 (plain ground and squared ground seen, the others from memory)."""
    return total_turns - {"plain": 0, "plain ground": 1, "squared": 2, "squared ground": 2}[ends]


def solid_length(total_turns: float, wire_diameter: float, ends: Ends) -> float:
    """Solid length over the wire [mm] of a cylinder. Shigley Table 10-1 (as above)."""
    return wire_diameter * (total_turns + (0 if ends.endswith("ground") else 1))


def longest_stable_height(coil_diameter: float, seat: Seat, young: float, shear: float) -> float:
    """Free height [mm] below which a cylinder never buckles: (pi D/a) sqrt(2 (E - G)/(2 G + E)), moduli [MPa].

    Shigley eq. 10-12. For steel 2.58 to 2.63 D/a; lacing and pockets hold a coil far beyond it.
    """
    return math.pi * coil_diameter / SEATS[seat] * math.sqrt(2 * (young - shear) / (2 * shear + young))


def buckling_compression(
    free_height: float, coil_diameter: float, seat: Seat, young: float, shear: float
) -> float | None:
    """Compression [mm] at which a cylinder alone buckles, None where it never does.

    EN 13906-1 (from memory; agrees with Shigley's limit). Not checked by test or finite elements.
    """
    ratio = shear / young
    inner = 1 - (1 - ratio) / (0.5 + ratio) * (math.pi * coil_diameter / (SEATS[seat] * free_height)) ** 2
    if inner < 0:
        return None
    return free_height * 0.5 / (1 - ratio) * (1 - math.sqrt(inner))


def surge_frequency(rate_n_per_m: float, mass_kg: float) -> float:
    """First surge [Hz] with both ends held: half the root of rate over mass of the live turns. Shigley eq. 10-25."""
    return 0.5 * math.sqrt(rate_n_per_m / mass_kg)


def surge(shape: CoilShape) -> float:
    """First surge of the coil [Hz] with both ends held, from its plain rate and its wire's mass. Shigley eq. 10-25."""
    return surge_frequency(plain_rate(shape) * 1000, mass(shape) / 1000)


def least_clearance(coil_diameter: float, wire_diameter: float, turns: float, *, dynamic: bool = False) -> float:
    """Least sum of the gaps between turns [mm], cold coiled: n (0.0015 D^2/d + 0.1 d), half as much again if dynamic.

    EN 13906-1 (formula from memory; the printed sheet S.198 gives 12.3 where it gives 12.24).
    """
    gap = turns * (0.0015 * coil_diameter**2 / wire_diameter + 0.1 * wire_diameter)
    return 1.5 * gap if dynamic else gap


def grown_outside(shape: CoilShape) -> float:
    """Outside diameter [mm] of the largest coil when flat and its ends do not turn: leave a pocket this room.

    EN 13906-1 (from memory): sqrt(D^2 + (p^2 - d^2)/pi^2) + d.
    """
    D, d, p = shape.largest_diameter, shape.wire_diameter, shape.pitch
    return math.sqrt(D**2 + (p**2 - d**2) / math.pi**2) + d


def fabric_force(rate: float, free_height: float, pocket_height: float) -> float:
    """Force [N] with which a pocket of a height [mm] holds its coil down: k (free height - pocket height).

    Derived. It is there before anything lies on the bed and does not change the rate [N/mm]. Raises OutsideRange when
    the pocket is higher than the coil.
    """
    if pocket_height > free_height:
        raise OutsideRange(
            f"A pocket of {pocket_height:g} mm is higher than its coil of {free_height:g} mm;"
            " give a pocket no higher than the coil."
        )
    return rate * (free_height - pocket_height)


def _free_diameter(shape: CoilShape, compression: float) -> float:
    return float(free_diameter_at(shape, np.array([compression]))[0])


def _index(index: float) -> None:
    if not index >= 2:
        raise OutsideRange(f"A spring index D/d of {index:g} has no curvature factor; use 4 or more.")
