"""`bedwright pad-test` as a person meets it."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from bedcli.main import main

PLAIN = "springs 0.25 N/mm square 100 mm, layer 20 kPa 50 mm, tension 300 N/m, 1500x2000"


def run(*words: object) -> Result:
    return CliRunner().invoke(main, ["pad-test", *map(str, words)])


def answer(*words: object) -> dict[str, Any]:
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    found = json.loads(result.stdout)
    assert isinstance(found, dict)
    return found


@pytest.fixture(scope="module")
def works(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pad") / "mine"
    assert CliRunner().invoke(main, ["new", str(folder)]).exit_code == 0
    return folder


Edited = Callable[[str, str, str, object], Path]


@pytest.fixture
def edited(works: Path, tmp_path: Path) -> Edited:
    """A copy of the works with one cell changed: edited(sheet, code, heading, value)."""

    def change(sheet: str, code: str, heading: str, value: object) -> Path:
        book = load_workbook(works / "works.xlsx")
        rows = book[sheet]
        column = next(cell.column for cell in rows[1] if str(cell.value).split(" [")[0] == heading)
        row = next(line[0].row for line in rows.iter_rows(min_row=2) if line[0].value == code)
        rows.cell(row, column).value = value  # type: ignore[assignment]
        book.save(tmp_path / "edited.xlsx")
        return tmp_path / "edited.xlsx"

    return change


def test_plain_bed_as_json() -> None:
    found = answer("--plain", PLAIN, "--depths", "10,20,40,60,80")
    assert found["depth_mm"] == [10, 20, 40, 60, 80]
    # book plain-bed; how near each depth must come is asked in tests/worked
    assert found["force_n"] == pytest.approx([16.5466, 47.4289, 144.5835, 256.3094, 370.6132], rel=0.01)
    assert 0 <= found["residual"] <= 1e-6
    assert found["nodes"] > 500 and found["seconds"] > 0
    assert found["foundation_kpa_per_m"] == pytest.approx(23.5294, abs=1e-4)


def test_depths_in_any_order() -> None:
    down = answer("--plain", PLAIN, "--depths", "20,80")
    back = answer("--plain", PLAIN, "--depths", "80,20,80")
    assert back["depth_mm"] == [80, 20, 80]
    assert back["force_n"] == [down["force_n"][1], down["force_n"][0], down["force_n"][1]]


def test_plain_bed_for_people() -> None:
    result = run("--plain", PLAIN, "--depths", "4 cm, 60")
    assert result.exit_code == 0
    lines = [line.split() for line in result.stdout.splitlines()]
    assert ["down", "mm", "force", "N"] in lines
    forces = {line[0]: float(line[1]) for line in lines if len(line) == 2 and line[0] in ("40", "60")}
    assert forces == {"40": pytest.approx(144.6, rel=0.01), "60": pytest.approx(256.3, rel=0.01)}


KEYS: dict[str, type | tuple[type, ...]] = {
    "base": str, "bed": str, "curve": list, "curve_back_from": int, "curve_band": list, "cycles": int, "edge": list,
    "face": str, "firmness_rating_reason": str, "h_secant": float, "h_secant_interval": list, "h_tangent": float,
    "h_tangent_interval": list, "height_mm": float, "heights": dict, "largest_contributor": str, "meanings": dict,
    "model": str, "moves": list, "notes": list, "residual": float, "seconds": float, "settling": dict, "size": str,
    "size_mm": list, "spot_mm": list, "units": dict, "version": str, "works": str, "works_revision": int,
}  # fmt: skip


@pytest.mark.parametrize("bed", ["OPEN-2", "POCKET-1"])
def test_a_bed_as_json(works: Path, bed: str) -> None:
    found = answer(works, bed, "--size", "150x200")
    wrong = {key: found.get(key) for key, kind in KEYS.items() if not isinstance(found.get(key), kind)}
    assert wrong == {}
    assert found["firmness_rating"] is None and "formula" in found["firmness_rating_reason"]
    for h, interval in (("h_tangent", "h_tangent_interval"), ("h_secant", "h_secant_interval")):
        low, high = found[interval]
        assert 0 < low <= found[h] <= high
    down, back = found["curve"][: found["curve_back_from"]], found["curve"][found["curve_back_from"] :]
    assert len(down) >= 13 and len(back) >= 2
    assert all(a[0] < b[0] and a[1] < b[1] for a, b in pairwise(down))
    assert all(a[0] >= b[0] and a[1] >= b[1] for a, b in pairwise(back))
    assert 1000 <= down[-1][1] <= 1050
    assert [row[0] for row in found["curve_band"]] == [point[0] for point in down]
    assert all(low <= point[1] <= high for (_, low, high), point in zip(found["curve_band"], down, strict=True))
    assert found["size_mm"] == [1500, 2000] and found["spot_mm"] == [750, 1000]
    assert found["largest_contributor"] == found["moves"][0]["name"]
    sizes = [abs(one["tangent"]) for one in found["moves"]]
    assert sizes == sorted(sizes, reverse=True)
    depths = list(found["depth_mm_at"].values())
    assert list(found["depth_mm_at"]) == ["210", "275", "340"]
    secant = sum(force / depth for force, depth in zip((210, 275, 340), depths, strict=True)) / 3
    assert secant == pytest.approx(found["h_secant"], rel=1e-4)
    assert 50 < found["height_mm"] < 500 and found["edge"] == [] and found["measured"] is None


def test_one_size_in_every_way_it_is_said(works: Path) -> None:
    by_code = answer(works, "pocket-1", "--size", "150X200")
    for size in ("1500x2000", "150 x 200 cm", "1.5 m x 2 m"):
        assert answer(works, "POCKET-1", "--size", size)["h_tangent"] == by_code["h_tangent"]
    other = answer(works, "POCKET-1", "--size", "160x200")
    assert other["size"] == "1600x2000" and other["size_mm"] == [1600, 2000]


def test_settling_is_always_said(works: Path, edited: Edited) -> None:
    settling = answer(works, "OPEN-2", "--size", "150x200")["settling"]
    assert [part["name"] for part in settling["parts"]] == ["fillings", "border and edge", "wire"]
    assert settling["source"] == "reckoned" and settling["promise"] == "no promise of years"
    assert settling["high_mm"] is None and settling["not_known"] and settling["grades"]["worst"] is None
    assert "ask the supplier" in settling["parts"][0]["how"]
    text = run(works, "OPEN-2", "--size", "150x200").stdout
    assert "Settling in the middle, reckoned, no promise of years:" in text and "mm or more; not known: " in text
    known = answer(edited("fillings", "FOAM", "set share", 40.0), "POCKET-1", "--size", "150x200")["settling"]
    assert known["low_mm"] > answer(works, "POCKET-1", "--size", "150x200")["settling"]["low_mm"]


def test_life_under_the_rollers_force_where_asked(works: Path) -> None:
    assert answer(works, "POCKET-1", "--size", "150x200")["life"] is None
    life = answer(works, "POCKET-1", "--size", "150x200", "--life")["life"]
    assert life["force_n"] == 1400 and life["contact"] == "the pad's, not the roller's"
    assert life["promise"] == "no promise of years" and 0 < life["residual"] <= 1e-5
    (coil,) = life["coils"]
    low, high = coil["stress_corrected_mpa"]
    assert coil["coil"] == "COIL-POCKET" and 0 < low < high
    assert 0 < coil["goodman_factor"] < 10 and 0 < coil["gerber_factor"] < 10
    assert coil["may_be_pressed_flat"] in (True, False, None)
    assert any("D/d" in note and "outside 4 to 12" in note for note in coil["notes"])
    text = run(works, "POCKET-1", "--size", "150x200", "--life").stdout
    assert "COIL-POCKET" in text and "Goodman" in text and "not the roller's" in text
    assert max(map(len, text.splitlines())) <= 160


def test_a_bed_too_soft_for_the_force_says_so_of_its_coils() -> None:
    from bedcli.pad_life import life_json, life_lines, settling_json, settling_lines

    assert life_lines(None) == [] and life_json(None) is None
    found = life_json("does not carry 1400 N")
    assert found is not None and found["coils"] == [] and found["why_not"] == "does not carry 1400 N"
    assert "not known: does not carry 1400 N" in life_lines("does not carry 1400 N")[-1]
    assert settling_json("a set above 100 %")["why_not"] == "a set above 100 %"
    assert "no promise of years: not known: a set above 100 %" in settling_lines("a set above 100 %")[-1]


def test_drawings(works: Path, tmp_path: Path) -> None:
    own, folder = tmp_path / "own.csv", tmp_path / "drawn" / "here"
    own.write_text("depth;force\n20;80\n40;210\n70;500\n")
    words = (works, "POCKET-1", "--size", "150x200", "--draw", folder)
    found = answer(*words, "--edge", "--measured", own)
    names = {f"{what}_pocket-1_150x200.svg" for what in DRAWN} | {"coil_pocket-1_150x200_coil-pocket.svg"}
    assert {path.name for path in folder.iterdir()} == names | {"edge-profile_pocket-1_150x200.svg"}
    assert found["drawn"] == sorted(str(path) for path in folder.iterdir())
    for path in folder.iterdir():
        assert ElementTree.parse(path).getroot().tag == "{http://www.w3.org/2000/svg}svg"
    first = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert b"measured" in first["pad-curve_pocket-1_150x200.svg"]

    refused = run(*words)
    assert refused.exit_code == 2 and refused.stdout == ""
    assert "pad-curve_pocket-1_150x200.svg" in refused.stderr and "--replace" in refused.stderr
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == first

    (folder / "mine.txt").write_text("kept")
    told = run(*words, "--replace")
    assert told.exit_code == 0 and "moves_pocket-1_150x200.svg" in told.stdout
    after = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert after.pop("mine.txt") == b"kept" and set(after) == set(first)
    same = {name for name in first if after[name] == first[name]}
    assert set(first) - same == {"pad-curve_pocket-1_150x200.svg"}  # nothing measured was laid over it this time


DRAWN = ("bed-section", "moves", "pad-curve", "unit-plan")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--replace",), "--replace goes with --draw"),
        (("--draw", "{file}"), "is no folder"),
        (("--draw", "{file}/below"), "cannot be written"),
    ],
)
def test_drawings_that_cannot_be(works: Path, tmp_path: Path, words: tuple[str, ...], says: str) -> None:
    file = tmp_path / "file"
    file.write_text("")
    result = run(works, "POCKET-1", "--size", "150x200", *(word.format(file=file) for word in words))
    assert result.exit_code == 2 and says in result.stderr and "Traceback" not in result.output
    assert result.stdout == ""


def test_spots_and_faces(works: Path) -> None:
    found = answer(works, "OPEN-2", "--size", "150x200", "--spot", "75 cm,500", "--face", "b")
    assert found["spot_mm"] == [750, 500] and found["face"] == "B"


def test_edge(works: Path) -> None:
    found = answer(works, "POCKET-1", "--size", "150x200", "--edge")
    sat = found["edge_sit"]
    assert sat["mass_kg"] == 100 and sat["sink_mm"] > 0 and abs(sat["roll_off_degrees"]) < 45
    assert [spot["from_border_mm"] for spot in found["edge"]] == [0, 50, 100, 200]
    for spot in found["edge"]:
        if spot["h_tangent"] is None:
            assert spot["why_not"]
        else:
            low, high = spot["h_tangent_interval"]
            assert 0 < low <= spot["h_tangent"] <= high


def test_sheet_for_people(works: Path) -> None:
    result = run(works, "OPEN-2", "--size", "150x200", "--edge")
    assert result.exit_code == 0, result.output
    text = result.stdout
    parts = ["H tangent", "H secant", "N/mm", "low to high", "coming back: ", "works revision", "What moves H most"]
    parts += ["firmness rating  not given", "Near the border", "certified", "hands stay out"]
    assert [part for part in parts if part not in text] == []
    assert max(map(len, text.splitlines())) <= 160


def test_a_figure_is_no_finer_than_it_is_sure() -> None:
    from bedcli.pad_sheet import _span

    assert _span(5.2345, 4.1, 6.9) == "5 N/mm, 4 to 7"
    assert _span(5.2345, 4.8, 5.7) == "5.2 N/mm, 4.8 to 5.7"
    assert _span(5.2345, 5.2345, 5.2345) == "5.23 N/mm, 5.23 to 5.23"


def test_a_measured_test_beside(works: Path, tmp_path: Path) -> None:
    found = answer(works, "POCKET-1", "--size", "150x200")
    down = found["curve"][1 : found["curve_back_from"]]
    own = tmp_path / "own.csv"
    own.write_text("depth;force\n" + "\n".join(f"{d:.2f};{f:.1f}".replace(".", ",") for d, f in down) + "\n5,0;1,0\n")
    beside = answer(works, "POCKET-1", "--size", "150x200", "--measured", own)["measured"]
    assert beside["h_tangent"] == pytest.approx(found["h_tangent"], rel=0.02)
    assert beside["h_tangent_inside"] and beside["h_secant_inside"]
    assert beside["points"] == len(down) <= beside["points_inside_band"] + 3  # rounded near nothing
    assert all(abs(gap) < 2 for gap in beside["force_apart_n"].values())
    own.write_text("\n".join(f"{d},{0.5 * f}" for d, f in [*down, (down[-1][0] * 1.2, 2000)]))
    assert answer(works, "POCKET-1", "--size", "150x200", "--measured", own)["measured"]["h_tangent_inside"] is False
    assert "predicted less measured" in run(works, "POCKET-1", "--size", "150x200", "--measured", own).stdout


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "0 points are too few"),
        ("depth,force\n1,2\n2,x\n3,4", "row 3 has no two numbers (found '2;x')"),
        ("1,10\n2,9\n3,400", "does not rise"),
        ("1,10\n2,20\n3,30", "ends at 30 N, and H needs 340 N"),
        ("1,10\n2\n3,400", "row 2 has no two numbers"),
    ],
)
def test_a_measured_test_that_does_not_do(works: Path, tmp_path: Path, text: str, says: str) -> None:
    (tmp_path / "own.csv").write_text(text)
    result = run(works, "POCKET-1", "--size", "150x200", "--measured", tmp_path / "own.csv")
    assert result.exit_code == 2
    assert "--measured" in result.stderr and says in result.stderr


def test_a_firmness_formula_of_the_owner(works: Path, tmp_path: Path) -> None:
    book = load_workbook(works / "works.xlsx")
    rules = book["house_rules"]
    at = {str(cell.value).split(" [")[0]: cell.column for cell in rules[1]}
    constant = next(row for row in range(2, rules.max_row + 1) if rules.cell(row, 1).value == "firmness_rating")
    rules.cell(constant, at["rule value"]).value = 2.0
    sheet = book["rating_terms"]
    row = {"code": "firmness_rating", "position": 1, "coefficient": 0.5, "power of hardness": 1.0, "power of work": 0.0}
    sheet.append([row.get(str(cell.value).split(" [")[0]) for cell in sheet[1]])
    book.save(tmp_path / "edited.xlsx")
    found = answer(tmp_path / "edited.xlsx", "POCKET-1", "--size", "150x200")  # invented: 0.5 H + 2
    assert found["firmness_rating"] == pytest.approx(0.5 * found["h_tangent"] + 2, rel=1e-4)
    low, high = found["firmness_rating_interval"]
    assert low <= found["firmness_rating"] <= high
    assert low == pytest.approx(0.5 * found["h_tangent_interval"][0] + 2, rel=1e-4)
    assert "by the formula typed in" in found["firmness_rating_reason"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("NONE", "--size", "150x200"), ["BED: is no bed of this works (found 'NONE')", "OPEN-2, POCKET-1"]),
        (("OPEN-2",), ["--size is missing", "150x200"]),
        (("OPEN-2", "--size", "15"), ["--size: is no size of this works", "135x190, 150x200, 90x190"]),
        (("OPEN-2", "--size", "60x120"), ["--size", "cot standards"]),
        (
            ("OPEN-2", "--size", "150x200", "--spot", "5000,100"),
            ["--spot: 5000, 100 mm is off bed OPEN-2", "0 to 1500"],
        ),
        (("OPEN-2", "--size", "150x200", "--spot=-1,100"), ["--spot: -1, 100 mm is off bed OPEN-2"]),
        (("OPEN-2", "--size", "150x200", "--spot", "5"), ["--spot: is not two lengths"]),
        (("OPEN-2", "--size", "150x200", "--spot", "a,b"), ["--spot: cannot be read as a length"]),
        (("OPEN-2", "--size", "150x200", "--face", "C"), ["--face: is no face (found 'C'); write A or B"]),
        (("POCKET-1", "--size", "150x200", "--face", "B"), ["--face: bed POCKET-1 has one face"]),
        (("OPEN-2", "--size", "150x200", "--base", "ice"), ["--base: is no base known here (found 'ice')"]),
        (
            ("OPEN-2", "--size", "150x200", "--base", "sprung -4 kPa/m"),
            ["--base, spring_stiffness: is less than nothing"],
        ),
        (("OPEN-2", "--size", "150x200", "--cycles", "-1"), ["--cycles: is no whole number from 0 to 1000"]),
        (("OPEN-2", "--size", "150x200", "--cycles", "many"), ["--cycles: cannot be read as a number"]),
        (("OPEN-2", "--size", "150x200", "--measured", "/nowhere/own.csv"), ["own.csv cannot be read"]),
        (("NONE", "--size", "x", "--face", "?", "--base", "ice"), ["BED:", "--size:", "--face:", "--base:"]),
    ],
)
def test_refusals_name_what_was_typed(works: Path, words: tuple[str, ...], says: list[str]) -> None:
    result = run(works, *words)
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    for part in says:
        assert part in result.stderr
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (
            ("--plain", "layer -20 kPa 50 mm, springs 0.25 N/mm square 100 mm, 1500x2000"),
            "plain bed, layer 1: modulus is",
        ),
        (("--plain", PLAIN, "--depths", "10,x,500,0"), "--depths: a depth of 500 mm is outside 0 to 400 mm"),
        (("--plain", PLAIN, "--depths", "1," * 300), "--depths: more than 200 depths"),
        (("--plain", "", "--depths", "x"), "--depths: cannot be read as a length"),
        (("--plain", PLAIN, "somewhere", "BED"), "--plain says the whole bed"),
        (("--plain", PLAIN, "--life"), "--life and --draw need a bed of a works"),
        (("--plain", PLAIN, "--draw", "somewhere"), "--life and --draw need a bed of a works"),
        (("somewhere", "BED", "--depths", "10"), "--depths goes with --plain"),
        ((), "name WORKS and BED"),
    ],
)
def test_refusals_of_a_plain_bed(words: tuple[str, ...], says: str) -> None:
    result = run(*words)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert says in result.stderr
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize(
    ("cell", "says"),
    [
        (("coils", "COIL-POCKET", "end diameter", 190.0), ["coil COIL-POCKET", "end_diameter", "mm over its wire"]),
        (("fillings", "FOAM", "thickness", -30.0), ["fillings", "FOAM", "thickness", "-30", "below 0.05"]),
        (("fillings", "FOAM", "hardness 40", -3.0), ["hardness 40", "-3", "below"]),
        (("coils", "COIL-POCKET", "live turns", 60.0), ["live turns", "60", "above 20"]),
    ],
)
def test_a_works_with_a_fault_is_not_pressed(
    edited: Edited, cell: tuple[str, str, str, object], says: list[str]
) -> None:
    result = run(edited(*cell), "POCKET-1", "--size", "150x200", "--json")
    assert result.exit_code == 1, result.output
    assert result.stdout == ""
    for part in says:
        assert part in result.stderr
    assert "Nothing was pressed" in result.stderr


def test_a_supplier_table_that_falls(works: Path, tmp_path: Path) -> None:
    book = load_workbook(works / "works.xlsx")
    sheet = book["filling_points"]
    headings = [str(cell.value).split(" [")[0] for cell in sheet[1]]
    for position, (compression, stress) in enumerate(((10, 3.0), (40, 2.0), (60, 9.0)), 1):
        row = {"code": "FOAM", "position": position, "compression": compression, "stress": stress}
        sheet.append([row.get(heading) for heading in headings])
    book.save(tmp_path / "edited.xlsx")
    result = run(tmp_path / "edited.xlsx", "POCKET-1", "--size", "150x200")
    assert result.exit_code == 1 and result.stdout == ""
    assert "FOAM" in result.stderr and "the table must rise: 2 kPa at 40 %" in result.stderr


def test_no_works(tmp_path: Path) -> None:
    result = run(tmp_path / "none", "BED", "--size", "150x200")
    assert result.exit_code != 0 and "make one with: bedwright new" in result.stderr


TYPED = st.sampled_from(
    ["150x200", "", "-1", "nan", "1e308", "750,1000", "A", "B", "solid", "5", "٣", "1_0"]
) | st.text(max_size=8)


@settings(max_examples=25, deadline=None)
@given(TYPED, TYPED, TYPED, TYPED, TYPED)
def test_never_a_traceback(works_once: Path, bed: str, size: str, spot: str, face: str, cycles: str) -> None:
    words = [f"--size={size}", f"--spot={spot}", f"--face={face}", f"--cycles={cycles}", "--", str(works_once), bed]
    result = run(*words)
    assert result.exit_code in (0, 1, 2)
    assert result.exception is None or isinstance(result.exception, SystemExit)


@pytest.fixture(scope="module")
def works_once(works: Path) -> Path:
    return works


def test_in_a_process_of_its_own(works: Path) -> None:
    command = [sys.executable, "-m", "bedcli", "pad-test", str(works), "POCKET-1", "--size", "150x200", "--json"]
    done = subprocess.run(command, capture_output=True, check=True)
    assert json.loads(done.stdout)["bed"] == "POCKET-1"
    done = subprocess.run([sys.executable, "-m", "bedcli", "pad-test", "--help"], capture_output=True, check=True)
    assert b"--plain" in done.stdout


def test_help_reads_no_numeric_room() -> None:
    code = "import sys; from bedcli.main import main; main(['pad-test', '--help'], standalone_mode=False); "
    code += "sys.exit('numpy' in sys.modules or 'pydantic' in sys.modules or 'numba' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, check=False).returncode == 0
