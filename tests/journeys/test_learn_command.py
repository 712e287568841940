"""`bedwright learn` as a person meets it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result

from bedcli.learn_trust import trust_text
from bedcli.main import main
from bedcli.truth import examined
from bedwright.mechanics.learn_trust import Error, Trust, Trusted


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


def test_trust_for_people(works: Path) -> None:
    rows = (
        Trusted("WREN", "150x200", "", "H tangent", "N/mm", 5.2, 4.5, 6.1, 5.4, 1),
        Trusted("WREN", "150x200", "", "height", "mm", 250.0, 247.0, 253.0, 240.0, 1),
    )
    found = Trust(rows, (Error("height", "mm", 1, -10.0, 10.0),), 1, ("one note",))
    text = trust_text(examined(works).works, found)  # type: ignore[arg-type]
    for part in (
        "1 of 2 inside  OUTSIDE",
        "4.5 to 6.1",
        "mean -10 mm, in size 10 mm, of 1",
        "- one note",
        "1 of 1 inside",
    ):
        assert part in text


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


def test_sinks_of_a_person_lying(works: Path, own: Path, tmp_path: Path) -> None:
    sinks = tmp_path / "sinks.csv"
    sinks.write_text("person;posture;shoulder;waist;hip\nman 1755 mm 80 kg;side;95;55;60\n", encoding="utf-8")
    result = run(works, "POCKET-1", sinks, "--kind", "string", "--size", "150x200", "--ruler", "3 mm", "--json")
    assert result.exit_code == 0, result.output
    found = json.loads(result.stdout)
    (sunk,) = found["sinks"]
    assert sunk["parts"] == ["shoulder", "waist", "hip"] and sunk["measured_mm"] == [95, 55, 60]
    assert found["tests"] == [] and found["proposals"] == [] and found["kind"] == "string"
    assert any("Not a medical device" in note for note in found["notes"])
    text = run(works, "POCKET-1", sinks, "--kind", "string", "--size", "150x200")
    assert text.exit_code == 0, text.output
    for part in ("by the cards", "learned", "90 of 100", "What cannot be told", "nothing is changed", "shoulder 95 mm"):
        assert part in text.stdout
    assert max(map(len, text.stdout.splitlines())) <= 160
    drawn = run(works, "POCKET-1", sinks, "--kind", "string", "--size", "150x200", "--draw", tmp_path)
    assert drawn.exit_code == 2 and "--draw shows readings of the pad" in drawn.stderr
    sinks.write_text("person;posture;hip\ninfant 700 mm 9 kg;side;5\n", encoding="utf-8")
    wrong = run(works, "POCKET-1", own, "--strings", sinks, "--size", "150x200", "--ruler", "long")
    assert wrong.exit_code == 2
    for part in ("--strings: row 2, person:", "--ruler: "):
        assert part in wrong.stderr


def test_a_pressure_sheet_beside_its_prediction(works: Path, tmp_path: Path) -> None:
    rows = [[0] * 8 for _ in range(30)]
    for row in (*range(4, 9), *range(12, 18), *range(24, 28)):
        rows[row][2:6] = [20, 40, 40, 20]
    grid = "\n".join(";".join(map(str, row)) for row in rows)
    file = tmp_path / "sheet.csv"
    file.write_text(f"supine\n{grid}\nside\n{grid.replace('40', '60')}\n", encoding="utf-8")
    words = (works, "POCKET-1", file, "--kind", "sheet", "--size", "150x200")
    asked = (*words, "--person", "man 1755 mm 80 kg", "--pitch", "60 x 50 mm", "--unit", "mmHg")
    result = run(*asked, "--draw", tmp_path / "maps", "--json")
    assert result.exit_code == 0, result.output
    found = json.loads(result.stdout)
    assert len(found["drawn"]) == 4 and all(Path(name).read_text().count("medical") for name in found["drawn"])
    assert [frame["posture"] for frame in found["frames"]] == ["supine", "side"]
    assert "not linear" in found["linearity"] and "Not a medical device" in found["caution"]
    first = found["frames"][0]
    # fifteen rows of 20, 40, 40 and 20 mmHg, each over 60 x 50 mm
    assert first["read_over_weight"] == pytest.approx(1800 * 0.133322 * 3000e-3 / (80 * 9.80665), rel=1e-4)
    assert first["rows_columns"] == [30, 8] and first["saturated"] == 30
    assert {pair["what"] for pair in first["pairs"]} >= {"touched area", "P99", "share of pelvis"}
    text = run(*asked)
    assert text.exit_code == 0 and "measured" in text.stdout and "predicted" in text.stdout
    wrong = run(*words, "--pitch", "wide", "--unit", "bar", "--posture", "prone", "--zero", "x")
    assert wrong.exit_code == 2
    for part in ("--person: is missing", "--pitch: ", "--unit: is no unit", "--posture: is no posture", "--zero: "):
        assert part in wrong.stderr
    assert "go with tests that are learned from" in run(*asked, "--noise", "1 mm").stderr
    taken = run(*asked, "--draw", tmp_path / "maps")
    assert taken.exit_code == 2 and "--replace" in taken.stderr
