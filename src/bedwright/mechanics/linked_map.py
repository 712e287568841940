"""Two zip-linked beds told as one plan of double width, for drawings and sheets; every figure stays its own bed's."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.lain import Lain, Lying, Slice
from bedwright.mechanics.zip_link import NOT_SAID, ZipLinked

Array = NDArray[np.float64]


def joined(link: ZipLinked) -> Lying:
    """Both beds side by side, the left one's left edge at x = 0; the map on one even grid of the same cell.

    A cell of the map is that of the bed it lies on, the nearest one: its place is true to half a cell. Persons,
    residual and steps are those reckoned; the cut across is the left bed's at its hips, then the right bed's own.
    """
    left, right, cell = link.left, link.right, link.left.cell
    width = left.width + right.width
    x = np.arange(cell / 2, width, cell)
    y = np.arange(cell / 2, max(left.length, right.length), cell)
    on_left = x < left.width
    pressure, down = np.zeros((len(y), len(x))), np.zeros((len(y), len(x)))
    for one, mine, shift in ((left, on_left, 0.0), (right, ~on_left, left.width)):
        rows, columns = _nearest(one.y, y, cell), _nearest(one.x, x[mine] - shift, cell)
        for target, source in ((pressure, one.pressure), (down, one.face_down)):
            target[:, mine] = _picked(source, rows, columns)
    along = [one for bed, shift in ((left, 0.0), (right, left.width)) for one in _along(bed, shift)]
    notes = tuple(dict.fromkeys((*left.notes, *right.notes, NOT_SAID)))
    return replace(
        left, width=width, persons=(*left.persons, *(_moved(one, left.width) for one in right.persons)), x=x, y=y,
        pressure=pressure, face_down=down, slices=(*along, _across(left, right)), notes=notes,
        residual=max(left.residual, right.residual), newton=left.newton + right.newton, nodes=left.nodes + right.nodes,
        bed=f"two of {left.bed}, zip-linked",
    )  # fmt: skip


def _nearest(of: Array, wanted: Array, cell: float) -> NDArray[np.int64]:
    """Index of the nearest place of `of`; -1 where none is within a cell."""
    index = np.argmin(np.abs(of[None, :] - wanted[:, None]), axis=1)
    return np.where(np.abs(of[index] - wanted) <= 0.75 * cell, index, -1)


def _picked(source: Array, rows: NDArray[np.int64], columns: NDArray[np.int64]) -> Array:
    """Values at rows and columns, nothing where an index is -1."""
    found = source[np.ix_(np.maximum(rows, 0), np.maximum(columns, 0))]
    return np.where((rows[:, None] >= 0) & (columns[None, :] >= 0), found, 0.0)


def _along(bed: Lying, shift: float) -> list[Slice]:
    return [replace(one, at=one.at + shift) for one in bed.slices if one.way == "along"]


def _across(left: Lying, right: Lying) -> Slice:
    one, other = (next(cut for cut in bed.slices if cut.way == "across") for bed in (left, right))
    whole = [np.concatenate([getattr(one, name), getattr(other, name)]) for name in ("untouched", "face", "body")]
    place = np.concatenate([one.place, other.place + left.width])
    return Slice("across", (one.at + other.at) / 2, place, *whole)


def _moved(one: Lain, shift: float) -> Lain:
    return replace(one, outline=tuple((x + shift, y) for x, y in one.outline))
