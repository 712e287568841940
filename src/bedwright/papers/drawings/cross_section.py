"""The bed cut across: the whole width with every coil of one row, and its edge large with all layers named."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.design.bed_at_size import BedAtSize
from bedwright.papers.drawings.coil_outline import side_view
from bedwright.papers.drawings.section_parts import (
    TUFT_REACH,
    Band,
    StandingCoil,
    bands,
    coils_in,
    tufts_in_section,
    valley,
)
from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PAPER, THIN, Drawing, Point, labels, scale_of
from bedwright.papers.typeset import Raw

SCALES = (2, 2.5, 3, 4, 5, 6, 8, 10, 12.5, 15, 20, 25, 30)
EDGE_SCALES = (4, 5, 6, 8, 10)
TAPE_BEAD = 11.0
"""Size at which the bead of a tape edge is drawn [mm]."""


@dataclass(frozen=True, slots=True)
class _View:
    """Bed mm to paper mm: paper = origin + bed / scale; z points up. first, last: what is shown of the width [mm]."""

    x0: float
    y0: float
    scale: float
    first: float
    last: float

    def at(self, x: float, z: float) -> Point:
        return self.x0 + (x - self.first) / self.scale, self.y0 - z / self.scale


def whole_section(bed: BedAtSize, width: float = 180.0) -> Raw:
    """The whole width, true to one scale, with every coil of the row that is cut; `width` of paper [mm]."""
    scale = scale_of(bed.width, width - 16, SCALES)
    tall = bed.reckoned_height / scale
    drawing = Drawing(width, tall + 12.5, f"Section across {bed.key}, 1 to {scale:g}")
    view = _View((width - bed.width / scale) / 2, tall + 3, scale, 0.0, bed.width)
    _stack(drawing, bed, view)
    left, right = view.at(0, 0), view.at(bed.width, 0)
    across = bed.unit.lattice.row_counts[bed.unit.lattice.along // 2] if bed.unit.count else 0
    drawing.dimension((left[0], left[1] + 5.5), (right[0], right[1] + 5.5), f"{bed.width:g}")
    drawing.text(left[0], left[1] + 9, f"{across} coils in the row shown", size=2.4, fill=GREY)
    drawing.text(right[0], right[1] + 9, f"1 : {scale:g}", size=2.4, anchor="end", fill=GREY)
    return drawing.svg()


def edge_section(bed: BedAtSize, width: float = 112.0, height: float = 98.0) -> Raw:
    """The edge of the bed, true to scale, every part named beside it without one label over another [mm of paper]."""
    shown = 54.0
    scale = scale_of(bed.reckoned_height, height - 14, EDGE_SCALES)
    first = max(0.0, bed.width - shown * scale)
    drawing = Drawing(width, height, f"Edge of {bed.key} cut across, 1 to {scale:g}")
    tall = bed.reckoned_height / scale
    base = (height - 6 + tall) / 2 + 1
    view = _View(9.5, base, scale, first, bed.width)
    _stack(drawing, bed, view)
    _break_line(drawing, view, bed.reckoned_height)
    top, bottom = view.at(first, bed.reckoned_height), view.at(first, 0)
    drawing.dimension((4.5, bottom[1]), (4.5, top[1]), f"{bed.reckoned_height:.0f}")
    edge_x = view.at(bed.width, 0)[0]
    labels(drawing, _marks(bed, view), x=edge_x + 8, top=0.5, bottom=height - 5, width=width - edge_x - 8.5, size=2.3)
    words = f"1 : {scale:g}. Height of the parts laid up {bed.reckoned_height:.0f} mm, aimed at {bed.height:.0f} mm."
    drawing.text(0.5, height - 1, words + " Cloths drawn thicker than they are.", size=2.2, fill=GREY)
    return drawing.svg()


def _stack(drawing: Drawing, bed: BedAtSize, view: _View) -> None:
    tufts = tufts_in_section(bed)
    for band in bands(bed):
        if band.unit is None:
            drawing.shape(_outline(bed, band, view, tufts), fill=f"hatch {band.hatch}", width=LINE * 0.7)
    for band in bands(bed):
        for coil in coils_in(bed, band):
            _coil(drawing, coil, view)
    _edge(drawing, bed, view)
    _border(drawing, bed, view)
    for x in tufts:
        if view.first <= x <= view.last:
            _tuft(drawing, bed, view, x)


def _lowered(bed: BedAtSize, x: float, z: float, tufts: Sequence[float]) -> float:
    """z where tufts have pulled the padding towards the unit; a sign, not a result."""
    if not tufts:
        return z
    unit = next(band for band in bands(bed) if band.unit is bed.unit)
    pull = valley(bed) * max(math.exp(-(((x - place) / TUFT_REACH) ** 2)) for place in tufts)
    if z > unit.top:
        return unit.top + (z - unit.top) * (1 - pull)
    if z < unit.bottom:
        return unit.bottom - (unit.bottom - z) * (1 - pull)
    return z


def _outline(bed: BedAtSize, band: Band, view: _View, tufts: Sequence[float]) -> list[Point]:
    left, right = max(band.left, view.first), min(band.right, view.last)
    thick = max(band.top - band.bottom, 0.25 * view.scale)
    steps = max(1, round((right - left) / 12)) if tufts else 1
    xs = [left + (right - left) * index / steps for index in range(steps + 1)]
    upper = [view.at(x, _lowered(bed, x, band.top, tufts)) for x in xs]
    lower = [view.at(x, _lowered(bed, x, band.top - thick, tufts)) for x in xs]
    return upper + lower[::-1]


def _coil(drawing: Drawing, coil: StandingCoil, view: _View) -> None:
    half = coil.pitch / 2
    if coil.x - half < view.first - 1e-6 or coil.x + half > view.last + 1e-6:
        return
    if coil.pocketed:
        for x in (coil.x - half, coil.x + half):
            drawing.line(view.at(x, coil.bottom), view.at(x, coil.bottom + coil.height), stroke=GREY, width=THIN)
    standing = coil.height - coil.wire
    points = side_view(coil.coil, standing, 8 if view.scale > 6 else 16)
    placed = [view.at(coil.x + x, coil.bottom + coil.wire / 2 + z) for x, z in points]
    drawing.line(*placed, width=max(coil.wire / view.scale, 0.12) * (1.0 if not coil.stiff else 1.25))


def _edge(drawing: Drawing, bed: BedAtSize, view: _View) -> None:
    edge = bed.edge
    if edge is None:
        return
    unit = next(band for band in bands(bed) if band.unit is bed.unit)
    for side in (-1, 1):
        outer = unit.left if side < 0 else unit.right
        if edge.card.form == "foam rail":
            width = edge.card.rail_width or 0.0
            space = (bed.unit.space_width + 2 * width) / 2
            x = bed.width / 2 - space if side < 0 else bed.width / 2 + space - width
            if x + width > view.first:
                corners = [view.at(max(a, view.first), z) for a, z in (
                    (x, unit.bottom), (x + width, unit.bottom), (x + width, unit.top), (x, unit.top))]  # fmt: skip
                drawing.shape(corners, fill=f"hatch {edge.rail.family if edge.rail else 'foam'}")
        elif edge.wire is not None and outer >= view.first:
            inset = bed.unit.lattice.pitch_across * (edge.card.strip_row or 0)
            x = outer - side * inset
            thick = max(edge.wire.diameter, edge.card.strip_thickness or 0.0)
            for z in (unit.top, unit.bottom)[: max(1, edge.loops)]:
                inward = -1 if z == unit.top else 1
                if edge.card.form == "edge strip":
                    tall = (edge.card.strip_width or 10.0) / view.scale
                    px, py = view.at(x, z)
                    drawing.box(px - 0.2, py if inward < 0 else py - tall, 0.4, tall, fill=INDIGO, line=0)
                else:
                    middle = view.at(x + side * thick / 2, z + inward * thick / 2)
                    drawing.circles([middle], max(thick / 2 / view.scale, 0.35), fill=INDIGO, width=0)


def _border(drawing: Drawing, bed: BedAtSize, view: _View) -> None:
    border = bed.border
    filling = border.filling.thickness if border.filling is not None else 0.0
    thick = max(filling + border.cloth.thickness, 0.5 * view.scale)
    middle = bed.reckoned_height / 2
    tall = border.height / 2
    for side in (-1, 1):
        x = 0.0 if side < 0 else bed.width
        if not view.first - 1e-6 <= x <= view.last + 1e-6 or (side < 0 and view.first > 0):
            continue
        px, py = view.at(x, min(middle + tall, bed.reckoned_height))
        wide = thick / view.scale
        drawing.box(
            px if side > 0 else px - wide, py, wide, min(2 * tall, bed.reckoned_height) / view.scale,
            fill="hatch border", line=LINE * 0.7,
        )  # fmt: skip
        if bed.closure.card.form == "taped":
            for z in (bed.reckoned_height, 0.0):
                _bead(drawing, view, x + side * thick / 2, z)
        elif bed.closure.card.form == "zipped":
            zx, zy = view.at(x + side * thick / 2, middle)
            drawing.box(zx - 0.6, zy - 0.9, 1.2, 1.8, fill=INK, line=0)


def _bead(drawing: Drawing, view: _View, x: float, z: float) -> None:
    """The bead of the tape edge over the corner."""
    px, py = view.at(x, z)
    size = max(TAPE_BEAD / view.scale, 0.9)
    drawing.box(px - size / 2, py - size / 2, size, size, fill=PAPER, line=0, radius=size / 2.5)
    drawing.box(px - size / 2, py - size / 2, size, size, fill="hatch tape", stroke=INK, line=LINE, radius=size / 2.5)


def _tuft(drawing: Drawing, bed: BedAtSize, view: _View, x: float) -> None:
    tufts = tufts_in_section(bed)
    top = view.at(x, _lowered(bed, x, bed.reckoned_height, tufts))
    bottom = view.at(x, _lowered(bed, x, 0.0, tufts))
    drawing.line(top, bottom, stroke=INDIGO, width=0.3)
    wide = max(9 / view.scale, 0.6)
    for y in (top[1], bottom[1]):
        drawing.line((x_ := top[0] - wide, y), (x_ + 2 * wide, y), stroke=INDIGO, width=0.7)


def _break_line(drawing: Drawing, view: _View, height: float) -> None:
    if view.first <= 0:
        return
    x, top = view.at(view.first, height)
    bottom = view.at(view.first, 0)[1]
    drawing.break_line(x, top - 2, bottom + 2)


def _marks(bed: BedAtSize, view: _View) -> list[tuple[Point, str, str]]:
    """(point, words, lighter words) of every label, falling down the page."""
    tufts = tufts_in_section(bed)
    found: list[tuple[Point, str, str]] = []
    for band in bands(bed):
        x = min(band.right, view.last) - 2.5 * view.scale
        z = (band.top + band.bottom) / 2
        if band.unit is None:
            z = _lowered(bed, x, z, tufts)
        else:
            x = max(band.right - band.unit.lattice.head / 2, view.first + 4 * view.scale)
            z = band.bottom + (band.top - band.bottom) * (0.62 if band.unit is bed.unit else 0.5)
        found.append((view.at(x, z), band.words, band.lighter))
    border = bed.border
    middle = bed.reckoned_height / 2
    px, _ = view.at(bed.width, 0)
    where = (px + 0.25, view.at(0, middle - border.height * 0.14)[1])
    stitch = border.card.side_stitch
    lighter = f"cut {border.cut_height:.0f} high × {border.cut_length:.0f} mm"
    if stitch != "none":
        lighter += f"; {stitch} side-stitch, {border.card.side_stitch_rows} rows"
    found.append((where, f"border {border.card.code}", lighter))
    found += _edge_marks(bed, view)
    closure = bed.closure
    if closure.tape is not None:
        point = (px + 1.0, view.at(0, bed.reckoned_height)[1])
        found.append((point, f"tape {closure.tape.code}", f"{closure.passes} passes of {closure.tape_per_pass:.0f} mm"))
    elif closure.zip is not None:
        point = (px + 0.4, view.at(0, middle)[1])
        found.append((point, f"zip {closure.zip.code}", f"{closure.zip_length:.0f} mm"))
    seen = [x for x in tufts if view.first + 15 < x < view.last]
    if bed.tufts is not None and seen:
        point = view.at(seen[-1], _lowered(bed, seen[-1], bed.reckoned_height, tufts))
        found.append(
            (point, f"tuft {bed.tufts.trim.code}", f"{bed.tufts.count} through, clamped at {bed.tufts.height:.0f} mm")
        )
    return sorted(found, key=lambda mark: (round(mark[0][1], 2), mark[0][0], mark[1]))


def _edge_marks(bed: BedAtSize, view: _View) -> list[tuple[Point, str, str]]:
    edge = bed.edge
    if edge is None:
        return []
    unit = next(band for band in bands(bed) if band.unit is bed.unit)
    words = f"{edge.card.form}  {edge.card.code}"
    if edge.card.form == "foam rail":
        width = edge.card.rail_width or 0.0
        x = bed.width / 2 + bed.unit.space_width / 2 + width / 2
        return [(view.at(x, unit.bottom + 0.3 * bed.unit.height), words, f"{width:.0f} mm wide all round")]
    if edge.wire is not None:
        x = unit.right - bed.unit.lattice.pitch_across * (edge.card.strip_row or 0)
        lighter = f"{edge.loops} × {edge.loop_length:.0f} mm of {edge.wire.code}, {edge.clips} clips"
        z = unit.bottom + 1.5 if edge.loops > 1 else unit.top - 1.5
        return [(view.at(x, z), words, lighter)]
    lighter = f"{edge.card.stiff_rows} outer rows of {edge.card.coil}"
    return [(view.at(unit.right - 8, unit.bottom + 0.25 * bed.unit.height), words, lighter)]
