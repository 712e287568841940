"""What a reader hands on: the filled cells of one sheet with their places, before anything is judged."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from bedwright.errors import Fault

Value = str | float | bool | date | datetime | time | timedelta | None
Place = tuple[int, int]
"""Row and column of a cell, both counted from 1 as a spreadsheet does."""

_CELL = re.compile(r"\$?([A-Z]{1,3})\$?([1-9][0-9]{0,6})")


@dataclass(frozen=True, slots=True)
class Grid:
    """One sheet as read. rows: (row number, values from column A on), blank rows left out.

    not_calculated and errors are cells whose value is none; formulas have a value that was calculated when the file
    was saved; percents are shown with a % sign, so that 0.15 stands for 15; merged are ranges as "A1:C1".
    """

    name: str
    rows: tuple[tuple[int, tuple[Value, ...]], ...]
    formulas: frozenset[Place] = frozenset()
    not_calculated: frozenset[Place] = frozenset()
    errors: frozenset[Place] = frozenset()
    percents: frozenset[Place] = frozenset()
    merged: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Taken:
    """All sheets of a file, and what is to be said of the file itself."""

    grids: tuple[Grid, ...]
    notes: tuple[Fault, ...] = ()


def cell_name(row: int, column: int) -> str:
    """(7, 3) as "C7"."""
    letters = ""
    while column:
        column, left = divmod(column - 1, 26)
        letters = chr(ord("A") + left) + letters
    return f"{letters}{row}"


def cell_place(name: str) -> Place:
    """ "C7" as (7, 3). Raises ValueError for what is no cell."""
    match = _CELL.fullmatch(name)
    if match is None:
        raise ValueError(f"{name!r} is not a cell")
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - ord("A") + 1
    return int(match[2]), column


def range_corners(name: str) -> tuple[Place, Place]:
    """ "A1:C1" as ((1, 1), (1, 3)). Raises ValueError for what is no range."""
    first, _, last = name.partition(":")
    return cell_place(first), cell_place(last or first)
