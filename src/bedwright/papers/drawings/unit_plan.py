"""The bed from above: every coil to scale, zones hatched and lettered, hands, lacing, glue, edge, tufts; the head."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.design.bed_at_size import BedAtSize
from bedwright.papers.drawings.svg import GREY, INDIGO, LINE, PAPER, Drawing, scale_of, spread
from bedwright.papers.drawings.unit_marks import (
    LETTERS,
    ZONE_HATCHES,
    Plan,
    Zone,
    badge,
    contacts,
    draw_coils,
    draw_edge,
    draw_glue,
    draw_lacing,
    draw_tufts,
    draw_zones,
    hand_arrow,
    kind_mark,
    kinds,
    rail_hatch,
    tuft_marks,
    unit_corner_at,
    zones,
)
from bedwright.papers.drawings.words import cut
from bedwright.papers.typeset import Raw

SCALES = (5, 6, 7.5, 8, 10, 12.5, 15, 17.5, 20, 25, 30, 40, 50)
HANDS = {"right": "right hand", "left": "left hand", "alternate": "hands in turn"}
_STEP, _LINE = 4.6, 2.9
_LEFT, _TOP, _RIGHT = 10.0, 9.5, 5.0


@dataclass(frozen=True, slots=True)
class Key:
    """A line of the key: its mark, its words; kind, hand and stiff of coils."""

    mark: str
    words: str
    kind: int = 0
    hand: str = "right"
    stiff: bool = False


def unit_plan(bed: BedAtSize, width: float = 112.0, height: float = 180.0) -> Raw:
    """The plan on `width` x `height` of paper [mm], a key of the marks below it."""
    keys = [(key, cut(key.words, width - _LEFT - 8.0, 2.4, 3)) for key in plan_keys(bed)]
    below = _below(bed)
    tall_keys = sum(_STEP + _LINE * (len(lines) - 1) for _, lines in keys)
    room = height - _TOP - 6.0 - tall_keys - (4.0 if below else 0.0)
    scale = max(scale_of(bed.width, width - _LEFT - _RIGHT, SCALES), scale_of(bed.length, room, SCALES))
    wide, tall = bed.width / scale, bed.length / scale
    title = f"Unit plan of {bed.key}, 1 to {scale:g}"
    drawing = Drawing(width, tall + _TOP + 6.0 + tall_keys + (4.0 if below else 0.0), title)
    plan = Plan((_LEFT, _TOP), scale)
    drawing.box(_LEFT, _TOP, wide, tall, line=LINE, radius=bed.bed.corner_radius / scale)
    drawing.text(_LEFT + wide / 2, 2.6, "HEAD", size=2.8, anchor="middle", weight=600, fill=INDIGO)
    if bed.edge is not None and bed.edge.card.form == "foam rail":
        draw_edge(drawing, bed, plan)
    draw_zones(drawing, bed, plan)
    draw_lacing(drawing, bed, plan)
    draw_coils(drawing, bed, plan)
    draw_glue(drawing, bed, plan)
    if bed.edge is not None and bed.edge.card.form != "foam rail":
        draw_edge(drawing, bed, plan)
    draw_tufts(drawing, bed, plan)
    _letters(drawing, bed, plan)
    drawing.dimension((_LEFT, _TOP - 2.2), (_LEFT + wide, _TOP - 2.2), f"{bed.width:g}")
    drawing.dimension((_LEFT - 2.2, _TOP), (_LEFT - 2.2, _TOP + tall), f"{bed.length:g}")
    drawing.text(_LEFT + wide, 2.6, f"1 : {scale:g}", size=2.3, anchor="end", fill=GREY)
    y = _TOP + tall + 4.2 + (4.0 if below else 0.0)
    for key, lines in keys:
        draw_key(drawing, bed, key, _LEFT, y)
        for index, line in enumerate(lines):
            drawing.text(_LEFT + 7.0, y + _LINE * index, line, size=2.4)
        y += _STEP + _LINE * (len(lines) - 1)
    return drawing.svg()


def _named(bed: BedAtSize) -> list[Zone]:
    """The zones that get a letter: every one, but of the main coil and of stiff rows only one, at a side if it can."""
    if len(bed.unit.groups) == 1:
        return []
    order = kinds(bed.unit)
    found, once = [], set()
    for zone in sorted(zones(bed.unit), key=lambda zone: not zone.to_the_edge):
        if order[zone.kind] in (bed.unit.card.coil, bed.unit.edge_coil):
            if zone.kind in once:
                continue
            once.add(zone.kind)
        found.append(zone)
    return found


def _below(bed: BedAtSize) -> bool:
    """Whether a letter stands below the bed: of a zone that reaches the foot and not the right side."""
    last = bed.unit.lattice.along - 1
    return any(not zone.to_the_edge and zone.last_row == last for zone in _named(bed))


def _letters(drawing: Drawing, bed: BedAtSize, plan: Plan) -> None:
    """The letter of each zone beside the bed where the zone reaches its side or its foot, else in the zone."""
    unit = bed.unit
    left, head = unit_corner_at(bed)
    lattice = unit.lattice
    right, foot = plan.at(bed.width, bed.length)
    beside: list[tuple[float, int]] = []
    for zone in _named(bed):
        column = (zone.first_column + zone.last_column) / 2
        x = left + lattice.row_start(zone.first_row) + column * lattice.pitch_across
        y = head + lattice.head / 2 + (zone.first_row + zone.last_row) / 2 * lattice.pitch_along
        middle = plan.at(x, y)
        if zone.to_the_edge:
            beside.append((middle[1], zone.kind))
            continue
        if zone.last_row == lattice.along - 1:
            drawing.line((middle[0], foot - 1.5), (middle[0], foot + 1.3), stroke=GREY, width=LINE * 0.6)
            middle = middle[0], foot + 2.9
        badge(drawing, _letter(zone.kind), middle)
    beside.sort()
    if 3.5 * len(beside) > foot - plan.corner[1]:  # more than go beside the bed: one of each kind
        beside = [one for index, one in enumerate(beside) if one[1] not in {kind for _, kind in beside[:index]}]
    places = spread([y for y, _ in beside], [3.5] * len(beside), plan.corner[1], foot)
    for (y, kind), place in zip(beside, places, strict=True):
        drawing.line((right - 1.5, y), (right, y), (right + 1.3, place), stroke=GREY, width=LINE * 0.6)
        badge(drawing, _letter(kind), (right + 2.9, place))


def _letter(kind: int) -> str:
    return LETTERS[min(kind, len(LETTERS) - 1)]


def plan_keys(bed: BedAtSize) -> list[Key]:
    """The lines of the key: kinds of coils, lacing, glue, edge, tufts."""
    unit, found = bed.unit, []
    groups = {group.coil.code: group for group in unit.groups}
    for kind, code in enumerate(kinds(unit)):
        group = groups[code]
        wire, hand = group.wire, HANDS[group.coil.hand]
        words = f"{group.count} × {code}, {group.where}; wire {wire.diameter:g} mm, {hand}"
        found.append(Key("coil", words, kind, group.coil.hand, code == unit.edge_coil))
    if unit.lacing_lines:
        words = f"lacing {unit.card.lacing}: {unit.lacing_lines} lines of {unit.lacing_line_length:.0f} mm, both faces"
        found.append(Key("lacing", words))
    glued = contacts(unit)
    if glued:
        found.append(Key("glue", f"glue at {unit.card.glue_pattern} between strings: {len(glued)} spots"))
    edge = bed.edge
    if edge is not None and edge.card.form == "foam rail":
        found.append(Key("rail", f"foam rail {edge.card.code}, {edge.card.rail_width:g} mm wide"))
    elif edge is not None and edge.card.form != "stiff rows":
        row = f" in row {edge.card.strip_row}" if edge.card.form == "edge strip" else ""
        words = f"{edge.card.form} {edge.card.code}{row}, {edge.loops} loops of {edge.loop_length:.0f} mm"
        found.append(Key("rod", words.replace(" 1 loops", " 1 loop")))
    elif edge is not None:
        found.append(
            Key("stiff", f"stiff rows {edge.card.code}: {unit.stiff_rows} outer rows, drawn heavy", stiff=True)
        )
    if bed.tufts is not None:
        words = f"{bed.tufts.count} tufts, in gaps between coils; {bed.tufts.moved:.0f} mm off the spacing asked for"
        found.append(Key("tuft", words))
    return found


def draw_key(drawing: Drawing, bed: BedAtSize, key: Key, x: float, y: float) -> None:
    """The mark of a line of the key, on the base line y."""
    middle = (x + 2.2, y - 0.9)
    if key.mark == "coil":
        several = len(bed.unit.groups) > 1
        hatch = ZONE_HATCHES[min(key.kind, len(ZONE_HATCHES) - 1)]
        if several:
            badge(drawing, _letter(key.kind), (x - 4.6, middle[1]))
            drawing.box(x - 2.6, middle[1] - 2, 8.6, 4, fill=f"hatch {hatch}" if hatch else PAPER, line=LINE * 0.6)
        ring, arrow = (x - 0.4, x + 3.6) if several else (x + 0.8, x + 4.0)
        drawing.circles([(ring, middle[1])], 1.5, width=0.45 if key.stiff else 0.2)
        kind_mark(drawing, [(ring, middle[1])], 1.5, key.kind)
        hand_arrow(drawing, (arrow, middle[1]), 1.25, key.hand, 0.2)
    elif key.mark == "lacing":
        drawing.line((x, middle[1]), (x + 4.4, middle[1]), stroke=GREY, width=LINE, dash="0.5 0.5")
    elif key.mark == "glue":
        drawing.circles([(x + 1.2 + 1.6 * one, middle[1]) for one in range(2)], 0.28, fill=INDIGO, width=0)
    elif key.mark == "rail":
        drawing.box(x, middle[1] - 1.3, 4.4, 2.6, fill=f"hatch {rail_hatch(bed)}")
    elif key.mark == "rod":
        drawing.line((x, middle[1]), (x + 4.4, middle[1]), stroke=INDIGO, width=0.55)
    elif key.mark == "stiff":
        drawing.circles([middle], 1.5, width=0.45)
    else:
        tuft_marks(drawing, [middle])
