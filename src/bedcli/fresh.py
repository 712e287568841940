"""A fresh ledger to be filled, beside where it shall lie: in its place once it is whole, else nothing of it left."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from bedcli.asking import sure
from bedsite.store import LEDGER, LEDGER_URL, Place, looks_synced, named, place_of, refuse_network
from bedwright.errors import NotReadable

_PART = ".ledger-part-"


def ask_about_place(folder: Path, yes: bool) -> None:
    """Refuse a folder on a network drive; ask about one that looks as if a program copied it. Raises NotReadable."""
    refuse_network(folder)
    why = looks_synced(folder)
    if why and not yes:
        sure(
            f"{why}: a program may copy this folder to other machines, and a ledger copied while it is written is "
            "spoilt. Keep the ledger here all the same?",
            "--yes",
        )


@contextmanager
def fresh_ledger(works: Path, database: str | None) -> Iterator[Place]:
    """An empty ledger that this process is pointed at, to be filled; at the end it is the ledger of the works.

    A file is filled under another name and put in its place in one step. A database is named in ledger.url last of all;
    where filling fails, its tables are taken out again. Raises NotReadable where a ledger is already.
    """
    if place_of(works) is not None:
        raise NotReadable(f"{works} has a ledger already; a ledger is never written over")
    with _file(works) if database is None else _database(works, database) as place:
        yield place


@contextmanager
def _file(works: Path) -> Iterator[Place]:
    from bedsite.opening import new_ledger

    with part_file(works) as part:
        new_ledger(Place(path=part))
        yield Place(path=works.resolve() / LEDGER)


@contextmanager
def part_file(works: Path, *, keep: bool = True) -> Iterator[Path]:
    """The path of a ledger's file to be made in a works; at the end it gets the name that counts, or is not kept."""
    for left in works.glob(f"{_PART}*"):
        left.unlink()
    part = works.resolve() / f"{_PART}{secrets.token_hex(4)}.sqlite3"
    try:
        yield part
        close()  # the last to leave writes the log back into the file
        if keep:
            _put_in_place(part, works / LEDGER)
    finally:
        close()
        for left in works.glob(f"{part.name}*"):
            left.unlink()


@contextmanager
def _database(works: Path, url: str) -> Iterator[Place]:
    from bedsite.opening import new_ledger

    place = named(url)
    if place.path is not None:
        raise NotReadable("a database is named as postgresql://USER@HOST:PORT/DATABASE")
    refuse_full(place)
    try:
        new_ledger(place)
        yield place
        _write_url(works, place)
    except BaseException:
        _empty_again()
        raise
    finally:
        close()


def close() -> None:
    """Close this process's connections to the ledger."""
    from django.apps import apps
    from django.db import connections

    if apps.ready:  # else none was ever opened
        connections.close_all()


def refuse_full(place: Place) -> None:
    """Refuse a database that holds anything but the empty tables of a ledger whose making was cut short."""
    from django.db import DatabaseError

    from bedsite.opening import point_at

    point_at(place)
    from django.db import connection

    try:
        tables = set(connection.introspection.table_names())
        strangers = sorted(tables - _ours())
        full = "records_chainend" in tables and _holds_works()
    except DatabaseError as error:
        raise NotReadable(f"{place.shown} cannot be opened ({str(error).strip().splitlines()[0]})") from None
    if full:
        raise NotReadable(f"{place.shown} holds a works already; a ledger is never written over")
    if strangers:
        raise NotReadable(f"{place.shown} is not empty (it has a table {strangers[0]!r}); name an empty database")


def _holds_works() -> bool:
    from bedsite.records.models import ChainEnd

    return bool(ChainEnd.objects.exists())


def _ours() -> set[str]:
    from django.apps import apps

    through: set[Any] = {one for model in apps.get_models() for one in model._meta.many_to_many}
    names = {model._meta.db_table for model in apps.get_models(include_auto_created=True)}
    return names | {one.m2m_db_table() for one in through} | {"django_migrations"}


def _empty_again() -> None:
    """Take our tables out of a database that was empty before."""
    from django.db import DatabaseError, connection

    with suppress(DatabaseError), connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f"DROP TABLE IF EXISTS {connection.ops.quote_name(table)} CASCADE")
        cursor.execute("DROP FUNCTION IF EXISTS ledger_never_changed() CASCADE")


def _put_in_place(part: Path, target: Path) -> None:
    """Give a finished file its name, in one step and never over another; on the disk before we say so."""
    with part.open("rb") as file:
        os.fsync(file.fileno())
    try:
        os.link(part, target)
    except FileExistsError:
        raise NotReadable(f"{target} is there already; a ledger is never written over") from None
    except OSError:  # a file system without links
        if target.exists():
            raise NotReadable(f"{target} is there already; a ledger is never written over") from None
        part.rename(target)
    sync_folder(target.parent)


def sync_folder(folder: Path) -> None:
    """Have the names in a folder written to the disk."""
    held = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(held)
    finally:
        os.close(held)


def _write_url(works: Path, place: Place) -> None:
    held = os.open(works / LEDGER_URL, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    with os.fdopen(held, "w", encoding="utf-8") as file:
        file.write(place.url + "\n")
        file.flush()
        os.fsync(file.fileno())
    sync_folder(works)
