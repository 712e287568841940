"""A works as a folder of CSV, one file for each sheet: the form in which demo and starter are kept."""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path

from bedwright.errors import FaultsFound, NotReadable
from bedwright.works.workbook.assemble import Examination, assemble
from bedwright.works.workbook.cells import as_text
from bedwright.works.workbook.grid import Grid, Taken, Value
from bedwright.works.workbook.tables import tables
from bedwright.works.works import Works

LARGEST_FILE = 30_000_000  # bytes of one CSV


def read_csv_folder(path: Path, as_of: date | None = None) -> Works:
    """The works in a folder of CSV (UTF-8, headings in the first line; a file that is not there has no cards).

    Raises FaultsFound with every fault by file, row and column, or NotReadable.
    """
    found = examine_csv_folder(path, as_of)
    if found.works is None:
        raise FaultsFound(found.grave)
    return found.works


def examine_csv_folder(path: Path, as_of: date | None = None) -> Examination:
    """Every fault of a folder of CSV; the works where none is grave. Raises NotReadable for what is no such folder."""
    if not path.is_dir():
        raise NotReadable(f"{path} is no folder; name the folder that holds about.csv and the other sheets")
    files = sorted(file for file in path.iterdir() if file.suffix.lower() == ".csv" and file.is_file())
    if not files:
        raise NotReadable(f"{path} holds no CSV file; name the folder that holds about.csv and the other sheets")
    return assemble(Taken(tuple(_grid(file) for file in files)), as_of, all_sheets=False)


def write_csv_folder(works: Works, path: Path) -> None:
    """Write the works as CSV, one file for each sheet that holds anything; files of empty sheets are taken away."""
    path.mkdir(parents=True, exist_ok=True)
    for table in tables(works):
        file = path / f"{table.sheet.name}.csv"
        if not table.rows:
            file.unlink(missing_ok=True)
            continue
        lines = [[column.heading for column in table.sheet.columns]]
        lines += [[as_text(value) for value in row] for row in table.rows]
        file.write_bytes("".join(",".join(map(_field, line)) + "\n" for line in lines).encode())


def _field(text: str) -> str:
    """A field of CSV, in quotes where it must be; csv.writer leaves a lone carriage return bare, and reading trips."""
    return '"' + text.replace('"', '""') + '"' if any(sign in text for sign in ',"\n\r') else text


def _grid(file: Path) -> Grid:
    if file.stat().st_size > LARGEST_FILE:
        raise NotReadable(f"{file.name} is larger than {LARGEST_FILE // 1_000_000} MB; no sheet of a works is")
    try:
        text = file.read_bytes().decode("utf-8-sig")
        found = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    except UnicodeDecodeError as error:
        raise NotReadable(f"{file.name} is not UTF-8 at byte {error.start}; save it as CSV in UTF-8") from None
    except csv.Error as error:
        raise NotReadable(f"{file.name} cannot be read as CSV ({error}); save it again as CSV with commas") from None
    rows: list[tuple[int, tuple[Value, ...]]] = [(row, tuple(values)) for row, values in enumerate(found, 1)]
    return Grid(file.stem, tuple((row, values) for row, values in rows if any(str(value).strip() for value in values)))
