"""`bedwright import WORKS FILE`: what a file changed against the ledger, shown, and taken in all or nothing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bedcli.asking import at_terminal, typed_number
from bedcli.places import WORKBOOK
from bedcli.truth import opened, write_view
from bedwright.errors import NotReadable
from bedwright.words import counted

if TYPE_CHECKING:
    from bedsite.records.difference import Difference
    from bedwright.works.works import Works


def _numbers(_context: click.Context, _parameter: click.Parameter, texts: tuple[str, ...]) -> dict[str, int]:
    """A click callback: each --gone KIND=NUMBER."""
    from bedwright.works.kinds import BY_KIND

    found = {}
    for text in texts:
        kind, _, number = text.rpartition("=")
        if kind not in BY_KIND or not (number.isascii() and number.isdigit()):
            raise click.BadParameter(f"{text!r} is no kind of card and number; type it as price=5")
        found[kind] = int(number)
    return found


@click.command(name="import")
@click.argument("works", type=click.Path(path_type=Path))
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--apply", "apply_it", is_flag=True, help="Take the changes in without asking.")
@click.option(
    "--gone", "gone", multiple=True, callback=_numbers, metavar="KIND=NUMBER",
    help="So many cards of a kind are meant to be gone; needed where it is more than a tenth.",
)  # fmt: skip
@click.option("--why", default="", metavar="TEXT", help="Why, as each card's history will say.")
def import_(works: Path, file: Path, apply_it: bool, gone: dict[str, int], why: str) -> None:
    """Show what FILE (a workbook, or a folder of CSV) changed, and take it into the ledger of WORKS.

    The file is compared with the works as it stood at the revision in its sheet about, so that what others changed
    meanwhile stays. A card that both changed is kept aside, side by side, until a person merges it. All or nothing;
    without --apply you are asked.
    """
    opened(works)
    from bedcli.shown_difference import show
    from bedsite.records.difference import Shifted, apply, difference
    from bedsite.records.people import command_line

    shown = difference(_read(file))
    show(shown)
    if shown.empty:
        return
    if not apply_it and not at_terminal():
        numbers = "".join(f" --gone '{kind}={number}'" for kind, number in shown.numbers.items())
        click.echo(f"Nothing was taken in yet; take it in with --apply{numbers}")
        return
    if not apply_it and not _agreed(shown, gone):
        click.echo("Nothing was taken in.")
        return
    _refuse_untyped(shown, gone)
    try:
        done = apply(shown, command_line(), why or f"from {file.name}", gone)
    except Shifted as moved:
        show(moved.difference)
        raise
    _renew_view(works, file)
    aside = f"; {counted(len(done.aside), 'card')} kept aside until somebody merges" if done.aside else ""
    count = len(done.puts) - len(done.aside)
    click.echo(f"Taken in: {counted(count, 'card')}{aside}; the works has revision {done.revision}.")


def _read(file: Path) -> Works:
    """The works in the file. Ends the command with every fault by its cell where it has a grave one."""
    from bedwright.works.workbook.csv_folder import examine_csv_folder
    from bedwright.works.workbook.reader import examine

    if not file.exists():
        raise NotReadable(f"{file} is not there")
    found = examine_csv_folder(file) if file.is_dir() else examine(file)
    if found.works is None or found.grave:
        for fault in found.grave:
            click.echo(str(fault), err=True)
        click.echo(f"{counted(len(found.grave), 'fault')}; nothing was taken in. Put right what is named.", err=True)
        raise click.exceptions.Exit(1)
    return found.works


def _refuse_untyped(shown: Difference, gone: dict[str, int]) -> None:
    """Name the options that are missing, rather than the number alone."""
    missing = [f"--gone '{kind}={number}'" for kind, number in shown.numbers.items() if gone.get(kind) != number]
    if missing:
        raise NotReadable(
            f"more than a tenth of a kind is gone from the file, and nothing was taken in; if that is meant, add "
            f"{' '.join(missing)}"
        )


def _agreed(shown: Difference, gone: dict[str, int]) -> bool:
    for one in shown.counts:
        if one.needs_number and gone.get(one.kind) != one.missing:
            number = typed_number(
                f"{one.missing} of {one.at_base} cards {one.kind} are gone; type their number to go on"
            )
            if number != one.missing:
                return False
            gone[one.kind] = number
    return click.confirm("Take this in?", err=True)


def _renew_view(works: Path, file: Path) -> None:
    """What was in the works' own view is in the ledger now, so the view is written anew from it."""
    from bedsite.records.ledger import read_works

    if file.resolve() == (works / WORKBOOK).resolve():
        write_view(works, read_works())
