"""The law of a filling: stress [kPa] against compression [share of thickness], rising always, loading branch.

Made from what the supplier prints: a table; or the stress at 40 % (CV40); or indentation forces at 25/40/65 %, read as
a mean stress over the 323 cm2 indenter (PFA; a sheet indented is not a sheet compressed, so these read high). Where
only one figure is given the shape between comes from the family: p (1 - exp(-a e / p)) + c (e/(1-e))^3, a plausible
choice that nothing measured picks (book `from-memory`); natural fillings get none: their curves are always the maker's
measurement. Without a figure the filling is not known; nothing is guessed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from bedwright.errors import NotKnown
from bedwright.works.materials import NATURAL, Filling

Array = NDArray[np.float64]

INDENTER_M2 = 50 * 0.0254**2
"""Area of the 50 square inch indenter [m2] (PFA; ASTM D3574 B1)."""

# initial slope, plateau, densifying [kPa] of one example of each family; only their ratios are used
_SHAPES: dict[str, tuple[float, float, float]] = {
    "foam": (35.0, 2.6, 0.4),
    "latex": (30.0, 3.2, 0.5),
    "fibre": (15.0, 2.0, 0.6),
    "wool": (12.0, 1.6, 0.5),
    "cotton": (20.0, 3.0, 0.8),
    "felt": (60.0, 8.0, 2.0),
    "coir": (60.0, 8.0, 2.0),
    "insulator": (60.0, 8.0, 2.0),
}
FULLEST = 0.93
"""Compression to which a law is tabled; a layer pressed further is taken as solid."""


@dataclass(frozen=True, slots=True, eq=False)  # one law is itself alone, so that what is made from it can be kept
class FillingLaw:
    """Stress table: compression [share], stress [kPa], both shape (points,), rising from nothing; how it was made."""

    compression: Array
    stress: Array
    made_from: str

    def compressions(self, pressure: Array) -> Array:
        """Compression [share] at pressures [kPa], any shape; beyond the table it stays at the last."""
        return np.asarray(np.interp(pressure, self.stress, self.compression), dtype=np.float64)

    def scaled(self, by: float) -> FillingLaw:
        """The same law with its stress multiplied: what a tolerance does."""
        return FillingLaw(self.compression, self.stress * by, self.made_from)


def filling_law(filling: Filling) -> FillingLaw:
    """The law of a filling card. Raises NotKnown when its supplier's figures are all empty."""
    points, made_from = _points(filling)
    if not points:
        raise NotKnown(
            f"{filling.called}: no figure of firmness is on the card; ask the supplier for hardness_40 or a table, or "
            "press a 380 x 380 mm piece between plates and read force at 10, 25, 40 and 65 %"
        )
    if len(points) == 1 and filling.family in NATURAL:
        raise NotKnown(
            f"{filling.called}: one figure says nothing of the curve of a natural filling; press a 380 x 380 mm piece "
            "between plates, read force at 10, 25, 40 and 65 %, and type them as points"
        )
    if len(points) == 1:
        return _from_one(filling, points[0], made_from)
    return _from_many(filling, points, made_from)


def _points(filling: Filling) -> tuple[list[tuple[float, float]], str]:
    if filling.points:
        ordered = sorted(filling.points, key=lambda point: point.compression)
        return [(point.compression / 100, point.stress) for point in ordered if point.stress > 0], "supplier's table"
    if filling.hardness_40 is not None:
        return [(0.40, filling.hardness_40)], "hardness at 40 %"
    indented = [(0.25, filling.indentation_25), (0.40, filling.indentation_40), (0.65, filling.indentation_65)]
    return [(e, force / INDENTER_M2 / 1000) for e, force in indented if force is not None], "indentation forces"


def _family(filling: Filling, e: Array) -> Array:
    a, p, c = _SHAPES[filling.family]
    return np.asarray(p * (1 - np.exp(-a * e / p)) + c * (e / (1 - e)) ** 3, dtype=np.float64)


def _grid() -> Array:
    return np.linspace(0.0, FULLEST, 187)


def _from_one(filling: Filling, point: tuple[float, float], made_from: str) -> FillingLaw:
    e = _grid()
    at = float(_family(filling, np.array([point[0]]))[0])
    return FillingLaw(e, _family(filling, e) * point[1] / at, f"{made_from}, shape of {filling.family} plausible only")


def _from_many(filling: Filling, points: list[tuple[float, float]], made_from: str) -> FillingLaw:
    """Monotone cubic through the points; above the last one the family's shape goes on from there."""
    last_e, last_stress = points[-1]
    e = _grid()
    table_e = [0.0, *(point[0] for point in points)]
    table_s = [0.0, *(point[1] for point in points)]
    inner = PchipInterpolator(table_e, table_s)(np.minimum(e, last_e))
    family = _family(filling, np.array([last_e]))[0]
    outer = last_stress * _family(filling, e) / family
    stress = np.where(e <= last_e, inner, outer)
    return FillingLaw(e, np.maximum.accumulate(stress + 1e-9 * e), made_from)
