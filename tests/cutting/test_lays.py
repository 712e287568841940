"""Lays: usable width, two across, the turn, repeats, shade lots, plies of different width."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bedwright.cutting.lays.audit import audit
from bedwright.cutting.lays.problem import LayProblem, Panel, Ply, ShadeLot
from bedwright.cutting.solve import solve
from bedwright.errors import FaultsFound

PLIES = (Ply("ticking", 22_000, 200), Ply("wadding", 22_400), Ply("backing", 24_000))


def test_plies_share_the_least_usable_width_and_two_singles_lie_across() -> None:
    problem = LayProblem("plain", (Panel("single", 19_500, 9_500, 4),), PLIES, gap_across=100, gap_along=100)
    plan = solve(problem)
    assert problem.usable_width == 21_600
    assert plan.length == 2 * 19_600
    assert plan.proof.proven
    assert audit(plan) == ()
    assert plan.ply_yields()["backing"] < plan.ply_yields()["ticking"]


def test_a_double_lies_alone_with_waste_and_turned_where_the_pattern_may() -> None:
    alone = solve(LayProblem("one way", (Panel("double", 19_500, 14_000, 4, may_turn=True),), PLIES, one_way=True))
    assert alone.length == 4 * 19_500
    assert alone.proof.proven
    turned = solve(LayProblem("free", (Panel("double", 19_500, 14_000, 4, may_turn=True),), PLIES))
    assert turned.length == 4 * 14_000
    assert turned.proof.proven
    assert audit(turned) == ()


def test_every_row_starts_on_a_pattern_repeat_and_ends_are_counted_once() -> None:
    plan = solve(LayProblem("motif", (Panel("single", 19_500, 9_500, 4),), PLIES, repeat=3_200, ends=5_000))
    assert [row.start for row in plan.lays[0].rows] == [0, 22_400]
    assert plan.length == 2 * 22_400 + 5_000
    assert plan.proof.proven
    assert audit(plan) == ()


def test_panels_of_one_bed_come_from_one_shade_lot() -> None:
    panels = tuple(Panel(f"bed {n}", 20_000, 15_000, 2, shade=f"bed {n}") for n in range(3))
    lots = (ShadeLot("old", 50_000), ShadeLot("new", 90_000))
    plan = solve(LayProblem("shades", panels, PLIES, lots))
    homes = {p.panel: lay.lot for lay in plan.lays for row in lay.rows for p in row.panels}
    # 5 m of the old lot take two panels, one bed; the half row left over may not take half a bed.
    assert sorted(homes.values()) == ["new", "new", "old"]
    assert audit(plan) == ()
    scarce = solve(LayProblem("shades", panels, PLIES, lots[:1]))
    assert sum(row.count for row in scarce.short) == 4
    assert audit(scarce) == ()


def test_ticking_fed_is_said_only_where_the_take_up_was_measured() -> None:
    problem = LayProblem("plain", (Panel("single", 20_000, 9_500, 2),), PLIES)
    assert solve(problem).fed_length is None
    assert solve(replace(problem, take_up=40)).fed_length == 20_800


def test_a_panel_wider_than_the_narrowest_ply_is_refused_by_name() -> None:
    with pytest.raises(FaultsFound) as refused:
        LayProblem("wide", (Panel("super", 20_500, 21_700, 1),), PLIES)
    assert "super" in str(refused.value)
    assert "ply ticking" in str(refused.value)
    assert "2160 mm usable" in str(refused.value)
