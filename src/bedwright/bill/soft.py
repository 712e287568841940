"""Soft goods of the core: pocket cloth, glue between strings, cover sheets, layers by piece, foam rails, glue."""

from __future__ import annotations

from bedwright.bill.rows import BillRow, shown
from bedwright.bill.steel import unit_steel
from bedwright.bill.taking import area_row, block_row, glue_row
from bedwright.design.bed_at_size import EdgeAtSize, LayerAtSize, UnitAtSize
from bedwright.works.materials import Filling
from bedwright.works.works import Works


def unit_soft(works: Works, unit: UnitAtSize, group: str, times: int = 1, name: str = "") -> list[BillRow]:
    """Cloth and glue of a pocket unit made here, `times` over; nothing for a bought one."""
    card = unit.card
    if card.origin == "bought":
        return []
    rows = []
    of = f" of {name}" if name else ""
    if card.pocket_cloth is not None and unit.pocket_strip_length:
        cloth = works.cloths[card.pocket_cloth]
        piece = (times, unit.pocket_strip_height, unit.pocket_strip_length)
        how = (
            f"height pocket {shown(card.pocket_height or 0.0)} + head {shown(unit.lattice.head)} + weld "
            f"{shown(works.rule('pocket_cloth_seam'))}; length "
            + " + ".join(f"{count} pockets x pi x {shown(size)}" for count, size in unit.pockets)
        )
        rows.append(area_row(group, cloth, f"pocket cloth{of}", piece, how))
    if card.glue is not None and unit.glue_spots:
        spots = unit.glue_spots * times
        how = f"{spots} contacts x {shown(card.glue_per_spot)} g"
        glue = works.trims[card.glue]
        rows.append(glue_row(group, glue, f"glue between strings{of}", spots * card.glue_per_spot / 1000, how))
    if card.sheet_cloth is not None:
        cloth = works.cloths[card.sheet_cloth]
        piece = (2 * times, unit.width, unit.length)
        rows.append(area_row(group, cloth, f"cover sheets{of}", piece, "over and under the unit"))
    return rows


def layer_rows(works: Works, layer: LayerAtSize) -> list[BillRow]:
    """One layer of the build-up: its pieces and the glue that fixes them, or a whole mini-spring unit."""
    place = f"layer {layer.face}{layer.position}"
    if isinstance(layer.part, UnitAtSize):
        name = f"{place}, mini springs"
        return [
            *unit_steel(works, layer.part, "build-up", layer.count, name),
            *unit_soft(works, layer.part, "build-up", layer.count, name),
        ]
    piece = (layer.count, layer.width, layer.length)
    rows = [area_row("build-up", layer.part, place, piece, "cut over the space")]
    if layer.glue is not None and layer.part.glue_mass:
        area = layer.count * layer.width * layer.length / 1e6
        how = f"{shown(area)} m2 x {shown(layer.part.glue_mass)} g/m2"
        rows.append(glue_row("build-up", layer.glue, f"glue under {place}", area * layer.part.glue_mass / 1000, how))
    return rows


def edge_soft(edge: EdgeAtSize) -> list[BillRow]:
    """Foam rails round the unit, by piece."""
    rail: Filling | None = edge.rail
    if rail is None:
        return []
    return [
        block_row("edge", rail, f"foam rail, {side}", (piece.count, piece.width, piece.length), piece.height)
        for side, piece in zip(("long sides", "head and foot"), edge.rails, strict=True)
    ]
