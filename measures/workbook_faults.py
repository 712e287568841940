"""How many mutated cells of a workbook are named by their cell, and how long a workbook takes."""

from __future__ import annotations

import io
import random
import re
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from xml.sax.saxutils import escape

from bedwright.works.trading import Order, OrderLine
from bedwright.works.workbook.assemble import assemble
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.workbook.grid import Grid, Taken, Value, cell_name
from bedwright.works.workbook.layout import Column, Sheet, sheets
from bedwright.works.workbook.reader import examine, read_works
from bedwright.works.workbook.tables import tables
from bedwright.works.workbook.writer import workbook_bytes, write_works
from bedwright.works.works import Works

TITLE = "mutated cells named by their cell"
ROOT = Path(__file__).resolve().parent.parent
KINDS = ("unreadable", "out of range", "duplicate", "unresolved", "empty")
FORMULA, ERROR = "=never calculated", "#error"  # stand for a cell without a value
_JUNK: dict[str, tuple[Value, ...]] = {
    "number": ("abc", True, "1_000", "inf", "nan", "1,234", "12 furlongs", "2..2", date(2026, 3, 4), FORMULA, ERROR),
    "whole": ("two", True, "1_0", 4.5, "inf", "4.5", date(2026, 3, 4), FORMULA, ERROR),
    "money": ("free", True, "1_000", "nan", "£4", "1,234", FORMULA, ERROR),
    "date": ("12/11/2026", "2026-02-30", "soon", 46000.0, True, "1 March", FORMULA, ERROR),
    "time": ("25:00", "six", 6.0, True, "06.00", FORMULA, ERROR),
    "yes or no": ("maybe", 1.0, "si", FORMULA, ERROR),
    "choice": ("xyzzy", True, 7.0, FORMULA, ERROR),
    "code": (True, date(2026, 3, 4), FORMULA, ERROR),
    "text": (True, date(2026, 3, 4), FORMULA, ERROR),
}


@dataclass(frozen=True, slots=True)
class Mutation:
    """One cell changed for the worse."""

    kind: str
    sheet: str
    row: int
    column: int
    value: Value

    @property
    def cell(self) -> str:
        return cell_name(self.row, self.column)


def grids_of(works: Works) -> tuple[Grid, ...]:
    """The cells that a workbook of these works has, as its reader hands them on."""
    found = []
    for table in tables(works):
        rows: list[tuple[int, tuple[Value, ...]]] = [(1, tuple(column.heading for column in table.sheet.columns))]
        rows += [(row, tuple(_cell(value) for value in values)) for row, values in enumerate(table.rows, 2)]
        found.append(Grid(table.sheet.name, tuple(rows)))
    return tuple(found)


def mutated(grids: tuple[Grid, ...], mutation: Mutation) -> tuple[Grid, ...]:
    """The same cells with one changed."""
    return tuple(_changed(grid, mutation) if grid.name == mutation.sheet else grid for grid in grids)


def mutations(grids: tuple[Grid, ...], seed: int) -> Iterator[Mutation]:
    """Endless mutations, drawn evenly over kinds, then sheets, then cells."""
    draw = random.Random(seed)
    by_name = {sheet.name: sheet for sheet in sheets()}
    spots = {kind: _spots(grids, by_name, kind) for kind in KINDS}
    while True:
        kind = draw.choice(KINDS)
        name = draw.choice(sorted(spots[kind]))
        row, place, choices = draw.choice(spots[kind][name])
        yield Mutation(kind, name, row, place, draw.choice(choices))


def named(mutation: Mutation, grids: tuple[Grid, ...]) -> bool:
    """Whether a grave fault names the mutated cell, and no works is handed out."""
    found = assemble(Taken(mutated(grids, mutation)))
    at = any(fault.sheet == mutation.sheet and fault.cell == mutation.cell for fault in found.grave)
    return at and found.works is None


def mutated_file(data: bytes, mutation: Mutation) -> bytes:
    """A real workbook with the cell's XML exchanged."""
    names = [sheet.name for sheet in sheets()]
    member = f"xl/worksheets/sheet{names.index(mutation.sheet) + 1}.xml"
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.infolist():
            content = old.read(entry)
            if entry.filename == member:
                content = _exchange(content.decode(), mutation.cell, mutation.value).encode()
            new.writestr(entry.filename, content)
    return packed.getvalue()


def rates(works: Works, count: int, seed: int = 1) -> dict[str, tuple[int, int]]:
    """Kind of mutation -> (named, all), in memory."""
    grids = grids_of(works)
    found: Counter[str] = Counter()
    drawn: Counter[str] = Counter()
    source = mutations(grids, seed)
    for _ in range(count):
        mutation = next(source)
        drawn[mutation.kind] += 1
        found[mutation.kind] += named(mutation, grids)
    return {kind: (found[kind], drawn[kind]) for kind in KINDS}


def rates_in_files(works: Works, count: int, folder: Path, seed: int = 2) -> tuple[int, int]:
    """(named, all) through real files: gate, child process and all."""
    data, path = workbook_bytes(works), folder / "mutated.xlsx"
    source = (one for one in mutations(grids_of(works), seed) if not isinstance(one.value, date))
    good = 0
    for _ in range(count):
        mutation = next(source)
        path.write_bytes(mutated_file(data, mutation))
        faults = examine(path).grave
        good += any(fault.sheet == mutation.sheet and fault.cell == mutation.cell for fault in faults)
    return good, count


def large(works: Works, lines: int) -> Works:
    """The works with so many order lines more, for timing."""
    bed, size = next(iter(works.beds)).code, next(iter(works.sizes)).code
    customer, round_ = next(iter(works.customers)).code, next(iter(works.van_rounds)).code
    orders = [
        Order(
            code=f"LARGE-{number:05d}", customer=customer, ordered=date(2026, 1, 5), due=date(2026, 2, 5),
            van_round=round_, lines=tuple(OrderLine(position=p, bed=bed, size=size, quantity=1) for p in (1, 2, 3)),
        )
        for number in range(lines // 4)
    ]  # fmt: skip
    return Works.of(works.about, [*works.all_cards(), *orders])


def run() -> list[tuple[str, str]]:
    works = read_csv_folder(ROOT / "starter")
    told = [(f"in memory, {kind}", f"{good} of {all_} named") for kind, (good, all_) in rates(works, 2000).items()]
    with tempfile.TemporaryDirectory() as name:
        good, all_ = rates_in_files(works, 200, Path(name))
        told.append(("through files", f"{good} of {all_} named"))
        path = Path(name) / "large.xlsx"
        began = time.perf_counter()
        write_works(large(works, 10_000), path)
        wrote = time.perf_counter()
        read_works(path)
        told.append(("10,000 rows", f"{time.perf_counter() - wrote:.2f} s read, {wrote - began:.2f} s written"))
    return told


def _cell(value: object) -> Value:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, Decimal)):
        return float(value)
    return value or None if isinstance(value, str) else value  # type: ignore[return-value]


def _changed(grid: Grid, mutation: Mutation) -> Grid:
    place = (mutation.row, mutation.column)
    value = None if mutation.value in (FORMULA, ERROR) else mutation.value
    rows = tuple(
        (row, (*values[: place[1] - 1], value, *values[place[1] :])) if row == place[0] else (row, values)
        for row, values in grid.rows
    )
    return replace(
        grid,
        rows=rows,
        not_calculated=frozenset({place} if mutation.value == FORMULA else ()),
        errors=frozenset({place} if mutation.value == ERROR else ()),
    )


Spot = tuple[int, int, tuple[Value, ...]]


def _spots(grids: tuple[Grid, ...], by_name: dict[str, Sheet], kind: str) -> dict[str, list[Spot]]:
    """Sheet -> filled cells that this kind of mutation can spoil, each with what may be put there."""
    found: dict[str, list[Spot]] = {}
    for grid in grids:
        sheet = by_name[grid.name]
        spots = [
            (row, place, choices)
            for row, values in grid.rows[1:]
            for place, column in enumerate(sheet.columns, 1)
            if values[place - 1] is not None and (choices := _choices(kind, sheet, column, row, values, grid))
        ]
        if spots:
            found[grid.name] = spots
    return found


def _choices(
    kind: str, sheet: Sheet, column: Column, row: int, values: tuple[Value, ...], grid: Grid
) -> tuple[Value, ...]:
    if kind == "unreadable":
        return tuple(junk for junk in _JUNK[column.holds] if not (column.word == "diameter" and junk == "4.5"))
    if kind == "out of range" and column.low is not None and column.high is not None:
        step = max(abs(column.high - column.low) / 100, 1)
        return (column.low - step, column.high + step, -1e12, 1e12)
    if kind == "unresolved" and column.refers:
        return ("NO-SUCH-ONE",)
    if kind == "empty" and column.needed:
        return (None,)
    if kind == "duplicate" and column.field == sheet.key[-1] and sheet.kind is not None:
        place = [c.field for c in sheet.columns].index(column.field)
        rest = [[c.field for c in sheet.columns].index(field) for field in sheet.key[:-1]]
        same = [
            other[place]
            for number, other in grid.rows[1:]
            if number != row and all(other[one] == values[one] for one in rest)
        ]
        return tuple(same)
    return ()


def _exchange(xml: str, cell: str, value: Value) -> str:
    if value is None:
        new = ""
    elif value == FORMULA:
        new = f'<c r="{cell}"><f>1+1</f><v></v></c>'
    elif value == ERROR:
        new = f'<c r="{cell}" t="e"><v>#N/A</v></c>'
    elif isinstance(value, bool):
        new = f'<c r="{cell}" t="b"><v>{int(value)}</v></c>'
    elif isinstance(value, float):
        new = f'<c r="{cell}"><v>{value!r}</v></c>'
    else:
        new = f'<c r="{cell}" t="inlineStr"><is><t>{escape(str(value))}</t></is></c>'
    changed, count = re.subn(rf'<c r="{cell}"[^>]*?(?:/>|>.*?</c>)', lambda _: new, xml, flags=re.DOTALL)
    assert count == 1, cell
    return changed
