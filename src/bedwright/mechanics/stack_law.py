"""Fillings on top of each other as one law: plies in series, what quilting catches, and the way back.

A quilted panel is an arch between two lines of stitching: at the line the thread holds the plies down, half-way they
stand free. Pressed flat to a height z, the plies push back with the stress they have at z, but only where the arch was
higher than z: so a quilted panel starts soft and takes hold as its valleys come to bear. Thread pulls and never pushes.
The arch is taken as a parabola whose mean is the panel's measured thickness (derived; its shape was not measured).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.filling import FULLEST, FillingLaw
from bedwright.works.materials import Filling

Array = NDArray[np.float64]
SMALL = 0.10  # compression at which a filling's modulus for bending is read
GREATEST_KPA = 2000.0
ON_THE_WAY = 65  # points of a table of the way back
LEAST_VALLEY = 0.15  # of the plies' thickness left at a line of stitching: thread and ticking have a thickness


@dataclass(frozen=True, slots=True)
class Ply:
    """One filling in a level: code and name of its card, law, thickness built in [mm], tolerance of its stress [share].

    back: share of the stress left on the way back over compression / greatest compression, (ON_THE_WAY,); None: not
    known. poisson: Poisson's ratio; warm: goes soft when warm.
    """

    code: str
    name: str
    law: FillingLaw
    thickness: float
    tolerance: float
    back: tuple[float, ...] | None
    poisson: float
    warm: bool

    def scaled(self, by: float) -> Ply:
        """The same with its stress multiplied."""
        return replace(self, law=self.law.scaled(by))

    @property
    def modulus(self) -> float:
        """Secant modulus [kPa] at small compression: what resists being bent."""
        return float(np.interp(SMALL, self.law.compression, self.law.stress)) / SMALL


def series(plies: Sequence[Ply]) -> FillingLaw:
    """The law of plies one above the other over their whole thickness: the same pressure in each."""
    whole = sum(ply.thickness for ply in plies)
    pressure = np.concatenate([[0.0], np.geomspace(1e-4, GREATEST_KPA, 240)])
    way = sum((ply.thickness / whole) * _compressions(ply.law, pressure) for ply in plies)
    compression = np.linspace(0.0, FULLEST, 187)
    stress = np.interp(compression, np.asarray(way), pressure)
    return FillingLaw(compression, np.maximum.accumulate(stress + 1e-9 * compression), "plies in series")


def _compressions(law: FillingLaw, pressure: Array) -> Array:
    """Compressions at pressures; beyond the table straight on."""
    last, slope = law.stress[-1], (law.stress[-1] - law.stress[-2]) / (law.compression[-1] - law.compression[-2])
    inside = np.interp(pressure, law.stress, law.compression)
    return np.asarray(np.minimum(inside + np.maximum(pressure - last, 0.0) / slope, 0.995), dtype=np.float64)


def quilted(plies: Sequence[Ply], thickness: float) -> tuple[FillingLaw, float]:
    """Law and crown height [mm] of plies quilted to a mean thickness [mm]; from the crown downwards.

    Where the panel is as thick as its plies together, nothing is caught and the law is theirs.
    """
    free = sum(ply.thickness for ply in plies)
    plain = series(plies)
    if thickness >= 0.995 * free:
        return plain, free
    valley = max(3 * thickness - 2 * free, min(LEAST_VALLEY * free, 0.9 * thickness))
    crown = min(valley + 1.5 * (thickness - valley), free)
    compression = np.linspace(0.0, FULLEST, 187)
    z = crown * (1 - compression)
    caught = np.where(z >= valley, np.sqrt(np.clip((crown - z) / (crown - valley), 0.0, 1.0)), 1.0)
    stress = np.interp(1 - z / free, plain.compression, plain.stress) * caught
    return FillingLaw(compression, np.maximum.accumulate(stress + 1e-9 * compression), "quilted plies"), crown


def way_back(filling: Filling, law: FillingLaw) -> tuple[float, ...] | None:
    """Share of the stress left on the way back, from the supplier's table of it or from the work lost; None: not known.

    From the share of work lost alone the share left is taken as 1 - h (1 - x^2), x of the greatest compression, with h
    so that the loop to 60 % loses that much: the sum is the supplier's, the shape is a choice nothing measured picks.
    """
    x = np.linspace(0.0, 1.0, ON_THE_WAY)
    if filling.returns:
        rows = sorted(filling.returns, key=lambda row: row.compression)
        most = rows[-1].compression / 100
        e = x * most
        returned = np.interp(e, [0.0, *(row.compression / 100 for row in rows)], [0.0, *(row.stress for row in rows)])
        going = np.interp(e, law.compression, law.stress)
        share = np.where(going > 0, np.minimum(returned / np.maximum(going, 1e-12), 1.0), 1.0)
        share[0], share[-1] = share[1], 1.0
        # never falling towards the greatest compression: read at another greatest one, the stress must still rise
        return tuple(np.maximum.accumulate(np.maximum(share, 0.02)).tolist())
    if filling.loss_share:
        e = np.linspace(0.0, 0.6, 301)
        stress = np.interp(e, law.compression, law.stress)
        h = filling.loss_share / 100 * float(np.trapezoid(stress, e))
        h /= float(np.trapezoid(stress * (1 - (e / e[-1]) ** 2), e))
        return tuple((1 - min(h, 0.95) * (1 - x**2)).tolist())
    return None


def joint_way_back(plies: Sequence[Ply]) -> tuple[float, ...] | None:
    """The way back of a level, its plies' weighed by thickness; a ply whose loss is not known comes back as it went."""
    if all(ply.back is None for ply in plies):
        return None
    whole = sum(ply.thickness for ply in plies)
    shares = [np.ones(ON_THE_WAY) if ply.back is None else np.array(ply.back) for ply in plies]
    joint = sum(ply.thickness / whole * share for ply, share in zip(plies, shares, strict=True))
    return tuple(np.asarray(joint).tolist())
