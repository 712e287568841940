"""Whether two persons lie on one another over the plan: there both press on the bed, as two bodies never do."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.lain import Lain, Lying

Array = NDArray[np.float64]
STEP = 10.0  # of the raster [mm]
LEAST = 1e-3  # [m2] that is told


def overlap(lying: Lying) -> float:
    """Area of the plan that both of two persons cover [m2], from their outlines on a raster; 0 for one alone."""
    if len(lying.persons) != 2:
        return 0.0
    x, y = np.arange(STEP / 2, lying.width, STEP), np.arange(STEP / 2, lying.length, STEP)
    one, other = (_covered(person, x, y) for person in lying.persons)
    return float(np.sum(one & other)) * STEP**2 * 1e-6


def overlap_words(lying: Lying) -> str:
    """One sentence where two lie on one another, else nothing."""
    area = overlap(lying)
    if area < LEAST:
        return ""
    return (
        f"the two lie over one another on {area:.3f} m2 of the plan, where both press on the bed as if the other were "
        "not there: move one of them, or let them face away from each other"
    )


def _covered(person: Lain, x: Array, y: Array) -> NDArray[np.bool_]:
    """Places of a raster inside any part of a person."""
    found = np.zeros((len(y), len(x)), dtype=bool)
    for xs, ys in person.outline:
        columns = np.flatnonzero((x >= np.min(xs)) & (x <= np.max(xs)))
        rows = np.flatnonzero((y >= np.min(ys)) & (y <= np.max(ys)))
        if len(columns) and len(rows):
            found[np.ix_(rows, columns)] |= _inside(xs, ys, x[columns], y[rows])
    return found


def _inside(xs: Array, ys: Array, x: Array, y: Array) -> NDArray[np.bool_]:
    """Places x, y inside a closed outline: a ray to the right crosses it an odd number of times."""
    odd = np.zeros((len(y), len(x)), dtype=bool)
    for x0, y0, x1, y1 in zip(xs, ys, np.roll(xs, -1), np.roll(ys, -1), strict=True):
        if y0 == y1:
            continue
        spans = (y0 > y) != (y1 > y)
        crossing = x0 + (y - y0) * (x1 - x0) / (y1 - y0)
        odd ^= spans[:, None] & (x[None, :] < crossing[:, None])
    return odd
