"""Meshes under persons: squares of one cell where a body can touch, growing away from there to the bed's edges."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.mesh import Mesh, assembled

Array = NDArray[np.float64]
GROWTH = 1.6  # of a step to the next one, away from the bodies
FARTHEST_STEP = 140.0  # [mm]


@dataclass(frozen=True, slots=True, eq=False)
class LyingMesh:
    """mesh; node (rows along, columns across): the mesh's node at each middle of a cell x, y [mm]; cell [mm]."""

    mesh: Mesh
    x: Array
    y: Array
    node: NDArray[np.int64]
    cell: float


@lru_cache(maxsize=8)
def lying_mesh(
    width: float, length: float, left: float, head: float, right: float, foot: float, cell: float
) -> LyingMesh:
    """Mesh of a bed of width x length with cells of `cell` over the window left..right, head..foot, all in mm.

    The window is widened to whole cells; cells end where the bed does.
    """
    x, columns = _places(width, left, right, cell)
    y, rows = _places(length, head, foot, cell)
    points = np.stack([np.tile(x, len(y)), np.repeat(y, len(x))], axis=1)
    index = np.arange(len(points)).reshape(len(y), len(x))
    a, b, c, d = index[:-1, :-1], index[:-1, 1:], index[1:, :-1], index[1:, 1:]
    corners = [np.stack(three, -1).reshape(-1, 3) for three in ((a, b, d), (a, d, c))]
    found = assembled(
        points, np.concatenate(corners).astype(np.int32), np.arange(len(points), dtype=np.float64), (width, length)
    )
    # which way a square is cut changes nothing of K, but thirds of triangles would give its corners unequal areas
    area = np.outer(_shares(y), _shares(x)).ravel()[found.radius.astype(np.int64)]
    found = replace(found, area=area)
    place = np.empty(len(points), dtype=np.int64)
    place[found.radius.astype(np.int64)] = np.arange(len(points))  # `radius` carried each point's number through
    return LyingMesh(found, x[columns], y[rows], place[index[np.ix_(rows, columns)]], cell)


def _places(total: float, low: float, high: float, cell: float) -> tuple[Array, NDArray[np.int64]]:
    """Places of nodes along one side of the bed, and which of them lie in the window."""
    first, last = max(0.0, low), min(total, high)
    count = max(2, int(np.ceil((last - first) / cell)))
    first = max(0.0, min(first, total - count * cell))
    inner = first + cell * np.arange(count + 1)
    if inner[-1] > total:
        inner = np.linspace(first, total, count + 1)
    if total - inner[-1] < 0.6 * cell:
        inner[-1] = total
    if inner[0] < 0.6 * cell:
        inner[0] = 0.0
    before = _away(float(inner[0]), cell)
    after = _away(total - float(inner[-1]), cell)
    places = np.concatenate([(inner[0] - before)[::-1], inner, inner[-1] + after])
    return places, np.arange(len(before), len(before) + len(inner))


def _shares(places: Array) -> Array:
    """Length that belongs to each place [mm]: half-way to its neighbours."""
    steps = np.diff(places)
    return np.asarray((np.concatenate([[0.0], steps]) + np.concatenate([steps, [0.0]])) / 2)


def _away(total: float, cell: float) -> Array:
    """Distances of nodes from the window out to the edge, each step longer than the last."""
    if total <= 0:
        return np.zeros(0)
    places, step = [0.0], cell
    while places[-1] < total:
        step = min(step * GROWTH, FARTHEST_STEP)
        places.append(places[-1] + step)
    return np.array(places[1:]) * total / places[-1]
