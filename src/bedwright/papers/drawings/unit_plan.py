"""The bed from above: every coil true to scale, zones and stiff rows, lacing, edge, tufts; the head marked."""

from __future__ import annotations

from collections import defaultdict

from bedwright.design.bed_at_size import BedAtSize, CoilGroup
from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PALE, PAPER, THIN, Drawing, Point, scale_of
from bedwright.papers.typeset import Raw

SCALES = (5, 6, 7.5, 8, 10, 12.5, 15, 17.5, 20, 25, 30)
_KEY_STEP = 4.6


def unit_plan(bed: BedAtSize, width: float = 112.0, height: float = 180.0) -> Raw:
    """The plan on `width` x `height` of paper [mm], a key of the marks below it."""
    keys = _keys(bed)
    room = height - 16 - _KEY_STEP * len(keys)
    scale = max(scale_of(bed.width, width - 15, SCALES), scale_of(bed.length, room, SCALES))
    wide, tall = bed.width / scale, bed.length / scale
    drawing = Drawing(width, tall + 15.5 + _KEY_STEP * len(keys), f"Unit plan of {bed.key}, 1 to {scale:g}")
    x0, y0 = 10.0, 9.5
    drawing.box(x0, y0, wide, tall, line=LINE, radius=bed.bed.corner_radius / scale)
    drawing.text(x0 + wide / 2, 2.6, "HEAD", size=2.8, anchor="middle", weight=600, fill=INDIGO)
    _unit(drawing, bed, (x0, y0), scale)
    _tufts(drawing, bed, (x0, y0), scale)
    drawing.dimension((x0, y0 - 2.2), (x0 + wide, y0 - 2.2), f"{bed.width:g}")
    drawing.dimension((x0 - 2.2, y0), (x0 - 2.2, y0 + tall), f"{bed.length:g}")
    y = y0 + tall + 3.2
    drawing.text(x0 + wide, y, f"1 : {scale:g}", size=2.3, anchor="end", fill=GREY)
    for index, (mark, words) in enumerate(keys):
        _key(drawing, mark, words, x0, y + _KEY_STEP * index)
    return drawing.svg()


def _unit(drawing: Drawing, bed: BedAtSize, corner: Point, scale: float) -> None:
    unit = bed.unit
    ox, oy = corner[0] + (bed.width - unit.width) / 2 / scale, corner[1] + (bed.length - unit.length) / 2 / scale
    _edge(drawing, bed, corner, scale)
    _lacing(drawing, bed, (ox, oy), scale)
    places: dict[tuple[str, bool], list[Point]] = defaultdict(list)
    for one in unit.standing():
        places[one.coil, one.stiff].append((ox + one.x / scale, oy + one.y / scale))
    order = [group.coil.code for group in unit.groups]
    by_code = {group.coil.code: group for group in unit.groups}
    for (code, stiff), centres in sorted(places.items()):
        _coils(drawing, centres, by_code[code], order.index(code), stiff, scale)


def _coils(
    drawing: Drawing, centres: list[Point], group: CoilGroup, kind: int, stiff: bool, scale: float
) -> None:  # fmt: skip
    """Coils of one kind: end ring true to scale; the second kind has a dot, the third a cross, stiff rows are heavy."""
    radius = (group.coil.end_diameter + group.wire.diameter) / 2 / scale
    line = max(group.wire.diameter / scale, 0.1) * (1.9 if stiff else 1.0)
    drawing.circles(centres, radius, stroke=INK, width=line)
    if kind == 1:
        drawing.circles(centres, radius * 0.28, fill=INK, width=0)
    elif kind >= 2:
        half = radius * 0.6
        for x, y in centres:
            drawing.line((x - half, y), (x + half, y), width=THIN)
            if kind > 2:
                drawing.line((x, y - half), (x, y + half), width=THIN)


def _lacing(drawing: Drawing, bed: BedAtSize, corner: Point, scale: float) -> None:
    """A line where each helix runs."""
    unit = bed.unit
    lattice = unit.lattice
    head = lattice.head / 2
    if unit.card.lacing == "across":
        for row in range(lattice.along - 1):
            y = corner[1] + (head + (row + 0.5) * lattice.pitch_along) / scale
            drawing.line((corner[0], y), (corner[0] + unit.width / scale, y), stroke=PALE, width=LINE)
    elif unit.card.lacing == "along":
        for column in range(lattice.across - 1):
            x = corner[0] + (head + (column + 0.5) * lattice.pitch_across) / scale
            drawing.line((x, corner[1]), (x, corner[1] + unit.length / scale), stroke=PALE, width=LINE)


def _edge(drawing: Drawing, bed: BedAtSize, corner: Point, scale: float) -> None:
    edge = bed.edge
    if edge is None or edge.card.form == "stiff rows":
        return
    if edge.card.form == "foam rail":
        rail = (edge.card.rail_width or 0.0) / scale
        wide, tall = bed.unit.space_width / scale + 2 * rail, bed.unit.space_length / scale + 2 * rail
        x, y = corner[0] + (bed.width / scale - wide) / 2, corner[1] + (bed.length / scale - tall) / 2
        drawing.box(x, y, wide, tall, fill="hatch foam", line=LINE)
        drawing.box(x + rail, y + rail, wide - 2 * rail, tall - 2 * rail, fill=PAPER, line=LINE * 0.7)
        return
    row = edge.card.strip_row or 0
    wide = (bed.unit.width - 2 * row * bed.unit.lattice.pitch_across) / scale
    tall = (bed.unit.length - 2 * row * bed.unit.lattice.pitch_along) / scale
    x, y = corner[0] + (bed.width / scale - wide) / 2, corner[1] + (bed.length / scale - tall) / 2
    drawing.box(x, y, wide, tall, stroke=INDIGO, line=0.55, radius=bed.unit.lattice.head / 2 / scale)


def _tufts(drawing: Drawing, bed: BedAtSize, corner: Point, scale: float) -> None:
    if bed.tufts is None:
        return
    centres = [(corner[0] + x / scale, corner[1] + y / scale) for x, y in bed.tufts.places]
    drawing.circles(centres, 0.95, fill=PAPER, stroke=INDIGO, width=0.3)
    drawing.circles(centres, 0.4, fill=INDIGO, width=0)


def _keys(bed: BedAtSize) -> list[tuple[str, str]]:
    """(mark, words) of each line of the key."""
    found = []
    unit = bed.unit
    for kind, group in enumerate(unit.groups):
        stiff = group.coil.code == unit.edge_coil
        mark = f"coil {min(kind, 3)}{' stiff' if stiff else ''}"
        found.append((mark, f"{group.count} × {group.coil.code}, {group.where}; wire {group.wire.diameter:g} mm"))
    if unit.lacing_lines:
        words = f"lacing {unit.card.lacing}: {unit.lacing_lines} lines of {unit.lacing_line_length:.0f} mm, both faces"
        found.append(("lacing", words))
    edge = bed.edge
    if edge is not None and edge.card.form == "foam rail":
        found.append(("rail", f"foam rail {edge.card.code}, {edge.card.rail_width:g} mm wide"))
    elif edge is not None and edge.card.form != "stiff rows":
        found.append(("rod", f"{edge.card.form} {edge.card.code}, {edge.loops} loops of {edge.loop_length:.0f} mm"))
    if bed.tufts is not None:
        words = f"{bed.tufts.count} tufts, in gaps between coils; {bed.tufts.moved:.0f} mm off the spacing asked for"
        found.append(("tuft", words))
    return found


def _key(drawing: Drawing, mark: str, words: str, x: float, y: float) -> None:
    middle = (x + 2, y - 0.9)
    if mark.startswith("coil"):
        kind, stiff = int(mark[5]), mark.endswith("stiff")
        drawing.circles([middle], 1.6, width=0.45 if stiff else 0.2)
        if kind == 1:
            drawing.circles([middle], 0.5, fill=INK, width=0)
        elif kind >= 2:
            drawing.line((middle[0] - 1, middle[1]), (middle[0] + 1, middle[1]), width=THIN)
            if kind > 2:
                drawing.line((middle[0], middle[1] - 1), (middle[0], middle[1] + 1), width=THIN)
    elif mark == "lacing":
        drawing.line((x, middle[1]), (x + 4, middle[1]), stroke=PALE, width=LINE * 1.6)
    elif mark == "rail":
        drawing.box(x, middle[1] - 1.3, 4, 2.6, fill="hatch foam")
    elif mark == "rod":
        drawing.line((x, middle[1]), (x + 4, middle[1]), stroke=INDIGO, width=0.55)
    else:
        drawing.circles([middle], 0.95, fill=PAPER, stroke=INDIGO, width=0.3)
        drawing.circles([middle], 0.4, fill=INDIGO, width=0)
    drawing.text(x + 6, y, words, size=2.4)
