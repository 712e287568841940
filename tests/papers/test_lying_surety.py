"""How sure a lying is, as rows: both ends of every figure, what moves it most, no finer than it is sure."""

from __future__ import annotations

import pytest

from bedwright.mechanics.lying_sure import LyingMove, LyingSure, figures_of
from bedwright.papers.lying_figures import NO_INTERVAL, told
from bedwright.papers.lying_sheet import lying_sheet
from bedwright.papers.lying_surety import HOW, spans, sure_of, sure_rows


def sure_made(*persons) -> LyingSure:  # type: ignore[no-untyped-def]
    """Intervals of a tenth down and a fifth up, tissue moving all but the sinks."""
    value = tuple(figures_of(one) for one in persons)
    none = tuple(dict.fromkeys(figures, 0.0) for figures in value)
    fifth = tuple({k: 0.2 * abs(v) * (not k.startswith("sink")) for k, v in figures.items()} for figures in value)
    sinks = tuple({k: 0.2 * abs(v) * k.startswith("sink") for k, v in figures.items()} for figures in value)
    return LyingSure(
        value,
        tuple({k: v - 0.1 * abs(v) for k, v in figures.items()} for figures in value),
        tuple({k: v + 0.2 * abs(v) for k, v in figures.items()} for figures in value),
        (LyingMove("tissue", none, fifth), LyingMove("panel tension", none, sinks)),
        ("tissue",),
    )


@pytest.fixture(scope="module")
def two(made):  # type: ignore[no-untyped-def]
    return made.lying_made(("man 1755 mm 80 kg", "supine", 80, 420), ("woman 1630 mm 62 kg", "side", 62, 1080))


def test_every_figure_with_a_key_has_both_ends(two) -> None:  # type: ignore[no-untyped-def]
    sure = sure_of(sure_made(*two.persons))
    rows = {row.word: spans(row, sure) for row in told(two) if row.key}
    first = two.persons[0]
    assert rows["P99"][0] == f"{first.p99:.1f} ({0.9 * first.p99:.1f} to {1.2 * first.p99:.1f})"
    assert rows["pelvis"] == ("32 (29 to 38)", "32 (29 to 38)")
    assert rows["small of it over blades to buttocks"] == ("18 (17 to 22)", "only supine")
    assert rows["roll, to the right positive"] == ("0.0 (0.0 to 0.0)", "2.4 (2.2 to 2.9)")
    assert {row.key for row in told(two) if row.key} == set(figures_of(first))


def test_one_reckoning_each_is_as_one_of_both(two) -> None:  # type: ignore[no-untyped-def]
    first, second = two.persons
    assert sure_of(sure_made(first), sure_made(second)) == sure_of(sure_made(first, second))


def test_rows_name_what_moves_each_most(two) -> None:  # type: ignore[no-untyped-def]
    rows = sure_rows(two, sure_of(sure_made(*two.persons)))
    by_word = {row[0]: row for row in rows if isinstance(row, list)}
    assert by_word["hip"][2] == by_word["hip"][4] == "panel tension"
    assert by_word["mean"][2] == "tissue"
    assert by_word["mean"][1]["u"] == "kPa"
    assert by_word["small of it over blades to buttocks"][3:] == [{"v": "only supine", "u": ""}, ""]
    groups = [row["group"] for row in rows if isinstance(row, dict)]
    assert groups == list(dict.fromkeys(groups))
    assert len(groups) == 5


def test_the_sheet_bears_them(issue, bed_of, read, two) -> None:  # type: ignore[no-untyped-def]
    sure = sure_of(sure_made(*two.persons))
    paper = lying_sheet(issue, bed_of("SNIPE", "150"), two, sure=sure, joint=750.0, more=("one thing more",))
    text = read(paper.data).text
    assert "How sure" in text
    assert HOW in text
    assert NO_INTERVAL not in text
    assert "moved most by" in text
    assert "one thing more" in text
    assert "two of it side by side, zip-linked" in text
    assert "zip" in text
    for row in told(two):
        if row.key:
            for words in spans(row, sure):
                assert words in text, row
