"""The corner of the unit at the head, left, large: rings, hands of coiling, helix, glue and edge as they are made."""

from __future__ import annotations

import math

from bedwright.design.bed_at_size import BedAtSize, CoilGroup, PlacedCoil
from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PAPER, THIN, Drawing, Point, scale_of
from bedwright.papers.drawings.unit_marks import (
    ZONE_HATCHES,
    Plan,
    contacts,
    edge_width,
    hand_arrow,
    kinds,
    lacing_lines,
    rail_hatch,
    tuft_marks,
    unit_corner_at,
)
from bedwright.papers.drawings.words import cut
from bedwright.papers.typeset import Raw

SCALES = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 7.5, 8, 10)
PLACES = 2.3
"""How many places of the lattice are shown across and along."""


def unit_corner(bed: BedAtSize, width: float = 62.0, tallest: float = 36.0) -> Raw:
    """The corner on `width` of paper [mm], at most `tallest` high without the words below it."""
    lattice = bed.unit.lattice
    left, head = unit_corner_at(bed)
    wide = min(bed.width, left + lattice.head / 2 + (PLACES - 0.5) * lattice.pitch_across)
    long = min(bed.length, head + lattice.head / 2 + (PLACES - 0.5) * lattice.pitch_along)
    scale = max(scale_of(wide, width - 4.0, SCALES), scale_of(long, tallest, SCALES))
    tall = long / scale
    lines = [line for words in _words(bed) for line in cut(words, width - 1.0, 2.2, 3)]
    drawing = Drawing(width, tall + 8.5 + 3.0 * len(lines), f"Corner of the unit of {bed.key}, 1 to {scale:g}")
    plan = Plan((2.0, 4.5), scale)
    drawing.text(0.5, 2.6, "corner at the head, left", size=2.4, weight=600, fill=INDIGO)
    drawing.text(width - 0.5, 2.6, f"1 : {scale:g}", size=2.3, anchor="end", fill=GREY)
    right, bottom = plan.at(wide, long)
    with drawing.within(0.0, 3.6, right, bottom - 3.6):
        _draw(drawing, bed, plan, (wide, long))
    _frame(drawing, plan.corner, right, bottom)
    for index, line in enumerate(lines):
        drawing.text(0.5, tall + 9.5 + 3.0 * index, line, size=2.2)
    return drawing.svg()


def _draw(drawing: Drawing, bed: BedAtSize, plan: Plan, shown: Point) -> None:
    """Everything that reaches into the corner."""
    unit = bed.unit
    left, head = unit_corner_at(bed)
    reach = shown[0] + unit.lattice.head, shown[1] + unit.lattice.head
    groups = {group.coil.code: group for group in unit.groups}
    order = kinds(unit)
    rail = bed.edge is not None and bed.edge.card.form == "foam rail"
    if rail:
        _rail(drawing, bed, plan, reach)
    near = [one for one in unit.standing() if left + one.x < reach[0] and head + one.y < reach[1]]
    for one in near:
        _place(drawing, bed, plan, one, order.index(one.coil))
    for one in near:
        _ring(drawing, plan, (left + one.x, head + one.y), groups[one.coil], one, unit.card.construction == "pocket")
    for line in lacing_lines(unit):
        _helix(drawing, bed, plan, line, reach)
    for x, y in contacts(unit):
        if left + x < reach[0] and head + y < reach[1]:
            px, py = plan.at(left + x, head + y)
            drawing.line((px - 1.3, py), (px + 1.3, py), stroke=INDIGO, width=0.8)
    if bed.edge is not None and not rail and bed.edge.card.form != "stiff rows":
        _rod(drawing, bed, plan, reach)
    if bed.tufts is not None:
        tuft_marks(drawing, [plan.at(x, y) for x, y in bed.tufts.places if x < shown[0] - 12 and y < shown[1] - 12])


def _place(drawing: Drawing, bed: BedAtSize, plan: Plan, one: PlacedCoil, kind: int) -> None:
    """The zone behind a coil, and its pocket."""
    left, head = unit_corner_at(bed)
    hatch = ZONE_HATCHES[min(kind, len(ZONE_HATCHES) - 1)]
    x, y = plan.at(left + one.x - one.across / 2, head + one.y - one.along / 2)
    if hatch:
        drawing.box(x, y, one.across / plan.scale, one.along / plan.scale, fill=f"hatch {hatch}", line=0)
    if bed.unit.card.construction == "pocket":
        half = min(one.across, one.along) / 2
        if bed.unit.lattice.nested:
            half = one.across / 2
        drawing.circles([plan.at(left + one.x, head + one.y)], half / plan.scale, stroke=GREY, width=LINE * 0.8)


def _ring(
    drawing: Drawing, plan: Plan, at: Point, group: CoilGroup, one: PlacedCoil, pocketed: bool
) -> None:  # fmt: skip
    """The end ring in its true wire, the waist broken behind it, and the arrow of its hand."""
    middle, wire = plan.at(*at), group.wire.diameter / plan.scale
    radius = group.coil.end_diameter / 2 / plan.scale
    waist = group.coil.middle_diameter
    if waist is not None and waist < group.coil.end_diameter and group.coil.profile != "cone":
        _broken_circle(drawing, middle, waist / 2 / plan.scale)
    drawing.circles([middle], radius, stroke=INK, width=max(wire, 0.2) * (1.4 if one.stiff else 1.0))
    hand_arrow(drawing, middle, radius * (0.38 if not pocketed else 0.45), group.coil.hand, 0.3)


def _broken_circle(drawing: Drawing, middle: Point, radius: float) -> None:
    points = [
        (middle[0] + radius * math.cos(math.radians(a)), middle[1] + radius * math.sin(math.radians(a)))
        for a in range(0, 361, 15)
    ]
    drawing.line(*points, stroke=GREY, width=THIN, dash="0.8 0.6")


def _helix(drawing: Drawing, bed: BedAtSize, plan: Plan, line: tuple[Point, Point], reach: Point) -> None:
    """A helix seen from above, in its true diameter and pitch, as far as the corner goes."""
    left, head = unit_corner_at(bed)
    (x0, y0), (x1, y1) = line
    across = abs(y1 - y0) < 1e-9
    if (head + y0 if across else left + x0) > (reach[1] if across else reach[0]):
        return
    half, pitch = (bed.unit.card.helix_diameter or 8.0) / 2, bed.unit.card.helix_pitch or 12.0
    end = min(x1, reach[0] - left) if across else min(y1, reach[1] - head)
    steps = math.ceil(end / pitch * 8)
    points = []
    for step in range(steps + 1):
        along, side = end * step / steps, half * math.sin(2 * math.pi * end * step / steps / pitch)
        points.append(plan.at(left + along, head + y0 + side) if across else plan.at(left + x0 + side, head + along))
    wire = bed.unit.lacing_wire.diameter / plan.scale if bed.unit.lacing_wire is not None else 0.2
    drawing.line(*points, stroke=PAPER, width=wire + 0.4)
    drawing.line(*points, stroke=INK, width=max(wire, 0.18))


def _rail(drawing: Drawing, bed: BedAtSize, plan: Plan, reach: Point) -> None:
    rail = bed.edge.card.rail_width or 0.0 if bed.edge is not None else 0.0
    x, y = (bed.width - bed.unit.space_width) / 2 - rail, (bed.length - bed.unit.space_length) / 2 - rail
    outer, inner, end = plan.at(x, y), plan.at(x + rail, y + rail), plan.at(*reach)
    drawing.box(*outer, end[0] - outer[0], end[1] - outer[1], fill=f"hatch {rail_hatch(bed)}")
    drawing.box(*inner, end[0] - inner[0], end[1] - inner[1], fill=PAPER, line=LINE * 0.7)


def _rod(drawing: Drawing, bed: BedAtSize, plan: Plan, reach: Point) -> None:
    """The rod or strip along the outer side of its row of rings, in its true width, round at the corner."""
    left, head = unit_corner_at(bed)
    lattice = bed.unit.lattice
    row = (bed.edge.card.strip_row or 0) if bed.edge is not None else 0
    x, y = left + row * lattice.pitch_across, head + row * lattice.pitch_along
    radius = lattice.head / 2
    start, end = plan.at(x, reach[1]), plan.at(reach[0], y)
    (ax, ay), (bx, by) = plan.at(x, y + radius), plan.at(x + radius, y)
    cx, cy = plan.at(x, y)
    round_ = f"Q{cx:.2f} {cy:.2f} {bx:.2f} {by:.2f}"
    d = f"M{start[0]:.2f} {start[1]:.2f}L{ax:.2f} {ay:.2f}{round_}L{end[0]:.2f} {end[1]:.2f}"
    drawing.path(d, stroke=INDIGO, width=max(0.5, edge_width(bed) / plan.scale))


def _frame(drawing: Drawing, corner: Point, right: float, bottom: float) -> None:
    """The outline of the bed, and where the drawing is broken off."""
    drawing.line((corner[0], bottom), corner, (right, corner[1]), width=0.4)
    drawing.break_line(right, corner[1] - 0.6, bottom + 0.6)
    m = (corner[0] + right) / 2
    ends = (m - 1.5, bottom), (m - 0.5, bottom - 1.2), (m + 0.5, bottom + 1.2), (m + 1.5, bottom)
    drawing.line((corner[0], bottom), *ends, (right, bottom), stroke=GREY, width=0.18)


def _words(bed: BedAtSize) -> list[str]:
    """What is seen, in words, line by line."""
    unit = bed.unit
    hands = {
        "right": "right hand; arrow: the wire's way down",
        "left": "left hand; arrow: the wire's way down",
        "alternate": "hands in turn; the card names no first coil",
    }
    found = [hands[hand] for hand in dict.fromkeys(group.coil.hand for group in unit.groups)]
    if unit.card.lacing != "none":
        found.append(
            f"helix of {unit.card.helix_diameter or 0:g} mm, a turn every {unit.card.helix_pitch or 0:g} mm, "
            f"{unit.card.lacing}"
        )
    if contacts(unit):
        found.append(f"glue (bars): {unit.card.glue_pattern} of the strings")
    edge = bed.edge
    if edge is None:
        return found
    heat = edge.card.clipped if edge.card.clipped == "not heated" else f"clipped {edge.card.clipped}"
    found += {
        "edge rod": [f"edge rod of {edge_width(bed):g} mm wire, {heat}"],
        "edge strip": [f"edge strip in row {edge.card.strip_row}, {edge_width(bed):g} mm wide, {heat}"],
        "foam rail": [f"foam rail {edge.card.rail_width or 0:g} mm wide"],
        "stiff rows": [f"{unit.stiff_rows} stiff outer rows, drawn heavy"],
    }[edge.card.form]
    return found
