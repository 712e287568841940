"""Cut plans of any problem: audits clean, bound <= answer, and a plan that is tampered with is caught."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bedwright.cutting.lays.plan import LayPlan
from bedwright.cutting.lays.problem import LayProblem, Panel, Ply, ShadeLot
from bedwright.cutting.sheets.plan import SheetPlan
from bedwright.cutting.sheets.problem import Piece, Sheet, SheetProblem
from bedwright.cutting.slits.plan import SlitPlan
from bedwright.cutting.slits.problem import Bar, SlitProblem, Strip
from bedwright.cutting.solve import audit, solve

quick = settings(max_examples=120, deadline=None)
on_hand = st.one_of(st.none(), st.integers(0, 4))


@st.composite
def slits(draw: st.DrawFn) -> SlitProblem:
    kerf, head, tail = draw(st.integers(0, 5)), draw(st.integers(0, 20)), draw(st.integers(0, 20))
    stock = [Bar(f"b{i}", draw(st.integers(120, 400)), draw(on_hand)) for i in range(draw(st.integers(1, 3)))]
    usable = max(bar.length for bar in stock) - head - tail
    pieces = []
    for i in range(draw(st.integers(1, 6))):
        joins = draw(st.integers(0, 2))
        longest = usable if joins == 0 else usable * 3 // 2
        length, count = draw(st.integers(20, longest)), draw(st.integers(0, 6))
        pieces.append(Strip(f"s{i}", length, count, "", joins, draw(st.integers(0, 4)), draw(st.integers(0, 10))))
    return SlitProblem("any", tuple(pieces), tuple(stock), kerf, head, tail)


@st.composite
def sheets(draw: st.DrawFn) -> SheetProblem:
    edge = draw(st.integers(0, 5))
    stock = [
        Sheet(f"s{i}", draw(st.integers(60, 200)), draw(st.integers(60, 200)), draw(on_hand))
        for i in range(draw(st.integers(1, 2)))
    ]
    first = stock[0]
    pieces = [
        Piece(
            f"p{i}",
            draw(st.integers(5, first.along - 2 * edge)),
            draw(st.integers(5, first.across - 2 * edge)),
            draw(st.integers(0, 5)),
            draw(st.booleans()),
        )
        for i in range(draw(st.integers(1, 6)))
    ]
    cut = draw(st.sampled_from(("either", "across", "along")))
    return SheetProblem("any", tuple(pieces), tuple(stock), draw(st.integers(0, 4)), edge, cut)


@st.composite
def lays(draw: st.DrawFn) -> LayProblem:
    width = draw(st.integers(100, 250))
    panels = [
        Panel(
            f"p{i}",
            draw(st.integers(10, 250)),
            draw(st.integers(10, width)),
            draw(st.integers(0, 4)),
            draw(st.booleans()),
            draw(st.sampled_from(("", "bed 1", "bed 2"))),
        )
        for i in range(draw(st.integers(1, 6)))
    ]
    lots = [ShadeLot(f"l{i}", draw(st.one_of(st.none(), st.integers(0, 900)))) for i in range(draw(st.integers(1, 3)))]
    gaps = draw(st.integers(0, 6)), draw(st.integers(0, 6))
    repeat, ends = draw(st.sampled_from((0, 7, 32))), draw(st.integers(0, 30))
    plies = (Ply("t", width), Ply("w", width + 20, 3))
    return LayProblem("any", tuple(panels), plies, tuple(lots), *gaps, repeat, ends, draw(st.booleans()))


@quick
@given(slits(), st.integers(1, 12), st.integers(0, 3))
def test_slit_plans_audit_clean(problem: SlitProblem, budget: int, seed: int) -> None:
    plan = solve(problem, budget, seed)
    assert audit(plan) == ()
    assert plan.proof.bound <= plan.proof.value
    assert plan.bars_bound <= len(plan.bars)
    if all(bar.on_hand is None for bar in problem.stock):
        assert not plan.short
    assert plan == solve(problem, budget, seed)


@quick
@given(sheets(), st.integers(1, 12), st.integers(0, 3))
def test_sheet_plans_audit_clean(problem: SheetProblem, budget: int, seed: int) -> None:
    plan = solve(problem, budget, seed)
    assert audit(plan) == ()
    assert plan.proof.bound <= plan.proof.value
    if all(sheet.on_hand is None for sheet in problem.stock):
        assert not plan.short
    assert plan == solve(problem, budget, seed)


@quick
@given(lays(), st.integers(1, 12), st.integers(0, 3))
def test_lay_plans_audit_clean(problem: LayProblem, budget: int, seed: int) -> None:
    plan = solve(problem, budget, seed)
    assert audit(plan) == ()
    assert plan.proof.bound <= plan.proof.value
    if any(lot.length is None for lot in problem.lots):
        assert not plan.short
    assert plan == solve(problem, budget, seed)


@quick
@given(slits(), st.data())
def test_tampered_slits_are_caught(problem: SlitProblem, data: st.DataObject) -> None:
    plan: SlitPlan = solve(problem, 2)
    assume(plan.bars)
    at = data.draw(st.integers(0, len(plan.bars) - 1))
    bar = plan.bars[at]
    k = data.draw(st.integers(0, len(bar.parts) - 1))
    part = bar.parts[k]
    change = data.draw(st.sampled_from(("drop", "twice", "longer", "off the end", "into the trim", "copy", "unknown")))
    parts = {
        "drop": bar.parts[:k] + bar.parts[k + 1 :],
        "twice": (*bar.parts, part),
        "longer": (*bar.parts[:k], replace(part, length=part.length + 1), *bar.parts[k + 1 :]),
        "off the end": (*bar.parts[:k], replace(part, start=part.start + 400), *bar.parts[k + 1 :]),
        "into the trim": (*bar.parts[:k], replace(part, start=problem.head_trim - 1), *bar.parts[k + 1 :]),
        "copy": (*bar.parts[:k], replace(part, copy=part.copy + 100, part=2), *bar.parts[k + 1 :]),
        "unknown": (*bar.parts[:k], replace(part, piece="nobody's"), *bar.parts[k + 1 :]),
    }[change]
    wrong = replace(plan, bars=(*plan.bars[:at], replace(bar, parts=parts), *plan.bars[at + 1 :]))
    assert audit(wrong)


@quick
@given(sheets(), st.data())
def test_tampered_sheets_are_caught(problem: SheetProblem, data: st.DataObject) -> None:
    plan: SheetPlan = solve(problem, 2)
    assume(plan.sheets)
    sheet = plan.sheets[0]
    band = sheet.bands[-1]
    piece = band.pieces[-1]
    change = data.draw(st.sampled_from(("drop", "twice", "larger", "off", "edge", "turn", "first on all")))
    pieces = {
        "drop": band.pieces[:-1],
        "twice": (*band.pieces, piece),
        "larger": (*band.pieces[:-1], replace(piece, along=piece.along + 1)),
        "off": (*band.pieces[:-1], replace(piece, x=piece.x + 200)),
        "edge": (*band.pieces[:-1], replace(piece, y=problem.edge - 1)),
        "turn": (*band.pieces[:-1], replace(piece, turned=not piece.turned)),
        "first on all": tuple(replace(p, x=band.pieces[0].x, y=band.pieces[0].y) for p in band.pieces),
    }[change]
    assume(change != "first on all" or len(band.pieces) > 1)
    if change == "turn":  # a square lies the same either way, and then only the direction is at stake
        square = piece.along == piece.across
        may = next(p for p in problem.pieces if p.key == piece.piece).may_turn
        assume(not (square and (piece.turned or may)))
    bands = (*sheet.bands[:-1], replace(band, pieces=pieces))
    assert audit(replace(plan, sheets=(replace(sheet, bands=bands), *plan.sheets[1:])))


@quick
@given(lays(), st.data())
def test_tampered_lays_are_caught(problem: LayProblem, data: st.DataObject) -> None:
    plan: LayPlan = solve(problem, 2)
    assume(plan.lays)
    lay = plan.lays[0]
    row = lay.rows[-1]
    p = row.panels[-1]
    change = data.draw(st.sampled_from(("drop", "twice", "wider", "off the width", "off the start", "short length")))
    panels = {
        "drop": row.panels[:-1],
        "twice": (*row.panels, p),
        "wider": (*row.panels[:-1], replace(p, across=p.across + 1)),
        "off the width": (*row.panels[:-1], replace(p, y=problem.usable_width - p.across + 1)),
        "off the start": (*row.panels[:-1], replace(p, x=-1)),
        "short length": row.panels,
    }[change]
    changed = replace(lay, rows=(*lay.rows[:-1], replace(row, panels=panels)))
    if change == "short length":
        changed = replace(changed, length=lay.length - 1)
    assert audit(replace(plan, lays=(changed, *plan.lays[1:])))
