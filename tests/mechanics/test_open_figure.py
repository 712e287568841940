"""A figure that the cards leave open: its range, and the sentence that says nobody measured it."""

from __future__ import annotations

import pytest

from bedwright.mechanics.open_figure import OpenFigure


@pytest.mark.parametrize(
    ("name", "card", "told"),
    [
        ("lacing", "unit OPEN", "unit OPEN: nobody measured lacing (tie is empty); "),
        ("end rings", "unit OPEN", "unit OPEN: nobody measured end rings (tie is empty); "),
        ("end rings", "", "nobody measured end rings (tie is empty); "),
    ],
)
def test_the_sentence_is_right_for_one_thing_and_for_several(name: str, card: str, told: str) -> None:
    found = OpenFigure.measured_or(name, "tie", None, 0.2, "N/mm", card)
    assert found.told == f"{told}reckoned with 0.2, from 0 to 0.6 N/mm, plausible only"


def test_a_measured_figure_has_the_tolerance_of_the_works_and_an_open_one_keeps_its_range() -> None:
    measured = OpenFigure.measured_or("lacing", "tie", 0.4, 0.2, "N/mm").within(0.1)
    assert (measured.low, measured.value, measured.high) == (pytest.approx(0.36), 0.4, pytest.approx(0.44))
    plausible = OpenFigure.measured_or("lacing", "tie", None, 0.2, "N/mm").within(0.1)
    assert (plausible.low, plausible.value, plausible.high) == (0.0, 0.2, pytest.approx(0.6))
    assert (plausible.nothing().high, plausible.nothing().known) == (0.0, True)
