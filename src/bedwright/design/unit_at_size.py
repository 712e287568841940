"""A spring unit at size: how many coils of which kind, lacing lines, glue spots, pocket cloth, and its edge.

Counts follow end ring plus lacing, or pocket pitch (common practice, no source); geometry in lattice.py.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

from bedwright.design.bed_at_size import EdgeAtSize, RailPiece, UnitAtSize
from bedwright.design.lattice import Lattice, nested, square
from bedwright.design.zones import Counts, groups, places, with_stiff_rows
from bedwright.works.springs import Coil, Edge, Unit, Wire
from bedwright.works.works import Works


def coil_outer_height(coil: Coil, wire: Wire) -> float:
    """Height of a free coil over everything [mm]: free height is centre to centre, one wire comes on top."""
    return coil.free_height + wire.diameter


def unit_height(works: Works, unit: Unit) -> float:
    """Height of the unit as built in [mm]: the supplier's for a bought unit, the pocket's, or the free coil's."""
    if unit.unit_height is not None:
        return unit.unit_height
    if unit.construction == "pocket":
        assert unit.pocket_height is not None
        return unit.pocket_height
    coil = works.coils[unit.coil]
    return coil_outer_height(coil, works.wires[coil.wire])


def head_size(works: Works, unit: Unit) -> float:
    """Outer size of one coil in the plan [mm]: end ring plus wire for open coils, the pocket's pitch for pockets.

    Nested rows have one pitch, that across: what stands on the card along is their distance, and no pocket's size.
    """
    if unit.construction == "pocket":
        return unit.pitch_across if unit.layout == "nested" else min(unit.pitch_across, unit.pitch_along)
    coil = works.coils[unit.coil]
    return coil.end_diameter + works.wires[coil.wire].diameter


def lattice_of(works: Works, unit: Unit, width: float, length: float) -> Lattice:
    """The lattice of a unit in width x length [mm]."""
    head = head_size(works, unit)
    if unit.layout == "nested":
        return nested(width, length, unit.pitch_across, head)
    return square(width, length, unit.pitch_across, unit.pitch_along, head)


def unit_at_size(works: Works, unit: Unit, width: float, length: float, edge: Edge | None) -> UnitAtSize:
    """The unit that goes into width x length [mm], with stiff rows if the edge asks for them."""
    lattice = lattice_of(works, unit, width, length)
    stiff = edge if edge is not None and edge.form == "stiff rows" else None
    coils, counts = places(unit, lattice)
    lines, line_length = _lacing(unit, lattice)
    draft = UnitAtSize(
        card=unit,
        lattice=lattice,
        groups=(),
        place_coils=coils,
        place_counts=counts,
        edge_coil=stiff.coil if stiff else None,
        stiff_rows=int(stiff.stiff_rows or 0) if stiff else 0,
        width=lattice.width,
        length=lattice.length,
        height=unit_height(works, unit),
        space_width=width,
        space_length=length,
        lacing_lines=lines,
        lacing_line_length=line_length,
        lacing_wire=works.wires[unit.lacing_wire] if unit.lacing_wire else None,
        glue_spots=0,
        pocket_strip_height=_pocket_strip_height(works, unit),
        pocket_strip_length=0.0,
    )
    made = with_stiff_rows(draft)
    return replace(
        made,
        groups=groups(works, made, coils),
        glue_spots=_glue_spots(unit, lattice, made.place_counts),
        pocket_strip_length=_pocket_strip_length(made),
    )


def _lacing(unit: Unit, lattice: Lattice) -> tuple[int, float]:
    """Lacing lines on top and bottom together, and the length of one [mm].

    Between two neighbouring rows a helix ties both; the outer rows of an edge rod are tied by clips, else laced too.
    """
    if unit.lacing == "none" or lattice.count == 0:
        return 0, 0.0
    if unit.lacing == "across":
        return 2 * (lattice.along - 1), lattice.width
    return 2 * (lattice.across - 1), lattice.length


def _glue_spots(unit: Unit, lattice: Lattice, counts: Counts | None = None) -> int:
    """Contacts between neighbouring strings (rows) that carry glue: one a coil in a square unit, two if nested.

    Where coils stand k by k in one place there are k (k - 1) more inside it, and k + m - gcd(k, m) towards m by m in
    the next row: pairs of equal shares of one pitch that face each other (derived).
    counts: coils of each place, one where it is left out.
    """
    if unit.construction != "pocket" or unit.glue_pattern == "none" or unit.origin == "bought":
        return 0
    contacts = 0
    if lattice.nested:
        for here, there in pairwise(lattice.row_counts):
            contacts += 2 * min(here, there) - (1 if here == there else 0)
    else:
        whole = counts or tuple((1,) * count for count in lattice.row_counts)
        fine = [[math.isqrt(count) for count in row] for row in whole]
        contacts = sum(side * (side - 1) for row in fine for side in row)
        contacts += sum(k + m - math.gcd(k, m) for pair in pairwise(fine) for k, m in zip(*pair, strict=True))
    return contacts if unit.glue_pattern == "every contact" else (contacts + 1) // 2


def _pocket_strip_height(works: Works, unit: Unit) -> float:
    """Height of the folded string [mm]: the pocket, half a coil over each end, and the weld seams (derived)."""
    if unit.construction != "pocket" or unit.origin == "bought":
        return 0.0
    assert unit.pocket_height is not None
    return unit.pocket_height + head_size(works, unit) + works.rule("pocket_cloth_seam")


def _pocket_strip_length(unit: UnitAtSize) -> float:
    """Cloth round all pockets [mm]: two sides of a pocket laid flat are half the pocket's girth each.

    Each pocket takes pi x pitch / 2 of the folded string, and the cloth is folded double.
    """
    if unit.card.construction != "pocket" or unit.card.origin == "bought":
        return 0.0
    return sum(count * math.pi * size for count, size in unit.pockets)


def coils_round(lattice: Lattice, inside: int) -> int:
    """Coils of the ring that lies `inside` rows from the edge (0: the outermost)."""
    rows = [max(0, count - 2 * inside) for count in lattice.row_counts[inside : lattice.along - inside]]
    if len(rows) < 2 or min(rows) < 2:
        return sum(rows)
    return rows[0] + rows[-1] + 2 * (len(rows) - 2)


def edge_at_size(works: Works, edge: Edge, unit: UnitAtSize, space_width: float, space_length: float) -> EdgeAtSize:
    """The edge round a unit: loops of rod or strip, or rails that fill the space between unit and space [mm]."""
    wire = works.wires[edge.wire] if edge.wire else None
    loops, loop_length, around, clips = 0, 0.0, 0, 0
    rails: tuple[RailPiece, ...] = ()
    if edge.form in ("edge rod", "edge strip"):
        inset = (
            2 * unit.lattice.pitch_across * (edge.strip_row or 0),
            2 * unit.lattice.pitch_along * (edge.strip_row or 0),
        )
        loop_length = 2 * (unit.width - inset[0] + unit.length - inset[1]) + works.rule("overlap_edge_rod")
        loops = edge.rods if edge.form == "edge rod" else 1
        around = coils_round(unit.lattice, edge.strip_row or 0)
        clips = round(loops * around * works.rule("clips_per_edge_coil")) if unit.card.clip else 0
    elif edge.form == "foam rail":
        assert edge.rail_width is not None
        rails = (
            RailPiece(2, space_length, edge.rail_width, unit.height),
            RailPiece(2, space_width - 2 * edge.rail_width, edge.rail_width, unit.height),
        )
    return EdgeAtSize(
        card=edge,
        wire=wire,
        loops=loops,
        loop_length=loop_length,
        coils_round=around,
        clips=clips,
        clip=works.trims[unit.card.clip] if unit.card.clip else None,
        rail=works.fillings[edge.rail] if edge.rail else None,
        rails=rails,
    )
