"""Figures, days and file names as papers show them."""

from __future__ import annotations

from datetime import date, datetime

from bedwright.papers.figures import day, figure, file_stem, moment, size_words


def test_never_finer_than_the_interval() -> None:
    assert figure(41.237, "kg", 4, interval=1.24) == {"v": "41 ± 1", "u": "kg"}
    assert figure(5.8612, "N/mm", 4, interval=0.23) == {"v": "5.9 ± 0.2", "u": "N/mm"}


def test_days_cannot_be_read_the_other_way_round() -> None:
    assert day(date(2026, 3, 4)) == "Wed 4 Mar 2026"
    assert moment(datetime(2026, 3, 4, 6, 5)) == "Wed 4 Mar 06:05"


def test_size_as_the_trade_says_it() -> None:
    assert size_words(1500, 2000) == "150 × 200 cm"
    assert size_words(1350, 1905, 262.4) == "135 × 190.5 cm, 262 mm high"


def test_file_names_are_plain_and_differ_where_codes_differ() -> None:
    assert file_stem("PLOVER-LINK", "90x190") == "plover-link_90x190"
    assert file_stem("../é t") == "e9-t"
    assert file_stem("bé") != file_stem("bè")
    assert file_stem("///") == "paper"
