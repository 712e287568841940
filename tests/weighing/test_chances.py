"""How often a bed falls outside the band: the count against a closed form, its interval against counting."""

from __future__ import annotations

from math import comb

import pytest

from bedwright.errors import OutsideRange
from bedwright.mechanics.intervals import Move
from bedwright.weighing.chances import binomial_interval, is_made, outside_band


def move(name: str, down: float, up: float) -> Move:
    return Move(name, (up - down) / 2, 0.0, down, up, 0.0, 0.0)


def test_one_figure_falls_out_as_a_straight_share() -> None:
    """H 4, moved evenly from 3 to 5, band 3.5 to 9: a quarter lies below, by arithmetic."""
    found = outside_band(4.0, [move("wire diameter", -1.0, 1.0)], (3.5, 9.0), seed=3, drawn=20_000)
    assert found.low < 0.25 < found.high
    assert found == outside_band(4.0, [move("wire diameter", -1.0, 1.0)], (3.5, 9.0), seed=3, drawn=20_000)
    assert found != outside_band(4.0, [move("wire diameter", -1.0, 1.0)], (3.5, 9.0), seed=4, drawn=20_000)


def test_two_even_figures_add_to_a_triangle() -> None:
    """The sum of two even figures of half width 1 is over 1.5 with (2 - 1.5)^2 / 8, by the triangle's area."""
    moves = [move("live turns", -1.0, 1.0), move("filling FELT", -1.0, 1.0)]
    found = outside_band(4.0, moves, (0.0, 5.5), seed=1, drawn=40_000)
    assert found.low < 0.5**2 / 8 < found.high


def test_what_nobody_measured_is_left_out_of_making() -> None:
    moves = [move("lacing", -2.0, 2.0), move("coil height", -0.1, 0.1)]
    assert outside_band(4.0, moves, (3.5, 4.5), seed=1).share > 0.5
    assert outside_band(4.0, moves, (3.5, 4.5), seed=1, made=True).outside == 0
    assert is_made("heat of OC-52") and not is_made("panel tension")


@pytest.mark.parametrize(("hits", "drawn"), [(0, 20), (3, 20), (10, 20), (20, 20)])
def test_the_interval_is_where_tails_are_a_fortieth(hits: int, drawn: int) -> None:
    """Clopper and Pearson: at the ends the count seen, or one further off, has a chance of 0.025 (book
    `clopper-pearson`); here by plain sums of binomial terms."""
    low, high = binomial_interval(hits, drawn)

    def at_least(k: int, p: float) -> float:
        return sum(comb(drawn, i) * p**i * (1 - p) ** (drawn - i) for i in range(k, drawn + 1))

    if hits:
        assert at_least(hits, low) == pytest.approx(0.025, rel=1e-9)
    if hits < drawn:
        assert 1 - at_least(hits + 1, high) == pytest.approx(0.025, rel=1e-9)
    assert (low == 0.0) == (hits == 0) and (high == 1.0) == (hits == drawn)


def test_refusals() -> None:
    with pytest.raises(OutsideRange, match="0 draws"):
        outside_band(4.0, [], (3.0, 5.0), seed=1, drawn=0)
    with pytest.raises(OutsideRange, match="5 of 3"):
        binomial_interval(5, 3)
