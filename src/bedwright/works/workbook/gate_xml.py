"""The XML of a workbook, walked in a stream: names of sheets, styles of per cent, and what each sheet's cells are."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from io import BufferedIOBase
from typing import Protocol
from xml.parsers import expat

from bedwright.errors import Fault, FaultsFound, NotReadable
from bedwright.works.workbook.grid import Place, cell_name, cell_place

MOST_ROWS = 200_000
MOST_COLUMNS = 1_000
MOST_CELLS = 2_000_000  # of the rectangle that holds all filled cells of a sheet
MOST_MERGED = 10_000
_PIECE = 1 << 16
_LONGEST_TOKEN = 1 << 22
_DEEPEST = 200
_PERCENT_IDS = frozenset({9, 10})  # the two built-in formats of per cent
_QUOTED = re.compile(r'"[^"]*"|\\.|_.')

Start = Callable[[str, dict[str, str]], None]
End = Callable[[str], None]
Says = Callable[[str], None]


class Parts(Protocol):
    """What the walk needs of a zip: its name for sentences, the names of its parts, and a part as a stream."""

    name: str
    names: frozenset[str]

    def pieces(self, member: str) -> BufferedIOBase: ...


@dataclass(frozen=True, slots=True)
class Sheets:
    """Sheets of cells as (name, part); names of others; parts walked already."""

    sheets: tuple[tuple[str, str], ...]
    other: tuple[str, ...]
    seen: frozenset[str]


@dataclass(slots=True)
class SheetFindings:
    """Where a sheet has what its values do not tell."""

    name: str
    formulas: set[Place] = field(default_factory=set)
    not_calculated: set[Place] = field(default_factory=set)
    errors: set[Place] = field(default_factory=set)
    percents: set[Place] = field(default_factory=set)
    merged: list[str] = field(default_factory=list)


def walk(
    parts: Parts, member: str, start: Start | None = None, end: End | None = None, says: Says | None = None
) -> None:
    """Walk one part. Raises NotReadable for XML that is broken, too deep, or declares a document type."""
    parser = expat.ParserCreate()
    depth = 0

    def opened(name: str, attributes: dict[str, str]) -> None:
        nonlocal depth
        depth += 1
        if depth > _DEEPEST:
            raise NotReadable(f"{parts.name} has XML nested deeper than any workbook ({member}); save it again")
        if start is not None:
            start(name.rpartition(":")[2], attributes)

    def closed(name: str) -> None:
        nonlocal depth
        depth -= 1
        if end is not None:
            end(name.rpartition(":")[2])

    def no_doctype(*_: object) -> None:
        raise NotReadable(f"{parts.name} declares a document type in {member}, and no spreadsheet does; save it again")

    parser.StartElementHandler = opened
    parser.EndElementHandler = closed
    parser.StartDoctypeDeclHandler = no_doctype
    if says is not None:
        parser.CharacterDataHandler = says
    fed = 0
    try:
        stream = parts.pieces(member)
        while piece := stream.read(_PIECE):
            parser.Parse(piece, False)
            fed += len(piece)
            if fed - max(parser.CurrentByteIndex, 0) > _LONGEST_TOKEN:
                raise NotReadable(f"{parts.name} has one piece of XML of over 4 MB in {member}; save it again")
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        raise NotReadable(f"{parts.name} is damaged inside ({member}, line {error.lineno}); save it again") from None


def sheet_members(parts: Parts) -> Sheets:
    """The sheets by name, and the parts that hold their cells."""
    named: list[tuple[str, str]] = []
    targets: dict[str, tuple[str, str]] = {}

    def in_workbook(name: str, attributes: dict[str, str]) -> None:
        if name == "sheet":
            link = next((value for key, value in attributes.items() if key.rpartition(":")[2] == "id"), "")
            named.append((attributes.get("name", ""), link))

    def in_links(name: str, attributes: dict[str, str]) -> None:
        if name == "Relationship" and attributes.get("TargetMode") != "External":
            targets[attributes.get("Id", "")] = (attributes.get("Target", ""), attributes.get("Type", ""))

    links = "xl/_rels/workbook.xml.rels"
    if links not in parts.names:
        raise NotReadable(f"{parts.name} is damaged: it does not say where its sheets are; save it again")
    walk(parts, "xl/workbook.xml", in_workbook)
    walk(parts, links, in_links)
    sheets: list[tuple[str, str]] = []
    other: list[str] = []
    for sheet, link in named:
        target, kind = targets.get(link, ("", ""))
        if not kind.endswith("/worksheet"):
            other.append(sheet)
            continue
        member = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
        if member not in parts.names:
            raise NotReadable(f"{parts.name} is damaged: the cells of sheet {sheet!r} are not in it; save it again")
        sheets.append((sheet, member))
    if not sheets:
        raise NotReadable(f"{parts.name} has no sheet of cells; start from: bedwright new")
    seen = {"xl/workbook.xml", links, *(member for _, member in sheets)}
    return Sheets(tuple(sheets), tuple(other), frozenset(seen))


def percent_styles(parts: Parts) -> frozenset[str]:
    """Numbers of the cell styles that show a value as per cent: 0.15 as 15 %."""
    codes: dict[str, str] = {}
    formats: list[str] = []
    inside = False

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal inside
        if name == "numFmt":
            codes[attributes.get("numFmtId", "")] = attributes.get("formatCode", "")
        elif name == "cellXfs":
            inside = True
        elif name == "xf" and inside:
            formats.append(attributes.get("numFmtId", "0"))

    def end(name: str) -> None:
        nonlocal inside
        inside = inside and name != "cellXfs"

    if "xl/styles.xml" not in parts.names:
        return frozenset()
    walk(parts, "xl/styles.xml", start, end)
    return frozenset(str(index) for index, number in enumerate(formats) if _is_percent(number, codes))


def _is_percent(number: str, codes: Mapping[str, str]) -> bool:
    if number in codes:
        return "%" in _QUOTED.sub("", codes[number])
    return number.isdigit() and int(number) in _PERCENT_IDS


def look_at_sheet(parts: Parts, sheet: tuple[str, str], percents: frozenset[str]) -> SheetFindings:
    """Walk the cells of a sheet. Raises NotReadable, and FaultsFound for a stray cell that reaches too far."""
    name, member = sheet
    looker = _Looker(parts.name, SheetFindings(name), percents)
    walk(parts, member, looker.start, looker.end, looker.says)
    return looker.findings


class _Looker:
    """What is open while a sheet is walked: the row, the cell, its formula and its value."""

    def __init__(self, file: str, findings: SheetFindings, percents: frozenset[str]) -> None:
        self.file, self.findings, self.percents = file, findings, percents
        self.row = self.column = 0
        self.kind = self.style = ""
        self.in_value = self.has_formula = self.has_value = False
        self.first: Place | None = None
        self.last: Place = (0, 0)

    def start(self, name: str, attributes: dict[str, str]) -> None:
        if name == "c":
            self.kind, self.style = attributes.get("t", ""), attributes.get("s", "")
            self.has_formula = self.has_value = False
            place = attributes.get("r")
            self.row, self.column = self._place(place) if place else (self.row, self.column + 1)
        elif name in ("v", "t"):
            self.in_value = True
        elif name == "f":
            self.has_formula = True
        elif name == "row":
            given = attributes.get("r", "")
            self.row, self.column = (int(given) if given.isdigit() else self.row + 1), 0
        elif name == "mergeCell":
            self._merge(attributes.get("ref", ""))

    def says(self, text: str) -> None:
        if self.in_value and text:
            self.has_value = True

    def end(self, name: str) -> None:
        if name in ("v", "t"):
            self.in_value = False
        elif name == "c" and (self.has_value or self.has_formula):
            self._cell((self.row, self.column))

    def _cell(self, place: Place) -> None:
        self._reach(place)
        if self.kind == "e":
            self.findings.errors.add(place)
        elif self.has_formula and not self.has_value and self.kind != "str":
            self.findings.not_calculated.add(place)
        elif self.has_formula:
            self.findings.formulas.add(place)
        if self.style in self.percents and self.has_value:
            self.findings.percents.add(place)

    def _reach(self, place: Place) -> None:
        """One far cell would make a reader lay out every cell before it: it is named and refused."""
        first = self.first or place
        self.first = min(first[0], place[0]), min(first[1], place[1])
        self.last = max(self.last[0], place[0]), max(self.last[1], place[1])
        rows, columns = (self.last[side] - self.first[side] + 1 for side in (0, 1))
        if place[0] > MOST_ROWS or place[1] > MOST_COLUMNS or rows * columns > MOST_CELLS:
            says = (
                f"is a stray cell so far out that it makes the sheet {self.last[0]:,} rows by {self.last[1]:,} columns"
            )
            remedy = f"delete the rows and columns beyond the table and save {self.file} again"
            cell = cell_name(*place)
            raise FaultsFound((Fault(says, remedy, sheet=self.findings.name, row=place[0], cell=cell),))

    def _place(self, name: str) -> Place:
        try:
            return cell_place(name)
        except ValueError:
            raise NotReadable(
                f"{self.file} is damaged: sheet {self.findings.name} has a cell named {name[:20]!r}; save it again"
            ) from None

    def _merge(self, name: str) -> None:
        if len(self.findings.merged) < MOST_MERGED:
            for corner in name.split(":"):
                self._place(corner)
            self.findings.merged.append(name)
