"""`bedwright backup WORKS [FILE]`: a copy of the ledger as it stands at one moment, while everybody goes on working."""

from __future__ import annotations

import secrets
from datetime import UTC, datetime
from pathlib import Path

import click

from bedcli.fresh import sync_folder
from bedcli.truth import opened
from bedwright.errors import NotReadable
from bedwright.words import counted

BACKUPS = "backups"


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.argument("file", type=click.Path(path_type=Path), required=False)
def backup(works: Path, file: Path | None) -> None:
    """Copy the ledger of WORKS to FILE, or into WORKS/backups, while server and stations go on.

    The copy is one SQLite file, whatever the ledger lies in, readable by you alone; beside it FILE.sha256 holds its
    hash. It is checked as it is written: whole, counts, end of the chain. It holds everything but sessions: cards,
    events, papers, people with their passwords as hashes. Keep it on another machine; try restore now and then.
    """
    opened(works)
    from bedsite.records.backup import backup as copy_out
    from bedsite.records.backup import file_hash

    target = file if file is not None else _unused(works)
    if target.exists():
        raise NotReadable(f"{target} is there already; a backup is never written over, name another file")
    if not target.parent.is_dir():
        raise NotReadable(f"{target.parent} is no folder; make it, or name another")
    part = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    try:
        found = copy_out(part)
        sha256 = file_hash(part)
        size = part.stat().st_size
        target.with_name(f"{target.name}.sha256").write_text(f"{sha256}  {target.name}\n", encoding="utf-8")
        part.rename(target)
    finally:
        part.unlink(missing_ok=True)
        part.with_name(f"{part.name}-journal").unlink(missing_ok=True)
    sync_folder(target.parent)
    click.echo(
        f"{target}: {size / 1e6:.1f} MB, {counted(found.revisions, 'revision')}, {counted(found.events, 'event')}, "
        f"{counted(found.snapshots, 'paper')}; whole, last hash {found.hash}"
    )
    click.echo(f"sha256 {sha256}")


def _unused(works: Path) -> Path:
    """A name of this moment in WORKS/backups, which only the owner may look into."""
    folder = works / BACKUPS
    if not folder.is_dir():
        folder.mkdir(mode=0o700)
    stem = datetime.now(UTC).strftime("ledger-%Y%m%dT%H%M%SZ")
    found, number = folder / f"{stem}.sqlite3", 2
    while found.exists():
        found, number = folder / f"{stem}-{number}.sqlite3", number + 1
    return found
