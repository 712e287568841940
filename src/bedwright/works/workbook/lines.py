"""A sheet's cells as lines: headings matched to columns, cells read, and every fault of place or reading gathered."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from bedwright.errors import Fault, NotUnderstood
from bedwright.identity import fold
from bedwright.works.workbook.cells import read_cell, same_unit, shown
from bedwright.works.workbook.grid import Grid, Place, Value, cell_name, range_corners
from bedwright.works.workbook.layout import Column, Sheet

_HEADING = re.compile(r"(.*?)\s*[\[(]\s*(.*?)\s*[\])]")


@dataclass(slots=True)
class Line:
    """One row of a sheet: values as read, the fields whose cells could not be read, whether its key stands twice."""

    sheet: Sheet
    row: int
    places: dict[str, int]
    values: dict[str, object] = field(default_factory=dict)
    found: dict[str, Value] = field(default_factory=dict)
    bad: set[str] = field(default_factory=set)
    doubled: bool = False

    @property
    def code(self) -> str:
        return str(self.values.get("code") or "")

    @property
    def called(self) -> str:
        """How faults name the card of this line."""
        kind = self.sheet.kind.KIND if self.sheet.kind else ""
        return f"{kind} {self.code}" if kind and self.code else ""

    def cell(self, name: str) -> str:
        """The cell of a field, "" where the sheet has no such column."""
        return cell_name(self.row, self.places[name]) if name in self.places else ""

    def fault(self, name: str, says: str, remedy: str = "", *, value: str = "", grave: bool = True) -> Fault:
        """A fault at a field of this line; at its code where the whole line is meant."""
        column = self.sheet.column(name or self.sheet.columns[0].field)
        return Fault(
            says=says,
            remedy=remedy,
            value=value or shown(self.found.get(name)),
            sheet=self.sheet.name,
            row=self.row,
            column=column.heading,
            cell=self.cell(column.field),
            card=self.called,
            grave=grave,
        )


def read_lines(sheet: Sheet, grid: Grid) -> tuple[list[Line], list[Fault]]:
    """The lines of a sheet and every fault of heading, place and reading."""
    if not grid.rows:
        return [], []
    if grid.rows[0][0] != 1:
        says = f"has nothing in row 1, and its headings belong there (the first filled row is {grid.rows[0][0]})"
        return [], [Fault(says, "delete the empty rows above the headings", sheet=sheet.name, row=1)]
    places, faults = _headings(sheet, grid.rows[0][1])
    faults += _merged(sheet, grid, places)
    faults += _formulas(sheet, grid, places)
    faults += _stray(sheet, grid, {*places.values(), *_headed(grid.rows[0][1])})
    unread = grid.not_calculated | grid.errors
    lines = []
    for row, values in _rows_with_unread(grid, unread):
        line = Line(sheet, row, places)
        for name, column_place in places.items():
            value = values[column_place - 1] if column_place <= len(values) else None
            faults += _take(line, sheet.column(name), value, (row, column_place), grid, unread)
        lines.append(line)
    return lines, faults


def nearest(wanted: str, known: Iterable[str]) -> str:
    """ "; perhaps 'x'" for the known name most like the wanted one, else nothing."""
    names = {fold(name): name for name in known}
    near = difflib.get_close_matches(fold(wanted), names, n=1, cutoff=0.6)
    return f"; perhaps {names[near[0]]!r}" if near else ""


def _rows_with_unread(grid: Grid, unread: frozenset[Place]) -> list[tuple[int, tuple[Value, ...]]]:
    """Rows below the headings that hold anything, also those whose only content could not be calculated."""
    rows = {row: values for row, values in grid.rows if row > 1 and not _blank(values)}
    for row in {row for row, _ in unread if row > 1} - rows.keys():
        rows[row] = ()
    return sorted(rows.items())


def _blank(values: tuple[Value, ...]) -> bool:
    return all(value is None or (isinstance(value, str) and not value.strip()) for value in values)


def _headings(sheet: Sheet, first: tuple[Value, ...]) -> tuple[dict[str, int], list[Fault]]:
    by_name = {_plain(column.plain): column for column in sheet.columns}
    places: dict[str, int] = {}
    faults: list[Fault] = []

    def fault(place: int, heading: str, says: str, remedy: str) -> None:
        cell = cell_name(1, place)
        faults.append(Fault(says, remedy, heading, sheet.name, row=1, column=heading, cell=cell))

    for place, value in enumerate(first, 1):
        if value is None or _blank((value,)):
            continue
        heading = shown(value).strip()
        name, unit = _split_heading(heading)
        column = by_name.get(_plain(name))
        if column is None:
            near = nearest(_plain(name), by_name)
            fault(place, heading, "is not a column of this sheet", f"delete it or give it a heading known here{near}")
        elif column.field in places:
            other = cell_name(1, places[column.field])
            fault(place, heading, f"heads two columns, {other} too", "delete one of them")
        else:
            places[column.field] = place
            if unit and not same_unit(unit, column):
                wanted = f"the unit here is {column.unit}" if column.unit else "this column has no unit"
                fault(place, heading, f"has the unit {unit}, and {wanted}", f"write {column.heading!r}, values too")
    for column in sheet.columns:
        if column.needed and column.field not in places:
            says = f"has no column {column.heading!r}, and it is needed"
            faults.append(Fault(says, "add the column with this heading in row 1", sheet=sheet.name, row=1))
    return places, faults


def _plain(text: str) -> str:
    return " ".join(fold(text).replace("_", " ").split())


def _split_heading(heading: str) -> tuple[str, str]:
    match = _HEADING.fullmatch(heading)
    return (match[1], match[2]) if match else (heading, "")


def _headed(first: tuple[Value, ...]) -> set[int]:
    return {place for place, value in enumerate(first, 1) if not _blank((value,))}


def _stray(sheet: Sheet, grid: Grid, headed: set[int]) -> list[Fault]:
    """Values in columns without a heading, one fault for each such column."""
    first: dict[int, tuple[int, Value]] = {}
    for row, values in grid.rows[1:]:
        for place, value in enumerate(values, 1):
            if place not in headed and place not in first and not _blank((value,)):
                first[place] = (row, value)
    return [
        Fault(
            says="stands in a column without a heading",
            remedy="give the column its heading in row 1, or move the words to the column note",
            value=shown(value),
            sheet=sheet.name,
            row=row,
            cell=cell_name(row, place),
        )
        for place, (row, value) in sorted(first.items())
    ]


def _merged(sheet: Sheet, grid: Grid, places: dict[str, int]) -> list[Fault]:
    """Merged cells over data hide all values but one; beside the data they harm nothing."""
    last_row, last_column = grid.rows[-1][0], max(places.values(), default=0)
    faults = []
    for name in grid.merged:
        (top, left), _ = range_corners(name)
        if top <= last_row and left <= last_column:
            says = f"cells {name} are merged, and a merged cell hides the rows and columns under it"
            remedy = "take the merging off and fill each cell"
            faults.append(Fault(says, remedy, sheet=sheet.name, row=top, cell=cell_name(top, left)))
    return faults


def _formulas(sheet: Sheet, grid: Grid, places: dict[str, int]) -> list[Fault]:
    heads = {place: sheet.column(name).heading for name, place in places.items()}
    faults = []
    for row, place in sorted(grid.not_calculated | grid.errors):
        if (row, place) in grid.errors:
            says, remedy = "shows an error of the spreadsheet instead of a value", "mend the formula or type the value"
        else:
            says = "is a formula that was never calculated"
            remedy = "open the workbook in a spreadsheet and save it, or type the value"
        cell = cell_name(row, place)
        faults.append(Fault(says, remedy, sheet=sheet.name, row=row, column=heads.get(place, ""), cell=cell))
    if grid.formulas:
        row, place = min(grid.formulas)
        says = "is a formula; its last calculated value was taken"
        if len(grid.formulas) > 1:
            says = f"and {len(grid.formulas) - 1} more cells of this sheet are formulas; their last values were taken"
        faults.append(Fault(says, sheet=sheet.name, row=row, column=heads.get(place, ""), cell=cell_name(row, place),
                            grave=False))  # fmt: skip
    return faults


def _take(
    line: Line, column: Column, value: Value, place: Place, grid: Grid, unread: frozenset[Place]
) -> Iterable[Fault]:
    line.found[column.field] = value
    if place in unread:  # its fault is already told
        line.bad.add(column.field)
        return ()
    try:
        if place in grid.percents:
            value = _from_percent(column, value)
        taken = read_cell(column, value)
    except NotUnderstood as refused:
        line.bad.add(column.field)
        return (line.fault(column.field, refused.fault.says, refused.fault.remedy, value=refused.fault.value),)
    if taken is not None:
        line.values[column.field] = taken
    return ()


def _from_percent(column: Column, value: Value) -> Value:
    """A cell shown as 15 % holds 0.15: in a column of per cent 15 is meant; elsewhere nobody knows."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return value
    hundredfold = float(Decimal(repr(float(value))) * 100)
    if column.unit == "%":
        return hundredfold
    raise NotUnderstood(
        f"{hundredfold:g} %",
        "is shown as per cent, and this column has another unit",
        "set the cell's format to number",
    )
