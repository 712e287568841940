"""The bed sheet: everything about one bed at one size, so that a person can redo each sum by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.bill.rows import Bill, BillRow, Operation
from bedwright.design.bed_at_size import BedAtSize, ChainLine
from bedwright.errors import Fault
from bedwright.marks.composite import composite_text
from bedwright.marks.evidence import JudgedClaim
from bedwright.mechanics.coil import CoilAnswer
from bedwright.mechanics.coil_force import Curve as CoilCurve
from bedwright.mechanics.pad_test import Curve
from bedwright.mechanics.settling import Settling
from bedwright.papers.cautions import CERTIFIES_NOTHING, bed_keys, cautions
from bedwright.papers.drawings.coil_profile import coil_profile
from bedwright.papers.drawings.cross_section import edge_section, whole_section
from bedwright.papers.drawings.edge_profile import edge_profile
from bedwright.papers.drawings.unit_corner import unit_corner
from bedwright.papers.drawings.unit_plan import unit_plan
from bedwright.papers.drawings.words import span
from bedwright.papers.figures import Figure, Issue, Paper, figure, file_stem, millimetres, size_words
from bedwright.papers.pad_figures import draw_curve, draw_moves, draw_section, readings
from bedwright.papers.typeset import typeset
from bedwright.quality.bed_checks import BedCheck
from bedwright.typed import show

Fact = list[object]


@dataclass(frozen=True, slots=True)
class CoilShown:
    """A coil of the bed as it is drawn: its code and hand, all about it, and its force curve."""

    code: str
    hand: str
    answer: CoilAnswer
    curve: CoilCurve


def bed_sheet(
    issue: Issue,
    bed: BedAtSize,
    bill: Bill,
    pad: Curve | str,
    faults: Sequence[Fault] = (),
    claims: Sequence[JudgedClaim] = (),
    checks: Sequence[BedCheck] = (),
    *,
    edge: Sequence[tuple[float, Curve]] = (),
    coils: Sequence[CoilShown] = (),
    settling: Settling | None = None,
    two_people_from: float = 25.0,
) -> Paper:
    """The sheet of a bed at size, A4, 3 to 7 pages.

    pad: its predicted pad test, or the sentence that says why there is none; faults: of fit; claims: judged; checks: of
    its route; edge: the same test at distances from the border [mm]; coils: its coils with their force curves;
    settling: its loss of height; two_people_from: mass from which two people lift [kg]. Raises NotPrinted.
    """
    data = {
        "issue": issue.plain(),
        "name": bed.bed.name or bed.bed.code,
        "lines": [f"{bed.bed.code}, size {bed.size.code}", size_words(bed.width, bed.length, bed.height)],
        "facts": _facts(bed, bill, pad),
        "edge": edge_section(bed),
        "edge_alt": f"Section of the edge of {bed.key} with every layer named",
        "whole": whole_section(bed),
        "whole_alt": f"Section across {bed.key}",
        "plan": unit_plan(bed, height=158.0),
        "plan_alt": f"Plan of {bed.key} with every coil, the edge and the tufts",
        "corner": unit_corner(bed),
        "corner_alt": f"Corner of the unit of {bed.key}, large: rings, hands of coiling, lacing or glue, edge",
        "pad": _pad(pad, bed),
        "settling": settling.told if settling is not None else "",
        "beside": [*_edge(pad, edge), *(_coil(one) for one in coils)],
        "faults": [{"grave": fault.grave, "says": str(fault)} for fault in faults],
        "claims": [_claim(claim) for claim in claims],
        "composite": composite_text(bed),
        "unit": _unit_facts(bed),
        "chain": [_chain_row(line) for line in bed.chain],
        "groups": [
            {"group": group, "rows": [_bill_row(row) for row in bill.rows if row.group == group]}
            for group in dict.fromkeys(row.group for row in bill.rows)
        ],
        "mass_how": bill.mass_how,
        "route": [_operation(step) for step in bill.operations],
        "checks": [
            [str(one.position), one.operation, one.work_place, one.look_at, one.record, one.limit, one.defect_class]
            for one in checks
        ],
        "cautions": [one.plain() for one in cautions(sheet_keys(bed, bill, two_people_from))],
        "certifies": CERTIFIES_NOTHING,
    }
    printed = typeset("bed_sheet", data, title=f"Bed sheet {bed.key}", as_of=issue.as_of)
    return Paper(f"bed-sheet_{file_stem(bed.bed.code, bed.size.code)}.pdf", printed.pdf, printed.written_out)


def sheet_keys(bed: BedAtSize, bill: Bill, two_people_from: float = 25.0) -> tuple[str, ...]:
    """Keys of the cautions that this bed's sheet carries: those of the bed, and of the work places on its route."""
    keys = bed_keys(
        wrap=bed.bed.wrap,
        bought_unit=bed.unit.card.origin == "bought",
        open_coil=bed.unit.card.construction == "open-coil",
        hazard=bed.bed.hazard is not None,
        upper_bunk=bed.bed.upper_bunk,
        two_people=bill.packed_mass >= two_people_from,
    )
    places = [step.caution for step in bill.operations if step.caution not in ("", "none")]
    return tuple(dict.fromkeys([*keys, *places]))


def _facts(bed: BedAtSize, bill: Bill, pad: Curve | str) -> list[Fact]:
    half = (bill.mass_high - bill.mass_low) / 2
    springs = f"{bed.spring_count} coils" + (f" and {bed.mini_count} mini coils" if bed.mini_count else "")
    found: list[Fact] = [
        ["finished size, mm", f"{bed.width:g} × {bed.length:g} × {bed.height:.0f}"],
        ["springs", springs],
        ["mass of the bed", figure(bill.mass, "kg", 4, interval=half)],
        ["packed", figure(bill.packed_mass, "kg", 3)],
        ["steel made here", _known_part(bill.steel_mass, "kg", bill.steel_unknown)],
        ["labour", figure(bill.minutes, "min", 3)],
        ["carbon, cradle to gate", _known_part(bill.carbon, "kg CO2e", bill.carbon_unknown)],
        ["faces", "two, turned" if bed.bed.faces == 2 else "one"],
        ["tufts", f"{bed.tufts.count} through" if bed.tufts is not None else "none"],
        ["pack", bed.bed.wrap],
        ["care", bed.bed.turning],
        ["hazard class", f"{bed.bed.hazard}, wished for" if bed.bed.hazard else "none stated"],
    ]
    if not isinstance(pad, str):
        found.insert(2, ["H predicted, tangent", _span(pad.hardness.tangent, pad.low, pad.high)])
    return found


def _known_part(value: float, unit: str, unknown: Sequence[str]) -> Figure:
    """A sum with what it leaves out, because nobody here knows it."""
    found = figure(value, unit, 3)
    return {**found, "u": f"{unit}; not known: {', '.join(unknown)}"} if unknown else found


def _span(value: float, low: float, high: float) -> Figure:
    """H with both ends of its interval, which do not lie alike on both sides; no finer than it allows."""
    return {"v": span(value, low, high), "u": "N/mm"}


def _pad(pad: Curve | str, bed: BedAtSize) -> dict[str, object]:
    """The pad test for the template: its drawings, H both ways, how sure; or why there is none."""
    if isinstance(pad, str):
        return {"why_not": pad}
    solid = f"the main coil is solid from {pad.solid_from:.0f} N" if pad.solid_from < 1e6 else "no main coil goes solid"
    return {
        "why_not": "",
        "curve": draw_curve(pad),
        "curve_alt": "Predicted force over depth of the pad, down and back, read at 210, 275 and 340 N, with its band",
        "moves": draw_moves(pad, 90.0),
        "moves_alt": "How far H goes when each open figure goes to its limit, largest first",
        "section": draw_section(pad, bed),
        "section_alt": f"{bed.key} cut through the spot: unloaded, tufted, under the pad",
        "tangent": _span(pad.hardness.tangent, pad.low, pad.high),
        "secant": _span(pad.hardness.secant, pad.secant_low, pad.secant_high),
        "sure": f"Left unbalanced: {show(100 * pad.residual, 1)} % of the force at most; {solid}. Model: {pad.model}.",
        "notes": list(pad.notes),
    }


def _edge(pad: Curve | str, edge: Sequence[tuple[float, Curve]]) -> list[dict[str, object]]:
    """The edge against the centre, where both were tested."""
    if isinstance(pad, str) or not edge:
        return []
    svg = edge_profile(readings([*edge, (None, pad)]), "H as tangent", "N/mm")
    return [{"svg": svg, "alt": "H at distances from the border, against the centre"}]


def _coil(one: CoilShown) -> dict[str, object]:
    svg = coil_profile(one.answer, one.curve, one.hand, f"coil {one.code}", 84.0, 80.0)
    return {"svg": svg, "alt": f"Coil {one.code} to scale beside its force from free to solid"}


def _claim(claim: JudgedClaim) -> dict[str, object]:
    report = f" (report {claim.report})" if claim.report else ""
    return {"shown": claim.shown, "says": claim.says + report, "why": claim.why}


def _unit_facts(bed: BedAtSize) -> list[Fact]:
    unit = bed.unit
    lattice = unit.lattice
    found: list[Fact] = [
        ["unit", f"{unit.card.code}, {unit.card.construction}, {unit.card.origin}"],
        ["lattice", f"{lattice.across} across, {lattice.along} rows, {'nested' if lattice.nested else 'square'}"],
        ["pitch across, along", [millimetres(lattice.pitch_across), millimetres(lattice.pitch_along)]],
        ["unit size", [millimetres(unit.width), millimetres(unit.length), millimetres(unit.height)]],
    ]
    for group in unit.groups:
        coil = group.coil
        middle = (
            f", {coil.middle_diameter:g} mm at the middle"
            if coil.middle_diameter not in (None, coil.end_diameter)
            else ""
        )
        found.append(
            [
                f"coil {coil.code}",
                f"{group.count} × {coil.profile}, {coil.end_diameter:g} mm end{middle}, wire "
                f"{group.wire.diameter:g} mm {group.wire.grade}, {coil.live_turns:g} live of "
                f"{coil.total_turns:g} turns, {coil.hand} hand, heat {coil.heat}; {group.where}",
            ]
        )
    if unit.lacing_lines:
        found.append(["lacing", f"{unit.lacing_lines} lines {unit.card.lacing}, {unit.lacing_line_length:.0f} mm each"])
    if unit.glue_spots:
        found.append(["glue", f"{unit.glue_spots} contacts, {unit.card.glue_pattern}"])
    if bed.edge is not None:
        found.append(["edge", f"{bed.edge.card.form} {bed.edge.card.code}, {bed.edge.card.clipped}"])
    for fitting, count in bed.border.fittings:
        found.append([fitting.name or fitting.code, f"{count} × {fitting.form}"])
    found.append(["closure", f"{bed.closure.card.form}, {bed.closure.passes} passes"])
    found.append(["panel edge", f"{bed.edging.card.form}, stitch {bed.edging.card.stitch_class}"])
    return found


def _chain_row(line: ChainLine) -> list[object]:
    sizes = [millimetres(size)["v"] if size is not None else "" for size in (line.width, line.length, line.height)]
    return [line.what, *sizes, line.how]


def _bill_row(row: BillRow) -> list[object]:
    what = f"{row.name or row.code}: {row.what}" if row.what and row.what != row.name else (row.name or row.code)
    cut: object = ""
    if row.cut_width is not None and row.cut_length is not None:
        cut = [{"v": millimetres(row.cut_width)["v"], "u": ""}, {"v": millimetres(row.cut_length)["v"], "u": ""}]
    elif row.cut_length is not None:
        cut = {"v": millimetres(row.cut_length)["v"], "u": ""}
    unit = "" if row.counted_in == "each" else row.counted_in.replace("m2", "m²")
    mass: object = figure(round(row.mass, 4), "kg", 4) if row.mass >= 0.00005 else ""
    return [
        str(row.line),
        row.code,
        what,
        str(row.pieces) if row.pieces else "",
        cut,
        figure(row.quantity, unit, 5),
        mass,
        row.how,
    ]


def _operation(step: Operation) -> list[object]:
    minutes: object = "oven" if step.oven else "outside" if step.subcontracted else figure(step.minutes, "min", 3)
    wait: object = figure(step.wait_minutes, "min", 4) if step.wait_minutes else ""
    after = ", ".join(map(str, step.after))
    family = f"{step.family}: {step.family_value}" if step.family else ""
    hands = f"{step.skill or ('oven' if step.oven else 'nobody')}" + (
        f", {step.hands} people" if step.hands > 1 else ""
    )
    return [
        str(step.position),
        step.stream,
        step.operation,
        step.work_place,
        hands,
        minutes,
        wait,
        after,
        family or "",
        step.how,
    ]
