"""Sampling plans against MIL-STD-105E and what was published about them.

Books: mil-105e, lawson-2023, nibs-ac, cfr-42-140. The whole table is compared with the CSV beside the
repo where that is present.
"""

import csv
import os
from pathlib import Path

import pytest

from bedwright.quality.bought_lot import bought_lot_plan
from bedwright.quality.oc import (
    accept_binomial,
    accept_hypergeometric,
    accept_poisson,
    accept_scheme,
    quality_binomial,
    quality_poisson,
    two_point_plan,
)
from bedwright.quality.sampling import AQLS, LEVELS, code_letter, letter_plan, single_plan

ROOT = Path(__file__).resolve().parents[2]
DATA = Path(os.environ.get("BEDWRIGHT_PUBLISHED_DATA", ROOT.parent / "shared" / "data"))


def rows(name: str) -> list[dict[str, str]]:
    path = DATA.parent / "trade" / name
    if not path.exists():
        pytest.skip(f"published table {name} is not beside the repo")
    with path.open(newline="") as file:
        return list(csv.DictReader(file))


def test_code_letters() -> None:
    # table I, lot of 500 at levels II, I, III, S-1, S-4
    assert [code_letter(500, level) for level in ("II", "I", "III", "S-1", "S-4")] == list("HFJBE")


@pytest.mark.parametrize(("lot", "letter"), [(280, "G"), (281, "H"), (1200, "J"), (1201, "K"), (2, "A"), (500001, "Q")])
def test_code_letter_edges(lot: int, letter: str) -> None:
    assert code_letter(lot) == letter


@pytest.mark.parametrize("lot", [3201, 10000])
def test_vignette_plans(lot: int) -> None:
    # lawson-2023: worked dialog, level II, AQL 1.5
    normal = single_plan(lot, 1.5)
    assert (normal.n, normal.accept, normal.reject) == (200, 7, 8)
    tightened = single_plan(lot, 1.5, inspection="tightened")
    assert (tightened.n, tightened.accept, tightened.reject) == (200, 5, 6)


@pytest.mark.parametrize(("aql", "numbers"), [(2.5, (50, 3, 4)), (4.0, (50, 5, 6))])
def test_lot_of_500(aql: float, numbers: tuple[int, int, int]) -> None:
    # nibs-ac table 1-A
    plan = single_plan(500, aql)
    assert (plan.n, plan.accept, plan.reject) == numbers


@pytest.mark.parametrize(
    ("letter", "aql", "expected"),
    [("G", 0.65, (20, 0, 1, "up")), ("G", 1.0, (50, 1, 2, "down")), ("C", 6.5, (8, 1, 2, "down"))],
)
def test_an_arrow_changes_the_sample(letter: str, aql: float, expected: tuple[int, int, int, str]) -> None:
    plan = letter_plan(letter, aql)
    assert (plan.n, plan.accept, plan.reject, plan.arrow) == expected


@pytest.mark.parametrize(("aql", "numbers"), [(1.0, (50, 1, 4)), (2.5, (50, 3, 6)), (6.5, (50, 7, 10))])
def test_reduced_has_a_gap(aql: float, numbers: tuple[int, int, int]) -> None:
    plan = letter_plan("K", aql, "reduced")
    assert (plan.n, plan.accept, plan.reject) == numbers


def test_the_whole_published_table() -> None:
    compared = 0
    for row in rows("quality_mil105e_single_all.csv"):
        if float(row["aql"]) not in AQLS:
            continue
        plan = letter_plan(row["code_letter"], float(row["aql"]), row["inspection"])  # type: ignore[arg-type]
        assert (plan.n, plan.accept, plan.reject) == (int(row["n"]), int(row["ac"]), int(row["re"])), row
        if row["inspection"] != "reduced":  # reduced A, B and C all have n = 2: the table cannot tell an arrow there
            assert plan.arrow == ("" if row["via"] == "direct" else row["via"]), row
        compared += 1
    assert compared == 3 * 16 * 17


def test_all_published_code_letters() -> None:
    table = rows("quality_mil105e_code_letters.csv")
    for row in table:
        for level in LEVELS:
            assert code_letter(int(row["lot_min"]), level) == row[level]
            if row["lot_max"]:
                assert code_letter(int(row["lot_max"]), level) == row[level]
    assert len(table) == 15


def test_operating_characteristic_of_letter_j() -> None:
    # letter J, AQL 1.0: n 80, Ac 2; percent, tolerance 0.002 as the values are printed to 3 places
    for chance, binomial, poisson in ((0.95, 1.030, 1.022), (0.50, 3.329, 3.343), (0.10, 6.516, 6.653)):
        assert 100 * quality_binomial(80, 2, chance) == pytest.approx(binomial, abs=0.002)
        assert quality_poisson(80, 2, chance) == pytest.approx(poisson, abs=0.002)


def test_operating_characteristic_in_a_regulation() -> None:
    # cfr-42-140: n 500, Ac 3; the text says 26 % and about 99 %; tolerance from its rounding
    assert accept_poisson(500, 3, 1.0) == pytest.approx(0.265, abs=0.005)
    assert accept_poisson(500, 3, 0.10) == pytest.approx(0.998, abs=0.005)


def test_operating_characteristic_in_the_vignette() -> None:
    assert accept_binomial(200, 7, 0.064) == pytest.approx(0.054, abs=0.001)


def test_plan_through_two_points() -> None:
    # lawson-2023: n 359 printed there
    assert two_point_plan(0.019296, 0.95, 0.045884, 0.10) == (359, 11)


@pytest.mark.parametrize(("p", "published"), [(0.019296, 0.950), (0.045884, 0.100)])
def test_scheme_of_normal_and_tightened(p: float, published: float) -> None:
    # Stephens & Larson 1967: 200/7 normal, 200/5 tightened
    scheme = accept_scheme(accept_binomial(200, 7, p), accept_binomial(200, 5, p))
    assert scheme == pytest.approx(published, abs=0.001)


def test_small_lot_needs_the_hypergeometric_sum() -> None:
    # lot 50 with 2 bad, 8 taken, none allowed: C(48,8)/C(50,8) = 42*41/(50*49)
    assert accept_hypergeometric(50, 8, 0, 2) == pytest.approx(42 * 41 / (50 * 49), abs=1e-12)
    assert accept_hypergeometric(50, 8, 0, 2) == pytest.approx(0.70286, abs=1e-5)
    assert accept_binomial(8, 0, 2 / 50) == pytest.approx(0.72139, abs=1e-5)


def test_published_points_of_the_curves() -> None:
    table = rows("quality_oc_points.csv")
    for row in table:
        n, ac = int(row["n"]), int(row["ac"])
        cell = letter_plan(row["letter"], float(row["aql"]), row["inspection"])  # type: ignore[arg-type]
        assert (cell.n, cell.accept) == (n, ac)
        assert 100 * accept_binomial(n, ac, float(row["aql"]) / 100) == pytest.approx(
            float(row["Pa_at_AQL_binom_pct"]), abs=0.0006
        )
        for chance, name in ((0.99, "p99"), (0.95, "p95"), (0.5, "p50"), (0.1, "p10"), (0.05, "p05")):
            assert 100 * quality_binomial(n, ac, chance) == pytest.approx(float(row[f"b_{name}"]), abs=0.0006)
            assert quality_poisson(n, ac, chance) == pytest.approx(float(row[f"p_{name}"]), abs=0.0006)
    assert len(table) > 100


def test_bought_lot_of_500() -> None:
    # the same cells through the door that buyers use; critical: none
    plan = bought_lot_plan(500)
    assert [(row.name, row.n, row.accept) for row in plan.rows] == [
        ("critical", 50, 0),
        ("major", 50, 3),
        ("minor", 50, 5),
    ]
    assert plan.take == 50
