"""Cuts gathered from bills: every piece of every bed is asked for once, answers pass the audit, yields add up."""

from __future__ import annotations

from collections import Counter

import pytest

from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill
from bedwright.cutting.from_bills import Cuts, cut_problems, solve_cuts
from bedwright.cutting.lays.plan import LayPlan
from bedwright.cutting.sheets.plan import SheetPlan
from bedwright.cutting.slits.plan import SlitPlan
from bedwright.design.buildup import bed_at_size
from bedwright.works.runs import Run, runs_to_make
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
