"""`bedwright faults WORKS`: every fault of the workbook at once; nothing is changed."""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bedcli.places import day
from bedcli.truth import examined

if TYPE_CHECKING:
    from bedwright.errors import Fault
    from bedwright.works.works import Works


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.option("--as-of", callback=day, metavar="DAY", help="The day that counts as today, as 2026-11-02.")
@click.option("--json", "as_json", is_flag=True, help="Print the faults as JSON.")
def faults(works: Path, as_of: date | None, as_json: bool) -> None:
    """Name every fault in WORKS (a folder, or its workbook): sheet, row, column, what stands there, what would do.

    First of the cards; once these can be read, of how the parts of each bed fit at each size in use.

    Ends with 0 where nothing is grave, else 1. Notes are not faults: what they name is accepted.
    """
    found = examined(works, as_of)
    faults = [*found.faults, *_fit(found.works if not found.grave else None)]
    grave = [fault for fault in faults if fault.grave]
    notes = [fault for fault in faults if not fault.grave]
    if as_json:
        told = {
            "faults": [_plain(asdict(fault)) for fault in grave],
            "notes": [_plain(asdict(note)) for note in notes],
        }
        click.echo(json.dumps(told, indent=2, ensure_ascii=False))
    else:
        for fault in grave:
            click.echo(str(fault))
        for note in notes:
            click.echo(f"note: {note}")
        click.echo(_count(len(grave), "fault") + (f", {_count(len(notes), 'note')}" if notes else ""))
    if grave:
        raise click.exceptions.Exit(1)


def _fit(works: Works | None) -> list[Fault]:
    """What would stop a run, once the cards themselves can be read: fit, work nobody can do, pieces no stock gives."""
    from bedwright.ahead import run_faults
    from bedwright.reckoning import Reckoning

    return [] if works is None else list(run_faults(Reckoning(works)))


def _plain(fault: dict[str, object]) -> dict[str, object]:
    return {key: value for key, value in fault.items() if key != "grave"}


def _count(number: int, what: str) -> str:
    return f"{number or 'no'} {what}{'' if number == 1 else 's'}"
