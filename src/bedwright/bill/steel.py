"""Steel: coil wire by all turns, end rings and knots; lacing by its helix; rods and strips; clips; bought units.

Rate uses live turns, steel uses all wire (common practice, no source). A wrap of a knot lies round the wire of the end
ring, so its middle line is a circle of 2 d (derived). A helix of diameter D and pitch p is sqrt((pi D)^2 + p^2) / p
long for each length of its line (derived).
"""

from __future__ import annotations

import math

from bedwright.bill.rows import BillRow, shown
from bedwright.bill.taking import strip_row, trim_count_row, unit_row, wire_row
from bedwright.design.bed_at_size import CoilGroup, EdgeAtSize, UnitAtSize
from bedwright.mechanics.card_coil import wire_of
from bedwright.mechanics.wire import DENSITY
from bedwright.words import counted
from bedwright.works.works import Works


def helix_length_per_length(diameter: float, pitch: float) -> float:
    """Wire in a helix per length of its line, from its mean diameter and pitch [mm]. Book: derived."""
    return math.sqrt((math.pi * diameter) ** 2 + pitch**2) / pitch


def unit_steel(works: Works, unit: UnitAtSize, group: str, times: int = 1, name: str = "") -> list[BillRow]:
    """Wire of a unit made here, `times` over; one row for a bought unit."""
    if unit.card.origin == "bought":
        what = f"{name or 'spring unit'}, bought"
        return [unit_row(group, unit.card, what, times, unit.width, unit.length)]
    rows = [_coil_row(one, group, times, name) for one in unit.groups]
    if unit.lacing_lines and unit.lacing_wire is not None:
        rows.append(_lacing_row(works, unit, group, times))
    return rows


def _coil_row(one: CoilGroup, group: str, times: int, name: str) -> BillRow:
    coil, wire = one.coil, one.wire
    taken = wire_of(coil, wire)
    count = one.count * times
    if coil.end_ring_wire is not None:
        rings = f"end rings measured {shown(coil.end_ring_wire)}"
    else:
        dead = coil.total_turns - coil.live_turns
        rings = f"{shown(dead)} dead turns x pi x {shown(sum(coil.ends) / 2)} = {shown(taken.dead)}"
    how = f"{count} coils x ({shown(coil.live_turns)} live turns along their curve {shown(taken.live)} + {rings}"
    if taken.knots:
        how += (
            f" + 2 knots x ({shown(coil.knot_wraps)} wraps x pi x 2 x {shown(wire.diameter)} + tail "
            f"{shown(coil.knot_tail)}) = {shown(taken.knots)}"
        )
    how += f") = {count} x {shown(taken.length)} mm"
    what = f"coil {coil.code}, {one.where}" + (f" of {name}" if name else "")
    return wire_row(group, wire, what, count, count * taken.length, how)


def _lacing_row(works: Works, unit: UnitAtSize, group: str, times: int) -> BillRow:
    card, wire = unit.card, unit.lacing_wire
    assert wire is not None and card.helix_diameter is not None and card.helix_pitch is not None
    over = works.rule("lacing_turns_over")
    factor = helix_length_per_length(card.helix_diameter, card.helix_pitch)
    lines = unit.lacing_lines * times
    length = lines * (unit.lacing_line_length * factor + over)
    how = (
        f"{lines} lines x ({shown(unit.lacing_line_length)} x sqrt((pi x {shown(card.helix_diameter)})^2 + "
        f"{shown(card.helix_pitch)}^2) / {shown(card.helix_pitch)} [{shown(factor)}] + turns over {shown(over)})"
    )
    return wire_row(group, wire, f"lacing {card.lacing}, top and bottom", lines, length, how)


def edge_steel(edge: EdgeAtSize) -> list[BillRow]:
    """Rods or strips by loop, and their clips; stiff rows are coils of the unit and foam rails are soft."""
    rows: list[BillRow] = []
    if edge.wire is not None and edge.loops:
        if edge.card.form == "edge strip":
            width, thickness = edge.card.strip_width or 0.0, edge.card.strip_thickness or 0.0
            rows.append(
                strip_row("edge", edge.wire, "edge strip", edge.loops, edge.loop_length, width, thickness, DENSITY)
            )
        else:
            how = f"{edge.loops} loops x {shown(edge.loop_length)} mm"
            rows.append(wire_row("edge", edge.wire, "edge rod", edge.loops, edge.loops * edge.loop_length, how))
    if edge.clip is not None and edge.clips:
        each = edge.clips / (edge.loops * edge.coils_round)
        how = f"{counted(edge.loops, 'loop')} x {edge.coils_round} coils round the edge x {shown(each)}"
        rows.append(trim_count_row("edge", edge.clip, "clips of the edge", edge.clips, how))
    return rows
