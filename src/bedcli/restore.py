"""`bedwright restore BACKUP NEWWORKS`: a backup made the ledger of a works that has none, checked row by row."""

from __future__ import annotations

import fcntl
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bedcli.fresh import ask_about_place, close, fresh_ledger, part_file
from bedcli.places import WORKBOOK, ours_alone
from bedcli.truth import write_view
from bedsite.store import Place, place_of
from bedwright.errors import NotReadable
from bedwright.words import counted

if TYPE_CHECKING:
    from bedsite.records.chain import Verified

SERVE_LOCK = ".serve.lock"
"""Held by a running server."""


@click.command()
@click.argument("backup", type=click.Path(path_type=Path))
@click.argument("works", type=click.Path(path_type=Path), metavar="NEWWORKS")
@click.option("--database", metavar="URL", help="Restore into this empty PostgreSQL database instead of a file.")
@click.option("--yes", is_flag=True, help="Go on where the folder looks as if a program copied it to other machines.")
def restore(backup: Path, works: Path, database: str | None, yes: bool) -> None:
    """Make BACKUP the ledger of NEWWORKS, a folder that has none; its server must be stopped.

    First all of it is read: the file's hash where BACKUP.sha256 is beside it, the database's own check, every row's
    hash, every card's and paper's content, the counts. What does not hold is named, and nothing is restored. Nobody
    stays signed in by a restored ledger. A person erased since the backup is in it again: erase them again.
    """
    if not backup.is_file():
        what = "is a folder; name the file of a backup" if backup.is_dir() else "is not there"
        raise NotReadable(f"{backup} {what}")
    if place_of(works) is not None:
        raise NotReadable(f"{works} has a ledger already; a ledger is never written over, name another folder")
    _refuse_changed(backup)
    ours_alone()
    with folder_of_its_own(works):
        if database is None:
            ask_about_place(works, yes)
        with server_stopped(works):
            found = _into_file(backup, works) if database is None else _into_database(backup, works, database)
            shown = _after(works)
    click.echo(
        f"{shown}: {counted(found.revisions, 'revision')}, {counted(found.events, 'event')}, "
        f"{counted(found.snapshots, 'paper')}; every row agrees with its hash, the last is {found.hash}"
    )


def _refuse_changed(backup: Path) -> None:
    beside = backup.with_name(f"{backup.name}.sha256")
    if not beside.is_file():
        return
    from hashlib import file_digest

    told = beside.read_text(encoding="utf-8").split()
    with backup.open("rb") as file:
        found = file_digest(file, "sha256").hexdigest()
    if told[:1] != [found]:
        says = f"its hash is {found}, and {beside.name} says {' '.join(told[:1])}"
        raise NotReadable(f"{backup} is not the file that was written: {says}")


@contextmanager
def folder_of_its_own(works: Path) -> Iterator[None]:
    """The folder of the new works; where it was not there and nothing is restored, it is not there afterwards."""
    fresh = not works.exists()
    works.mkdir(parents=True, exist_ok=True)
    try:
        yield
    except BaseException:
        if fresh:
            shutil.rmtree(works, ignore_errors=True)
        raise


@contextmanager
def server_stopped(works: Path) -> Iterator[None]:
    """Hold the lock that a running server holds. Raises NotReadable while one runs."""
    with (works / SERVE_LOCK).open("a") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise NotReadable(f"a server is running on {works}; stop it first") from None
        yield


def _into_file(backup: Path, works: Path) -> Verified:
    with part_file(works) as part:
        return _verified_copy(backup, part)


def _into_database(backup: Path, works: Path, database: str) -> Verified:
    with part_file(works, keep=False) as part:
        found = _verified_copy(backup, part)
        from bedsite.records.backup import copy_rows, second

        with fresh_ledger(works, database), second(Place(path=part)) as copy:
            copy_rows(copy, "default")
            if verified() != found:
                raise NotReadable("the database does not hold what the backup holds; nothing was restored")
    return found


def _verified_copy(backup: Path, part: Path) -> Verified:
    """A copy of the backup, brought up to this program's format, every row of it read again."""
    from bedsite.opening import open_ledger, point_at

    with backup.open("rb") as source, os.fdopen(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as to:
        shutil.copyfileobj(source, to)
    point_at(Place(path=part))
    from bedsite.records.backup import quickly_checked

    try:
        quickly_checked(part)
        open_ledger(Place(path=part))
        return verified()
    except NotReadable as refused:  # the copy's name says nothing to anybody
        raise NotReadable(str(refused).replace(str(part), str(backup)).replace(part.name, backup.name)) from None


def verified() -> Verified:
    """Every row of the open ledger read again, and what is kept beside the chain compared with it."""
    from bedsite.records.chain import reading, verify
    from bedsite.records.rebuild import differences

    with reading():
        found = verify()
        astray = differences(most=10)
    if astray:
        raise NotReadable("the chain holds, but what is kept beside it does not agree with it:\n" + "\n".join(astray))
    return found


def _after(works: Path) -> str:
    """The restored ledger opened where it lies now; a view of it written where there is no workbook."""
    from bedsite.opening import open_ledger
    from bedsite.records.ledger import read_works

    close()
    place = place_of(works)
    assert place is not None
    open_ledger(place)
    if not (works / WORKBOOK).exists():
        write_view(works, read_works())
    return place.shown
