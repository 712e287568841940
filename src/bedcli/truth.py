"""Where a command finds the truth of a works: its ledger once it was adopted, its workbook until then.

The one place that chooses. A file named by itself is always read as the file it is.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bedcli.places import WORKBOOK, ours_alone, workbook_of
from bedsite.store import Place, place_of
from bedwright.errors import NotReadable

if TYPE_CHECKING:
    from bedwright.works.workbook.assemble import Examination
    from bedwright.works.workbook.grid import Taken, Value
    from bedwright.works.works import Works

VIEW = ".view"
"""Beside a view that we wrote as works.xlsx: its sha256 and the revision it was taken from."""


def examined(works: Path, as_of: date | None = None) -> Examination:
    """Every fault of a works and, where none is grave, the works: from the ledger of an adopted folder, else a file."""
    from bedwright.works.workbook.reader import examine

    if place_of(works) is None:
        return examine(workbook_of(works), as_of)
    opened(works)
    said = unread(works)
    if said:
        click.echo(said, err=True)
    return from_ledger(as_of)


def opened(works: Path) -> Place:
    """Open the ledger of an adopted folder. Raises NotReadable where it has none."""
    from bedsite.opening import open_ledger

    place = place_of(works)
    if not works.is_dir():
        what = "is a file" if works.exists() else "is not there"
        raise NotReadable(f"{works} {what}; name the folder of a works that was adopted")
    if place is None:
        raise NotReadable(f"{works} was not adopted: it has no ledger; first  bedwright adopt {works}")
    ours_alone()
    open_ledger(place)
    return place


def from_ledger(as_of: date | None = None) -> Examination:
    """The ledger's works examined as its own view would be, cell by cell, with what was released."""
    from bedsite.records.ledger import read_works
    from bedwright.works.workbook.assemble import assemble

    works = read_works()
    found = assemble(cells_of(works), as_of)
    return found if found.works is None else replace(found, works=replace(found.works, released=works.released))


def cells_of(works: Works) -> Taken:
    """The cells that a workbook of these works has, as its reader hands them on."""
    from bedwright.works.workbook.grid import Grid, Taken
    from bedwright.works.workbook.tables import tables

    grids = []
    for table in tables(works):
        rows: list[tuple[int, tuple[Value, ...]]] = [(1, tuple(column.heading for column in table.sheet.columns))]
        rows += [(number, tuple(_cell(value) for value in values)) for number, values in enumerate(table.rows, 2)]
        grids.append(Grid(table.sheet.name, tuple(rows)))
    return Taken(tuple(grids))


def _cell(value: object) -> Value:
    from decimal import Decimal

    if isinstance(value, (int, float, Decimal)) and not isinstance(value, bool):
        return float(value)
    return value or None if isinstance(value, str) else value  # type: ignore[return-value]


@dataclass(frozen=True, slots=True)
class View:
    """What is known of the works.xlsx that we wrote: its hash and the revision it shows."""

    sha256: str
    revision: int


def write_view(folder: Path, works: Works) -> Path:
    """Write works.xlsx as a view of the works, and note its hash, so that a change to it is seen without reading it."""
    from bedwright.works.workbook.writer import write_works

    target = folder / WORKBOOK
    write_works(works, target)
    note = folder / f"{VIEW}.part"
    note.write_text(f"{_hash(target)} {works.about.revision}\n", encoding="utf-8")
    note.replace(folder / VIEW)
    return target


def view_of(folder: Path) -> View | None:
    """What was noted of the view; None where none was written, or the note cannot be read."""
    try:
        sha256, revision = (folder / VIEW).read_text(encoding="utf-8").split()
        return View(sha256, int(revision))
    except (OSError, ValueError):
        return None


def unread(folder: Path) -> str:
    """One line where works.xlsx of an adopted folder is not the view that we wrote, "" where it is or is not there."""
    file = folder / WORKBOOK
    view = view_of(folder)
    if not file.is_file() or (view is not None and view.sha256 == _hash(file)):
        return ""
    return (
        f"{file} was saved since it was written as a view, and is not read: the ledger counts; "
        f"see what it changed with  bedwright import {folder} {file}"
    )


def _hash(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()
