"""A CSV file of somebody's own readings: rows of cells, numbers with decimal points or commas, faults with their rows.

Columns are parted by semicolons, tabs or commas. Where they are not parted by commas, a comma may be the decimal mark.
"""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from pathlib import Path

from bedwright import typed
from bedwright.errors import Fault, FaultsFound, NotReadable, NotUnderstood

LARGEST = 2_000_000  # bytes
MOST_ROWS = 20_000
MOST_CELLS = 400_000
MOST_FAULTS = 10
SHOWN = 60  # characters of a row that a fault echoes
_PLAINLY_DECIMAL = re.compile(r"[-+]?(?:[0-9]*,(?:[0-9]{1,2}|[0-9]{4,})|0*,[0-9]{3}|[0-9]{4,},[0-9]{3})")


@dataclass(frozen=True, slots=True)
class Cells:
    """Rows of a file that hold anything, each with its number in the file (1-based); by: what parts the columns.

    decimal_comma: whether a comma in a cell is the decimal mark throughout; else each number is read by itself.
    """

    rows: tuple[tuple[int, tuple[str, ...]], ...]
    by: str
    decimal_comma: bool

    def number(self, cell: str) -> float:
        """The number of a cell. Raises NotUnderstood."""
        return typed.number(cell.replace(",", ".") if self.decimal_comma else cell)

    def echo(self, row: tuple[str, ...]) -> str:
        """A row as a fault shows it."""
        return ";".join(row)[:SHOWN]


def cells_of(file: Path) -> Cells:
    """The cells of a file. Raises NotReadable for one that is not there, no text, too large, or no CSV."""
    try:
        if file.stat().st_size > LARGEST:
            raise NotReadable(f"{file} is larger than {LARGEST // 1_000_000} MB; give the readings of one bed")
        text = file.read_text(encoding="utf-8-sig")
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "it is no text in UTF-8"
        raise NotReadable(f"{file} cannot be read: {why}; give a CSV file") from None
    try:
        return cells_in(text)
    except NotReadable as error:
        raise NotReadable(f"{file} {error}") from None


def cells_in(text: str) -> Cells:
    """The cells of a text. Raises NotReadable, in words that go on from the file's name."""
    by = next((mark for mark in (";", "\t") if mark in text), ",")
    try:
        rows = [
            (number, tuple(cell.strip() for cell in row))
            for number, row in enumerate(csv.reader(text.splitlines(), delimiter=by), 1)
            if any(cell.strip() for cell in row)
        ]
    except csv.Error as error:
        raise NotReadable(f"cannot be read as CSV ({error}); part the columns with semicolons or commas") from None
    if len(rows) > MOST_ROWS:
        raise NotReadable(f"has {len(rows)} rows; give {MOST_ROWS} or fewer")
    if sum(len(row) for _, row in rows) > MOST_CELLS:
        raise NotReadable(f"has more than {MOST_CELLS} cells; give fewer rows or columns")
    cells = [cell for _, row in rows for cell in row]
    comma = by != "," and any(_PLAINLY_DECIMAL.fullmatch(cell) for cell in cells)
    comma = comma and not any("." in cell and _is_number(cell) for cell in cells)
    return Cells(tuple(rows), by, comma)


def heading_words(row: tuple[str, ...]) -> tuple[str, ...]:
    """A heading as plain words: small letters, without what stands in brackets."""
    return tuple(" ".join(re.sub(r"[\[(].*?[\])]", " ", cell).lower().replace("_", " ").split()) for cell in row)


def _is_number(cell: str) -> bool:
    try:
        typed.number(cell)
    except NotUnderstood:
        return False
    return True


def refused(faults: list[Fault]) -> FaultsFound:
    """What is raised for faults: the first of them, and how many more there are."""
    more = len(faults) - MOST_FAULTS
    if more > 0:
        last = Fault(says=f"{more} more rows are not right either", remedy="put these right and ask again")
        return FaultsFound([*faults[:MOST_FAULTS], last])
    return FaultsFound(faults)
