"""A layer of mini springs as a filling: its coils stand closer together than the pad's edge bends the bed.

Where coils stand 45 mm apart or less their force is spread over their cells, kind by kind, and pressed point by point.
The main unit's coils, and upper units of a wider pitch, stand at their own places under heads of their own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.field import COIL_FIRST, COIL_STEP, LAW_POINTS, LAW_STEP, hermite
from bedwright.mechanics.unit_model import CoilKind, Springs, coil_table

Array = NDArray[np.float64]
FINE_PITCH = 45.0  # [mm]


@dataclass(frozen=True, slots=True)
class MiniLayer:
    """Mini springs spread over the plan: kinds with the share of the plan each stands on, height [mm]."""

    name: str
    kinds: tuple[CoilKind, ...]
    shares: tuple[float, ...]
    thickness: float

    def scaled(self, by: dict[str, float]) -> MiniLayer:
        """The same with the force of its coils multiplied, by code of the coil."""
        return replace(self, kinds=tuple(replace(k, scale=k.scale * by.get(k.code, 1.0)) for k in self.kinds))

    def table(self) -> Array:
        """Stress [N/mm2] over compression, as a filling's table."""
        return _table(self)


@lru_cache(maxsize=64)
def _table(layer: MiniLayer) -> Array:
    ways = np.arange(LAW_POINTS) * LAW_STEP * layer.thickness
    stress = np.zeros(LAW_POINTS)
    for kind, share in zip(layer.kinds, layer.shares, strict=True):
        law = coil_table(kind)[:, 0]
        at = COIL_FIRST + COIL_STEP * np.arange(len(law))
        beyond = np.maximum(ways - at[-1], 0.0) * (law[-1] - law[-2]) / COIL_STEP
        stress += share * (np.interp(ways, at, law) + beyond) / kind.cell
    return hermite(np.maximum.accumulate(stress + 1e-12 * ways))


def mini_layer(unit: Springs, height: float) -> MiniLayer:
    """The layer of a unit of fine pitch."""
    area = np.array([kind.cell for kind in unit.kinds]) * np.bincount(unit.kind, minlength=len(unit.kinds))
    return MiniLayer(unit.name, unit.kinds, tuple((area / area.sum()).tolist()), height)
