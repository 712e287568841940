"""`bedwright new` and `bedwright faults`, as somebody at a prompt meets them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from bedcli.main import main
from bedwright.works.rules import DEFAULTS

ROOT = Path(__file__).resolve().parents[2]


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


@pytest.fixture
def works(tmp_path: Path) -> Path:
    assert run("new", tmp_path / "mine").exit_code == 0
    return tmp_path / "mine"


def test_new_writes_a_starter_without_faults(works: Path) -> None:
    found = run("faults", works)
    assert found.exit_code == 0
    # what is left to say is that nobody has measured the quilting contraction yet
    *notes, last = found.output.splitlines()
    assert last.startswith("no faults")
    assert all(note.startswith("note: ") and "contraction" in note for note in notes)
    assert [file.name for file in works.iterdir()] == ["works.xlsx"]
    about = load_workbook(works / "works.xlsx")["about"]
    assert about["C2"].value == "mine"
    rules = list(load_workbook(works / "works.xlsx")["house_rules"].iter_rows(min_row=2, values_only=True))
    assert {row[0] for row in rules} == set(DEFAULTS)
    assert {row[6] for row in rules} == {"typical, change me"}


def test_new_does_not_write_over_a_workbook(works: Path) -> None:
    before = (works / "works.xlsx").read_bytes()
    found = run("new", works)
    assert found.exit_code == 2 and "is there already" in found.output
    assert (works / "works.xlsx").read_bytes() == before
    assert run("new", works, "--replace").exit_code == 0
    assert (works / "works.xlsx").read_bytes() == before


def test_new_from_a_folder_of_csv(tmp_path: Path) -> None:
    assert run("new", tmp_path / "a", "--from", ROOT / "starter").exit_code == 0
    found = run("new", tmp_path / "b", "--from", tmp_path)
    assert found.exit_code == 2 and "no CSV file" in found.output


def test_the_demo_has_no_faults(tmp_path: Path) -> None:
    assert run("new", tmp_path / "demo", "--demo").exit_code == 0
    found = run("faults", tmp_path / "demo", "--json")
    assert json.loads(found.output)["faults"] == []


def test_faults_names_cells_and_changes_nothing(works: Path) -> None:
    book = load_workbook(works / "works.xlsx")
    book["wires"]["D2"] = True
    book["coils"]["D3"] = "W99"
    book.save(works / "works.xlsx")
    before = (works / "works.xlsx").read_bytes()
    found = run("faults", works)
    assert found.exit_code == 1
    lines = found.output.splitlines()
    assert lines[0].startswith("sheet wires, row 2, column diameter [mm] (D2)")
    assert lines[1].startswith("sheet coils, row 3, column wire (D3)")
    assert lines[-1] == "2 faults"
    told = json.loads(run("faults", works / "works.xlsx", "--json").output)
    assert [(fault["sheet"], fault["cell"], fault["value"]) for fault in told["faults"]] == [
        ("wires", "D2", "TRUE"), ("coils", "D3", "W99"),
    ]  # fmt: skip
    assert (works / "works.xlsx").read_bytes() == before
    assert [file.name for file in works.iterdir()] == ["works.xlsx"]


def test_faults_of_what_is_no_works(tmp_path: Path) -> None:
    (tmp_path / "text.xlsx").write_text("hello")
    for wrong in (tmp_path, tmp_path / "nowhere", tmp_path / "nowhere.xlsx", tmp_path / "text.xlsx"):
        found = run("faults", wrong)
        assert found.exit_code == 1
        assert found.output.endswith("1 fault\n")
        assert found.exception is None or isinstance(found.exception, SystemExit)


def test_as_of_is_a_day(works: Path) -> None:
    assert run("faults", works, "--as-of", "2027-01-01").exit_code == 0
    found = run("faults", works, "--as-of", "next week")
    assert found.exit_code == 2 and "is no day" in found.output
