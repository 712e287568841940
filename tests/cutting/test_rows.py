"""Plain rows and totals of cut plans, and auditors that say what is wrong."""

from __future__ import annotations

from dataclasses import replace

from bedwright.cutting.lays.problem import LayProblem, Panel, Ply, ShadeLot
from bedwright.cutting.rows import rows, total
from bedwright.cutting.sheets.problem import Piece, Sheet, SheetProblem
from bedwright.cutting.slits.problem import Bar, SlitProblem, Strip
from bedwright.cutting.solve import audit, solve


def test_alike_bars_are_one_row_with_what_comes_out() -> None:
    plan = solve(SlitProblem("rod", (Strip("a", 18_505, 7),), (Bar("bar", 60_000),)))
    made = rows(plan)
    assert [(r.how_many, r.what) for r in made] == [(2, "3 x a 1850.5"), (1, "1 x a 1850.5")]
    assert made[0].where == "bar 6000 mm"
    assert "448.5 mm of each" in made[0].words


def test_lay_rows_name_beds_turn_and_metres() -> None:
    panels = (Panel("p1", 19_500, 14_000, 2, may_turn=True, what="Teal 135"),)
    plan = solve(LayProblem("quilt", panels, (Ply("ticking", 22_000),), (ShadeLot("S7"),)))
    made = rows(plan)
    assert made[0].where == "shade lot S7"
    assert made[0].how_many == 2
    assert "turned" in made[0].what
    assert "2 x Teal 135" in made[0].words
    assert made[-1].what == "lay of 2.80 m quilted"
    assert "measure the take-up" in made[-1].words
    assert total(plan).taken == 2.8


def test_sheet_rows_and_shortages() -> None:
    plan = solve(SheetProblem("pad", (Piece("a", 10_000, 7_000, 3),), (Sheet("s", 20_000, 7_000, 1),)))
    made = rows(plan)
    assert made[-1].where == "not cut"
    assert made[-1].how_many == 1
    assert total(plan).short == 1
    assert total(plan).unit == "m2"


def test_auditors_see_wrong_figures_and_wrong_shade() -> None:
    slit = solve(SlitProblem("rod", (Strip("a", 18_505, 7),), (Bar("bar", 60_000),)))
    assert audit(replace(slit, proof=replace(slit.proof, value=1)))
    assert audit(replace(slit, bars=slit.bars[1:]))
    panels = (Panel("p1", 10_000, 15_000, 2, shade="bed"),)
    lay = solve(LayProblem("q", panels, (Ply("t", 22_000),), (ShadeLot("A"), ShadeLot("B"))))
    first = lay.lays[0]
    rows_ = (first.rows[0], replace(first.rows[1], start=0, panels=(replace(first.rows[1].panels[0], x=0),)))
    split = replace(
        lay,
        lays=(
            replace(first, rows=rows_[:1], length=10_000),
            replace(first, lot="B", rows=rows_[1:], length=10_000),
        ),
    )
    assert [fault.says for fault in audit(split)] == ["from more than one shade lot"]
