"""`bedwright learn` as a person meets it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result

from bedcli.main import main


def run(*words: object) -> Result:
    return CliRunner().invoke(main, ["learn", *map(str, words)])


@pytest.fixture(scope="module")
def works(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("learn") / "mine"
    assert CliRunner().invoke(main, ["new", str(folder)]).exit_code == 0
    return folder


@pytest.fixture(scope="module")
def own(works: Path) -> Path:
    """A test as somebody would type it: the predicted one, to whole newtons, a tenth softer."""
    result = CliRunner().invoke(main, ["pad-test", str(works), "POCKET-1", "--size", "150x200", "--json"])
    found = json.loads(result.stdout)
    down = [point for point in found["curve"][1 : found["curve_back_from"]] if point[1] < 400]
    file = works / "own.csv"
    rows = [f"{depth:.1f};{0.9 * force:.0f};750;1000;A;2".replace(".", ",") for depth, force in down]
    file.write_text("\n".join(["depth [mm];force [N];x;y;face;cycle", *rows]), encoding="utf-8")
    return file


def test_a_bed_is_learned(works: Path, own: Path, tmp_path: Path) -> None:
    words = (works, "POCKET-1", own, "--size", "150x200", "--noise", "0.5 mm 1 %", "--draw", tmp_path / "drawn")
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    for key in ("h_tangent_before", "h_tangent_after", "h_secant_after"):
        spread = found[key]
        assert 0 < spread["low"] <= spread["value"] <= spread["high"]
    wide = [found[key]["high"] - found[key]["low"] for key in ("h_secant_before", "h_secant_after")]
    assert wide[1] < 0.5 * wide[0]
    (test,) = found["tests"]
    assert (test["spot_mm"], test["face"], test["presses"]) == ([750, 1000], "A", 1)
    assert test["off_after_n"] < test["off_before_n"]
    assert test["noise"] == {"depth_mm": 0.5, "how": "as given", "share": 0.01}
    assert {one["how"] for one in found["apart"]} <= {"says nothing", "act alike", "stand in"}
    assert all(0 < one["left"] < 1.5 for one in found["figures"])
    assert found["check"]["outside"] is False and found["check"]["readings"] == len(test["readings"])
    (drawn,) = found["drawn"]
    assert ElementTree.parse(drawn).getroot().tag.endswith("svg")
    again = run(*words)
    assert again.exit_code == 2 and "--replace" in again.stderr
    text = run(*words, "--replace")
    assert text.exit_code == 0, text.output
    for part in ("by the cards", "learned", "90 of 100", "What cannot be told", "nothing is changed", "Drawn:"):
        assert part in text.stdout
    assert max(map(len, text.stdout.splitlines())) <= 160


GOOD = "1;10\n20;100\n40;300\n50;400"


@pytest.mark.parametrize(
    ("text", "words", "says"),
    [
        ("", (), ["FILE: 0 points are too few"]),
        ("a;b\n1;2\n2;x\n3;y", (), ["FILE: row 3 has no two numbers", "FILE: row 4 has no two numbers"]),
        (GOOD, ("--noise", "much"), ["--noise: is no reading error (found 'much')", "0.5 mm 1 %"]),
        (GOOD, ("--noise", "40 mm"), ["--noise: is not above 0, up to 20 mm"]),
        (GOOD, ("--spot", "9000,0"), ["--spot: 9000, 0 mm is off bed POCKET-1"]),
        (GOOD, ("--face", "B"), ["--face: bed POCKET-1 has one face"]),
        (GOOD, ("--kind", "guess"), ["--kind: is no kind of test known here (found 'guess')"]),
        (GOOD, ("--base", "ice"), ["--base: is no base known here"]),
        ("mm;N;x;face\n" + GOOD.replace("\n", ";9000;B\n") + ";9000;B", (), ["off bed POCKET-1", "has one face"]),
        ("1;10\n20;100\n400;300", (), ["a depth of 400 mm on a bed of"]),
        ("1;x\n2;y", ("--face", "?", "--noise", "?"), ["FILE: row 2", "--face: is no face", "--noise: is no"]),
    ],
)
def test_what_does_not_do_is_said(
    works: Path, tmp_path: Path, text: str, words: tuple[str, ...], says: list[str]
) -> None:
    file = tmp_path / "own.csv"
    file.write_text(text, encoding="utf-8")
    result = run(works, "POCKET-1", file, "--size", "150x200", *words)
    assert result.exit_code == 2, result.output
    assert [part for part in says if part not in result.stderr] == []
    assert "Traceback" not in result.output


def test_works_bed_and_file_that_are_not_there(works: Path, tmp_path: Path) -> None:
    result = run(works, "NONE", tmp_path / "none.csv", "--size", "x")
    assert result.exit_code == 2
    for part in ("BED: is no bed of this works", "--size: is no size", "none.csv cannot be read"):
        assert part in result.stderr
    assert run(tmp_path / "nowhere", "NONE", tmp_path / "none.csv", "--size", "150x200").exit_code in (1, 2)


def test_trust_of_a_works(tmp_path: Path) -> None:
    assert CliRunner().invoke(main, ["new", str(tmp_path / "demo"), "--demo"]).exit_code == 0
    result = run(tmp_path / "demo", "--trust", "--draw", tmp_path / "out", "--sheet", tmp_path / "trust.pdf", "--json")
    assert result.exit_code == 0, result.output
    found = json.loads(result.stdout)
    assert found["of"] == len(found["rows"]) == 4 and 0 <= found["inside"] <= 4
    assert all(row["low"] < row["predicted"] < row["high"] for row in found["rows"])
    assert Path(found["sheet"]).read_bytes().startswith(b"%PDF") and Path(found["drawn"][0]).is_file()
    again = run(tmp_path / "demo", "--trust", "--sheet", tmp_path / "trust.pdf")
    assert again.exit_code == 2 and "--replace" in again.stderr
    text = run(tmp_path / "demo", "--trust")
    assert "predicted against measured" in text.stdout and "so far" in text.stdout


def test_what_goes_with_what(works: Path) -> None:
    for words, says in (
        ((works,), "name WORKS, BED and FILE"),
        ((works, "POCKET-1", "own.csv", "--trust"), "leave BED, FILE"),
        ((works, "POCKET-1", "own.csv", "--sheet", "x.pdf"), "--sheet goes with --trust"),
        ((works, "POCKET-1", "own.csv", "--replace"), "--replace goes with --draw or --sheet"),
    ):
        result = run(*words)
        assert result.exit_code == 2 and says in result.stderr
    found = run(works, "--trust")
    assert found.exit_code == 0 and "nothing was compared" in found.stdout
