"""`bedwright side-by-side`: two to four beds, every result with its interval, every difference told in words."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING

import click

from bedcli.bed_asked import bed_asked, kept, refuse_what_does_not_fit, works_asked
from bedwright.errors import Fault, FaultsFound, NotReadable

if TYPE_CHECKING:
    from bedwright.design.bed_at_size import BedAtSize
    from bedwright.mechanics.lying import Lies
    from bedwright.side_by_side import SideBySide
    from bedwright.works.works import Works

NOTHING = "Nothing was set side by side."
MOST_PERSONS = 3


@click.command(name="side-by-side")
@click.argument("works", type=click.Path(path_type=Path))
@click.argument("beds", nargs=-1, required=True)
@click.option("--size", help="A size card's code, or the size itself: 150x200 (cm), 1500x2000 (mm), 4'6 x 6'3.")
@click.option(
    "--person", "persons", multiple=True, metavar="WORDS",
    help='Who lies on each, alone: "man 1755 mm 80 kg side"; may be given again.',
)  # fmt: skip
@click.option("--sheet", type=click.Path(path_type=Path), metavar="FILE", help="Print the sheet there, as PDF.")
@click.option("--replace", "write_over", is_flag=True, help="With --sheet: write over one that is there already.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def side_by_side(
    works: Path,
    beds: tuple[str, ...],
    size: str | None,
    persons: tuple[str, ...],
    sheet: Path | None,
    write_over: bool,
    as_json: bool,
) -> None:
    """Set two to four BEDS of WORKS side by side; the first is the one that the others are held against.

    What two beds share (wire, fillings, how a person's tissue gives) moves both alike, so their difference is surer
    than either figure. A difference inside its own interval is said to be none. Predicted from the cards; nothing is
    measured or certified, and no medical claim is made. See docs/how/weigh-up.md.
    """
    faults: list[Fault] = []
    if not 2 <= len(beds) <= 4:
        faults.append(Fault(f"{len(beds)} beds are named", "name 2 to 4 to set side by side", field="BEDS"))
    if len(persons) > MOST_PERSONS:
        faults.append(Fault(f"{len(persons)} persons are named", f"name {MOST_PERSONS} or fewer", field="--person"))
    if write_over and sheet is None:
        faults.append(Fault("--replace goes with --sheet", "leave it out, or name a file"))
    who = [_lies(text, faults) for text in persons]
    found = works_asked(works, NOTHING)
    asked = []
    for code in beds:
        said: list[Fault] = []
        asked.append(bed_asked(found, code, size, said))
        faults += [fault for fault in said if fault not in faults]  # a size that cannot be read is told once
    if faults or any(one is None for one in asked) or any(one is None for one in who):
        raise FaultsFound(faults)
    there = [one for one in asked if one is not None]
    for bed in there:
        refuse_what_does_not_fit(found, bed, NOTHING)
    if sheet is not None:
        _refuse_taken(sheet, write_over)
    begun = perf_counter()
    together = _reckoned(found, there, [one for one in who if one is not None])
    seconds = perf_counter() - begun
    from bedcli.side_by_side_told import printed, side_json, side_text

    if sheet is not None:
        _write(sheet, printed(found, together).data)
    if as_json:
        told = {**side_json(together, seconds), "sheet": None if sheet is None else str(sheet)}
        click.echo(json.dumps(told, indent=2, sort_keys=True, ensure_ascii=False))
        return
    click.echo(side_text(together))
    if sheet is not None:
        click.echo(f"\nSheet:\n  {sheet}")


def _lies(text: str, faults: list[Fault]) -> Lies | None:
    from bedwright.mechanics.lying import Lies
    from bedwright.weighing.asked import suited

    found = kept(lambda: suited(text), "--person", faults)
    return None if found is None else Lies(found.person, found.posture)


def _reckoned(works: Works, beds: list[BedAtSize], persons: list[Lies]) -> SideBySide:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    from bedcli.pad_plain import made_ready
    from bedwright.side_by_side import side_by_side as together

    made_ready()
    bars = Progress(
        TextColumn("{task.description:<44}"),
        BarColumn(bar_width=28),
        TextColumn("{task.percentage:>3.0f} %"),
        TimeElapsedColumn(),
        console=Console(file=sys.stderr),
    )
    with bars:
        task = bars.add_task("beds, with every open figure at its limits", total=1.0)
        return together(works, beds, persons, told=lambda done, of: bars.update(task, completed=done / of))


def _refuse_taken(sheet: Path, write_over: bool) -> None:
    if sheet.is_dir():
        raise NotReadable(f"{sheet} is a folder; name a file for --sheet, as {sheet / 'side-by-side.pdf'}")
    if sheet.exists() and not write_over:
        raise NotReadable(f"{sheet} is there already; name another file, or write over it with --replace")
    if not sheet.parent.is_dir():
        raise NotReadable(f"{sheet.parent} is no folder; name a file in one that is there for --sheet")


def _write(path: Path, data: bytes) -> None:
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_bytes(data)
        part.replace(path)
    except OSError as error:
        raise NotReadable(f"{path} cannot be written: {error.strerror}; name another file for --sheet") from None
