"""The bed at size, made from the cards: the build-up from the core outwards on both faces, and the size chain.

Label size -> finished bed -> unit -> rod; panel over -> cut; border height = height - tape + seams; border length
slightly under the perimeter (common practice, no source).
"""

from __future__ import annotations

from bedwright.design.bed_at_size import (
    BedAtSize,
    ChainLine,
    EdgeAtSize,
    HouseTolerances,
    LayerAtSize,
    PanelAtSize,
    UnitAtSize,
)
from bedwright.design.border_at_size import border_at_size, closure_at_size, perimeter
from bedwright.design.chain import size_chain
from bedwright.design.panel_at_size import built, edging_at_size, panel_at_size
from bedwright.design.tufts import tufts_at_size
from bedwright.design.unit_at_size import edge_at_size, unit_at_size
from bedwright.design.wrap_at_size import wrap_at_size
from bedwright.works.beds import Bed, BedLayer, Size
from bedwright.works.rules import rating_terms
from bedwright.works.works import Works


def bed_at_size(works: Works, bed: Bed, size: Size) -> BedAtSize:
    """The bed at a size. The works must be free of reference faults; what does not fit is said by fit.py."""
    edge_card = works.edges[bed.edge] if bed.edge else None
    under = works.rule("unit_under_label")
    space = size.width - under, size.length - under
    rail = 2 * (edge_card.rail_width or 0.0) if edge_card is not None and edge_card.form == "foam rail" else 0.0
    unit = unit_at_size(works, works.units[bed.unit], space[0] - rail, space[1] - rail, edge_card)
    edge = edge_at_size(works, edge_card, unit, space[0], space[1]) if edge_card else None
    layers = tuple(_layer(works, row, space) for face in ("A", "B") for row in bed.face_layers(face))
    panels = _panels(works, bed, size)
    closure = closure_at_size(works, works.closures[bed.closure], bed, size.width, size.length)
    reckoned = reckoned_height(unit, layers, panels, closure.base_cloth.thickness if closure.base_cloth else 0.0)
    height = bed.finished_height if bed.finished_height is not None else reckoned
    around = perimeter(size.width, size.length, bed.corner_radius)
    border = border_at_size(works, works.borders[bed.border], height, around)
    edging = edging_at_size(works, works.panel_edges[bed.panel_edge], around)
    wrap = wrap_at_size(works, bed, size.width, size.length, height)
    tufts = tufts_at_size(works, bed, unit, size.width, size.length)
    chain = size_chain(works, size, unit, edge, layers, panels, border, closure, edging, wrap, height, reckoned)
    return BedAtSize(
        bed=bed,
        size=size,
        works_revision=works.about.revision,
        unit=unit,
        edge=edge,
        layers=layers,
        panels=panels,
        border=border,
        edging=edging,
        closure=closure,
        tufts=tufts,
        label=works.trims[bed.label],
        pair_zip=works.trims[bed.pair_zip] if bed.pair_zip else None,
        wrap=wrap,
        height=height,
        reckoned_height=reckoned,
        chain=chain,
        tolerances=HouseTolerances(
            turns=works.rule("turns_tolerance"),
            diameter=works.rule("wire_diameter_tolerance") / 100,
            tension=works.rule("tension_tolerance") / 100,
            lacing=works.rule("lacing_tolerance") / 100,
            coil_height=works.rule("tolerance_coil_height"),
        ),
        rating_terms=rating_terms(works.rules.get("firmness_rating")),
    )


def _layer(works: Works, row: BedLayer, space: tuple[float, float]) -> LayerAtSize:
    over = works.rule("filling_oversize")
    filling = works.fillings.get(row.part)
    if filling is None:
        mini = unit_at_size(works, works.units[row.part], space[0], space[1], None)
        return LayerAtSize(
            row.face, row.position, mini, row.layer_count, mini.width, mini.length, mini.height, mini.height,
            row.glued, None,
        )  # fmt: skip
    return LayerAtSize(
        face=row.face,
        position=row.position,
        part=filling,
        count=row.layer_count,
        width=space[0] + over,
        length=space[1] + over,
        thickness=filling.thickness,
        built_thickness=built(works, filling),
        glued=row.glued,
        glue=works.trims[filling.glue] if row.glued and filling.glue else None,
    )


def _panels(works: Works, bed: Bed, size: Size) -> tuple[PanelAtSize, ...]:
    cards = [("A", bed.panel_a)] + ([("B", bed.panel_b)] if bed.panel_b else [])
    case = size.width, size.length
    return tuple(panel_at_size(works, works.panels[code], face, case, bed.panel_fullness) for face, code in cards)


def reckoned_height(
    unit: UnitAtSize, layers: tuple[LayerAtSize, ...], panels: tuple[PanelAtSize, ...], base: float
) -> float:
    """Height untufted [mm]: unit, layers as built in, panels, base cloth. Tufts and tape pull it lower."""
    return (
        unit.height
        + sum(layer.built_thickness * layer.count for layer in layers)
        + sum(panel.thickness for panel in panels)
        + base
    )


__all__ = ["BedAtSize", "ChainLine", "EdgeAtSize", "bed_at_size", "reckoned_height"]
