"""After adoption `run` and `faults` read the ledger: the same bytes as from its view, and a changed view is told."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

from click.testing import Result

Run = Callable[..., Result]


def results(folder: Path) -> dict[str, bytes]:
    found = {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    found.pop("timing.json")
    return found


def test_a_run_from_the_ledger_gives_the_bytes_of_a_run_from_its_view(adopted: Path, run: Run, tmp_path: Path) -> None:
    plain = tmp_path / "plain"
    plain.mkdir()
    shutil.copyfile(adopted / "works.xlsx", plain / "works.xlsx")
    assert run("run", plain).exit_code == 0
    done = run("run", adopted)
    assert done.exit_code == 0, done.output
    ours, theirs = results(adopted / "out"), results(plain / "out")
    assert sorted(ours) == sorted(theirs) and len(ours) > 10
    assert [name for name in ours if ours[name] != theirs[name]] == []


def test_faults_are_the_same_from_ledger_and_view(adopted: Path, run: Run, tmp_path: Path) -> None:
    from bedsite.records import cards, ledger, people

    shelf = ledger.read_works().stock["S-1"]
    cards.put(shelf.model_copy(update={"part": "NOWHERE"}), expected=1, who=people.command_line())
    assert run("export", adopted, tmp_path / "view.xlsx").exit_code == 0
    ours, theirs = run("faults", adopted), run("faults", tmp_path / "view.xlsx")
    assert ours.exit_code == theirs.exit_code == 1
    assert ours.output == theirs.output and "NOWHERE" in ours.output and "(" in ours.output


def test_a_changed_view_is_told_and_not_read(adopted: Path, run: Run, edited: Callable[..., Path]) -> None:
    file = edited(adopted / "works.xlsx", {"wires": {"D6": "thick"}})
    shutil.copyfile(file, adopted / "works.xlsx")
    done = run("faults", adopted)
    assert done.exit_code == 0, "the ledger has no fault"
    assert done.stderr.count("\n") == 1 and "is not read" in done.stderr
    named = run("faults", adopted / "works.xlsx")
    assert named.exit_code == 1 and "thick" in named.output, "a file named by itself is read"
    (adopted / "works.xlsx").unlink()
    assert run("faults", adopted).stderr == ""


def test_as_of_counts_for_the_ledger_too(adopted: Path, run: Run) -> None:
    from bedcli.truth import from_ledger

    assert run("faults", adopted, "--as-of", "2027-01-01").exit_code == 0
    found = from_ledger()
    assert found.works is not None and str(found.works.about.as_of) == "2026-03-02"
