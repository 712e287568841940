"""What has to be cut, gathered from bills: lays, sheets and slits, by week of the van and by material.

Panels lie with the width that is fed and the length that is left after quilting, so that rolls of different width share
one lay and take-up is added to the ticking once.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from bedwright.bill.rows import Bill
from bedwright.cutting.lays.problem import LayProblem, Panel, Ply
from bedwright.cutting.sheets.problem import Piece, Sheet, SheetProblem
from bedwright.cutting.slits.problem import Bar, SlitProblem, Strip
from bedwright.cutting.solve import CutProblem
from bedwright.design.bed_at_size import BedAtSize, PanelAtSize
from bedwright.works.materials import Cloth, Filling
from bedwright.works.runs import Run
from bedwright.works.works import Works

Bills = Callable[[str, str], Bill]


@dataclass(frozen=True, slots=True)
class Asked:
    """One cut question: the week of the vans it serves, and the material whose yield it tells."""

    week: str
    kind: str
    code: str
    problem: CutProblem


@dataclass(frozen=True, slots=True)
class _Cut:
    """A rectangle wanted [tenths of a millimetre]; shade: bed or pair whose pieces come from one shade lot."""

    along: int
    across: int
    what: str
    shade: str = ""


def tenths(size: float) -> int:
    """Millimetres to whole tenths, rounded up: a piece is never cut short by rounding."""
    return -int(-size * 10 // 1)


def week_of(day: date) -> str:
    """ISO year and week, as 2026-W13."""
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


def cut_problems(works: Works, bills: Bills, runs: tuple[Run, ...]) -> tuple[Asked, ...]:
    """Every question of a works, by week, kind and material. Raises FaultsFound naming piece and stock."""
    by_week: dict[str, list[Run]] = defaultdict(list)
    for run in runs:
        by_week[week_of(run.van.cut_off.date())].append(run)
    found: list[Asked] = []
    for week in sorted(by_week):
        beds = [(run, bills(run.bed, run.size).bed) for run in by_week[week]]
        found += [*_lays(works, week, beds), *_sheets(works, week, beds), *_slits(works, week, beds)]
    return tuple(found)


def _lays(works: Works, week: str, beds: list[tuple[Run, BedAtSize]]) -> Iterator[Asked]:
    wanted: dict[tuple[str, str], tuple[LayProblem, Counter[_Cut]]] = {}

    def add(name: str, code: str, plies: tuple[Ply, ...], cloth: Cloth | None, take_up: int | None, cut: _Cut) -> None:
        if (name, code) not in wanted:
            draft = LayProblem(
                name=f"{week} {name}",
                panels=(Panel("draft", 1, 1, 0),),
                plies=plies,
                ends=tenths(works.rule("roll_end_trim")),
                repeat=tenths(cloth.repeat_along) if cloth else 0,
                one_way=cloth.one_way if cloth else False,
                take_up=take_up,
            )
            wanted[name, code] = (draft, Counter())
        wanted[name, code][1][cut] += 1

    for run, bed in beds:
        for _ in range(run.beds):
            for name, code, plies, cloth, take_up, cut in _lay_pieces(run, bed):
                add(name, code, plies, cloth, take_up, cut)
    for name, code in sorted(wanted):
        draft, cuts = wanted[name, code]
        may_turn = not draft.one_way
        panels = tuple(
            Panel(f"p{number}", cut.along, cut.across, count, may_turn, cut.shade, cut.what)
            for number, (cut, count) in enumerate(sorted(cuts.items(), key=lambda item: _order(item[0])), 1)
        )
        yield Asked(week, "lay", code, _with_panels(draft, panels))


def _order(cut: _Cut) -> tuple[int, int, str, str]:
    return (-cut.along, -cut.across, cut.what, cut.shade)


def _with_panels(draft: LayProblem, panels: tuple[Panel, ...]) -> LayProblem:
    return LayProblem(
        name=draft.name,
        panels=panels,
        plies=draft.plies,
        ends=draft.ends,
        repeat=draft.repeat,
        one_way=draft.one_way,
        take_up=draft.take_up,
    )


LayPiece = tuple[str, str, tuple[Ply, ...], Cloth | None, int | None, _Cut]


def _lay_pieces(run: Run, bed: BedAtSize) -> Iterator[LayPiece]:
    what = f"{bed.bed.name or bed.bed.code} {bed.size.code}"
    for panel in bed.panels:
        shade = f"{run.order} {run.line}" if panel.ticking.shade_matters else ""
        take_up = round((panel.fed_length / panel.quilted_length - 1) * 1000) if panel.contraction_known else None
        cut = _Cut(tenths(panel.quilted_length), tenths(panel.fed_width), f"{what} panel {panel.face}", shade)
        yield f"panel {panel.card.code}", panel.ticking.code, _plies(panel), panel.ticking, take_up, cut
    border = bed.border
    plies = [cloth_ply(border.cloth)]
    plies += [filling_ply(border.filling)] if border.filling else []
    plies += [cloth_ply(border.backing)] if border.backing else []
    strip = _Cut(tenths(border.cut_length), tenths(border.cut_height), f"{what} border")
    yield f"border {border.card.code}", border.cloth.code, tuple(plies), None, 0, strip
    if bed.edging.flange_cloth is not None:
        flange = _Cut(tenths(bed.edging.flange_length), tenths(bed.edging.flange_width), f"{what} flange")
        cloth = bed.edging.flange_cloth
        for _ in bed.panels:
            yield f"flange {cloth.code}", cloth.code, (cloth_ply(cloth),), None, 0, flange
    if bed.closure.base_cloth is not None:
        base = _Cut(tenths(bed.closure.base_length), tenths(bed.closure.base_width), f"{what} base")
        cloth = bed.closure.base_cloth
        yield f"base {cloth.code}", cloth.code, (cloth_ply(cloth),), None, 0, base
    for filling, cut in _filling_pieces(bed, what):
        if filling.sheet_length is None:
            yield f"filling {filling.code}", filling.code, (filling_ply(filling),), None, 0, cut


def _plies(panel: PanelAtSize) -> tuple[Ply, ...]:
    """Cloths and waddings that share the lay; a deep panel lays its ticking alone."""
    found = [cloth_ply(panel.ticking)]
    if panel.card.method == "continuous multi-needle":
        found += [filling_ply(ply) if isinstance(ply, Filling) else cloth_ply(ply) for ply in panel.plies]
    return tuple({ply.key: ply for ply in found}.values())


def cloth_ply(cloth: Cloth) -> Ply:
    """A cloth as a ply; selvedge is what the card calls unusable, half on each side."""
    width = tenths(cloth.roll_width)
    usable = tenths(cloth.usable_width) if cloth.usable_width else width
    return Ply(cloth.code, width, (width - usable + 1) // 2)


def filling_ply(filling: Filling) -> Ply:
    """A filling on the roll as a ply."""
    return Ply(filling.code, tenths(filling.sheet_width))


def _filling_pieces(bed: BedAtSize, what: str) -> Iterator[tuple[Filling, _Cut]]:
    for layer in bed.layers:
        if isinstance(layer.part, Filling):
            for _ in range(layer.count):
                yield layer.part, _Cut(tenths(layer.length), tenths(layer.width), f"{what} layer {layer.face}")
    for panel in bed.panels:
        if panel.card.method != "continuous multi-needle":
            for ply in panel.plies:
                if isinstance(ply, Filling):
                    cut = _Cut(tenths(panel.length), tenths(panel.width), f"{what} panel {panel.face}")
                    yield ply, cut
    if bed.edge is not None and bed.edge.rail is not None:
        for piece in bed.edge.rails:
            for _ in range(piece.count):
                yield bed.edge.rail, _Cut(tenths(piece.length), tenths(piece.height), f"{what} rail")


def _sheets(works: Works, week: str, beds: list[tuple[Run, BedAtSize]]) -> Iterator[Asked]:
    wanted: dict[str, Counter[_Cut]] = defaultdict(Counter)
    for run, bed in beds:
        what = f"{bed.bed.name or bed.bed.code} {bed.size.code}"
        for filling, cut in _filling_pieces(bed, what):
            if filling.sheet_length is not None:
                wanted[filling.code][cut] += run.beds
    for code in sorted(wanted):
        card = works.fillings[code]
        assert card.sheet_length is not None
        pieces = tuple(
            Piece(f"p{number}", cut.along, cut.across, count, True, cut.what)
            for number, (cut, count) in enumerate(sorted(wanted[code].items(), key=lambda item: _order(item[0])), 1)
        )
        sheet = Sheet(code, tenths(card.sheet_length), tenths(card.sheet_width))
        kerf = tenths(works.rule("kerf_foam"))
        yield Asked(week, "sheet", code, SheetProblem(f"{week} {code}", pieces, (sheet,), kerf=kerf))


def _slits(works: Works, week: str, beds: list[tuple[Run, BedAtSize]]) -> Iterator[Asked]:
    wanted: dict[tuple[str, int], Counter[tuple[int, str]]] = defaultdict(Counter)
    for run, bed in beds:
        what = f"{bed.bed.name or bed.bed.code} {bed.size.code}"
        tape = bed.closure.tape
        if tape is not None:
            roll = tenths(tape.roll_length or works.rule("tape_roll_length"))
            passes = bed.closure.passes * run.beds
            wanted[tape.code, roll][tenths(bed.closure.tape_per_pass), f"{what} tape pass"] += passes
        if bed.edge is not None and bed.edge.loops and bed.edge.wire is not None:
            stock = tenths(works.rule("rod_stock_length"))
            loops = bed.edge.loops * run.beds
            wanted[bed.edge.wire.code, stock][tenths(bed.edge.loop_length), f"{what} {bed.edge.card.form}"] += loops
    for code, stock in sorted(wanted):
        cuts = sorted(wanted[code, stock].items(), key=lambda item: (-item[0][0], item[0][1]))
        pieces = tuple(
            Strip(f"s{number}", length, count, what) for number, ((length, what), count) in enumerate(cuts, 1)
        )
        yield Asked(week, "slit", code, SlitProblem(f"{week} {code}", pieces, (Bar(code, stock),)))
