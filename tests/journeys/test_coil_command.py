"""`bedwright coil` as a person meets it."""

import json
import math
import re
import subprocess
import sys

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from bedcli.main import main

HOURGLASS = ["--profile", "hourglass-parabolic", "--end", "75", "--middle", "45", "--turns", "5", "--height", "130"]
HOURGLASS += ["--wire", "2.2", "--grade", "SM"]


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["coil", *words])


def answer(*words: str) -> dict[str, object]:
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    found = json.loads(result.stdout)
    assert isinstance(found, dict)
    return found


def test_hourglass_as_json() -> None:
    found = answer(*HOURGLASS, "--at", "10,25,40")
    assert found["rate_plain_n_per_mm"] == pytest.approx(0.265117, abs=1e-5)
    assert found["rate_n_per_mm"] == pytest.approx(0.27147, rel=0.01)  # finite elements
    forces = found["force_n"]
    assert isinstance(forces, list)
    assert forces == pytest.approx([2.69853, 6.69329, 10.6281], rel=0.03)  # finite elements
    assert found["stress_mpa"] == pytest.approx([8 * F * 75 / (math.pi * 2.2**3) for F in forces], rel=1e-4)
    assert found["wire_length_mm"] == pytest.approx(874.51, abs=0.01)
    assert found["mass_g"] == pytest.approx(26.096, abs=0.001)
    assert found["solid_height_mm"] == pytest.approx(4.4)
    assert found["strength_least_mpa"] == pytest.approx(1727, abs=1)
    assert found["at_mm"] == [10, 25, 40]


@pytest.mark.parametrize(
    ("words", "plain", "held"),
    [
        (("--profile", "cone", "--end", "75", "--middle", "45"), 0.207972, 0.20932),
        (("--profile", "hourglass-straight", "--end", "75", "--middle", "45"), 0.207972, 0.21139),
        (("--profile", "barrel", "--end", "45", "--middle", "75"), 0.207972, None),
    ],
)
def test_other_profiles(words: tuple[str, ...], plain: float, held: float | None) -> None:
    found = answer(*words, "--turns", "5", "--height", "130", "--wire", "2.2")
    assert found["rate_plain_n_per_mm"] == pytest.approx(plain, abs=1e-5)
    assert found["force_n"] == [] == found["stress_mpa"]
    if held is not None:
        assert found["rate_n_per_mm"] == pytest.approx(held, rel=0.01)


def test_cylinder_with_or_without_an_equal_middle() -> None:
    cylinder = ("--profile", "cylinder", "--end", "60", "--turns", "6", "--height", "200", "--wire", "1.9 mm")
    assert answer(*cylinder) == answer(*cylinder, "--middle", "60")
    assert answer(*cylinder)["rate_n_per_mm"] == pytest.approx(0.10245, rel=0.01)


def test_a_table_of_diameters() -> None:
    rest = ("--turns", "5", "--height", "130", "--wire", "2.2")
    cone = answer("--profile", "cone", "--end", "75", "--middle", "45", *rest)
    table = answer("--profile", "table", "--diameters", "75,60,45", *rest)
    assert table["rate_plain_n_per_mm"] == pytest.approx(0.207972, abs=1e-5)  # closed form of the cone
    for key in ("rate_n_per_mm", "wire_length_mm", "solid_height_mm", "flat_stress_mpa"):
        assert table[key] == pytest.approx(cone[key], rel=1e-6), key


def test_pressed_flat_and_fatigue_between_two_compressions() -> None:
    found = answer(*HOURGLASS, "--cycle", "0,40")
    assert found["may_be_pressed_flat"] is None  # 732.8 MPa (derived), 779 with curvature, against 0.45 x 1727
    cycle = found["cycle"]
    assert isinstance(cycle, dict)
    low, high = cycle["stress_corrected_mpa"]
    assert low == 0 and high == pytest.approx(190 * 1.036, rel=0.01)  # about 190 plain (derived, book zimmerli)
    # Goodman through Zimmerli's 241/379 MPa, by hand, along amplitude = mean
    ultimate = 0.67 * 1727.0
    endured = 241 / (1 - 379 / ultimate)
    allowed = endured * ultimate / (ultimate + endured)
    assert cycle["goodman_factor"] == pytest.approx(allowed / (high / 2), rel=2e-3)
    assert answer(*HOURGLASS)["cycle"] is None
    resting = answer(*HOURGLASS, "--cycle", "20,20")["cycle"]
    assert isinstance(resting, dict) and resting["goodman_factor"] is None
    lines = run(*HOURGLASS, "--cycle", "0,40").stdout
    assert "fatigue factors" in lines and lines.count("outside 4 to 12") == 1


def test_typed_sizes_and_gauges() -> None:
    plain = answer("--profile", "cylinder", "--end", "60", "--turns", "6", "--height", "200", "--wire", "2.184")
    typed = answer(
        "--profile", "cylinder", "--end", "6 cm", "--turns", "6", "--height", "0.2 m", "--wire", "13 1/2 SWG"
    )
    assert typed["wire_mm"] == pytest.approx(2.1844, abs=0.001)
    assert typed["rate_n_per_mm"] == pytest.approx(plain["rate_n_per_mm"], rel=0.001)


def test_table_for_people() -> None:
    result = run(*HOURGLASS, "--at", "10,125")
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert any(re.fullmatch(r"rate, ends held +0\.2718 N/mm, 0\.25 to 0\.29 N/mm", line) for line in lines)
    assert any(line.split()[:2] == ["10", "2.703"] for line in lines)
    assert any("not verified" in line and line.split()[0] == "125" for line in lines)
    assert any("nothing here is certified" in line for line in lines)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), ["--profile is missing", "--end is missing", "--turns is missing", "--height", "--wire is missing"]),
        (
            (
                "--profile",
                "cylinder",
                "--end",
                "60",
                "--middle",
                "50",
                "--turns",
                "6",
                "--height",
                "200",
                "--wire",
                "2",
            ),
            ["--middle: 50 mm differs from --end 60 mm, and a cylinder"],
        ),
        (
            ("--profile", "cone", "--end", "-5", "--turns", "nan", "--height", "inf", "--wire", "0", "--grade", "XX"),
            [
                "--end: is less",
                "--turns: cannot be read",
                "--height: cannot",
                "--wire: ",
                "'XX' is not known",
            ],
        ),
        (
            ("--profile", "cone", "--end", "75", "--middle", "45", "--turns", "5", "--height", "10", "--wire", "2.2"),
            ["--wire: 2.2 mm does not fit the pitch of 2 mm a turn"],
        ),
        ((*HOURGLASS, "--at", "10,130,x"), ["--at: cannot be read", "a compression of 130 mm is outside", "127.8"]),
        ((*HOURGLASS, "--cycle", "40,10"), ["--cycle: '40,10' is no cycle; give two, the lower one first"]),
        ((*HOURGLASS, "--cycle", "0,500"), ["--cycle: a compression of 500 mm is outside"]),
        (
            ("--profile", "table", "--diameters", "70,x", "--turns", "5", "--height", "130", "--wire", "2"),
            ["--diameters: cannot be read", "diameters has 1 values"],
        ),
        ((*HOURGLASS, "--at", ",".join(["1"] * 1001)), ["1001 compressions asked for; ask for 1000 or fewer"]),
        ((*HOURGLASS, "--at", "1," * 11_000), ["22000 characters are too long a list"]),
        (
            ("--profile", "cylinder", "--end", "60", "--turns", "6", "--height", "200", "--wire", "13 gauge"),
            ["--wire: ", "gauge"],
        ),
    ],
)
def test_refusals_are_sentences(words: tuple[str, ...], says: list[str]) -> None:
    result = run(*words)
    assert result.exit_code == 2
    assert result.stdout == ""
    for part in says:
        assert part in result.stderr
    assert "Traceback" not in result.stderr
    assert not isinstance(result.exception, Exception) or isinstance(result.exception, SystemExit)


TYPED = st.one_of(
    st.sampled_from(
        ["75", "0", "-1", "1e308", "nan", "inf", "1_000", "TRUE", "", "2,5", "4'6\"", "13 SWG", "٣", "1e-9"]
    ),
    st.text(max_size=12),
    st.floats(0.5, 300).map(lambda value: f"{value:.3g}"),
)


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(["cylinder", "cone", "barrel", "hourglass-parabolic", "hourglass-straight", "ball", ""]),
    st.tuples(TYPED, TYPED, TYPED, TYPED, TYPED),
    st.sampled_from(["SM", "SL", "A227", "??"]),
    st.one_of(st.just("10"), st.text(max_size=10)),
)
def test_never_a_traceback(profile: str, sizes: tuple[str, str, str, str, str], grade: str, at: str) -> None:
    names = ("--end", "--middle", "--turns", "--height", "--wire")
    words = [f"{name}={value}" for name, value in zip(names, sizes, strict=True)]
    result = run(f"--profile={profile}", *words, f"--grade={grade}", f"--at={at}", "--json")
    assert result.exit_code in (0, 2)
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert (result.stderr == "") == (result.exit_code == 0)


def test_help_reads_no_numeric_room() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "bedcli", "coil", *HOURGLASS, "--json"], capture_output=True, check=True
    )
    assert json.loads(done.stdout)["grade"] == "SM"
    code = "import sys; from bedcli.main import main; main(['--help'], standalone_mode=False); "
    code += "sys.exit('numpy' in sys.modules or 'pydantic' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, check=False).returncode == 0


def test_version() -> None:
    result = CliRunner().invoke(main, ["--version"])
    assert result.exit_code == 0
    assert re.fullmatch(r"bedwright \d+\.\d+\.\d+\n", result.stdout)
