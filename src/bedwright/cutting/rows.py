"""Cut plans as plain rows for paper and sheet: what, how many, where, words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from bedwright.cutting.lays.plan import LayPlan
from bedwright.cutting.plan import Short, metres, millimetres
from bedwright.cutting.sheets.plan import CutSheet, SheetPlan
from bedwright.cutting.slits.plan import SlitPlan
from bedwright.cutting.solve import CutPlan


@dataclass(frozen=True, slots=True)
class CutRow:
    """One row: where to cut (lot, bar, sheet), how many times, what comes out, and the words for the hand."""

    where: str
    how_many: int
    what: str
    words: str


@dataclass(frozen=True, slots=True)
class CutTotal:
    """The sum of one plan: taken and least needed in the unit named, yield, and how sure."""

    name: str
    kind: str
    taken: float
    bound: float
    unit: str
    yield_percent: float
    short: int
    words: str


def rows(plan: CutPlan) -> tuple[CutRow, ...]:
    """The rows of a plan in cutting order, shortages last."""
    if isinstance(plan, LayPlan):
        made = _lay_rows(plan)
    elif isinstance(plan, SlitPlan):
        made = _slit_rows(plan)
    else:
        made = _sheet_rows(plan)
    return (*made, *_short_rows(plan.short))


def total(plan: CutPlan) -> CutTotal:
    """One line for a plan: lays in metres of roll, slits in metres of stock, sheets in square metres of sheet."""
    if isinstance(plan, LayPlan):
        kind, unit, scale = "lay", "m", 10_000.0
    elif isinstance(plan, SlitPlan):
        kind, unit, scale = "slit", "m", 10_000.0
    else:
        kind, unit, scale = "sheet", "m2", 100_000_000.0
    return CutTotal(
        plan.problem.name,
        kind,
        plan.proof.value / scale,
        plan.proof.bound / scale,
        unit,
        plan.yield_percent,
        sum(row.count for row in plan.short),
        plan.proof.words(),
    )


def _lay_rows(plan: LayPlan) -> Iterator[CutRow]:
    """Rows that are alike and follow each other are one line."""
    what = {p.key: p.what or p.key for p in plan.problem.panels}
    for lay in plan.lays:
        runs: list[tuple[int, tuple[tuple[int, int, bool], ...], list[str]]] = []
        for row in lay.rows:
            shape = tuple((p.along, p.across, p.turned) for p in row.panels)
            names = [what[p.panel] for p in row.panels]
            if runs and runs[-1][:2] == (row.pitch, shape):
                runs[-1][2].extend(names)
            else:
                runs.append((row.pitch, shape, names))
        for pitch, shape, names in runs:
            sizes = Counter(shape)
            across = " + ".join(
                f"{n} across of {millimetres(dx)} x {millimetres(dy)}{' turned' if t else ''}"
                for (dx, dy, t), n in sizes.items()
            )
            left = plan.problem.usable_width - sum(dy for _, dy, _ in shape)
            left -= plan.problem.gap_across * (len(shape) - 1)
            for_whom = ", ".join(f"{n} x {name}" if n > 1 else name for name, n in Counter(names).items())
            words = f"row of {millimetres(pitch)} mm, {millimetres(left)} mm left across; for {for_whom}"
            yield CutRow(f"shade lot {lay.lot}", len(names) // len(shape), across, words)
        fed = plan.fed_length
        ticking = f"{metres(fed)} m in all lots" if fed is not None else "not known: measure the take-up"
        yield CutRow(
            f"shade lot {lay.lot}",
            1,
            f"lay of {metres(lay.length)} m quilted",
            f"ends included; ticking fed: {ticking}",
        )


def _slit_rows(plan: SlitPlan) -> Iterator[CutRow]:
    lengths = {bar.key: bar.length for bar in plan.problem.stock}
    wanted = {p.key: p for p in plan.problem.pieces}
    for stock, runs, times in plan.patterns():
        parts = []
        for key, length, n in runs:
            part = "" if length == wanted[key].length else " (a part, joined)"
            parts.append(f"{n} x {wanted[key].what or key} {millimetres(length)}{part}")
        cut = sum(length * n for _, length, n in runs)
        left = millimetres(lengths[stock] - cut)
        where = f"{stock} {millimetres(lengths[stock])} mm"
        yield CutRow(where, times, " + ".join(parts), f"{left} mm of each to ends, blade and waste")


def _sheet_rows(plan: SheetPlan) -> Iterator[CutRow]:
    for sheet, times in plan.patterns():
        n = Counter((p.piece, p.along, p.across) for band in sheet.bands for p in band.pieces)
        what = " + ".join(f"{k} x {piece} {millimetres(a)} x {millimetres(b)}" for (piece, a, b), k in n.items())
        yield CutRow(sheet.stock, times, what, _band_words(sheet))


def _band_words(sheet: CutSheet) -> str:
    bands = ", ".join(f"{millimetres(band.depth)} ({len(band.pieces)} out)" for band in sheet.bands)
    return f"first cut {sheet.first_cut}: bands of {bands} mm"


def _short_rows(short: tuple[Short, ...]) -> Iterator[CutRow]:
    for row in short:
        yield CutRow("not cut", row.count, row.piece, row.reason)
