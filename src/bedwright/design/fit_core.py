"""Fit of the core: unit and coils, edge room and border, layers."""

from __future__ import annotations

import math

from bedwright.design.bed_at_size import BedAtSize, CoilGroup, EdgeAtSize, UnitAtSize
from bedwright.design.part_fault import part_fault
from bedwright.errors import Fault
from bedwright.works.materials import Filling
from bedwright.works.springs import UnitZone
from bedwright.works.works import Works


def unit_faults(works: Works, bed: BedAtSize) -> list[Fault]:
    """Lattice, zones, coils against pitch and pocket, heat in cloth, of the unit and of mini-spring layers."""
    faults = _unit(works, bed, bed.unit)
    for layer in bed.layers:
        if isinstance(layer.part, UnitAtSize):
            faults += _unit(works, bed, layer.part)
            if layer.part.card.construction == "open-coil":
                faults.append(
                    part_fault(
                        bed, layer.part.card, "construction", "open-coil",
                        "an open-coil unit cannot be a layer", "use a mini-spring layer in pockets",
                    )
                )  # fmt: skip
    return faults


def _unit(works: Works, bed: BedAtSize, unit: UnitAtSize) -> list[Fault]:
    faults = []
    card = unit.card
    if unit.count == 0 or unit.lattice.across < 2 or unit.lattice.along < 2:
        faults.append(
            part_fault(
                bed, card, "pitch_across", card.pitch_across,
                f"no lattice fits {unit.space_width:g} x {unit.space_length:g} mm",
                "take a smaller pitch or a larger size",
            )
        )  # fmt: skip
        return faults
    for zone in card.zones:
        faults += _zone(bed, unit, zone)
    for group in unit.groups:
        faults += _coil(works, bed, unit, group)
    return faults


def _zone(bed: BedAtSize, unit: UnitAtSize, zone: UnitZone) -> list[Fault]:
    """Zones that reach beyond this size, and small coils where an edge is tied."""
    faults = []
    lattice = unit.lattice
    for what, first, last, there in (
        ("row", zone.first_row, zone.last_row, lattice.along),
        ("column", zone.first_column, zone.last_column, lattice.across),
    ):
        if max(first or 1, last or 1) > there:
            reach = f"ends at {what} {last}" if last is not None else f"begins at {what} {first}"
            faults.append(
                part_fault(
                    bed, unit.card, "zones", last if last is not None else first,
                    f"zone {zone.position} {reach}, and the unit has {there} {what}s",
                    f"end the zone at the last {what} of the smallest size, or give this size a unit of its own",
                    grave=(first or 1) > there,
                )
            )  # fmt: skip
    if zone.per_place > 1 and unit is bed.unit and bed.edge is not None and _several_at_the_edge(unit, bed.edge):
        faults.append(
            part_fault(
                bed, unit.card, "zones", zone.per_place,
                f"zone {zone.position} has {zone.per_place} coils in places that the rod or strip is clipped to, and "
                "clips are counted by place",
                "let the zone end inside the edge, or count the clips yourself",
                grave=False,
            )
        )  # fmt: skip
    return faults


def _several_at_the_edge(unit: UnitAtSize, edge: EdgeAtSize) -> bool:
    """Whether a rod or strip is clipped to places of several coils; they are in square rows only."""
    ring = edge.card.strip_row or 0
    counts = unit.place_counts
    sides = [count for row in counts for count in (row[ring], row[-1 - ring])]
    return edge.loops > 0 and max(*counts[ring], *counts[-1 - ring], *sides) > 1


def _coil(works: Works, bed: BedAtSize, unit: UnitAtSize, group: CoilGroup) -> list[Fault]:
    card, coil, wire_diameter = unit.card, group.coil, group.wire.diameter
    faults = []
    widest = coil.widest + wire_diameter
    room = min(card.pitch_across, card.pitch_along) / math.isqrt(group.per_place)
    if card.construction == "pocket":
        room -= works.rule("clearance_pocket")
        if coil.heat == "whole unit":
            faults.append(
                part_fault(
                    bed, coil, "heat", coil.heat,
                    "the oven for the whole unit would melt the pocket cloth",
                    "heat at the coiler, or none",
                )
            )  # fmt: skip
        assert card.pocket_height is not None
        free = coil.free_height + wire_diameter
        if card.pocket_height > free:
            faults.append(
                part_fault(
                    bed, card, "pocket_height", card.pocket_height,
                    f"the pocket is higher than coil {coil.code}, which is {free:g} mm free",
                    f"take a pocket of less than {free:g} mm",
                )
            )  # fmt: skip
        closed = (coil.live_turns + 1) * wire_diameter
        if card.pocket_height <= closed and coil.profile == "cylinder":
            faults.append(
                part_fault(
                    bed, card, "pocket_height", card.pocket_height,
                    f"coil {coil.code} is solid at about {closed:g} mm",
                    "take a higher pocket, fewer turns or thinner wire",
                )
            )  # fmt: skip
    if widest > room + 1e-9:
        faults.append(
            part_fault(
                bed, coil, "end_diameter", f"{widest:g}",
                f"the coil is {widest:g} mm over its wire, and unit {card.code} leaves {room:g} mm",
                "take a smaller coil or a wider pitch",
            )
        )  # fmt: skip
    return faults


def layer_faults(bed: BedAtSize) -> list[Fault]:
    """Sheets too small, glue not named, coils without an insulator."""
    faults = []
    for layer in bed.layers:
        if not isinstance(layer.part, Filling):
            continue
        filling = layer.part
        if filling.sheet_length is None:
            fits = min(layer.width, layer.length) <= filling.sheet_width
        else:
            sheet = sorted((filling.sheet_width, filling.sheet_length))
            need = sorted((layer.width, layer.length))
            fits = need[0] <= sheet[0] and need[1] <= sheet[1]
        if not fits:
            faults.append(
                part_fault(
                    bed, filling, "sheet_width", f"{filling.sheet_width:g}",
                    f"layer {layer.face}{layer.position} is cut {layer.width:g} x {layer.length:g} mm from one piece, "
                    "and the sheet is smaller",
                    "buy a larger sheet, or plan a glued join",
                    grave=False,
                )
            )  # fmt: skip
        if layer.glued and layer.glue is None:
            faults.append(
                part_fault(
                    bed, filling, "glue", None, "the layer is glued, and its card names no glue",
                    "name the glue and its mass, or lay it loose",
                )
            )  # fmt: skip
    on_unit = {layer.face for layer in bed.layers if layer.position == min(
        other.position for other in bed.layers if other.face == layer.face) and isinstance(layer.part, Filling)
        and layer.part.family in ("insulator", "felt", "coir")}  # fmt: skip
    if bed.unit.card.construction == "open-coil":
        for face in ("A", "B")[: bed.bed.faces]:
            if face not in on_unit:
                faults.append(
                    part_fault(
                        bed, bed.bed, "layers", f"face {face}",
                        "no insulator, felt or coir lies on the open coils: filling will sink into them",
                        "lay an insulator pad next to the unit",
                        grave=False,
                    )
                )  # fmt: skip
    return faults


def border_faults(works: Works, bed: BedAtSize) -> list[Fault]:
    """Room between unit and border, border height and its cloth."""
    faults = []
    rail = bed.edge.card.rail_width if bed.edge is not None and bed.edge.card.form == "foam rail" else None
    outer_width = bed.unit.space_width + 2 * rail if rail else bed.unit.width
    outer_length = bed.unit.space_length + 2 * rail if rail else bed.unit.length
    gap = works.rule("gap_border_unit")
    left = min(bed.width - outer_width, bed.length - outer_length) / 2
    if left < gap:
        faults.append(
            part_fault(
                bed, bed.bed, "unit", bed.unit.card.code,
                f"between unit and border {left:.1f} mm are left, and border and fillings need {gap:g}",
                "take a smaller unit, or lower house rule gap_border_unit if samples show that it closes",
            )
        )  # fmt: skip
    lattice = bed.unit.lattice
    for way, empty, pitch in (
        ("across", bed.unit.space_width - bed.unit.width, lattice.pitch_across),
        ("along", bed.unit.space_length - bed.unit.length, lattice.pitch_along),
    ):
        if bed.unit.count and lattice.across > 1 and empty > 0.75 * pitch:
            faults.append(
                part_fault(
                    bed,
                    bed.unit.card,
                    f"pitch_{way}",
                    getattr(bed.unit.card, f"pitch_{way}"),
                    f"the lattice leaves {empty:.0f} mm of its space empty {way}: the edge will feel soft",
                    "change the pitch a little for this size",
                    grave=False,
                )
            )
    if bed.edge is not None and bed.edge.loops and bed.edge.clip is None:
        faults.append(
            part_fault(
                bed,
                bed.unit.card,
                "clip",
                None,
                f"edge {bed.edge.card.code} has rod or strip, and the unit names no clip to tie it with",
                "name the clip on the unit's card",
                grave=False,
            )
        )
    if bed.border.height <= 0:
        faults.append(
            part_fault(
                bed, bed.bed, "finished_height", f"{bed.height:g}",
                "no height is left for the border", "a bed is higher than its two tape edges",
            )
        )  # fmt: skip
    if bed.border.height < bed.unit.height:
        faults.append(
            part_fault(
                bed, bed.bed, "finished_height", f"{bed.height:g}",
                f"the border stands {bed.border.height:.1f} mm, lower than the unit's {bed.unit.height:.1f}: "
                "the border would press the coils down",
                "raise the finished height, or take a lower unit",
            )
        )  # fmt: skip
    cloth = bed.border.cloth
    usable = cloth.usable_width or cloth.roll_width
    if bed.border.cut_height > usable:
        faults.append(
            part_fault(
                bed, cloth, "roll_width", usable,
                f"the border is cut {bed.border.cut_height:.0f} mm high, and the roll gives {usable:g}",
                "take a wider cloth or a lower bed",
            )
        )  # fmt: skip
    return faults
