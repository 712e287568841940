"""How far coils go down in a pad test, and the forces at which the first of them touches, and is solid."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

from bedwright.mechanics.bed_field import Placed, below_of
from bedwright.mechanics.bed_model import BedModel
from bedwright.mechanics.field import COIL_FIRST, COIL_STEP
from bedwright.mechanics.pad_path import Path
from bedwright.mechanics.stack_law import Ply
from bedwright.mechanics.unit_model import CoilKind, coil_table

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class CoilTravel:
    """Forces on the pad [N], infinite where the test does not come so far; greatest compression of a coil [mm]."""

    closing_from: float
    solid_from: float
    greatest: float


def coil_travel(model: BedModel, placed: Placed, path: Path) -> CoilTravel:
    """Of the main unit's coils, along the way down."""
    count, kind = len(model.main.x), model.main.kind
    below = below_of(model, placed.base)
    closing, solid = np.zeros(count), np.zeros(count)
    laws = [CoilLaw.of(one, below) for one in model.main.kinds]
    for index, (one, law) in enumerate(zip(model.main.kinds, laws, strict=True)):
        closing[kind == index] = law.head_way(one.closing())
        solid[kind == index] = law.head_way(one.travel)
    forces, first, last = [0.0], [-1.0], [-1.0]
    for state in path.down:
        travel = head_travel(model, placed, state.u)
        forces.append(state.force)
        first.append(float(np.max(travel / closing)))
        last.append(float(np.max(travel / solid)))
    greatest = 0.0
    for index, law in enumerate(laws):
        if np.any(kind == index):
            greatest = max(greatest, law.coil_way(float(np.max(travel[kind == index]))))
    return CoilTravel(_reached(first, forces), _reached(last, forces), greatest)


def head_travel(model: BedModel, placed: Placed, u: Array) -> Array:
    """How far the head of every coil of the main unit goes down towards its foot's seat [mm], (coils,).

    u: interface fields of a state (nodes, gaps). On a solid base the fillings below the foot are in it.
    """
    heads, gap = placed.heads, len(model.top)
    matrix = csr_matrix((heads.shares, heads.nodes, heads.starts), shape=(len(heads.gap), len(placed.where.mesh.x)))
    matrix = matrix[np.flatnonzero(heads.gap == gap)]
    down = u[:, gap] if gap + 1 == u.shape[1] else u[:, gap] - u[:, gap + 1]
    return np.asarray(matrix @ down, dtype=np.float64)


@dataclass(frozen=True, slots=True)
class CoilLaw:
    """Ways [mm] and forces [N] of a kind of coil alone, and of its head where fillings lie below its foot."""

    ways: Array
    alone: Array
    reach: Array
    whole: Array

    @classmethod
    def of(cls, kind: CoilKind, below: tuple[Ply, ...]) -> CoilLaw:
        """The laws as the solver has them."""
        alone, whole = coil_table(kind)[:, 0], coil_table(kind, below)[:, 0]
        ways, reach = (COIL_FIRST + COIL_STEP * np.arange(len(force), dtype=np.float64) for force in (alone, whole))
        return cls(ways, alone, reach, whole)

    def head_way(self, way: float) -> float:
        """Way of the head [mm] at which the coil alone has gone `way` from rest [mm]."""
        return float(np.interp(np.interp(way, self.ways, self.alone), self.whole, self.reach))

    def coil_way(self, head: float) -> float:
        """Way of the coil alone from rest [mm] at a way of its head [mm]."""
        return float(np.interp(np.interp(head, self.reach, self.whole), self.alone, self.ways))


def _reached(share: list[float], forces: list[float]) -> float:
    """Force at which a share first comes to 1."""
    for at in range(1, len(share)):
        if share[at] >= 1:
            part = (1 - share[at - 1]) / (share[at] - share[at - 1])
            return forces[at - 1] + float(np.clip(part, 0, 1)) * (forces[at] - forces[at - 1])
    return float("inf")
