"""One coil, all told: rates with their interval, forces and stresses along its way, wire, solid height.

The sums live in the files beside this one (coil_shape, coil_rate, coil_force, coil_stress, wire); here they meet.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from bedwright.errors import Fault, FaultsFound
from bedwright.mechanics.coil_force import checked_compression, force_curve, force_table, free_diameter_at
from bedwright.mechanics.coil_life import FlatCheck, flat_check
from bedwright.mechanics.coil_rate import RateInterval, plain_rate, rate_interval
from bedwright.mechanics.coil_shape import CoilShape, longest_way, mass, solid_height, stations, wire_length
from bedwright.mechanics.coil_stress import (
    STATIC_SHARE,
    bergstraesser,
    buckling_compression,
    flat_stress,
    grown_outside,
    plain_stress,
    surge,
)
from bedwright.mechanics.wire import Strength, check_wire, elastic, known_grade

MOST_COMPRESSIONS = 1000
STRESS_FORM = (
    "stress_mpa is 8 F D / (pi d^3), D of the largest coil still free; stress_corrected_mpa is that times"
    " (4C + 2)/(4C - 3), C = D/d"
)


@dataclass(frozen=True, slots=True)
class AtCompression:
    """What holds at one compression [mm]: force [N], plain and corrected shear stress [MPa], largest free coil [mm].

    checked: within the part of the way that finite elements have checked.
    """

    compression: float
    force: float
    stress: float
    stress_corrected: float
    free_diameter: float
    checked: bool


@dataclass(frozen=True, slots=True)
class CoilAnswer:
    """All about one coil. Rates [N/mm], lengths and compressions [mm], mass [g], stresses [MPa], surge [Hz].

    flat_stress: of the smallest coil pressed flat; set_limit: 0.45 of the least strength; flat: whether the smallest
    coil may be pressed flat without a set; closing: compression at which the wire first touches; checked_to: to which
    finite elements have checked the force; buckling: of a cylinder by formula, bows: of this coil's wire followed down,
    None for never; residual: worst relative residual behind the forces.
    """

    shape: CoilShape
    grade: str
    strength: Strength
    plain_rate: float
    rate: RateInterval
    at: tuple[AtCompression, ...]
    wire_length: float
    mass: float
    solid_height: float
    longest_way: float
    closing: float
    checked_to: float
    flat_stress: float
    set_limit: float
    flat: FlatCheck
    grown_outside: float
    buckling: float | None
    bows: float | None
    surge: float
    residual: float


def graded_coil(
    profile: str,
    *,
    end_diameter: float,
    middle_diameter: float | None,
    live_turns: float,
    free_height: float,
    wire_diameter: float,
    grade: str,
    diameters: tuple[float, ...] = (),
) -> CoilShape:
    """A coil [mm] with the elastic constants of its grade, every fault of shape and wire gathered.

    diameters: of a coil as a table, at equal steps of its live turns. EN 10270-1, or Shigley Table 10-5 for ASTM
    grades. Raises FaultsFound.
    """
    faults: list[Fault] = []
    try:
        check_wire(grade, wire_diameter)
        steel = elastic(grade, wire_diameter)
    except FaultsFound as error:
        faults += error.faults
        steel = elastic("SM", 2.0)  # so that the shape can be judged too; not used further
    try:
        shape = CoilShape(
            profile,
            end_diameter,
            live_turns,
            free_height,
            wire_diameter,
            middle_diameter,
            steel.youngs_modulus,
            steel.shear_modulus,
            steel.density,
            diameters,
        )
    except FaultsFound as error:
        told = {fault.field for fault in faults}
        raise FaultsFound([*faults, *(fault for fault in error.faults if fault.field not in told)]) from None
    if faults:
        raise FaultsFound(faults)
    return shape


def coil_answer(shape: CoilShape, grade: str, compressions: Iterable[float] = ()) -> CoilAnswer:
    """Everything about a coil of graded wire, with forces and stresses at compressions [mm].

    Books `shigley-11`, `love-helix`, `conical-springs`, `fe-coils`, `en-10270-1`. Raises FaultsFound with every fault.
    """
    wanted = tuple(float(value) for value in compressions)
    grade, strength = known_grade(grade), check_wire(grade, shape.wire_diameter)[1]
    solid = longest_way(shape)
    faults = compression_faults(wanted, solid)
    if faults:
        raise FaultsFound(faults)
    curve = force_curve(shape)
    at = stations(shape)
    mean_diameter = float(np.sum(at.weight * at.diameter))
    return CoilAnswer(
        shape=shape,
        grade=grade,
        strength=strength,
        plain_rate=plain_rate(shape),
        rate=rate_interval(shape, grade),
        at=_along_the_way(shape, wanted),
        wire_length=wire_length(shape),
        mass=mass(shape),
        solid_height=solid_height(shape),
        longest_way=solid,
        closing=curve.closing,
        checked_to=checked_compression(shape),
        flat_stress=flat_stress(shape, shape.smallest_diameter),
        set_limit=STATIC_SHARE * strength.least,
        flat=flat_check(shape, grade),
        grown_outside=grown_outside(shape),
        buckling=buckling_compression(
            shape.free_height, mean_diameter, "both flat", shape.youngs_modulus, shape.shear_modulus
        ),
        bows=curve.bows,
        surge=surge(shape),
        residual=curve.residual,
    )


def compression_faults(wanted: tuple[float, ...], solid: float) -> list[Fault]:
    """Faults of asked compressions [mm] against the compression at which the coil is solid [mm]."""
    if len(wanted) > MOST_COMPRESSIONS:
        says = f"{len(wanted)} compressions asked for"
        return [Fault(says=says, remedy=f"ask for {MOST_COMPRESSIONS} or fewer at once", field="at")]
    return [
        Fault(
            says=f"a compression of {value:g} mm is outside this coil's way",
            remedy=f"it is solid at {_rounded_down(solid)} mm, so give 0 to {_rounded_down(solid)}",
            field="at",
        )
        for value in wanted
        if not 0 <= value <= solid * (1 + 1e-9)
    ]


def _along_the_way(shape: CoilShape, wanted: tuple[float, ...]) -> tuple[AtCompression, ...]:
    way = np.array(wanted, dtype=np.float64)
    checked_to, d = checked_compression(shape), shape.wire_diameter
    rows = []
    for s, F, D in zip(wanted, force_table(shape, way).tolist(), free_diameter_at(shape, way).tolist(), strict=True):
        stress = plain_stress(F, D, d)
        rows.append(AtCompression(s, F, stress, stress * bergstraesser(D / d), D, s <= checked_to))
    return tuple(rows)


def _rounded_down(value: float) -> str:
    return f"{math.floor(value * 100 + 1e-6) / 100:g}"
