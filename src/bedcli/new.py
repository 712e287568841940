"""`bedwright new WORKS`: a folder with a workbook to start from."""

from __future__ import annotations

from pathlib import Path

import click

from bedcli.places import csv_folder, workbook_of
from bedsite.store import place_of
from bedwright import __version__
from bedwright.errors import NotReadable


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.option("--demo", is_flag=True, help="The demo: an invented works with seven beds and three weeks of orders.")
@click.option("--from", "source", type=click.Path(path_type=Path), help="Make it from a folder of CSV of your own.")
@click.option("--id", "works_id", help="Id of the works, kept for ever; the starter's is the name of the folder.")
@click.option("--replace", is_flag=True, help="Write over a workbook that is there already.")
def new(works: Path, demo: bool, source: Path | None, works_id: str | None, replace: bool) -> None:
    """Write WORKS/works.xlsx: a small starter whose every figure is an example, to be changed into your own.

    House rules that it does not set are written in with the program's defaults, each marked "typical, change me".
    """
    from bedwright.works.rules import default_cards
    from bedwright.works.workbook.csv_folder import read_csv_folder
    from bedwright.works.workbook.writer import write_works
    from bedwright.works.works import Works

    target = workbook_of(works)
    if place_of(target.parent) is not None:
        raise NotReadable(f"{target.parent} is adopted: its ledger counts; name another folder, or change it by import")
    if target.exists() and not replace:
        raise NotReadable(f"{target} is there already; name another folder, or write over it with --replace")
    found = read_csv_folder(source or csv_folder("demo" if demo else "starter"))
    rules = [rule for rule in default_cards() if rule.code not in found.rules]
    own = {"version": __version__}
    if works_id or not (demo or source):
        own["works_id"] = (works_id or target.parent.resolve().name)[:64] or "works"
    made = Works.of(type(found.about).model_validate(found.about.model_dump() | own), [*found.all_cards(), *rules])
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        write_works(made, target)
    except OSError as error:
        raise NotReadable(f"{target} cannot be written ({(error.strerror or str(error)).lower()})") from None
    click.echo(f"{target}: {made.about.name}, {sum(1 for _ in made.all_cards())} cards, today is {made.about.as_of}")
    click.echo(f"next: open it, change what is not yours, then  bedwright faults {works}")
