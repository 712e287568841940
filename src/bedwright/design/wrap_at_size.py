"""The pack of a bed, and the rule of what may be rolled."""

from __future__ import annotations

import math

from bedwright.design.bed_at_size import EdgeAtSize, LayerAtSize, PanelAtSize, UnitAtSize, WrapAtSize
from bedwright.works.beds import Bed
from bedwright.works.materials import Filling
from bedwright.works.works import Works


def wrap_at_size(works: Works, bed: Bed, width: float, length: float, height: float) -> WrapAtSize:
    """The pack of a bed of width x length x height [mm].

    A flat pack or plain bag lies in film 2 (W + H) x (L + H + overlap) (derived), or in a length of the tube that its
    card names, which is as wide as it is, whatever the bed.
    A rolled bed is a cylinder as long as the bed is wide, of the diameter that the maker's roller gives.
    """
    overlap = works.rule("film_overlap")
    film = works.films[bed.film]
    guard = works.trims[bed.edge_guard] if bed.edge_guard else None
    if bed.wrap == "rolled":
        across = works.rule("rolled_diameter")
        turns = works.rule("rolled_turns_film")
        size = (across, width + overlap, across)
        film_size = (width + 2 * across, turns * math.pi * across)
    else:
        size = (width, length, height)
        across = 2 * film.tube_width if film.tube_width is not None else 2 * (width + height)
        film_size = (across, length + height + overlap)
    return WrapAtSize(
        film=film,
        how=bed.wrap,
        width=size[0],
        length=size[1],
        height=size[2],
        film_width=film_size[0],
        film_length=film_size[1],
        edge_guard=guard,
        edge_guard_length=2 * (width + length) if guard else 0.0,
    )


def why_not_rolled(
    works: Works,
    bed: Bed,
    unit: UnitAtSize,
    edge: EdgeAtSize | None,
    layers: tuple[LayerAtSize, ...],
    panels: tuple[PanelAtSize, ...],
    height: float,
) -> list[str]:
    """Every reason why a bed may not be rolled; empty when it may (common practice, no source).

    Glue that must cure first is the plan's business; the time rolled, recovery hours and recovery height are
    the maker's measurement and stay "not known" until given.
    """
    reasons = []
    if edge is not None and edge.card.form in ("edge rod", "edge strip"):
        reasons.append(f"{edge.card.form} {edge.card.code} would be bent")
    if unit.card.lacing != "none" or unit.card.construction == "open-coil":
        reasons.append(f"unit {unit.card.code} is laced open coil")
    if bed.tuft is not None:
        reasons.append("hand tufts would be torn")
    if works.borders[bed.border].side_stitch == "hand":
        reasons.append("the hand side-stitch is stiff")
    fillings = [layer.part for layer in layers if isinstance(layer.part, Filling)]
    fillings += [ply for panel in panels for ply in panel.plies if isinstance(ply, Filling)]
    if edge is not None and edge.rail is not None:
        fillings.append(edge.rail)
    stiff = sorted({filling.code for filling in fillings if not filling.may_be_rolled})
    if stiff:
        reasons.append(f"filling {', '.join(stiff)} is not known to recover")
    limit = works.rule("rolled_height_limit")
    if height > limit:
        reasons.append(f"{height:.0f} mm is above the roller's {limit:.0f} mm")
    return reasons
