"""Two beds zipped together side by side, each under its own person: how the joint between them gives."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize
from bedwright.mechanics.lain import Lying
from bedwright.mechanics.lying import Lies, lying

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ZipLinked:
    """Two beds side by side, zipped at their covers: each person on a bed of its own.

    left, right: the persons lying. along [mm]: places along the joint; step [mm]: how much deeper the left bed's edge
    lies than the right one's there; dip [mm]: the deeper of both below the untouched faces.
    """

    left: Lying
    right: Lying
    along: Array
    step: Array
    dip: Array

    @property
    def largest_step(self) -> float:
        """[mm]"""
        return float(np.max(np.abs(self.step)))

    @property
    def largest_dip(self) -> float:
        """[mm]"""
        return float(np.max(self.dip))


NOT_SAID = (
    "zip-linked: what the zip itself carries, and how far the two edges part sideways, is not reckoned; the step and "
    "the dip are those of two free edges"
)


def zip_link(bed: BedAtSize, left: Lies, right: Lies, **how: Any) -> ZipLinked:
    """Two of a bed zipped side by side; x of each person [mm] is told from its own bed's left edge.

    The map of each reaches to the joint. Raises as `lying` does.
    """
    found = [lying(bed, (left,), to_edge="right", **how), lying(bed, (right,), to_edge="left", **how)]
    edges = [(one.y, one.face_down[:, column]) for one, column in zip(found, (-1, 0), strict=True)]
    low, high = max(y[0] for y, _ in edges), min(y[-1] for y, _ in edges)
    along = np.arange(low, high + 1e-9, found[0].cell)
    down = [np.interp(along, y, rim) for y, rim in edges]
    return ZipLinked(found[0], found[1], along, down[0] - down[1], np.maximum(down[0], down[1]))
