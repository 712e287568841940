"""Workbooks of older formats, brought to today's one step at a time; each step is kept for ever."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from bedwright.identity import fold
from bedwright.works.workbook.grid import Grid, Taken
from bedwright.works.workbook.layout import ABOUT

NEW_IN_2 = ("coil_points", "coil_heats", "filling_returns", "bed_tests", "rating_terms")
"""Sheets of nested rows that a workbook of format 1 cannot have; what it says is whole without them."""


def from_1(taken: Taken) -> Taken:
    """Format 1 to 2: the new sheets, empty. New columns may be left out of any workbook, so they need nothing."""
    there = {sheet_key(grid.name) for grid in taken.grids}
    grids = tuple(_stamped(grid, 2) for grid in taken.grids)
    return replace(taken, grids=grids + tuple(Grid(name, ()) for name in NEW_IN_2 if name not in there))


UPCASTERS: Mapping[int, Callable[[Taken], Taken]] = {1: from_1}
"""Format number -> what turns a workbook of that format into the next; one for each step, kept for ever."""


def sheet_key(name: str) -> str:
    """The name of a sheet as it is compared: "Bed layers" is bed_layers."""
    return "_".join(fold(name).replace("_", " ").replace("-", " ").split())


def _stamped(grid: Grid, number: int) -> Grid:
    """The sheet about with another format number; any other sheet as it is."""
    if sheet_key(grid.name) != ABOUT or len(grid.rows) < 2:
        return grid
    heads, (row, values), *rest = grid.rows
    changed = tuple(
        float(number) if place < len(heads[1]) and _is_format(heads[1][place]) else value
        for place, value in enumerate(values)
    )
    return replace(grid, rows=(heads, (row, changed), *rest))


def _is_format(heading: object) -> bool:
    return isinstance(heading, str) and fold(heading.strip()) == "format"
