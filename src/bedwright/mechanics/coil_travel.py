"""How far coils go down in a pad test, and the forces at which the first of them touches, and is solid."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_matrix

from bedwright.mechanics.bed_field import Placed, below_of
from bedwright.mechanics.bed_model import BedModel
from bedwright.mechanics.field import COIL_FIRST, COIL_STEP
from bedwright.mechanics.pad_path import Path
from bedwright.mechanics.unit_model import coil_table


@dataclass(frozen=True, slots=True)
class CoilTravel:
    """Forces on the pad [N], infinite where the test does not come so far; greatest compression of a coil [mm]."""

    closing_from: float
    solid_from: float
    greatest: float


def coil_travel(model: BedModel, placed: Placed, path: Path) -> CoilTravel:
    """Of the main unit's coils, along the way down."""
    heads = placed.heads
    main = heads.gap == heads.gap[-1]
    count = len(model.main.x)
    matrix = csr_matrix((heads.shares, heads.nodes, heads.starts), shape=(len(heads.gap), len(placed.where.mesh.x)))
    matrix = matrix[np.flatnonzero(main)]
    gap, kind = int(heads.gap[-1]), model.main.kind
    below = below_of(model, placed.base)
    closing, solid, force_of = np.zeros(count), np.zeros(count), []
    for index, one in enumerate(model.main.kinds):
        alone, whole = coil_table(one)[:, 0], coil_table(one, below)[:, 0]
        ways = COIL_FIRST + COIL_STEP * np.arange(len(alone))
        reach = COIL_FIRST + COIL_STEP * np.arange(len(whole))
        force_of.append((ways, alone, reach, whole))
        for marks, way in ((closing, one.closing()), (solid, one.travel)):
            force = float(np.interp(way, ways, alone))
            marks[kind == index] = float(np.interp(force, whole, reach))
    forces, first, last = [0.0], [-1.0], [-1.0]
    for state in path.down:
        travel = matrix @ state.u[:, gap]
        if gap + 1 < state.u.shape[1]:
            travel = travel - matrix @ state.u[:, gap + 1]
        forces.append(state.force)
        first.append(float(np.max(travel / closing)))
        last.append(float(np.max(travel / solid)))
    greatest = 0.0
    for index, (ways, alone, reach, whole) in enumerate(force_of):
        if np.any(kind == index):
            force = float(np.interp(float(np.max(travel[kind == index])), reach, whole))
            greatest = max(greatest, float(np.interp(force, alone, ways)))
    return CoilTravel(_reached(first, forces), _reached(last, forces), greatest)


def _reached(share: list[float], forces: list[float]) -> float:
    """Force at which a share first comes to 1."""
    for at in range(1, len(share)):
        if share[at] >= 1:
            part = (1 - share[at - 1]) / (share[at] - share[at - 1])
            return forces[at - 1] + float(np.clip(part, 0, 1)) * (forces[at] - forces[at - 1])
    return float("inf")
