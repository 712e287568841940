"""The sheet of persons lying read back: every figure with its unit, threshold, cell, caution, both who turn."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bedwright.mechanics.lain import CAUTION, PARTS
from bedwright.mechanics.turned import Turned
from bedwright.papers.cautions import CAUTIONS, CERTIFIES_NOTHING
from bedwright.papers.lying_figures import NO_INTERVAL, told, turning_words, who_lies
from bedwright.papers.lying_sheet import lying_sheet

MOVED = Turned("man A", "woman B", "supine", "side", {"shoulder": 3.2, "hip": -2.4, "heel": 0.3}, -0.41, 0.0, 0.126)


@pytest.fixture(scope="module")
def two(made):  # type: ignore[no-untyped-def]
    return made.lying_made(("man 1755 mm 80 kg", "supine", 80, 420), ("woman 1630 mm 62 kg", "side", 62, 1080))


@pytest.fixture(scope="module")
def sheet(issue, bed_of, read, two):  # type: ignore[no-untyped-def]
    paper = lying_sheet(issue, bed_of("SNIPE", "150"), two, turned=(MOVED,), gap=(735.0, 765.0))
    return paper, read(paper.data)


class TestSheet:
    def test_every_row_is_there_for_both(self, sheet, two) -> None:  # type: ignore[no-untyped-def]
        text = sheet[1].text
        for one in told(two):
            assert one.group.replace(" ", "") in text.replace(" ", "")
            for value in one.values:
                assert value in text
            assert one.word in text
        plain = text.replace(" ", "")
        first, second = two.persons
        assert f"touchedarea{first.contact_area:.2f}m²{second.contact_area:.2f}m²" in plain
        assert f"P99{first.p99:.3g}kPa{second.p99:.3g}kPa" in plain
        assert "18mmonlysupine" in plain
        assert "7mmonlysupine" in plain
        assert f"hip{first.sink['hip']:.0f}mm{second.sink['hip']:.0f}mm" in plain
        for part in PARTS:
            assert f"{part}{100 * first.share[part]:.0f}%{100 * second.share[part]:.0f}%" in plain

    def test_threshold_cell_base_face_and_who(self, sheet) -> None:  # type: ignore[no-untyped-def]
        text = sheet[1].text
        for words in (
            "1: man 1755 mm 80 kg, supine", "2: woman 1630 mm 62 kg, on the side", "more than 0.5 kPa",
            "cells of 20 mm", "touched from more than", "face up", "solid", "for comparison only", NO_INTERVAL,
            "the columns are made up",
        ):  # fmt: skip
            assert words in text, words

    def test_cautions(self, sheet) -> None:  # type: ignore[no-untyped-def]
        text = sheet[1].text
        assert f"Persons lying. {CAUTION}" in text
        assert text.count(CAUTION) == 2, "in the box and under the map"
        assert CAUTIONS["infants"].says in text
        assert CERTIFIES_NOTHING in text

    def test_turning_and_gap_are_told(self, sheet) -> None:  # type: ignore[no-untyped-def]
        assert turning_words(MOVED) in sheet[1].text
        assert "gap 30 mm" in sheet[1].text

    def test_pages_and_name(self, sheet) -> None:  # type: ignore[no-untyped-def]
        paper, found = sheet
        assert paper.name == "lying_snipe_150.pdf"
        assert found.pages == 2
        assert paper.written_out == ()

    def test_same_bytes(self, issue, bed_of, two, sheet) -> None:  # type: ignore[no-untyped-def]
        again = lying_sheet(issue, bed_of("SNIPE", "150"), two, turned=(MOVED,), gap=(735.0, 765.0))
        assert again.data == sheet[0].data

    def test_one_alone_with_strange_words(self, issue, bed_of, read, made) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made()
        odd = replace(lying, notes=("#panic() & <b> \u2603",), persons=(replace(lying.persons[0], called="man *x* $"),))
        paper = lying_sheet(issue, bed_of("SNIPE", "150"), odd)
        text = read(paper.data).text
        assert "#panic() & <b> [U+2603]" in text
        assert "man *x* $, supine" in text
        assert "When" not in text


def test_turning_in_words() -> None:
    words = turning_words(MOVED)
    assert words == (
        "When woman B turns onto the side, man A rolls 0.4° to the left and moves: shoulder 3 mm deeper, "
        "hip 2 mm higher; P99 +0.13 kPa, spine ±0.0°."
    )
    still = replace(MOVED, sink={"hip": 0.4}, roll=0.01, now="supine", was="side")
    assert "turns to supine, man A does not roll, and no part of it moves by 0.5 mm" in turning_words(still)


def test_no_figure_is_minus_nothing(made) -> None:  # type: ignore[no-untyped-def]
    lying = made.lying_made()
    one = lying.persons[0]
    flat = replace(
        one, sink={**one.sink, "head": -0.2}, spine=replace(one.spine, angle=-0.04), roll=-0.01, clearance=0.0
    )
    rows = told(replace(lying, persons=(flat,)))
    values = {row.word: row.values[0] for row in rows if row.group in ("Spine", "Sink below the untouched face")}
    assert values["head"] == "0"
    assert values["angle, head higher positive"] == "0.0"
    assert values["roll, to the right positive"] == "0.0"
    assert next(row.values for row in rows if row.word == "largest gap under the small of it") == ("0",)
    assert who_lies(lying) == ["man 1755 mm 80 kg, supine"]


def test_what_is_out_of_balance_is_said_in_plain_figures(made) -> None:  # type: ignore[no-untyped-def]
    lying = made.lying_made()
    for error, words in ((0.0, "<0.0001"), (9e-7, "<0.0001"), (3.21e-5, "0.003"), (-0.02, "2")):
        one = replace(lying.persons[0], force_error=error)
        row = next(row for row in told(replace(lying, persons=(one,))) if row.word == "force, of the weight")
        assert row.values == (words,)
        assert row.figures() == [{"v": words, "u": "%"}]
