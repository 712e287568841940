"""Write a works as a workbook: one sheet for each kind, nested rows in sheets of their own, help and drop-down lists.

The same works gives the same bytes: the moment of saving is set, the parts are packed with one date.
"""

from __future__ import annotations

import os
from datetime import date, time
from decimal import Decimal
from pathlib import Path

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from bedwright.errors import OutsideRange
from bedwright.works.kinds import BY_KIND
from bedwright.works.workbook.cells_out import headings, set_text, still_bytes
from bedwright.works.workbook.layout import CHOICES, HELP, Column, Sheet, sheets
from bedwright.works.workbook.tables import Table, tables
from bedwright.works.works import Works

_SPARE = 500  # empty rows that drop-down lists reach beyond the last filled one
_FORMATS = {"date": "yyyy-mm-dd", "time": "hh:mm", "money": "0.00####", "code": "@", "text": "@", "choice": "@"}


def write_works(works: Works, path: Path) -> None:
    """Write the workbook whole or not at all (an older file at the path is replaced). Raises OSError."""
    data = workbook_bytes(works)
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_bytes(data)
        os.replace(part, path)
    finally:
        part.unlink(missing_ok=True)


def workbook_bytes(works: Works) -> bytes:
    """The workbook as bytes, the same for the same works."""
    book = Workbook()
    book.remove(book.active)
    book.properties.creator = "bedwright"
    lists = _lists()
    for table in tables(works):
        _write_sheet(book.create_sheet(table.sheet.name), table, lists)
    _write_help(book.create_sheet(HELP))
    _write_choices(book.create_sheet(CHOICES), lists)
    return still_bytes(book)


def _write_sheet(page: Worksheet, table: Table, lists: dict[tuple[str, ...], str]) -> None:
    columns = table.sheet.columns
    headings(page, [column.heading for column in columns])
    for row, values in enumerate(table.rows, 2):
        for place, (column, value) in enumerate(zip(columns, values, strict=True), 1):
            if value is not None and value != "":
                _set(page.cell(row, place), column, value)
    last = len(table.rows) + 1
    for place, column in enumerate(columns, 1):
        letter = get_column_letter(place)
        longest = max((len(str(values[place - 1] or "")) for values in table.rows), default=0)
        page.column_dimensions[letter].width = min(max(len(column.heading), longest, 6) + 3, 48)
        if column.holds in ("code", "text", "choice"):
            page.column_dimensions[letter].number_format = "@"  # keeps 007 and 1/2 as they are typed
        chosen = _list_of(column, lists)
        if chosen:
            drop = DataValidation(type="list", formula1=chosen, allow_blank=True, showErrorMessage=False)
            drop.add(f"{letter}2:{letter}{last + _SPARE}")
            page.add_data_validation(drop)


def _set(cell: Cell, column: Column, value: object) -> None:
    if isinstance(value, bool):
        cell.value = "yes" if value else "no"
    elif isinstance(value, str):
        set_text(cell, value)
    elif isinstance(value, Decimal):
        cell.value = float(value)
    elif isinstance(value, (int, float, date, time)):
        cell.value = value
    else:
        raise OutsideRange(f"{column.heading}: {type(value).__name__} has no cell")
    if column.holds in _FORMATS:
        long = isinstance(value, time) and value.second
        cell.number_format = "hh:mm:ss" if long else _FORMATS[column.holds]


def _lists() -> dict[tuple[str, ...], str]:
    """Each list of choices once, and where it stands in the sheet of choices."""
    found: dict[tuple[str, ...], str] = {("yes", "no"): ""}
    for sheet in sheets():
        for column in sheet.columns:
            if column.choices:
                found.setdefault(column.choices, "")
    for place, choices in enumerate(found, 1):
        letter = get_column_letter(place)
        found[choices] = f"{CHOICES}!${letter}$2:${letter}${len(choices) + 1}"
    return found


def _list_of(column: Column, lists: dict[tuple[str, ...], str]) -> str:
    if column.choices:
        return lists[column.choices]
    if column.holds == "yes or no":
        return lists[("yes", "no")]
    if len(column.refers) == 1:
        return f"{BY_KIND[column.refers[0]].SHEET}!$A$2:$A$2000"
    return ""


def _write_choices(page: Worksheet, lists: dict[tuple[str, ...], str]) -> None:
    headings(page, [f"list {place}" for place in range(1, len(lists) + 1)])
    for place, choices in enumerate(lists, 1):
        for row, choice in enumerate(choices, 2):
            set_text(page.cell(row, place), choice)
    page.sheet_state = "hidden"


def _write_help(page: Worksheet) -> None:
    """What every column means, for people; the reader passes over it."""
    headings(page, ("sheet", "column", "meaning", "holds", "unit", "accepted", "usual", "choices", "may be empty"))
    row = 2
    for sheet in sheets():
        for column in sheet.columns:
            for place, text in enumerate(_help_row(sheet, column), 1):
                if text:
                    set_text(page.cell(row, place), text)
            row += 1
    for letter, width in zip("ABCDEFGHI", (20, 26, 70, 12, 10, 22, 18, 60, 14), strict=True):
        page.column_dimensions[letter].width = width


def _help_row(sheet: Sheet, column: Column) -> tuple[str, ...]:
    usual = f"{column.usual[0]:g} to {column.usual[1]:g}" if column.usual else ""
    choices = ", ".join(column.choices) or (f"code of: {' or '.join(column.refers)}" if column.refers else "")
    empty = "no" if column.needed else "yes"
    return (
        sheet.name,
        column.heading,
        column.meaning,
        column.holds,
        column.unit,
        column.accepted,
        usual,
        choices,
        empty,
    )
