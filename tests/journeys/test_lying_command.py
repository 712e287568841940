"""`bedwright lying` as a person meets it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pypdfium2
import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from bedcli.main import main
from bedwright.mechanics.lain import CAUTION

MAN, WOMAN = "man 1755 mm 80 kg", "woman 1630 mm 62 kg"


def run(*words: object) -> Result:
    return CliRunner().invoke(main, ["lying", *map(str, words)])


def answer(*words: object, quick: bool = True) -> dict[str, Any]:
    result = run(*words, "--json", *(["--quick"] if quick else []))
    assert result.exit_code == 0, result.output
    found = json.loads(result.stdout)
    assert isinstance(found, dict)
    return found


@pytest.fixture(scope="module")
def works(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("lying") / "mine"
    assert CliRunner().invoke(main, ["new", str(folder)]).exit_code == 0
    return folder


@pytest.fixture(scope="module")
def two(works: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], Path]:
    """Two persons, with everything that can be asked for, once."""
    out = tmp_path_factory.mktemp("drawn")
    words = ("OPEN-2", "--size", "150x200", "--person", MAN, "--with", WOMAN, "--with-posture", "side", "--turn")
    return answer(works, *words, "--draw", out / "here", "--sheet", out / "two.pdf"), out


KEYS: dict[str, type | tuple[type, ...]] = {
    "base": str, "bed": str, "caution": str, "cell_mm": float, "contact_area_m2": float, "face": str,
    "force_error": float, "mean_kpa": float, "meanings": dict, "model": str, "moment_error": float, "notes": list,
    "p95_kpa": float, "p99_kpa": float, "person": str, "posture": str, "residual": float, "roll_deg": float,
    "seconds": float, "share": dict, "sink_mm": dict, "size": str, "size_mm": list, "spine_deg": float,
    "spine_departure_mm": float, "threshold_kpa": float, "turn": list, "version": str, "weight_n": float, "works": str,
    "works_revision": int,
}  # fmt: skip


@pytest.mark.parametrize("posture", ["supine", "side"])
def test_one_person_as_json(works: Path, posture: str) -> None:
    found = answer(works, "POCKET-1", "--size", "150x200", "--person", MAN, "--posture", posture)
    wrong = {key: found.get(key) for key, kind in KEYS.items() if not isinstance(found.get(key), kind)}
    assert wrong == {}
    assert found["person"] == MAN and found["posture"] == posture and found["with"] is None and found["turn"] == []
    assert found["caution"] == CAUTION and found["interval"] is None and found["moved_most_by"] is None
    assert found["settled_percent"] == 0 and found["zip_link"] is None
    assert found["threshold_kpa"] == 0.5 and found["cell_mm"] == 20
    assert found["weight_n"] == pytest.approx(80 * 9.80665)
    assert 0 <= found["force_error"] <= 1e-6 and 0 <= found["moment_error"] <= 1e-6
    assert set(found["share"]) == {"head", "trunk", "pelvis", "legs"}
    assert sum(found["share"].values()) == pytest.approx(1.0, abs=1e-4)
    assert set(found["sink_mm"]) == {"head", "shoulder", "waist", "hip", "knee", "heel"}
    # what touches carries no more than the whole weight, and nearly all of it (body page, section 0.3)
    assert 0.9 < found["mean_kpa"] * 1000 * found["contact_area_m2"] / found["weight_n"] <= 1.0001
    assert found["mean_kpa"] < found["p95_kpa"] < found["p99_kpa"]
    assert 1 > found["above"]["32"] >= found["above"]["60"] >= found["above"]["80"] >= 0
    supine = posture == "supine"
    assert (found["lumbar_gap_mm"] is not None) == (found["back_gap_mm"] is not None) == supine
    assert (found["facing"], found["upper_leg"]) == ((None, None) if supine else ("right", "on the bed"))


def test_two_persons_with_all_that_can_be_asked(two: tuple[dict[str, Any], Path]) -> None:
    found, out = two
    other = found["with"]
    assert (found["posture"], other["person"], other["posture"]) == ("supine", WOMAN, "side")
    assert other["weight_n"] == pytest.approx(62 * 9.80665)
    assert [(one["still"], one["turning"], one["to"]) for one in found["turn"]] == [
        (MAN, WOMAN, "supine"), (WOMAN, MAN, "side"),
    ]  # fmt: skip
    assert all(set(one["sink_mm"]) == set(found["sink_mm"]) for one in found["turn"])
    names = {"pressure-map", "across", "from-the-side"}
    drawn = [Path(name) for name in found["drawn"]]
    assert {path.name.split("_")[0] for path in drawn} == names and len(drawn) == 4
    for path in drawn:
        assert ElementTree.parse(path).getroot().tag == "{http://www.w3.org/2000/svg}svg"
        assert "comparing beds with each other only" in " ".join(path.read_text().split())
    assert found["sheet"] == str(out / "two.pdf")
    document = pypdfium2.PdfDocument(out / "two.pdf")
    text = " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())
    assert CAUTION in text and MAN in text and WOMAN in text
    assert f"{found['mean_kpa']:.3g}" in text and f"{other['p99_kpa']:.3g}" in text
    document.close()


def test_nothing_is_written_over_unasked(works: Path, two: tuple[dict[str, Any], Path]) -> None:
    found, out = two
    words = (works, "OPEN-2", "--size", "150x200", "--person", MAN, "--with", WOMAN, "--with-posture", "side")
    before = {path: path.read_bytes() for path in map(Path, [*found["drawn"], found["sheet"]])}
    for more, says in (
        (("--draw", out / "here"), "holds across_open-2_150x200_supine-side.svg"),
        (("--sheet", out / "two.pdf"), "two.pdf is there already"),
        (("--sheet", out), "is a folder; name a file"),
        (("--sheet", out / "none" / "x.pdf"), "is no folder"),
        (("--draw", out / "two.pdf"), "is no folder; name another one for --draw"),
    ):
        result = run(*words, *more)
        assert result.exit_code == 2 and result.stdout == "" and says in result.stderr, result.output
    assert {path: path.read_bytes() for path in before} == before
    told = run(*words, "--draw", out / "here", "--replace", "--quick")
    assert (
        told.exit_code == 0 and "Drawn:" in told.stdout and "pressure-map_open-2_150x200_supine-side.svg" in told.stdout
    )
    assert {path: path.read_bytes() for path in before} == before, "the same persons, the same drawings"


def test_sheet_for_people(works: Path) -> None:
    result = run(works, "POCKET-1", "--size", "150x200", "--person", MAN, "--with", WOMAN, "--turn", "--quick")
    assert result.exit_code == 0, result.output
    text = " ".join(result.stdout.split())
    for part in (
        f"1: {MAN}, supine", f"2: {WOMAN}, supine", "touched area", "more than 0.5 kPa; cells of 20 mm", "P99", "head",
        "Sink below the untouched face", "for comparison only, no limit of anything", "No interval was reckoned",
        CAUTION, f"When {WOMAN} turns onto the side, {MAN} ", f"When {MAN} turns onto the side, {WOMAN} ",
    ):  # fmt: skip
        assert part in text, part
    assert max(map(len, result.stdout.splitlines())) <= 120


def test_how_they_lie_reaches_the_answer(works: Path) -> None:
    plain = answer(works, "POCKET-1", "--size", "150x200", "--person", MAN, "--posture", "side")
    words = ("--facing", "left", "--upper-leg", "On the other  leg", "--pillow", "80 mm 6 kPa", "--place", "70 cm")
    more = ("--base", "sprung 40 kPa/m", "--cell", "25")
    found = answer(works, "POCKET-1", "--size", "150x200", "--person", MAN, "--posture", "SIDE", *words, *more)
    assert (found["facing"], found["upper_leg"]) == ("left", "on the other leg")
    assert found["cell_mm"] == 25 and found["base"] == "sprung 40 kPa/m"
    assert any("pillow of 80 mm, 6 kPa" in note and "plausible" not in note for note in found["notes"])
    assert found["sink_mm"]["head"] != plain["sink_mm"]["head"]


def test_intervals_hold_every_figure_and_say_what_moves_it(works: Path) -> None:
    words = ("POCKET-1", "--size", "150x200", "--person", MAN, "--cell", "40")
    found = answer(works, *words, quick=False)
    interval, most = found["interval"], found["moved_most_by"]
    assert set(interval) == set(most) >= {"contact_area_m2", "mean_kpa", "p99_kpa", "spine_deg", "sink_mm", "share"}
    flat = [(found[key], interval[key]) for key in interval if key not in ("sink_mm", "share")]
    flat += [(found[key][part], interval[key][part]) for key in ("sink_mm", "share") for part in interval[key]]
    for value, (low, high) in flat:
        slack = 1e-3 * abs(value) + 0.01  # laid again at a coarser residual
        assert low - slack <= value <= high + slack
    low, high = interval["p99_kpa"]
    assert high - low > 0.2, "tissue alone moves it by more"
    assert set(most["sink_mm"]) == set(found["sink_mm"])
    assert any(note.startswith("Intervals: ") for note in found["notes"])


def test_a_zip_linked_pair_lies_each_on_its_own_bed(works: Path) -> None:
    words = ("POCKET-1", "--size", "90x190", "--person", MAN)
    pair = answer(works, *words, "--with", MAN, "--with-posture", "side", "--zip-link")
    alone = answer(works, *words)
    assert pair["p99_kpa"] == pytest.approx(alone["p99_kpa"], rel=0.02)
    assert pair["sink_mm"]["hip"] == pytest.approx(alone["sink_mm"]["hip"], rel=0.02)
    link = pair["zip_link"]
    assert link["largest_step_mm"] == pytest.approx(max(map(abs, link["step_mm"])), rel=1e-4)
    assert len(link["along_mm"]) == len(link["step_mm"]) == len(link["dip_mm"]) > 40
    near = answer(works, *words, "--with", MAN, "--zip-link", "--place", "640", "--with-place", "450")["zip_link"]
    assert near["largest_dip_mm"] > 5 > link["largest_dip_mm"], "whoever lies near the joint presses it down"
    assert near["largest_step_mm"] == pytest.approx(near["largest_dip_mm"], rel=0.2), "the other bed stays up"
    text = run(works, *words, "--with", MAN, "--with-posture", "side", "--zip-link", "--quick").stdout
    assert "zip-linked: at the joint one bed's face stands up to" in text


def test_without_a_size_the_usual_one_is_taken_and_said(works: Path) -> None:
    found = answer(works, "POCKET-1", "--person", MAN, "--cell", "40")
    assert found["size"] == "150x200"
    assert found["notes"][0] == "no size was named: taken 150x200; name another with --size"


def test_who_lies_at_the_edge_is_laid_or_refused_in_words(works: Path) -> None:
    words = (works, "POCKET-1", "--size", "150x200", "--person", MAN, "--cell", "40")
    for place in ("140", "30"):
        result = run(*words, "--place", place)
        assert result.exit_code in (0, 2) and "Traceback" not in result.output
        if result.exit_code == 2:
            assert "rolls off the bed" in result.stderr
        else:
            assert "reach over the bed's edge" in " ".join(result.stdout.split())


def test_two_who_lie_on_one_another_are_told(works: Path) -> None:
    words = (
        "POCKET-1",
        "--size",
        "150x200",
        "--person",
        MAN,
        "--with",
        WOMAN,
        "--with-posture",
        "side",
        "--cell",
        "40",
    )
    facing = {side: answer(works, *words, "--with-facing", side)["notes"] for side in ("left", "right")}
    assert any("lie over one another" in note for note in facing["left"])
    assert not any("lie over one another" in note for note in facing["right"])


def test_a_bed_that_has_settled(works: Path) -> None:
    words = ("POCKET-1", "--size", "150x200", "--person", MAN, "--cell", "40")
    found = answer(works, *words, "--settled", "100 %")
    assert found["settled_percent"] == 100
    assert any(note.startswith("settled: fillings have lost 100 %") for note in found["notes"])
    assert found["p99_kpa"] != answer(works, *words)["p99_kpa"] or any("no set is known" in n for n in found["notes"])


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--person", "man 1755 mm"), ["--person, mass: no mass is given"]),
        (("--person", "child 1100 mm 20 kg"), ["--person, stature: 1100 mm is less", "infants and children", "mass"]),
        (
            ("--person", MAN, "--posture", "prone"),
            ["--posture: is none of the answers (found 'prone')", "supine or side"],
        ),
        (("--person", MAN, "--facing", "left"), ["--facing: left is said of a person who lies supine"]),
        (("--person", MAN, "--posture", "side", "--upper-leg", "up"), ["--upper-leg:", '"on the other leg"']),
        (("--person", MAN, "--pillow", "soft"), ["--pillow: is no pillow (found 'soft')", '"100 mm 5 kPa"']),
        (("--person", MAN, "--pillow", "900 mm 5 kPa"), ["--pillow: is outside 1 to 300 mm and 0.5 to 100 kPa"]),
        (("--person", MAN, "--place", "5000"), ["lies off the bed at 5000 mm", "give 0 to 1500 mm"]),
        (("--person", MAN, "--place=-20"), ["lies off the bed at"]),
        (("--person", MAN, "--with", WOMAN, "--place", "700", "--with-place", "760"), ["between two persons' middles"]),
        (("--person", MAN, "--with", "x"), ["--with, sex: neither man nor woman"]),
        (("--person", MAN, "--with", WOMAN, "--with-posture", "sits"), ["--with-posture: is none of the answers"]),
        (("--person", MAN, "--face", "C"), ["--face: is no face"]),
        (("--person", MAN, "--base", "ice"), ["--base: is no base known here"]),
        (("--person", MAN, "--cell", "3"), ["cell", "10 to 60 mm"]),
        (("--person", MAN, "--settled", "101"), ["--settled: is outside 0 to 100 %"]),
        (("--person", MAN, "--settled", "much"), ["--settled: cannot be read as a number"]),
        (("--person", MAN, "--size", "15"), ["--size: is no size of this works"]),
        (
            ("--person", "x", "--posture", "?", "--face", "?", "--base", "?", "--cell", "?", "--size", "?"),
            ["--person", "--posture", "--face", "--base", "--cell", "--size"],
        ),
    ],
)
def test_refusals_name_what_was_typed(works: Path, words: tuple[str, ...], says: list[str]) -> None:
    size = () if "--size" in words else ("--size", "150x200")
    result = run(works, "OPEN-2", "--quick", *size, *words)
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    for part in says:
        assert part in result.stderr, result.stderr
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "--person is missing"),
        (("--person", MAN, "--with-posture", "side"), "--with-posture goes with --with"),
        (("--person", MAN, "--with-place", "5"), "--with-place goes with --with"),
        (("--person", MAN, "--turn"), "--turn goes with --with"),
        (("--person", MAN, "--zip-link"), "--zip-link goes with --with"),
        (("--person", MAN, "--with", WOMAN, "--zip-link", "--turn"), "not with --turn"),
        (("--person", MAN, "--replace"), "--replace goes with --draw or --sheet"),
    ],
)
def test_options_that_need_another(works: Path, words: tuple[str, ...], says: str) -> None:
    result = run(works, "OPEN-2", "--size", "150x200", *words)
    assert result.exit_code == 2 and result.stdout == "" and says in result.stderr


def test_a_bed_with_one_face_and_no_such_bed(works: Path) -> None:
    assert "has one face" in run(works, "POCKET-1", "--size", "150x200", "--person", MAN, "--face", "b").stderr
    assert "BED: is no bed of this works" in run(works, "NONE", "--size", "150x200", "--person", MAN).stderr
    gone = run(works / "none", "BED", "--size", "150x200", "--person", MAN)
    assert gone.exit_code != 0 and "make one with: bedwright new" in gone.stderr


TYPED = st.sampled_from(["", "-1", "nan", MAN, "150x200", "side", "supine", "A", "B", "1e308", "5 kPa", "٣"]) | st.text(
    max_size=8
)


@settings(max_examples=12, deadline=None)
@given(TYPED, TYPED, TYPED, TYPED, TYPED)
def test_never_a_traceback(works: Path, who: str, posture: str, pillow: str, place: str, cell: str) -> None:
    words = [f"--person={who}", f"--posture={posture}", f"--pillow={pillow}", f"--place={place}", f"--cell={cell}"]
    result = run(*words, "--size=150x200", "--quick", "--", works, "OPEN-2")
    assert result.exit_code in (0, 1, 2)
    assert result.exception is None or isinstance(result.exception, SystemExit)


def test_help_reads_no_numeric_room() -> None:
    code = "import sys; from bedcli.main import main; main(['lying', '--help'], standalone_mode=False); "
    code += "sys.exit('numpy' in sys.modules or 'pydantic' in sys.modules or 'numba' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert done.returncode == 0 and b"--turn" in done.stdout


class TestWords:
    """What is typed of a pillow and a share, read by themselves."""

    @settings(max_examples=80, deadline=None)
    @given(st.integers(1, 300), st.integers(1, 200), st.sampled_from([" ", ", ", "  ", " , "]))
    def test_a_pillow_is_read_back(self, height: int, half_kpa: int, between: str) -> None:
        from bedcli.lying_asked import pillow

        stiffness = half_kpa / 2
        for words in (f"{height} mm{between}{stiffness:g} kPa", f"{height / 10:g} cm{between}{stiffness:g}kpa"):
            found = pillow(words)
            assert (found.height, found.stiffness) == pytest.approx((height, stiffness))

    @settings(max_examples=120, deadline=None)
    @given(st.text(max_size=30) | st.text("0123456789.,-mkKPac %", max_size=16))
    def test_other_words_are_refused_and_nothing_else(self, text: str) -> None:
        from bedcli.lying_asked import percent, pillow
        from bedwright.errors import NotUnderstood

        for read in (pillow, percent):
            try:
                found = read(text)
            except NotUnderstood as error:
                assert error.fault.remedy
            else:
                assert found is not None

    @pytest.mark.parametrize(("text", "share"), [("0", 0), ("50", 50), ("50 %", 50), (" 12,5% ", 12.5), ("100", 100)])
    def test_a_share_of_a_hundred(self, text: str, share: float) -> None:
        from bedcli.lying_asked import percent

        assert percent(text) == share


def test_an_interval_that_cannot_be_had_is_said(works: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from bedcli import lying_rest
    from bedwright.errors import NotConverged

    def never(*_: object, **__: object) -> None:
        raise NotConverged("the persons do not come to rest", residual=0.1)

    monkeypatch.setattr(lying_rest, "lying_sure", never)
    found = answer(works, "POCKET-1", "--person", MAN, "--cell", "40", quick=False)
    assert found["interval"] is None
    assert any(note.startswith("no interval: with one of its open figures") for note in found["notes"])


def test_the_first_lying_says_that_it_takes_long(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from types import SimpleNamespace

    from bedcli import lying_rest

    loops = SimpleNamespace(bodies_settle=SimpleNamespace(stats=SimpleNamespace(cache_path=str(tmp_path))))
    monkeypatch.setattr(lying_rest, "body_loops", loops)
    lying_rest.say_what_takes_long()
    assert "half a minute or so, once" in capsys.readouterr().err
    (tmp_path / "body_loops.bodies_settle-1.py311.nbi").write_bytes(b"")
    lying_rest.say_what_takes_long()
    assert capsys.readouterr().err == ""
