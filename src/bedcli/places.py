"""Where things lie: the workbook of a works, and the CSV folders that starter and demo are made from."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import click

import bedcli
from bedwright.errors import NotReadable

WORKBOOK = "works.xlsx"
FIRST_DAY, LAST_DAY = date(1980, 1, 1), date(2190, 12, 31)


def workbook_of(works: Path) -> Path:
    """The workbook of a works given as its folder or as the file itself."""
    return works if _is_a_file(works) else works / WORKBOOK


def folder_of(works: Path) -> Path:
    """The folder of a works given as its folder or as its workbook."""
    return works.parent if _is_a_file(works) else works


def _is_a_file(works: Path) -> bool:
    return not works.is_dir() and (works.exists() or works.suffix.lower() == ".xlsx")


def ours_alone() -> None:
    """From here on, what this command writes is its owner's alone: it holds what pages hide from some."""
    before = os.umask(0o077)
    context = click.get_current_context(silent=True)
    if context is not None:
        context.call_on_close(lambda: os.umask(before))


def folder_mode() -> int:
    """The mode of a folder as the umask leaves it: what tempfile makes is closed to everybody."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o777 & ~mask


def csv_folder(name: str) -> Path:
    """The folder `starter` or `demo` of the source tree that this program was set up from. Raises NotReadable."""
    folder = Path(bedcli.__file__).resolve().parents[2] / name
    if not (folder / "about.csv").is_file():
        raise NotReadable(
            f"this installation has no folder {name}; run bedwright from its source tree (make setup), "
            "or name a folder of CSV with --from"
        )
    return folder


def day(_context: click.Context, _parameter: click.Parameter, text: str | None) -> date | None:
    """A click callback: the day of --as-of, as 2026-11-02."""
    if text is None:
        return None
    try:
        found = date.fromisoformat(text)
    except ValueError:
        raise click.BadParameter(f"{text!r} is no day; type it as 2026-11-02") from None
    if not FIRST_DAY <= found <= LAST_DAY:
        raise click.BadParameter(f"{text} is outside {FIRST_DAY} to {LAST_DAY}; no order book reaches there")
    return found
