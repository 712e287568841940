"""Copies of a ledger: a file copied while everybody writes, or rows copied between a database and a file.

A copy is always one moment of the ledger. Sessions, one-time links and unlocks are left out: whoever holds a copy must
not come in by it.
"""

from __future__ import annotations

import hashlib
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any

from django.apps import apps
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import connections, models, transaction

from bedsite.records.chain import reading
from bedsite.records.models import Blob, OneTime, Unlock
from bedsite.store import BUSY_SECONDS, Place, database
from bedwright.errors import NotReadable

LEFT_OUT: tuple[type[models.Model], ...] = (OneTime, Unlock)
"""With the sessions, which are a table of the site's own."""
_SESSIONS = "django_session"
_PAGES = 1000
"""Pages of the file copied in one step; between steps the disk is everybody's."""


@dataclass(frozen=True, slots=True)
class Copied:
    """What a copy holds, as read from the copy itself."""

    seq: int
    hash: str
    revisions: int
    events: int
    snapshots: int
    works_id: str


def backup(target: Path) -> Copied:
    """Copy the open ledger, as it stands at one moment, into a new file that its owner alone may read.

    Writers go on meanwhile. Raises NotReadable where the copy does not hold.
    """
    os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    source = connections["default"]
    if source.vendor == "sqlite":
        _copy_file(str(source.settings_dict["NAME"]), target)
    else:
        with second(Place(path=target)) as copy:
            call_command("migrate", database=copy, verbosity=0, interactive=False)
            with reading():
                copy_rows("default", copy)
    _settle(target)
    return quickly_checked(target)


def _copy_file(source: str, target: Path) -> None:
    # A reader of the log sees one moment however long it reads, so the copy never starts again and holds nobody up.
    with (
        closing(sqlite3.connect(source, timeout=BUSY_SECONDS, isolation_level=None)) as held,
        closing(sqlite3.connect(target, isolation_level=None)) as copy,
    ):
        held.execute("BEGIN")
        held.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        copy.execute("PRAGMA synchronous=OFF")
        held.backup(copy, pages=_PAGES)
        held.execute("ROLLBACK")


def _settle(target: Path) -> None:
    """One file without a log beside it, on the disk, with nothing in it by which somebody could come in."""
    with closing(sqlite3.connect(target, isolation_level=None)) as copy:
        copy.execute("PRAGMA journal_mode=DELETE").fetchone()
        copy.execute("PRAGMA secure_delete=ON")
        for table in (_SESSIONS, *(model._meta.db_table for model in LEFT_OUT)):
            if copy.execute("SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = ?", (table,)).fetchone():
                copy.execute(f"DELETE FROM {table}")
    with target.open("rb") as file:
        os.fsync(file.fileno())


@contextmanager
def second(place: Place, alias: str = "copy") -> Iterator[str]:
    """A second ledger open beside the one this process is pointed at; gives the name of its connection."""
    connections.databases[alias] = connections.configure_settings({"default": database(place)})["default"]
    try:
        yield alias
    finally:
        connections[alias].close()
        del connections[alias]
        del connections.databases[alias]


def copy_rows(source: str, target: str) -> int:
    """Copy every row of the site's tables from one connection to another whose tables are empty, all or nothing."""
    count = 0
    with transaction.atomic(using=target):
        for model in _models():
            size = 20 if model is Blob else 500
            rows = model._default_manager.using(source).order_by("pk").iterator(chunk_size=size)
            while batch := list(islice(rows, size)):
                model._default_manager.using(target).bulk_create(batch, batch_size=size)
                count += len(batch)
        with connections[target].cursor() as cursor:
            for order in connections[target].ops.sequence_reset_sql(no_style(), _models()):
                cursor.execute(order)
    return count


def _models() -> list[Any]:
    found = [
        model
        for app in apps.get_app_configs()
        if app.name.startswith("bedsite.")
        for model in app.get_models()
        if model not in LEFT_OUT
    ]
    return sorted(found, key=lambda model: model is not Blob)  # snapshots point at blobs


def quickly_checked(path: Path) -> Copied:
    """Read a ledger's file without trusting it: is it whole, do its counts and the end of its chain agree?

    Every row's hash is another reading (proof.py). Raises NotReadable naming the first thing that does not hold.
    """
    try:
        with closing(sqlite3.connect(path, isolation_level=None)) as held:
            return _checked(held, path)
    except sqlite3.DatabaseError as error:
        raise NotReadable(f"{path} cannot be read as a ledger ({error})") from None


def _checked(held: sqlite3.Connection, path: Path) -> Copied:
    wrong = [text for (text,) in held.execute("PRAGMA integrity_check(3)") if text != "ok"]
    if wrong:
        raise NotReadable(f"{path} is damaged: {'; '.join(' '.join(text.split()) for text in wrong)}")
    astray = held.execute("PRAGMA foreign_key_check").fetchone()
    if astray is not None:
        raise NotReadable(
            f"{path} is damaged: row {astray[1]} of {astray[0]} points at a row of {astray[2]} that is gone"
        )
    tables = ("revision", "event", "snapshot")
    found = held.execute("SELECT seq, hash, revisions, events, snapshots, works_id FROM records_chainend").fetchone()
    if found is None:
        raise NotReadable(f"{path} holds no works")
    counts = tuple(held.execute(f"SELECT count(*) FROM records_{table}").fetchone()[0] for table in tables)
    last = [held.execute(f"SELECT seq, hash FROM records_{table} ORDER BY seq DESC LIMIT 1") for table in tables]
    seq, last_hash = max((row for rows in last for row in rows), default=(0, ""))
    if counts != tuple(found[2:5]) or (seq, last_hash) != tuple(found[:2]):
        raise NotReadable(
            f"{path} is damaged: it holds {counts} revisions, events and snapshots up to place {seq}, "
            f"and its end says {tuple(found[2:5])} up to place {found[0]}"
        )
    return Copied(*found)


def file_hash(path: Path) -> str:
    """sha256 of a file."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
