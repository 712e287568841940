"""The tie between coils, from what a maker reads on a bare unit: load one coil, read how far it and others sink.

Far from edges the tops of a laced or glued unit sink as a square lattice of springs: every coil carries k s, every pair
of neighbours pulls t times their difference, and a laced row of end rings resists bending with b times its second
difference (all linear; derived). The lattice is solved for the loaded coil, and k, t and b are sought that give the
readings. What comes out stands for `lacing_tie` and `ring_bending`, or for `glue_tie`, of the unit's card.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from bedwright.errors import Fault, FaultsFound, NotConverged

Array = NDArray[np.float64]
Place = tuple[int, int]

HALF = 24
"""Coils from the loaded one to the edge of the lattice that is solved: what sinks there is below any reading."""
FARTHEST = 8
RULER = 0.5
"""Reading error of a ruler [mm], half width (plausible)."""


@dataclass(frozen=True, slots=True)
class MeasuredTies:
    """rate of one coil, tie of two neighbours, bending of a row of rings, all [N/mm], each with its half width from the
    readings' error; worst: largest reading less what the lattice gives [mm]."""

    rate: float
    rate_half: float
    tie: float
    tie_half: float
    bending: float
    bending_half: float
    worst: float


def lattice_sinking(load: float, rate: float, tie: float, bending: float, half: int = HALF) -> Array:
    """How far coils sink [mm] when one is loaded [N]: rates in N/mm; shape (half + 1, half + 1) by (across, along).

    The rows of rings that bend lie across. Symmetric about the loaded coil at [0, 0]; by cosine waves, so that a
    lattice that repeats every 2 half coils is solved exactly.
    """
    waves = np.pi * np.arange(half + 1) / half
    differ = 2 - 2 * np.cos(waves)
    stiff = rate + tie * (differ[:, None] + differ[None, :]) + bending * differ[:, None] ** 2
    weight = np.full(half + 1, 2.0)
    weight[[0, -1]] = 1.0
    cosines = np.cos(np.outer(np.arange(half + 1), waves)) * weight / (2 * half)
    return np.asarray(load * cosines @ (1 / stiff) @ cosines.T, dtype=np.float64)


def measured_ties(
    load: float, sinking: Mapping[Place, float], *, rings_bend: bool = False, error: float = RULER
) -> MeasuredTies:
    """Rate, tie and bending from readings: load on one coil [N], sinking [mm] by (coils across, coils along) from it.

    rings_bend: a laced row lies across, and its bending is sought as well. error: half width of one reading [mm].
    Raises FaultsFound for readings that cannot be, NotConverged when no lattice sinks so.
    """
    _refuse(load, sinking, rings_bend, error)
    places = list(sinking)
    across, along = (np.array([abs(place[way]) for place in places]) for way in (0, 1))
    read = np.array([sinking[place] for place in places])

    def apart(logs: Array) -> Array:
        values = np.exp(logs)
        down = lattice_sinking(load, values[0], values[1], values[2] if rings_bend else 0.0)
        return np.asarray(down[across, along] - read, dtype=np.float64)

    middle = sinking[0, 0]
    start = [load / middle * share for share in ((0.4, 0.15, 0.02) if rings_bend else (0.4, 0.15))]
    found = least_squares(apart, np.log(start), xtol=1e-13, ftol=1e-13, gtol=1e-13)
    if not found.success or found.x.max() > np.log(1e6):
        raise NotConverged("no lattice of coils sinks as it was read", residual=float(np.max(np.abs(found.fun))))
    values = np.exp(found.x)
    # each reading off by its error on its own: how far the logarithms go, by the slope of the sum
    spread = np.sqrt(np.sum(np.linalg.pinv(found.jac) ** 2, axis=1)) * error
    halves = values * spread
    bending = (float(values[2]), float(halves[2])) if rings_bend else (0.0, 0.0)
    worst = float(np.max(np.abs(found.fun)))
    return MeasuredTies(
        float(values[0]), float(halves[0]), float(values[1]), float(halves[1]), bending[0], bending[1], worst
    )


def _refuse(load: float, sinking: Mapping[Place, float], rings_bend: bool, error: float) -> None:
    faults = []
    if not (load > 0 and np.isfinite(load)):
        faults.append(
            Fault(says=f"a load of {load:g} N sinks nothing", remedy="give the weight in newtons", field="load")
        )
    if not (error > 0 and np.isfinite(error)):
        faults.append(Fault(says=f"a reading error of {error:g} mm", remedy="give it above 0", field="error"))
    for place, value in sinking.items():
        if max(map(abs, place)) > FARTHEST:
            says = f"coil {place} is more than {FARTHEST} away"
            faults.append(
                Fault(says=says, remedy="read nearer ones; it sinks less than a ruler shows", field="sinking")
            )
        if not np.isfinite(value) or (place == (0, 0) and value <= 0):
            remedy = "read it again, before and after loading"
            faults.append(Fault(says=f"coil {place} sinks {value:g} mm", remedy=remedy, field="sinking"))
    wanted = {(0, 0), (1, 0), (0, 1)} | ({(2, 0)} if rings_bend else set())
    missing = sorted(wanted - {(abs(a), abs(b)) for a, b in sinking})
    if missing:
        says = f"no reading of {', '.join(map(str, missing))}"
        faults.append(
            Fault(says=says, remedy="(0, 0) is the loaded coil, (1, 0) its neighbour across", field="sinking")
        )
    if (0, 0) in sinking and any(v >= sinking[0, 0] for place, v in sinking.items() if place != (0, 0)):
        faults.append(Fault(says="a neighbour sinks as far as the loaded coil", remedy="read again", field="sinking"))
    if faults:
        raise FaultsFound(faults)
