"""What goes wrong below the ledger: one sentence each, nothing harmed, and work goes on when the cause is gone."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from bedsite import opening, store
from bedsite.store import Place
from bedwright.errors import NotReadable
from bedwright.works.springs import Wire

pytestmark = pytest.mark.skipif(
    os.environ.get("BEDWRIGHT_TEST_DATABASE") == "postgresql", reason="it is the file that is harmed here"
)
PUT = """
import os, resource, signal, sys
from bedsite import opening, store
from bedwright.errors import NotReadable
from bedwright.works.springs import Wire
try:
    opening.open_ledger(store.named(sys.argv[1]))
    from bedsite.records import cards, chain
    {before}
    for time in range({times}):
        cards.put(Wire(code=f"N{{time}}", name="n", note="x" * 400, diameter=1.5, grade="SM", supplier="FERRUM",
                       carbon="C-STEEL"), expected=0, who="m" * 32)
        print(time, flush=True)
except NotReadable as error:
    print("refused:", error, flush=True)
"""


def wire(diameter: float) -> Wire:
    return Wire(code="W22", name="w", diameter=diameter, grade="SM", supplier="FERRUM", carbon="C-STEEL")


def child(file: Path, before: str = "pass", times: int = 1) -> subprocess.CompletedProcess[str]:
    work = PUT.format(before=before, times=times)
    return subprocess.run([sys.executable, "-c", work, str(file)], capture_output=True, text=True, timeout=90)


@pytest.fixture
def file(works_folder: Path) -> Path:
    """The ledger's file, with nobody connected and its log written home."""
    from django.db import connection, connections

    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connections.close_all()
    return works_folder / store.LEDGER


def numbers(file: Path) -> list[str]:
    """Codes of the cards that the writing child made, the chain verified besides."""
    from bedsite.records import cards, chain

    opening.open_ledger(Place(path=file))
    chain.verify()
    return [head.code for head in cards.heads("wire") if head.code.startswith("N")]


def test_a_full_disk_is_said_and_what_was_acknowledged_is_there(file: Path) -> None:
    """A limit on the size of files stands for the full disk: no byte beyond it is taken."""
    limit = file.stat().st_size // 2
    run = child(file, f"resource.setrlimit(resource.RLIMIT_FSIZE, ({limit}, {limit}))", 400)
    *told, last = run.stdout.splitlines()
    assert run.returncode == 0 and run.stderr == ""
    assert last.startswith("refused: nothing was kept: the disk ")
    assert told and sorted(numbers(file)) == sorted(f"N{number}" for number in told)
    assert child(file, times=len(told) + 1).stdout.splitlines()[-1] == str(len(told))  # room again: it goes on


def test_a_process_killed_between_insert_and_commit_leaves_nothing(file: Path) -> None:
    before = file.read_bytes()
    kill = "type(chain.ChainEnd()).save = lambda *a, **k: os.kill(os.getpid(), signal.SIGKILL)"
    assert child(file, kill).returncode == -9
    assert numbers(file) == []
    assert child(file).stdout == "0\n" and numbers(file) == ["N0"]
    assert before[:16] == file.read_bytes()[:16]


def test_a_ledger_locked_too_long_is_said(file: Path) -> None:
    held = sqlite3.connect(file, isolation_level=None)
    held.execute("BEGIN IMMEDIATE")
    began = time.monotonic()
    run = child(file, "from django.db import connection; connection.cursor().execute('PRAGMA busy_timeout = 300')")
    held.execute("ROLLBACK")
    held.close()
    assert run.stdout == (
        "refused: nothing was kept: somebody else has been writing into the ledger all the while; try again\n"
    )
    assert time.monotonic() - began < 15 and numbers(file) == []


def test_a_file_that_may_only_be_read_is_said(file: Path) -> None:
    """Told by the connection itself, since root, as whom tests may run, may write into every file."""
    run = child(file, "chain.connection.cursor().execute('PRAGMA query_only = ON')")
    assert run.stdout.startswith("refused: nothing was kept: the ledger may only be read")
    assert numbers(file) == []


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ("folder", "is a folder"),
        ("empty", "is empty"),
        ("text", "does not begin as a ledger does"),
        ("cut off", "is cut off"),
        ("another program", "another program's file"),
        ("beginning written over", "does not begin as a ledger does"),
        ("damaged", "cannot be read as a ledger"),
        ("newer tables", "written by a newer bedwright"),
        ("newer format", "has format 99"),
        ("nothing taken in", "holds no works yet"),
    ],
)
def test_what_is_no_ledger_is_refused_and_left_as_it_is(file: Path, form: str, says: str) -> None:
    whole = file.read_bytes()
    if form == "folder":
        file.unlink()
        file.mkdir()
    elif form in ("empty", "text", "cut off", "beginning written over", "damaged"):
        file.write_bytes(
            {
                "empty": b"",
                "text": b"what somebody wrote down, long ago\n" * 50,
                "cut off": whole[: len(whole) // 2],
                "beginning written over": b"\xff" * 4096 + whole[4096:],
                "damaged": whole[:100] + b"\xff" * 4000 + whole[4100:],
            }[form]
        )
    else:
        if form == "another program":
            file.unlink()
        held = sqlite3.connect(file)
        held.executescript(
            {
                "another program": "CREATE TABLE letters (text)",
                "newer tables": "INSERT INTO django_migrations (app, name, applied) "
                "VALUES ('records', '0999_later', '2030-01-01')",
                "newer format": "UPDATE records_chainend SET format = 99",
                "nothing taken in": "DELETE FROM records_chainend",
            }[form]
        )
        held.close()
    before = file.read_bytes() if file.is_file() else b""
    with pytest.raises(NotReadable, match=says) as refused:
        opening.open_ledger(Place(path=file))
    assert "\n" not in str(refused.value)
    from django.db import connections

    connections.close_all()
    assert (file.read_bytes() if file.is_file() else b"") == before


def test_damage_deep_inside_is_said_by_verify(file: Path) -> None:
    from bedsite.records import chain

    whole = bytearray(file.read_bytes())
    for page in range(8, len(whole) // 4096, 3):
        whole[page * 4096 : page * 4096 + 600] = b"\xff" * 600
    file.write_bytes(whole)
    with pytest.raises((NotReadable, chain.ChainBroken)) as refused:
        opening.open_ledger(Place(path=file))
        chain.verify()
    assert "\n" not in str(refused.value)


def test_the_command_line_says_it_in_one_line(file: Path) -> None:
    (file.parent / store.LEDGER).write_bytes(b"no ledger")
    run = subprocess.run(
        [sys.executable, "-m", "bedcli", "verify", str(file.parent)], capture_output=True, text=True, timeout=60
    )
    assert run.returncode == 2 and len(run.stderr.strip().splitlines()) == 1, run.stderr
    assert "Traceback" not in run.stderr and file.read_bytes() == b"no ledger"
