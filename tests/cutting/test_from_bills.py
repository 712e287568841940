"""Cuts gathered from bills: every piece of every bed is asked for once, answers pass the audit, yields add up."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date

import pytest

from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill
from bedwright.cutting.from_bills import Cuts, cut_problems, solve_cuts
from bedwright.cutting.gather import Asked
from bedwright.cutting.lays.plan import LayPlan
from bedwright.cutting.lays.problem import LayProblem, ShadeLot
from bedwright.cutting.sheets.plan import SheetPlan
from bedwright.cutting.slits.plan import SlitPlan
from bedwright.design.buildup import bed_at_size
from bedwright.works.beds import Bed
from bedwright.works.runs import Run, runs_to_make
from bedwright.works.trading import Order
from bedwright.works.works import Works


def bill(works: Works, bed: str, size: str) -> Bill:
    return make_bill(works, bed_at_size(works, works.beds[bed], works.sizes[size]))


@pytest.fixture(scope="module")
def runs(small_works: Works) -> tuple[Run, ...]:
    return runs_to_make(small_works, small_works.about.as_of)


@pytest.fixture(scope="module")
def cuts(small_works: Works, runs: tuple[Run, ...]) -> Cuts:
    return solve_cuts(cut_problems(small_works, lambda bed, size: bill(small_works, bed, size), runs), budget=4)


def test_every_answer_passes_the_audit(cuts: Cuts) -> None:
    assert cuts.cuts and all(cut.faults == () for cut in cuts.cuts)
    assert {cut.asked.kind for cut in cuts.cuts} == {"lay", "sheet", "slit"}


def test_every_panel_of_every_bed_is_asked_for_once(small_works: Works, runs: tuple[Run, ...], cuts: Cuts) -> None:
    wanted: Counter[str] = Counter()
    for run in runs:
        for panel in bed_at_size(small_works, small_works.beds[run.bed], small_works.sizes[run.size]).panels:
            wanted[panel.card.code] += run.beds
    asked: Counter[str] = Counter()
    for cut in cuts.of_kind("lay"):
        assert isinstance(cut.plan, LayPlan)
        name = cut.plan.problem.name.split()
        if name[1] == "panel":
            asked[name[2]] += sum(panel.count for panel in cut.plan.problem.panels)
    assert asked == wanted


def test_tape_and_rods_are_as_long_as_in_the_bill(small_works: Works, runs: tuple[Run, ...], cuts: Cuts) -> None:
    tape = sum(
        run.beds * sum(row.quantity for row in bill(small_works, run.bed, run.size).rows if row.code == "TAPE38")
        for run in runs
    )
    cut = sum(
        strip.length * strip.count
        for one in cuts.of_kind("slit")
        if one.asked.code == "TAPE38" and isinstance(one.plan, SlitPlan)
        for strip in one.plan.problem.pieces
    )
    assert cut / 10_000 == pytest.approx(tape, rel=1e-4)


def test_foam_pieces_have_the_area_of_the_bill(small_works: Works, runs: tuple[Run, ...], cuts: Cuts) -> None:
    for code in ("FOAM30", "RAILFOAM"):
        area = sum(
            run.beds * sum(row.quantity for row in bill(small_works, run.bed, run.size).rows if row.code == code)
            for run in runs
        )
        cut = sum(
            piece.along * piece.across * piece.count
            for one in cuts.of_kind("sheet")
            if one.asked.code == code and isinstance(one.plan, SheetPlan)
            for piece in one.plan.problem.pieces
        )
        assert cut / 1e8 == pytest.approx(area, rel=1e-3)


def test_yields_are_shares_and_named_by_material(cuts: Cuts) -> None:
    assert {"TICK", "TICK2", "FOAM30", "FELT"} <= set(cuts.yields)
    assert all(0 < share <= 1 for share in cuts.yields.values())
    assert "TAPE38" not in cuts.yields  # what is left of a roll of tape goes back to stock


def test_beds_share_one_shade_lot(cuts: Cuts) -> None:
    for cut in cuts.of_kind("lay"):
        if isinstance(cut.plan, LayPlan) and "panel" in cut.plan.problem.name:
            assert all(panel.shade for panel in cut.plan.problem.panels)


def test_both_halves_of_a_pair_come_from_one_shade_lot(small_works: Works) -> None:
    """Ten halves are two runs of one line; where lots are short, the line still lies in one of them."""
    pair = {**small_works.beds["KNOT"].model_dump(), "code": "PAIR", "pair": "zip-linked", "pair_zip": "ZIPPER"}
    order = Order.make(
        code="P-1", customer="QUIET", ordered=date(2026, 2, 20), due=date(2026, 3, 12), van_round="NORTH",
        lines=(
            {"position": 1, "bed": "PAIR", "size": "90", "quantity": 10},
            {"position": 2, "bed": "PAIR", "size": "90", "quantity": 2},
        ),
    )  # fmt: skip
    kept = [card for card in small_works.all_cards() if card.KIND != "order"]
    works = Works.of(small_works.about, [*kept, Bed.make(**pair), order])
    runs = runs_to_make(works, works.about.as_of)
    assert [(run.line, run.beds) for run in runs] == [(1, 6), (1, 4), (2, 2)]
    asked = [
        one
        for one in cut_problems(works, lambda bed, size: bill(works, bed, size), runs)
        if isinstance(one.problem, LayProblem) and "panel" in one.problem.name
    ]
    assert len(asked) == 1
    question = asked[0].problem
    assert isinstance(question, LayProblem)
    assert sorted((panel.shade, panel.count) for panel in question.panels) == [("P-1 1", 10), ("P-1 2", 2)]
    # two 900 panels lie across a roll of 2200: five rows of 2.1 m for line 1, one for line 2
    row = question.panels[0].along
    lots = (ShadeLot("S1", 3 * row), ShadeLot("S2", 6 * row))
    cut = solve_cuts((Asked("w", "lay", "TICK2", replace(question, lots=lots)),)).cuts[0]
    assert isinstance(cut.plan, LayPlan) and cut.faults == () and cut.plan.short == ()
    shade = {panel.key: panel.shade for panel in question.panels}
    laid = {(shade[one.panel], lay.lot) for lay in cut.plan.lays for row in lay.rows for one in row.panels}
    assert laid == {("P-1 1", "S2"), ("P-1 2", "S1")}
