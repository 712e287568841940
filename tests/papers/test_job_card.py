"""The job card read back: its code by a decoder that is not ours, its cautions, and no price."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime

import pytest

from bedwright.loading.lifting import lift_words
from bedwright.papers.cautions import CAUTIONS
from bedwright.papers.job_card import JobCard, card_keys, job_cards, planned_starts
from bedwright.reckoning import Reckoning
from bedwright.works.runs import Run
from bedwright.works.vans import VanRun

VAN = VanRun("NORTH", date(2026, 3, 6), datetime(2026, 3, 6, 6, 30), datetime(2026, 3, 5, 16, 0), True)


@pytest.fixture(scope="module")
def cards(bed_of, bill_of, label_of):  # type: ignore[no-untyped-def]
    def card(bed: str, size: str, number: int) -> JobCard:
        one = bed_of(bed, size)
        run = Run(f"W0K3ZP7Q{number:02d}-1", "PW-1", number, "LANTERN", bed, size, 4, 1, 2, VAN)
        starts = {10: "Mon 2 Mar 07:30"}
        return JobCard(run, one, bill_of(one), label_of(one), "Lantern Row Lodgings", "The Lantern", starts)

    return [card("SNIPE", "150", 1), card("KNOT", "135", 2), card("RUFF", "90", 3)]


@pytest.fixture(scope="module")
def sheet(issue, cards, read):  # type: ignore[no-untyped-def]
    return read(job_cards(issue, cards, "NORTH 2026-03-06").data)


def test_two_pages_a_card_and_the_code_reads_back(sheet, cards) -> None:  # type: ignore[no-untyped-def]
    assert sheet.pages == 2 * len(cards)
    for place, card in enumerate(cards):
        assert sheet.codes(2 * place) == [card.run.id]


def test_the_code_reads_from_a_coarse_picture(sheet, cards) -> None:  # type: ignore[no-untyped-def]
    assert sheet.codes(0, scale=1.5) == [cards[0].run.id]


def test_every_card_carries_its_cautions(issue, cards, read) -> None:  # type: ignore[no-untyped-def]
    for card in cards:
        text = read(job_cards(issue, [card], "x").data).text
        for key in card_keys(card):
            assert f"{CAUTIONS[key].word}. {CAUTIONS[key].says}" in text
    assert {"wire", "oven", "needles", "detector"} <= set(card_keys(cards[0]))
    assert "rolled" in card_keys(cards[1])
    assert "bale" in card_keys(cards[2])


def test_steps_van_and_draft_are_there(sheet, cards) -> None:  # type: ignore[no-untyped-def]
    for words in (
        "DRAFT: not released", "NORTH", "Fri 6 Mar 2026", "wrapped by Thu 5 Mar 16:00", "tape 38", "The Lantern",
        "Mon 2 Mar 07:30", "hand side-stitch", "flip, 2 people", "150 × 200 cm", "4 beds", "run 1 of 2",
    ):  # fmt: skip
        assert words in sheet.text, words
    for step in cards[0].bill.operations:
        assert step.operation in sheet.text


def test_a_released_run_bears_its_lasting_id_and_a_ticket_for_each_bed(issue, cards, read) -> None:  # type: ignore[no-untyped-def]
    serials = tuple(f"S0000{n:03d}{n % 10}" for n in range(1, 13))
    run = replace(cards[0].run, id="W000001.1", beds=12, serials=serials)
    printed = read(job_cards(issue, [replace(cards[0], run=run), cards[1]], "x").data)
    assert "TICKETS OF W000001.1" in printed.text and "bed 12 of 12" in printed.text
    assert printed.codes(0) == ["W000001.1"]
    assert sorted(printed.codes(2)) == list(serials)
    assert printed.codes(4) == [cards[1].run.id], "the next card begins on the front of a leaf"
    assert printed.text.count("DRAFT: not released") == 1, "only the run that is not released says draft"


def test_the_line_of_mass_says_how_many_lift(sheet, cards) -> None:  # type: ignore[no-untyped-def]
    for card in cards:
        assert lift_words(card.bill.packed_mass, two_from=25.0) in sheet.text
        assert ("lift" in card_keys(card)) >= (card.bill.packed_mass > 16)
    assert any(card.bill.packed_mass > 24 for card in cards)


def test_a_step_shows_its_own_caution_on_its_line(issue, cards, read) -> None:  # type: ignore[no-untyped-def]
    made = cards[1].bill.operations
    steps = tuple(replace(one, caution="rolled") if one.operation == "roll" else one for one in made)
    card = replace(cards[1], bill=replace(cards[1].bill, operations=steps))
    text = read(job_cards(issue, [card], "x").data).text
    assert re.search(r"roll, 2 people \S+ Rolled bed", text)
    assert {"rolled", "nip"} <= set(card_keys(card)), "the roller draws fingers in, whatever its step says"


def test_no_price_and_no_money(sheet) -> None:  # type: ignore[no-untyped-def]
    assert not {"GBP", "£", "price", "cost", "margin"} & set(sheet.text.lower().split())
    assert "GBP" not in sheet.text


def test_a_label_that_is_not_complete_is_said(sheet) -> None:  # type: ignore[no-untyped-def]
    assert "Label: postal address is empty." in sheet.text


def test_a_van_that_comes_too_late_is_said(issue, cards, read) -> None:  # type: ignore[no-untyped-def]
    late = replace(cards[0], run=replace(cards[0].run, van=replace(VAN, in_time=False)))
    assert "No van is left that gets there in time" in read(job_cards(issue, [late], "x").data).text
    told = replace(cards[0], says=("By this draft plan the run misses its van.",))
    assert "By this draft plan the run misses its van." in read(job_cards(issue, [told], "x").data).text


def test_same_bytes_twice(issue, cards) -> None:  # type: ignore[no-untyped-def]
    assert job_cards(issue, cards, "x") == job_cards(issue, cards, "x")


def test_starts_come_from_the_plan_in_wall_time(small_works) -> None:  # type: ignore[no-untyped-def]
    reckoning = Reckoning(small_works)
    starts = planned_starts(reckoning.plan_problem, reckoning.plan)
    assert set(starts) <= {run.id for run in reckoning.runs}
    run = next(run for run in reckoning.runs if run.id in starts)
    positions = {step.position for step in reckoning.bill(run.bed, run.size).operations}
    assert set(starts[run.id]) == positions
    assert all(
        re.fullmatch(r"(Mon|Tue|Wed|Thu|Fri) \d{1,2} (Mar|Apr) \d\d:\d\d", one) for one in starts[run.id].values()
    )
