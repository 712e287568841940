"""None better in all: which of several builds no other beats, how crowded they lie, how much of the field they rule.

Everything is to be made small. Ranks and crowding after Deb 2002 (book `deb-2002`); the hypervolume is what the points
rule of the box up to a corner, exact by slices (book `derived`).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import OutsideRange

Array = NDArray[np.float64]


def beats(one: Sequence[float], other: Sequence[float]) -> bool:
    """Whether one is at least as good in all and better in something."""
    pairs = list(zip(one, other, strict=True))
    return all(a <= b for a, b in pairs) and any(a < b for a, b in pairs)


def unbeaten(points: Array) -> list[int]:
    """Rows of points (count, aims) that none beats; of equal rows the first only."""
    found: list[int] = []
    for index in np.lexsort(points.T[::-1]).tolist():  # what beats a row stands before it
        row = points[index]
        if not any(bool(np.all(points[kept] <= row)) for kept in found):
            found.append(index)
    return sorted(found)


def ranks(points: Array) -> list[int]:
    """Rank of each row: 0 for those none beats, 1 for those none beats once these are gone, and so on."""
    rank = [-1] * len(points)
    left = list(range(len(points)))
    level = 0
    while left:
        best = {left[index] for index in unbeaten(points[left])}
        same = {i for i in left if any(bool(np.all(points[i] == points[b])) for b in best)}
        for index in same:
            rank[index] = level
        left = [index for index in left if index not in same]
        level += 1
    return rank


def crowding(points: Array) -> list[float]:
    """How far apart the neighbours of each row lie, summed over the aims as shares; infinite at the ends."""
    count = len(points)
    found = np.zeros(count)
    for aim in range(points.shape[1]):
        order = np.argsort(points[:, aim], kind="stable")
        span = points[order[-1], aim] - points[order[0], aim]
        found[order[[0, -1]]] = np.inf
        if count > 2 and span > 0:
            found[order[1:-1]] += (points[order[2:], aim] - points[order[:-2], aim]) / span
    return [float(value) for value in found]


def spread(points: Array, most: int) -> list[int]:
    """At most `most` rows that lie far from each other, aims as shares of their span: first the best in each aim."""
    if len(points) <= most:
        return list(range(len(points)))
    low, span = points.min(axis=0), np.ptp(points, axis=0)
    shares = (points - low) / np.where(span > 0, span, 1.0)
    chosen = list(dict.fromkeys(int(np.argmin(points[:, aim])) for aim in range(points.shape[1])))[:most]
    while len(chosen) < most:
        far = np.min([np.linalg.norm(shares - shares[index], axis=1) for index in chosen], axis=0)
        chosen.append(int(np.argmax(far)))
    return sorted(chosen)


def hypervolume(points: Array, corner: Sequence[float]) -> float:
    """Volume that points (count, aims) rule below a corner (aims,): of the box, all that some point is no worse than.

    Exact for any number of aims; quick for two and three. Raises OutsideRange where aims and corner differ in number.
    """
    at = np.asarray(corner, dtype=np.float64)
    rows = np.asarray(points, dtype=np.float64).reshape(-1, len(at)) if np.size(points) else np.zeros((0, len(at)))
    if np.size(points) and np.shape(points)[-1] != len(at):
        raise OutsideRange(f"points have {np.shape(points)[-1]} aims and the corner {len(at)}")
    rows = rows[np.all(rows < at, axis=1)]
    return _ruled(rows[unbeaten(rows)], at) if len(rows) else 0.0


def _ruled(rows: Array, corner: Array) -> float:
    if rows.shape[1] == 1:
        return float(corner[0] - rows[:, 0].min())
    order = np.argsort(rows[:, -1], kind="stable")
    rows = rows[order]
    if rows.shape[1] == 2:
        volume, left = 0.0, float(corner[0])
        for x, y in rows:  # rising y: only what reaches further left rules more
            if x < left:
                volume += (left - x) * (corner[1] - y)
                left = x
        return float(volume)
    ends = [*rows[1:, -1], corner[-1]]
    volume = 0.0
    for index, end in enumerate(ends):
        thick = end - rows[index, -1]
        if thick > 0:
            below = rows[: index + 1, :-1]
            volume += thick * _ruled(below[unbeaten(below)], corner[:-1])
    return float(volume)
