"""Bought beds on the page: a difference is printed only where the band of the exchange rate leaves one."""

from __future__ import annotations

import pytest

from bedwright.papers.index_page import _bought


def page(made: str | None, move: float = 5.0) -> str:
    one = {
        "offer": "OFFER-1", "bed": "TEAL", "size": "150x200", "plant": "PLANT-A", "landed_per_good": "150.00",
        "landed_low": "143.00", "landed_high": "157.00", "made": made, "difference": made and "-7.77", "final": True,
        "open_points": [], "sample": 5,
    }  # fmt: skip
    summary = {"version": {"currency": "GBP"}, "cost": {"exchange_move_percent": move, "bought": [one]}}
    return _bought(summary)


@pytest.mark.parametrize("made", ["143.00", "150.00", "157.00", "149.9"])
def test_inside_the_band_no_difference_can_be_told(made: str) -> None:
    assert "no difference can be told" in page(made)
    assert "-7.77" not in page(made)


@pytest.mark.parametrize("made", ["142.99", "157.01"])
def test_outside_it_the_difference_is_printed(made: str) -> None:
    assert "no difference can be told" not in page(made)
    assert "-7.77" in page(made)


def test_not_known_and_the_move_of_the_rule() -> None:
    assert "not known" in page(None)
    assert "7.5 % either way" in page("150", move=7.5)
