"""Commands as somebody at a prompt meets them, on an adopted works in a folder of its own."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bedcli.main import main

Run = Callable[..., Result]


@pytest.fixture
def run() -> Run:
    """A command line, given word by word."""

    def called(*arguments: object) -> Result:
        return CliRunner().invoke(main, [str(argument) for argument in arguments])

    return called


@pytest.fixture
def adopted(works_folder: Path) -> Path:
    """The small works, adopted, with its view written as adopt writes it."""
    from bedcli.truth import write_view
    from bedsite.records.ledger import read_works

    write_view(works_folder, read_works())
    return works_folder


@pytest.fixture
def edited(tmp_path: Path) -> Callable[..., Path]:
    """A copy of a workbook with some cells changed: edited(file, {"wires": {"D2": 2.3}}, delete={"prices": [5]})."""
    from openpyxl import load_workbook

    def change(file: Path, cells: dict[str, dict[str, object]], delete: dict[str, list[int]] | None = None) -> Path:
        book = load_workbook(file)
        for sheet, values in cells.items():
            for cell, value in values.items():
                book[sheet][cell] = value
        for sheet, rows in (delete or {}).items():
            for row in sorted(rows, reverse=True):
                book[sheet].delete_rows(row)
        target = tmp_path / f"edited-{file.name}"
        book.save(target)
        return target

    return change
