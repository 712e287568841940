"""A difference in words: each kind with its counts, each card with its fields as the workbook heads them."""

from __future__ import annotations

import click

from bedsite.records.cards import Difference as Field
from bedsite.records.difference import Change, Difference
from bedwright.words import counted
from bedwright.works.kinds import BY_KIND, child_rows
from bedwright.works.workbook.cells import as_text
from bedwright.works.workbook.layout import ABOUT, Column, sheets

_LONGEST = 60


def show(found: Difference) -> None:
    """Print what the file changed, kind by kind, and how much of the ledger's own changes stays as it is."""
    click.echo(f"Compared with revision {found.base}; the works has revision {found.head} now.")
    for one in found.counts:
        told = [(one.added, "added"), (one.changed, "changed"), (one.gone, "gone"), (one.clashing, "clashing")]
        click.echo(f"{one.kind}: {', '.join(f'{number} {what}' for number, what in told if number)} (of {one.at_base})")
        for change in found.of_kind(one.kind):
            for line in lines_of(change):
                click.echo(f"  {line}")
    if found.empty:
        click.echo("The file changed nothing that is not in the ledger already, counting or kept aside.")
    ours = {(change.kind, change.code) for change in found.changes}
    stay = sum(1 for change in found.since if (change.kind, change.code) not in ours)
    if stay:
        click.echo(f"{counted(stay, 'card')} changed in the ledger since then and stay as they are.")


def lines_of(change: Change) -> list[str]:
    """A change as it is printed: the card, then each field."""
    if change.what != "clashing":
        name = f"{change.what:<8} {change.code}"
        return [name, *(f"    {_field(change.kind, one)}" for one in change.fields)]
    lines = [f"clashing {change.code}: changed in the file and in the ledger; the file's is kept aside"]
    lines += [f"    file    {_field(change.kind, one)}" for one in change.fields]
    if change.before is None:
        lines.append("    both added it, each with something else in it")
    elif change.after is None:
        lines.append("    file    left it out")
    lines += [f"    ledger  {_field(change.kind, one)}" for one in change.since]
    if change.before is not None and change.now is None:
        lines.append("    ledger  took it out of use")
    return lines


def _field(kind: str, one: Field) -> str:
    row = f"{one.row} " if one.row else ""
    return f"{row}{heading(kind, one)}: {_value(one.before)} -> {_value(one.after)}"


def heading(kind: str, one: Field) -> str:
    """The column's heading of a field, as in the workbook."""
    column = _columns(kind, one.row.split(" ")[0] if one.row else "").get(one.field)
    return column.heading if column is not None else one.field


def _columns(kind: str, nested: str) -> dict[str, Column]:
    name = ABOUT if kind == ABOUT else BY_KIND[kind].SHEET
    if nested:
        name = child_rows(BY_KIND[kind])[nested].SHEET
    sheet = next(sheet for sheet in sheets() if sheet.name == name)
    return {column.field: column for column in sheet.columns}


def _value(value: object) -> str:
    text = as_text(value)
    if not text:
        return "empty"
    text = " ".join(text.split())
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]}..."
