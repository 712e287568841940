"""Every command in a process of its own, as at a prompt: nothing may lean on what another test had imported."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from bedsite import store
from bedwright.works.workbook.writer import write_works
from bedwright.works.works import Works

ENVIRONMENT = {name: value for name, value in os.environ.items() if name not in ("DJANGO_SETTINGS_MODULE", store.PLACE)}


def at_prompt(*arguments: object, code: int = 0) -> str:
    command = [sys.executable, "-m", "bedcli", *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, env=ENVIRONMENT, timeout=120, check=False)
    assert done.returncode == code, done.stdout + done.stderr
    assert "Traceback" not in done.stderr
    return done.stdout + done.stderr


def test_a_works_goes_through_every_command(tmp_path: Path, small_works: Works) -> None:
    works = tmp_path / "mine"
    works.mkdir()
    write_works(small_works, works / "works.xlsx")
    at_prompt("adopt", works)
    assert "no faults" in at_prompt("faults", works)
    at_prompt("export", works, tmp_path / "view.xlsx")
    at_prompt("export", works, f"{tmp_path / 'csv'}/")
    assert "changed nothing" in at_prompt("import", works, tmp_path / "view.xlsx")
    wires = tmp_path / "csv" / "wires.csv"
    wires.write_text(wires.read_text(encoding="utf-8").replace("2.2,", "2.3,"), encoding="utf-8")
    assert "2.2 -> 2.3" in at_prompt("import", works, tmp_path / "csv")
    assert "Taken in" in at_prompt("import", works, tmp_path / "csv", "--apply")
    id_ = at_prompt("print", works, "bed-sheets/bed-sheet_snipe_150.pdf").split()[0]
    at_prompt("print", works, "--again", id_, "--to", tmp_path / "again.pdf")
    assert id_ in at_prompt("print", works, "--list")
    at_prompt("backup", works, tmp_path / "kept.sqlite3")
    told = at_prompt("verify", works).split("last hash ")[1]
    at_prompt("restore", tmp_path / "kept.sqlite3", tmp_path / "new")
    assert at_prompt("verify", tmp_path / "new").split("last hash ")[1] == told
    assert "never written over" in at_prompt("restore", tmp_path / "kept.sqlite3", works, code=2)
    (tmp_path / "kept.sqlite3").write_bytes(b"hello")
    assert "is not the file" in at_prompt("restore", tmp_path / "kept.sqlite3", tmp_path / "third", code=2)
    (tmp_path / "kept.sqlite3.sha256").unlink()
    assert "cannot be read" in at_prompt("restore", tmp_path / "kept.sqlite3", tmp_path / "third", code=2)


def test_a_database_from_processes(tmp_path: Path, small_works: Works, request: pytest.FixtureRequest) -> None:
    postgres = request.getfixturevalue("postgres")
    urls = []
    for _ in range(2):
        postgres.count += 1
        postgres.run(f"CREATE DATABASE prompt{postgres.count}")
        urls.append(postgres.url(f"prompt{postgres.count}"))
    works = tmp_path / "mine"
    works.mkdir()
    write_works(small_works, works / "works.xlsx")
    at_prompt("adopt", works, "--database", urls[0])
    at_prompt("backup", works, tmp_path / "kept.sqlite3")
    at_prompt("restore", tmp_path / "kept.sqlite3", tmp_path / "new", "--database", urls[1])
    assert (
        at_prompt("verify", works).split("last hash")[1] == at_prompt("verify", tmp_path / "new").split("last hash")[1]
    )
