"""`bedwright release WORKS`: order lines get works orders, runs and serials that last, and go to the stations."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bedcli.places import day
from bedcli.truth import opened
from bedwright.words import counted

if TYPE_CHECKING:
    from bedsite.longwork.releasing import Line
    from bedsite.records.payloads import Release


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.option("--until", callback=day, metavar="DAY", help="Only lines whose van leaves on this day or before.")
@click.option("--order", "orders", multiple=True, metavar="CODE", help="Only lines of this order; may stand again.")
@click.option("--list", "only_list", is_flag=True, help="Show what would be released, and release nothing.")
def release(works: Path, until: date | None, orders: tuple[str, ...], only_list: bool) -> None:
    """Release confirmed order lines of WORKS: their works orders, runs and serials last from then on.

    All of them or nothing: a line whose bed does not fit stops the release and is named.
    """
    opened(works)
    from bedsite.longwork import releasing
    from bedsite.records import ledger, people
    from bedsite.records import release as room
    from bedwright.reckoning import Reckoning

    reckoning = Reckoning(ledger.read_works())
    for code in orders:
        if code not in reckoning.works.orders:
            raise click.BadParameter(f"{code!r} is no order of this works", param_hint="--order")
    lines = releasing.chosen(releasing.lines_to_release(reckoning), until=until, orders=orders)
    for said in releasing.notes(reckoning.works):
        click.echo(f"Note: {said}")
    if only_list or not lines:
        _list(lines)
        return
    rows = releasing.to_release(reckoning, lines)
    made = room.release(rows, revision=reckoning.works.about.revision, who=people.command_line())
    _released(made)


def _list(lines: Sequence[Line]) -> None:
    if not lines:
        click.echo("Nothing to release: every line asked for is released, or none is to be made.")
        return
    for line in lines:
        late = "" if line.in_time else ", no van is left in time"
        more = f", {line.before} released before" if line.before else ""
        click.echo(
            f"{line.day} {line.van_round}: order {line.order} line {line.line}, {line.beds} x {line.bed} {line.size} "
            f"for {line.customer} in {counted(len(line.runs), 'run')}{more}{late}"
        )
        for says in line.faults:
            click.echo(f"    may not be released: {says}")
    click.echo(
        f"{counted(sum(line.beds for line in lines), 'bed')} on {counted(len(lines), 'line')}; nothing released."
    )


def _released(made: Sequence[Release]) -> None:
    for one in made:
        serials = [serial for run in one.runs for serial in run.serials]
        span = serials[0] if len(serials) == 1 else f"{serials[0]} to {serials[-1]}"
        click.echo(
            f"{one.works_order}: order {one.order} line {one.line}, {one.beds} x {one.bed} {one.size}, "
            f"{counted(len(one.runs), 'run')}, {span}, van {one.due}"
        )
    click.echo(f"Released {counted(sum(one.beds for one in made), 'bed')} in {counted(len(made), 'works order')}.")
