"""`bedwright adopt`: all of the workbook or nothing, never twice, and the file as it was is kept."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bedcli.main import main
from bedsite import store
from bedwright.works.workbook.reader import examine
from bedwright.works.workbook.writer import write_works
from bedwright.works.works import Works

ROOT = Path(__file__).resolve().parents[3]


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


@pytest.fixture
def works(tmp_path: Path, small_works: Works) -> Path:
    folder = tmp_path / "mine"
    folder.mkdir()
    write_works(small_works, folder / "works.xlsx")
    return folder


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if path.name != ".run.lock")


def test_adopting_takes_everything_in_and_leaves_a_stamped_view(works: Path, small_works: Works) -> None:
    before = (works / "works.xlsx").read_bytes()
    done = run("adopt", works)
    assert done.exit_code == 0, done.output
    assert names(works) == [".view", "ledger.sqlite3", "works-adopted.xlsx", "works.xlsx"]
    assert (works / "works-adopted.xlsx").read_bytes() == before
    assert stat.S_IMODE((works / "ledger.sqlite3").stat().st_mode) == 0o600
    view = examine(works / "works.xlsx").works
    assert view is not None and view.about.revision == len(list(small_works.all_cards())) + 1
    assert f"revision {view.about.revision}" in done.output
    assert [card.model_dump() for card in view.all_cards()] == [card.model_dump() for card in small_works.all_cards()]


def test_adopting_twice_and_making_anew_are_refused(works: Path) -> None:
    assert run("adopt", works).exit_code == 0
    before = (works / "ledger.sqlite3").read_bytes()
    for again in (("adopt", works), ("new", works), ("new", works, "--replace")):
        done = run(*again)
        assert done.exit_code == 2 and "adopted" in done.output
    assert (works / "ledger.sqlite3").read_bytes() == before


def test_a_faulty_workbook_is_refused_with_all_faults_by_cell(works: Path, small_works: Works) -> None:
    from openpyxl import load_workbook

    book = load_workbook(works / "works.xlsx")
    book["wires"]["D2"] = True
    book["coils"]["D3"] = "W99"
    book.save(works / "works.xlsx")
    done = run("adopt", works)
    assert done.exit_code == 1
    assert "(D2)" in done.output and "(D3)" in done.output and "nothing was adopted" in done.output
    assert names(works) == ["works.xlsx"]


def test_nothing_half_made_is_left_by_a_failure(works: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from bedsite.records import ledger
    from bedwright.errors import NotReadable

    def fails(*_: object, **__: object) -> int:
        raise NotReadable("the disk is full")

    monkeypatch.setattr(ledger, "take_in", fails)
    before = (works / "works.xlsx").read_bytes()
    done = run("adopt", works)
    assert done.exit_code == 2 and "disk is full" in done.output
    assert names(works) == ["works-adopted.xlsx", "works.xlsx"]
    assert (works / "works.xlsx").read_bytes() == before
    monkeypatch.undo()
    assert run("adopt", works).exit_code == 0, "the copy left over is the same file, so it stands in nobody's way"


def test_another_adopted_file_is_never_written_over(works: Path) -> None:
    (works / "works-adopted.xlsx").write_bytes(b"something else")
    done = run("adopt", works)
    assert done.exit_code == 2 and "move it away" in done.output
    assert store.place_of(works) is None


def test_where_there_is_no_works(tmp_path: Path) -> None:
    for wrong in (tmp_path, tmp_path / "nowhere"):
        assert run("adopt", wrong).exit_code == 2


def test_a_folder_that_looks_copied_is_asked_about(tmp_path: Path, small_works: Works) -> None:
    folder = tmp_path / "My Cloud Drive" / "works"
    folder.mkdir(parents=True)
    write_works(small_works, folder / "works.xlsx")
    done = run("adopt", folder)
    assert done.exit_code == 2 and "Answer with --yes" in done.output
    assert names(folder) == ["works.xlsx"]
    assert run("adopt", folder, "--yes").exit_code == 0


def test_a_network_drive_is_refused(works: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "file_system", lambda *_: "nfs4")
    done = run("adopt", works, "--yes")
    assert done.exit_code == 2 and "network file system" in done.output
    assert store.place_of(works) is None


def test_the_limits_are_told(works: Path) -> None:
    done = run("adopt", "--help")
    assert "one machine" in done.output and "network drive" in done.output
