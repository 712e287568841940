"""`bedwright adopt WORKS`: the workbook taken into a ledger, which counts from then on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bedcli.fresh import ask_about_place, fresh_ledger
from bedcli.out_folder import only_run
from bedcli.places import WORKBOOK, ours_alone
from bedcli.truth import write_view
from bedsite.store import place_of
from bedwright.errors import NotReadable
from bedwright.words import counted

if TYPE_CHECKING:
    from bedwright.works.works import Works

ADOPTED = "works-adopted.xlsx"


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.option("--database", metavar="URL", help="Keep the ledger in this empty PostgreSQL database instead of a file.")
@click.option("--yes", is_flag=True, help="Go on where the folder looks as if a program copied it to other machines.")
def adopt(works: Path, database: str | None, yes: bool) -> None:
    """Take WORKS/works.xlsx into a ledger. From then on every command reads the ledger.

    Refuses while the workbook has a grave fault, and does all of it or nothing. Your file is kept as it is, as
    works-adopted.xlsx; works.xlsx becomes a view, stamped with its revision: change it and take the changes in with
    import, or change cards on the pages of the office.

    Limits: the ledger is one SQLite file, WORKS/ledger.sqlite3, for one machine. Its log is not safe on a network drive
    (refused) nor in a folder that a program copies to other machines (asked about). One writes at a time, the others
    wait. For several servers, or a database that others look after, use --database.
    """
    if place_of(works) is not None:
        raise NotReadable(f"{works} is adopted already; change it with  bedwright import {works} FILE, or on its pages")
    if works.exists() and not works.is_dir():
        raise NotReadable(f"{works} is a file; name the folder of the works")
    if not (works / WORKBOOK).is_file():
        raise NotReadable(f"{works / WORKBOOK} is not there; name the folder of a works, made with  bedwright new")
    ours_alone()
    if database is None:
        ask_about_place(works, yes)
    with only_run(works):
        _adopt(works, database)


def _adopt(works: Path, database: str | None) -> None:
    file = works / WORKBOOK
    before = file.read_bytes()
    found = _examined(file)
    if file.read_bytes() != before:
        raise NotReadable(f"{file} was saved while it was read; close it and adopt again")
    _keep_file(works, before)
    with fresh_ledger(works, database) as place:
        from bedsite.records import chain, ledger, people

        ledger.take_in(found, who=people.command_line(), why="adopted")
        verified = chain.verify()
        view = ledger.read_works()
    write_view(works, view)
    click.echo(
        f"{place.shown}: {view.about.name}, {counted(sum(1 for _ in view.all_cards()), 'card')}, "
        f"revision {view.about.revision}, last hash {verified.hash[:16]}"
    )
    click.echo(f"{file} is a view of it now; the file as it was is kept as {works / ADOPTED}")


def _examined(file: Path) -> Works:
    from bedwright.works.workbook.reader import examine

    found = examine(file)
    if found.works is None or found.grave:
        for fault in found.grave:
            click.echo(str(fault), err=True)
        click.echo(f"{counted(len(found.grave), 'fault')}; nothing was adopted. Put right what is named.", err=True)
        raise click.exceptions.Exit(1)
    return found.works


def _keep_file(works: Path, data: bytes) -> None:
    """The workbook as it was, beside the view that takes its place. One from an adoption cut short is the same file."""
    kept = works / ADOPTED
    if kept.exists() and kept.read_bytes() != data:
        raise NotReadable(f"{kept} is there already and holds something else; move it away, then adopt again")
    if not kept.exists():
        part = works / f".{ADOPTED}.part"
        part.write_bytes(data)
        part.replace(kept)
