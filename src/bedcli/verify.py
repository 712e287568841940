"""`bedwright verify WORKS`: the whole ledger read again, row by row, against its chain of hashes."""

from __future__ import annotations

from pathlib import Path

import click

from bedcli.restore import verified
from bedcli.truth import opened
from bedwright.words import counted


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
def verify(works: Path) -> None:
    """Read every revision, event and paper of WORKS again and compare it with its hash; the server may run on.

    Names the first place that does not hold. Write the last hash down, on paper or with a backup: a ledger that was
    rewritten from the beginning would have another.
    """
    place = opened(works)
    found = verified()
    click.echo(
        f"{place.shown}: {counted(found.revisions, 'revision')}, {counted(found.events, 'event')}, "
        f"{counted(found.snapshots, 'paper')}; every row agrees with its hash, and the lists agree with the rows"
    )
    click.echo(f"last hash {found.hash} at place {found.seq}")
