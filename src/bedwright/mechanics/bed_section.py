"""A cut across the bed through the spot: heights of the interfaces unloaded, tufted, and under the pad."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import LinearNDInterpolator

from bedwright.mechanics.bed_field import Placed, gap_items
from bedwright.mechanics.bed_model import BedModel
from bedwright.mechanics.pad import Protocol
from bedwright.mechanics.pad_path import Path
from bedwright.mechanics.unit_model import Springs

Array = NDArray[np.float64]
POINTS = 61


@dataclass(frozen=True, slots=True)
class Section:
    """A cut across the bed. x [mm] from its left edge (points,); names of the interfaces from the top face downwards;
    heights above the base [mm], (interfaces, points); force on the pad in under_pad [N]; pad_low: height of the pad's
    lowest point there [mm]."""

    x: Array
    names: tuple[str, ...]
    unloaded: Array
    tufted: Array
    under_pad: Array
    force: float
    pad_low: float


def section_of(model: BedModel, placed: Placed, path: Path, protocol: Protocol) -> Section:
    """The cut at the state whose force is nearest to the last force of H."""
    items = gap_items(model, placed.base)
    at = protocol.slope_forces[-1]
    state = min(path.down, key=lambda s: abs(s.force - at))
    mesh, spot = placed.where.mesh, placed.where.spot
    fine = spot.x + np.linspace(-1.3, 1.3, POINTS // 2) * protocol.diameter / 2
    x = np.unique(np.clip(np.concatenate([np.linspace(0, model.width, POINTS - POINTS // 2), fine]), 0, model.width))
    y = float(np.clip(spot.y, 1e-6, model.length - 1e-6))
    values = np.concatenate([path.rest.u, state.u], axis=1)
    found = LinearNDInterpolator(np.stack([mesh.x, mesh.y], axis=1), values)(np.stack([x, np.full_like(x, y)], axis=1))
    levels = path.rest.u.shape[1]
    rest, pressed = np.nan_to_num(found[:, :levels]).T, np.nan_to_num(found[:, levels:]).T
    thick = [_thickness(item, model) for item in items]
    lowest = model.untufted - sum(thick)  # what lies under the unit on a solid base, squeezed with the coils' feet
    heights = lowest + np.cumsum(thick[::-1])[::-1]
    names = ["upper face", *(f"under {item.name}" for item in items)]
    base = np.full((1, len(x)), max(lowest, 0.0))
    unloaded = np.repeat(heights[:, None], len(x), axis=1)
    if levels > len(items):  # a base that gives
        base = base - rest[-1:] * 0
        unloaded, tufted, under = (np.concatenate([h, base]) for h in (unloaded, unloaded, unloaded))
        tufted = tufted - rest
        under = under - pressed
    else:
        tufted = np.concatenate([unloaded - rest, base])
        under = np.concatenate([unloaded - pressed, base])
        unloaded = np.concatenate([unloaded, base])
    return Section(x, tuple(names), unloaded, tufted, under, state.force, model.untufted - state.depth)


def _thickness(item: object, model: BedModel) -> float:
    if isinstance(item, Springs):
        others = sum(_thickness(one, model) for one in model.items if one is not item and not isinstance(one, Springs))
        return model.untufted - others if item is model.main else 0.0
    return item.thickness if hasattr(item, "thickness") else 0.0
