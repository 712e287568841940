"""A flat foundation: coils and layers in series under every point of the plan, each point on its own.

What it leaves out, and says: tension of ticking and pads, spreading sideways, lacing between coils, the border wall,
glue between pockets, rates and temperature. It therefore reads softer than a bed; `plain-bed` with no tension is its
exact case.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.coil_force import force_curve, force_table
from bedwright.mechanics.coil_shape import CoilShape, longest_way
from bedwright.mechanics.filling import FillingLaw

Array = NDArray[np.float64]

CLOTH_WAY = 0.5
"""Way [mm] over which pocket cloth goes slack: force rises as F0 (1 - exp(-s / way)); plausible, not measured."""
SOLID_RATE = 50.0
"""Rate [N/mm] of a coil pressed solid: a stop, not a measurement."""


@dataclass(frozen=True, slots=True)
class CoilBed:
    """Coils under one square metre: shape, coils per m2, and how far the pocket holds each down already [mm]."""

    shape: CoilShape
    per_m2: float
    held: float


@dataclass(frozen=True, slots=True)
class Sheet:
    """A layer: its law and thickness as built in [mm]."""

    law: FillingLaw
    thickness: float


@dataclass(frozen=True, slots=True)
class Foundation:
    """Pressure [kPa] against compression [mm], both of shape (points,), and the share each part gives.

    solid_from: compression [mm] at which the main coil is solid; beyond it the numbers are a stop, not a prediction.
    Mini coils close early by design and then stand as a stop on the main ones. closing_from: compression [mm] at which
    the main coil first touches a seat or a neighbouring turn; from there on its rate jumps.
    """

    compression: Array
    pressure: Array
    solid_from: float
    closing_from: float

    def pressures(self, compressions: Array) -> Array:
        """Pressure [kPa] at compressions [mm], any shape; nothing where they are not above 0."""
        return np.asarray(np.interp(compressions, self.compression, self.pressure, left=0.0), dtype=np.float64)


def coil_bed_curve(bed: CoilBed, points: int = 240) -> tuple[Array, Array, float]:
    """Compression [mm], pressure [kPa] of the coils alone, and the way to solid [mm]."""
    way_to_solid = longest_way(bed.shape) - bed.held
    s = np.concatenate([np.linspace(0, min(4 * CLOTH_WAY, way_to_solid / 2), 40), np.linspace(0, way_to_solid, points)])
    s = np.unique(s)
    held_force = float(force_table(bed.shape, np.array([bed.held]))[0]) if bed.held > 0 else 0.0
    more = force_table(bed.shape, np.minimum(s + bed.held, longest_way(bed.shape))) - held_force
    force = held_force * (1 - np.exp(-s / CLOTH_WAY)) + more
    end = np.array([s[-1] + 40.0])
    s = np.concatenate([s, end])
    force = np.concatenate([force, force[-1:] + SOLID_RATE * 40.0])
    return s, force * bed.per_m2 / 1000, way_to_solid


def foundation(coils: tuple[CoilBed, ...], sheets: tuple[Sheet, ...], highest: float = 120.0) -> Foundation:
    """Coils (the main unit's first) and sheets in series up to a pressure [kPa]: their compressions add up."""
    pressure = np.concatenate([np.linspace(0, 0.2, 21)[:-1], np.geomspace(0.2, highest, 400)])
    total = np.zeros_like(pressure)
    solid_at = closing_at = np.inf
    for bed in coils:
        s, p, way = coil_bed_curve(bed)
        total += np.interp(pressure, p, s)
        if bed is coils[0]:
            solid_at = float(np.interp(way, s, p))
            closing_at = float(np.interp(force_curve(bed.shape).closing - bed.held, s, p))
    for sheet in sheets:
        total += sheet.thickness * sheet.law.compressions(pressure)
    keep = np.concatenate([[True], np.diff(total) > 1e-12])
    solid_from, closing_from = (
        float(np.interp(at, pressure, total)) if np.isfinite(at) else float("inf") for at in (solid_at, closing_at)
    )
    return Foundation(total[keep], pressure[keep], solid_from, closing_from)
