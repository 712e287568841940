"""Sheets: two cuts, blade, edges, direction, several sheets, shortages."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bedwright.cutting.sheets.audit import audit
from bedwright.cutting.sheets.problem import Piece, Sheet, SheetProblem
from bedwright.cutting.solve import solve
from bedwright.errors import FaultsFound


def test_four_pads_fill_a_sheet_with_blade_and_edge_to_the_last_tenth() -> None:
    # along 50 + 1000 + 20 + 1000 + 50 = 2120, across 50 + 700 + 20 + 700 + 50 = 1520
    problem = SheetProblem("pad", (Piece("a", 1000, 700, 4),), (Sheet("s", 2120, 1520),), kerf=20, edge=50)
    plan = solve(problem)
    assert len(plan.sheets) == 1
    assert plan.proof.proven
    assert audit(plan) == ()
    assert len(solve(replace(problem, stock=(Sheet("s", 2119, 1520),))).sheets) == 2


def test_a_turn_is_made_only_where_the_material_allows_it() -> None:
    stock = (Sheet("s", 2000, 1000),)
    turned = solve(SheetProblem("pad", (Piece("a", 1000, 2000, 1, may_turn=True),), stock))
    assert turned.sheets[0].bands[0].pieces[0].turned
    assert audit(turned) == ()
    with pytest.raises(FaultsFound) as refused:
        SheetProblem("pad", (Piece("rail", 1000, 2000, 1),), stock)
    assert "rail" in str(refused.value)
    assert "may not turn" in str(refused.value)
    assert "s 200 x 100" in str(refused.value)


def test_a_pinwheel_cannot_be_parted_by_two_cuts() -> None:
    """Four 3 x 2 round a middle square fill 5 x 5, but no first cut passes between them: it takes two sheets."""
    pieces = (Piece("p", 30, 20, 4, may_turn=True), Piece("m", 10, 10, 1))
    plan = solve(SheetProblem("wheel", pieces, (Sheet("s", 50, 50),)), budget=300)
    assert len(plan.sheets) == 2
    assert plan.sheets_bound == 1
    assert not plan.proof.proven
    assert audit(plan) == ()


def test_a_smaller_sheet_is_taken_where_it_is_enough_and_shortage_is_said() -> None:
    pieces = (Piece("a", 1000, 1000, 5),)
    plan = solve(SheetProblem("pad", pieces, (Sheet("large", 2000, 2000), Sheet("small", 1000, 1000))))
    assert plan.sheets_used == {"large": 1, "small": 1} or plan.sheets_used == {"small": 5}
    assert plan.proof.proven
    scarce = solve(SheetProblem("pad", pieces, (Sheet("large", 2000, 2000, 1),)))
    assert [(s.piece, s.count) for s in scarce.short] == [("a", 1)]
    assert audit(scarce) == ()


def test_the_first_cut_is_the_one_asked_for() -> None:
    pieces = (Piece("a", 1000, 300, 2), Piece("b", 500, 700, 3))
    for first in ("across", "along"):
        plan = solve(SheetProblem("pad", pieces, (Sheet("s", 2000, 1500),), first_cut=first))
        assert {sheet.first_cut for sheet in plan.sheets} == {first}
        assert audit(plan) == ()


def test_pieces_too_large_to_share_a_sheet_are_counted_by_the_bound() -> None:
    plan = solve(SheetProblem("pad", (Piece("a", 60, 60, 5),), (Sheet("s", 100, 100),)))
    assert plan.sheets_bound == 5  # area alone says 2
    assert plan.proof.proven
