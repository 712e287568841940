"""The marks of a unit from above, on any scale: zones, coils by kind, hands, glue, lacing, edge, tufts."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.design.bed_at_size import BedAtSize, UnitAtSize
from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PAPER, Drawing, Point

ZONE_HATCHES = ("", "zone 1", "zone 2", "zone 3", "zone 4", "zone 5")
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True)
class Plan:
    """The bed on the paper: its corner at the head, left [mm of paper], and its scale."""

    corner: Point
    scale: float

    def at(self, x: float, y: float) -> Point:
        """Paper mm of bed mm from that corner."""
        return self.corner[0] + x / self.scale, self.corner[1] + y / self.scale


@dataclass(frozen=True, slots=True)
class Zone:
    """Places that lie together and hold one kind of coil; rows and columns 0-based, both ends in."""

    kind: int
    first_row: int
    last_row: int
    first_column: int
    last_column: int
    to_the_edge: bool


def unit_corner_at(bed: BedAtSize) -> Point:
    """The unit's outer corner at the head, left, from that of the bed [mm]."""
    return (bed.width - bed.unit.width) / 2, (bed.length - bed.unit.length) / 2


def kinds(unit: UnitAtSize) -> tuple[str, ...]:
    """Codes of the coils: the main one first, then the others as the unit lists them."""
    codes = [group.coil.code for group in unit.groups]
    return tuple(sorted(codes, key=lambda code: (code != unit.card.coil, codes.index(code))))


def zones(unit: UnitAtSize) -> tuple[Zone, ...]:
    """The unit cut into zones of one kind of coil, row after row; rows that are alike are one zone."""
    order = kinds(unit)
    open_: dict[tuple[int, int, int | None], Zone] = {}
    found: list[Zone] = []
    for row, codes in enumerate(unit.place_coils):
        here: dict[tuple[int, int, int | None], Zone] = {}
        start = 0
        for column in range(1, len(codes) + 1):
            if column < len(codes) and codes[column] == codes[start]:
                continue
            whole = column == len(codes)
            key = order.index(codes[start]), start, None if whole else column
            before = open_.pop(key, None)
            here[key] = Zone(key[0], before.first_row if before else row, row, start, column - 1, whole)
            start = column
        found += open_.values()
        open_ = here
    return (*found, *open_.values())


def draw_zones(drawing: Drawing, bed: BedAtSize, plan: Plan) -> None:
    """Each zone but the main one hatched behind its coils, row by row, because nested rows step."""
    unit = bed.unit
    left, head = unit_corner_at(bed)
    across, along = unit.lattice.pitch_across, unit.lattice.pitch_along
    for zone in zones(unit):
        hatch = ZONE_HATCHES[min(zone.kind, len(ZONE_HATCHES) - 1)]
        if not hatch:
            continue
        steps = [(zone.first_row, zone.last_row)]
        if unit.lattice.nested:
            steps = [(row, row) for row in range(zone.first_row, zone.last_row + 1)]
        for first, last in steps:
            end = len(unit.place_coils[first]) - 1 if zone.to_the_edge else zone.last_column
            start, middle = left + unit.lattice.row_start(first), head + unit.lattice.head / 2
            x0 = max(left, start + (zone.first_column - 0.5) * across)
            x1 = min(left + unit.width, start + (end + 0.5) * across)
            y0 = max(head, middle + (first - 0.5) * along)
            y1 = min(head + unit.length, middle + (last + 0.5) * along)
            (px, py), (qx, qy) = plan.at(x0, y0), plan.at(x1, y1)
            drawing.box(px, py, qx - px, qy - py, fill=f"hatch {hatch}", line=0)


def draw_coils(drawing: Drawing, bed: BedAtSize, plan: Plan) -> None:
    """Every coil: its end ring true to scale, heavy in stiff rows, its kind marked in the middle."""
    left, head = unit_corner_at(bed)
    places: dict[tuple[int, bool], list[Point]] = defaultdict(list)
    order = kinds(bed.unit)
    for one in bed.unit.standing():
        places[order.index(one.coil), one.stiff].append(plan.at(left + one.x, head + one.y))
    groups = {group.coil.code: group for group in bed.unit.groups}
    for (kind, stiff), centres in sorted(places.items()):
        group = groups[order[kind]]
        radius = (group.coil.end_diameter + group.wire.diameter) / 2 / plan.scale
        line = max(group.wire.diameter / plan.scale, 0.1) * (1.9 if stiff else 1.0)
        drawing.circles(centres, radius, width=line)
        kind_mark(drawing, centres, radius, kind)


def kind_mark(drawing: Drawing, centres: Sequence[Point], radius: float, kind: int) -> None:
    """What tells coils of the second kind on from each other without colour: dot, bar, cross, upright bar, ring."""
    half = radius * 0.55
    if kind in (1, 5):
        drawing.circles(centres, radius * 0.28, fill=INK if kind == 1 else PAPER, width=0 if kind == 1 else LINE * 0.8)
    for x, y in centres if kind in (2, 3) else ():
        drawing.line((x - half, y), (x + half, y), width=LINE * 0.8)
    for x, y in centres if kind in (3, 4) else ():
        drawing.line((x, y - half), (x, y + half), width=LINE * 0.8)


def hand_arrow(drawing: Drawing, middle: Point, radius: float, hand: str, width: float = LINE) -> None:
    """Which way the wire turns on its way down, seen from above: with the clock for a right hand; both for in turn."""
    arcs = {"right": ((-150.0, 270.0),), "left": ((-30.0, -270.0),), "alternate": ((-160.0, 140.0), (160.0, -140.0))}
    for start, sweep in arcs[hand]:
        points = []
        for step in range(13):
            angle = math.radians(start + sweep * step / 12)
            points.append((middle[0] + radius * math.cos(angle), middle[1] + radius * math.sin(angle)))
        drawing.line(*points, width=width)
        angle, turn = math.radians(start + sweep), math.copysign(1.0, sweep)
        tip, size = points[-1], max(0.32 * radius, 0.4)
        back = (math.sin(angle) * turn, -math.cos(angle) * turn)
        out = (math.cos(angle), math.sin(angle))
        ends = [
            (tip[0] + size * (back[0] + side * 0.6 * out[0]), tip[1] + size * (back[1] + side * 0.6 * out[1]))
            for side in (-1, 1)
        ]
        drawing.line(ends[0], tip, ends[1], width=width)


def contacts(unit: UnitAtSize) -> tuple[Point, ...]:
    """x, y of the contacts between strings that carry glue, from the unit's outer corner [mm], row by row.

    Every second contact: row by row, to and fro, so staggered; where a works begins its card does not say.
    """
    if unit.card.construction != "pocket" or unit.card.glue_pattern == "none":
        return ()
    lattice = unit.lattice
    found: list[Point] = []
    for row, counts in enumerate(unit.place_counts):
        middle = lattice.head / 2 + row * lattice.pitch_along
        for column, count in enumerate(counts):
            side = math.isqrt(count)
            x = lattice.row_start(row) + column * lattice.pitch_across
            for line in range(1, side):
                y = middle + (line / side - 0.5) * lattice.pitch_along
                found += [(x + ((i + 0.5) / side - 0.5) * lattice.pitch_across, y) for i in range(side)]
        if row + 1 < lattice.along:
            between = _between(unit, row, middle + lattice.pitch_along / 2)
            found += between[::-1] if row % 2 else between
    return tuple(found if unit.card.glue_pattern == "every contact" else found[::2])


def _between(unit: UnitAtSize, row: int, y: float) -> list[Point]:
    """Contacts of a row with the next: as many as the finer of two places has; two a coil where rows are nested."""
    lattice = unit.lattice
    here, there = unit.place_counts[row], unit.place_counts[row + 1]
    if not lattice.nested:
        return [
            (lattice.row_start(row) + (column + (i + 0.5) / side - 0.5) * lattice.pitch_across, y)
            for column, pair in enumerate(zip(here, there, strict=True))
            for side in (max(math.isqrt(count) for count in pair),)
            for i in range(side)
        ]
    xs = [lattice.row_start(row) + column * lattice.pitch_across for column in range(len(here))]
    others = [lattice.row_start(row + 1) + column * lattice.pitch_across for column in range(len(there))]
    near = 0.75 * lattice.pitch_across
    return [((x + other) / 2, y) for x in xs for other in others if abs(x - other) < near]


def draw_glue(drawing: Drawing, bed: BedAtSize, plan: Plan, radius: float = 0.28) -> None:
    """A dot at each glued contact."""
    left, head = unit_corner_at(bed)
    centres = [plan.at(left + x, head + y) for x, y in contacts(bed.unit)]
    drawing.circles(centres, radius, fill=INDIGO, width=0)


def lacing_lines(unit: UnitAtSize) -> tuple[tuple[Point, Point], ...]:
    """Both ends of each helix of one face, from the unit's outer corner [mm]."""
    lattice, half = unit.lattice, unit.lattice.head / 2
    if unit.card.lacing == "across":
        ys = [half + (row + 0.5) * lattice.pitch_along for row in range(lattice.along - 1)]
        return tuple(((0.0, y), (unit.width, y)) for y in ys)
    if unit.card.lacing == "along":
        xs = [half + (column + 0.5) * lattice.pitch_across for column in range(lattice.across - 1)]
        return tuple(((x, 0.0), (x, unit.length)) for x in xs)
    return ()


def draw_lacing(drawing: Drawing, bed: BedAtSize, plan: Plan) -> None:
    """A broken line where each helix runs."""
    left, head = unit_corner_at(bed)
    for (x0, y0), (x1, y1) in lacing_lines(bed.unit):
        ends = plan.at(left + x0, head + y0), plan.at(left + x1, head + y1)
        drawing.line(*ends, stroke=GREY, width=LINE, dash="0.5 0.5")


def draw_edge(drawing: Drawing, bed: BedAtSize, plan: Plan) -> None:
    """Foam rails hatched; a rod or strip as a line in its row, in its true width where that can be seen."""
    edge = bed.edge
    if edge is None or edge.card.form == "stiff rows":
        return
    if edge.card.form == "foam rail":
        rail = edge.card.rail_width or 0.0
        outer = bed.unit.space_width + 2 * rail, bed.unit.space_length + 2 * rail
        for size, inset, fill in ((outer, 0.0, f"hatch {rail_hatch(bed)}"), (outer, rail, PAPER)):
            x, y = plan.at((bed.width - size[0]) / 2 + inset, (bed.length - size[1]) / 2 + inset)
            wide, tall = ((one - 2 * inset) / plan.scale for one in size)
            drawing.box(x, y, wide, tall, fill=fill, line=LINE if inset == 0 else LINE * 0.7)
        return
    row, lattice = edge.card.strip_row or 0, bed.unit.lattice
    wide, tall = bed.unit.width - 2 * row * lattice.pitch_across, bed.unit.length - 2 * row * lattice.pitch_along
    x, y = plan.at((bed.width - wide) / 2, (bed.length - tall) / 2)
    drawing.box(
        x, y, wide / plan.scale, tall / plan.scale, stroke=INDIGO, line=max(0.55, edge_width(bed) / plan.scale),
        radius=lattice.head / 2 / plan.scale,
    )  # fmt: skip


def rail_hatch(bed: BedAtSize) -> str:
    """The hatch of the rail's filling."""
    return bed.edge.rail.family if bed.edge is not None and bed.edge.rail is not None else "foam"


def edge_width(bed: BedAtSize) -> float:
    """How wide a rod or a strip that lies flat is, seen from above [mm]."""
    edge = bed.edge
    if edge is None or edge.wire is None:
        return 0.0
    return edge.card.strip_width or edge.wire.diameter if edge.card.form == "edge strip" else edge.wire.diameter


def draw_tufts(drawing: Drawing, bed: BedAtSize, plan: Plan) -> None:
    """A button at each tuft."""
    if bed.tufts is not None:
        tuft_marks(drawing, [plan.at(x, y) for x, y in bed.tufts.places])


def tuft_marks(drawing: Drawing, centres: Sequence[Point]) -> None:
    """The mark of tufts, of one size on any scale."""
    drawing.circles(centres, 0.95, fill=PAPER, stroke=INDIGO, width=0.3)
    drawing.circles(centres, 0.4, fill=INDIGO, width=0)


def badge(drawing: Drawing, letter: str, middle: Point) -> None:
    """The letter of a zone in a square, so that nobody takes it for a coil."""
    drawing.box(middle[0] - 1.6, middle[1] - 1.6, 3.2, 3.2, fill=PAPER, line=LINE * 0.8)
    drawing.text(middle[0], middle[1] + 0.85, letter, size=2.4, anchor="middle", weight=600)
