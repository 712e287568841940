"""The van sheet read back: last stop first, lifts, collections, cautions."""

from __future__ import annotations

from datetime import date

import pypdfium2
import pytest

from bedwright.loading.from_orders import VanLoad
from bedwright.loading.problem import Bundle, LoadProblem, Stop, Vehicle
from bedwright.loading.rows import rows
from bedwright.loading.solve import solve
from bedwright.papers.cautions import CAUTIONS
from bedwright.papers.van_sheet import van_keys, van_sheet


def load(**more: object) -> VanLoad:
    problem = LoadProblem(
        name="NORTH 2026-03-06",
        vehicle=Vehicle("VAN-1", 4200, 2000, 2100, 1_200_000, tail_lift=True),
        stops=(Stop("INN", "Upper Row", "way in by stairs"), Stop("SHOP", "Low Street")),
        goods=(
            Bundle("B1", "INN", 2000, 1500, 260, 41_000, 2, what="Snipe 150"),
            Bundle("B2", "SHOP", 1450, 360, 360, 22_000, 2, ways=("rolled",), stack=2, what="Knot 135"),
        ),
        **more,  # type: ignore[arg-type]
    )
    plan = solve(problem)
    return VanLoad("NORTH", date(2026, 3, 6), "VAN-1", 4, 0, plan, ())


COLLECTED = (Bundle("C1", "INN", 1900, 900, 250, 20_000, 1, what="old bed 90, bagged"),)


@pytest.fixture(scope="module")
def plain(issue, read):  # type: ignore[no-untyped-def]
    one = load()
    return one, read(van_sheet(issue, one).data)


def test_steps_are_in_words_and_in_loading_order(plain) -> None:  # type: ignore[no-untyped-def]
    one, sheet = plain
    steps = [row for row in rows(one.plan) if row.act == "load"]
    places = [sheet.text.index(f"{row.how_many} × {row.what}") for row in steps]
    assert places == sorted(places)
    assert steps[0].stop == "SHOP", "the last stop goes on first"
    for row in steps:
        assert row.where in sheet.text
        assert row.words in sheet.text


def test_cautions_lifts_and_stairs_are_read_back(plain) -> None:  # type: ignore[no-untyped-def]
    one, sheet = plain
    for key in van_keys(one.plan):
        assert f"{CAUTIONS[key].word}. {CAUTIONS[key].says}" in sheet.text
    assert "use a trolley, sack truck or tail-lift (41 kg; filter, not a limit; HSE INDG143)" in sheet.text
    assert "three people (22 kg;" in sheet.text
    assert "way in by stairs" in sheet.text
    assert "upright and strapped" in sheet.text
    assert "tail-lift" in sheet.text
    assert "returns" not in van_keys(one.plan)


def test_lifting_and_strapping_stand_on_page_one_above_the_first_step(plain) -> None:  # type: ignore[no-untyped-def]
    _, sheet = plain
    first = " ".join(pypdfium2.PdfDocument(sheet.raw)[0].get_textpage().get_text_range().split())
    begins = sheet.text.index("Load in this order")
    for says in ("Lifts: three people", "Beds on edge stand upright", "Look at the way first", "On the tail-lift:"):
        assert says in first
        assert sheet.text.index(says) < begins
    assert "2 × Knot 135" in first, "the first step is on the same page"
    assert sheet.text.count("Snipe 150 41 kg") == 1


def test_collections_have_their_list_drawing_and_caution(issue, read) -> None:  # type: ignore[no-untyped-def]
    one = load(collections=COLLECTED)
    sheet = read(van_sheet(issue, one).data)
    assert "Collect on the way, bagged" in sheet.text
    assert "1 × old bed 90, bagged" in sheet.text
    assert "Collected beds where they ride back" in sheet.text
    assert CAUTIONS["returns"].says in sheet.text


def test_what_stays_behind_is_said(issue, read) -> None:  # type: ignore[no-untyped-def]
    one = load(two_person=25_000)
    small = LoadProblem(
        "NORTH", Vehicle("TINY", 1000, 1000, 1000, 50_000), one.plan.problem.stops, one.plan.problem.goods
    )
    left = VanLoad("NORTH", date(2026, 3, 6), "TINY", 4, 0, solve(small), ())
    sheet = read(van_sheet(issue, left).data)
    assert "Stays behind" in sheet.text
    assert "Snipe 150" in sheet.text


def test_same_bytes_and_a_name_that_sorts(issue) -> None:  # type: ignore[no-untyped-def]
    one = load()
    paper = van_sheet(issue, one)
    assert paper == van_sheet(issue, one)
    assert paper.name == "van-sheet_2026-03-06_north.pdf"
