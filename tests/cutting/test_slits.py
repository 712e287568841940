"""Slits: kerf, trims, joins, remnants, shortages, bounds."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bedwright.cutting.bounds import fewest_bars
from bedwright.cutting.rolls import RollProblem, plan_roll
from bedwright.cutting.rolls import audit as audit_roll
from bedwright.cutting.slits.audit import audit
from bedwright.cutting.slits.problem import Bar, SlitProblem, Strip
from bedwright.cutting.solve import solve
from bedwright.errors import FaultsFound


def test_three_strips_fill_a_bar_with_blade_and_trims_to_the_last_tenth() -> None:
    # 100 + 3 x 1000 + 2 x 30 + 40 = 3200: the last cut is free.
    problem = SlitProblem("rod", (Strip("a", 1000, 3),), (Bar("bar", 3200),), kerf=30, head_trim=100, tail_trim=40)
    plan = solve(problem)
    assert len(plan.bars) == 1
    assert plan.proof.proven
    assert [p.start for p in plan.bars[0].parts] == [100, 1130, 2160]
    assert audit(plan) == ()
    assert plan.yield_percent == pytest.approx(100 * 3000 / 3200)
    shorter = solve(replace(problem, stock=(Bar("bar", 3199),)))
    assert len(shorter.bars) == 2
    assert audit(shorter) == ()


def test_a_strip_longer_than_every_bar_is_refused_by_name() -> None:
    with pytest.raises(FaultsFound) as refused:
        SlitProblem("border", (Strip("king border", 72_000, 2), Strip("", 0, 1)), (Bar("roll width", 22_000),))
    text = str(refused.value)
    assert "king border" in text
    assert "roll width" in text
    assert "7200 mm" in text
    assert len(refused.value.faults) == 2


def test_a_border_may_be_joined_as_often_as_allowed_and_no_part_is_too_short() -> None:
    border = Strip("border", 72_000, 3, joins=3, join_allowance=300, least_part=3_000)
    plan = solve(SlitProblem("border", (border,), (Bar("across", 22_000),)))
    assert audit(plan) == ()
    # 72000 + 3 x 300 = 72900 from four parts of 22000 at most: at least ten bars for three borders by length.
    assert len(plan.bars) == plan.bars_bound == 10
    assert plan.joins == 9
    with pytest.raises(FaultsFound):
        SlitProblem("border", (replace(border, joins=2),), (Bar("across", 22_000),))


def test_remainders_are_joined_before_a_new_reel_is_opened() -> None:
    tape = Strip("tape", 6_000, 3, joins=1, join_allowance=0, least_part=500)
    plan = solve(SlitProblem("tape", (tape,), (Bar("reel", 9_000),)))
    assert len(plan.bars) == 2
    assert plan.joins == 1
    assert audit(plan) == ()


def test_remnants_go_first_and_what_stock_cannot_give_is_short_with_a_reason() -> None:
    pieces = (Strip("a", 1000, 5),)
    plan = solve(SlitProblem("rod", pieces, (Bar("remnant", 2000, 1), Bar("new", 3000))))
    assert plan.bars_used == {"new": 1, "remnant": 1}
    assert plan.proof.proven
    scarce = solve(SlitProblem("rod", pieces, (Bar("remnant", 2000, 2),)))
    assert [(s.piece, s.count) for s in scarce.short] == [("a", 1)]
    assert "used up" in scarce.short[0].reason
    assert audit(scarce) == ()


def test_a_half_filled_long_bar_becomes_a_short_one() -> None:
    plan = solve(SlitProblem("rod", (Strip("a", 900, 4),), (Bar("long", 3000), Bar("short", 1000))))
    assert plan.bars_used == {"long": 1, "short": 1}
    assert plan.proof.value == 4000


def test_more_orders_are_never_worse_and_the_same_seed_gives_the_same_plan() -> None:
    sizes = (41, 37, 33, 29, 26, 23, 19, 17, 13, 11)
    problem = SlitProblem("mix", tuple(Strip(str(s), s, 3) for s in sizes), (Bar("bar", 100),))
    one, many = solve(problem, 1), solve(problem, 300, seed=7)
    assert many.proof.value <= one.proof.value
    assert many == solve(problem, 300, seed=7)
    assert many.proof.tried <= 300


def test_size_classes_need_more_bars_than_length_alone() -> None:
    assert fewest_bars([(60, 3)], 100) == 3  # length alone says 2
    assert fewest_bars([], 100) == 0


def test_a_roll_is_slit_into_bands_and_each_band_cut_to_length() -> None:
    strips = ((2_800, Strip("wide", 60_000, 9)), (2_000, Strip("narrow", 50_000, 4)))
    problem = RollProblem("border", strips, "roll", 22_000, 250_000, selvedge=150, knife=0)
    plan = plan_roll(problem)
    # four of 6 m and four of 5 m to a 25 m band: 3 + 1 bands, 3 x 280 + 200 = 1040 of 2170 mm.
    assert [(w, len(p.bars)) for w, p in plan.lengths] == [(2_800, 3), (2_000, 1)]
    assert plan.proof.value == plan.proof.bound == 1
    assert audit_roll(plan) == ()
    with pytest.raises(FaultsFound, match="too wide"):
        RollProblem("border", ((22_000, Strip("too wide", 1, 1)),), "roll", 22_000, 250_000, selvedge=150)
