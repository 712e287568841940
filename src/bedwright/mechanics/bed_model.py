"""A bed at size as the flat foundation sees it: coils per square metre by place, fillings by their laws."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize, UnitAtSize
from bedwright.mechanics.card_coil import shape_of
from bedwright.mechanics.filling import FillingLaw, filling_law
from bedwright.mechanics.foundation import CoilBed, Foundation, Sheet, foundation
from bedwright.mechanics.pad import PadGrid, Spot
from bedwright.works.materials import Cloth, Filling
from bedwright.works.springs import Coil, Wire

Array = NDArray[np.float64]
ON_RAIL, OFF_BED = -1, -2


@dataclass(frozen=True, slots=True)
class Layer:
    """A filling in the bed: code of its card, law, thickness [mm], tolerance of its stress [share]."""

    code: str
    law: FillingLaw
    thickness: float
    tolerance: float


@dataclass(frozen=True, slots=True)
class BedModel:
    """Everything a foundation is made from; a tolerance makes a new one. coils: by the code of the main unit's coil."""

    coils: dict[str, tuple[CoilBed, ...]]
    layers: tuple[Layer, ...]
    rail: Layer | None


def bed_model(bed: BedAtSize) -> BedModel:
    """The model of a bed. Raises NotKnown for a filling without figures, FaultsFound for a coil that cannot be."""
    coils: dict[str, tuple[CoilBed, ...]] = {}
    minis = tuple(
        _coil_bed(layer.part, group.coil, group.wire)
        for layer in bed.layers
        if isinstance(layer.part, UnitAtSize)
        for group in layer.part.groups[:1]
        for _ in range(layer.count)
    )
    for group in bed.unit.groups:
        coils[group.coil.code] = (_coil_bed(bed.unit, group.coil, group.wire), *minis)
    layers = []
    for layer in bed.layers:
        if isinstance(layer.part, Filling):
            layers.append(_layer(layer.part, layer.built_thickness * layer.count))
    for panel in bed.panels:
        plies = [ply for ply in panel.plies if isinstance(ply, Filling)]
        total = sum(ply.thickness for ply in plies) or 1.0
        soft = panel.thickness - panel.ticking.thickness - sum(p.thickness for p in panel.plies if isinstance(p, Cloth))
        layers += [_layer(ply, soft * ply.thickness / total) for ply in plies]
    rail = None
    if bed.edge is not None and bed.edge.rail is not None:
        rail = _layer(bed.edge.rail, bed.unit.height)
    return BedModel(coils, tuple(layers), rail)


def _coil_bed(unit: UnitAtSize, coil: Coil, wire: Wire) -> CoilBed:
    shape = shape_of(coil, wire)
    per_m2 = 1e6 / (unit.lattice.pitch_across * unit.lattice.pitch_along)
    held = 0.0
    if unit.card.construction == "pocket" and unit.card.pocket_height is not None:
        held = max(0.0, coil.free_height + wire.diameter - unit.card.pocket_height)
    return CoilBed(shape, per_m2, held)


def _layer(filling: Filling, thickness: float) -> Layer:
    return Layer(filling.code, filling_law(filling), thickness, filling.figure_tolerance / 100)


def places_under(bed: BedAtSize, spot: Spot, grid: PadGrid) -> Array:
    """For each point of a pad at a spot: index of its coil code, -1 on a rail, -2 off the bed. Shape (points,)."""
    codes = {group.coil.code: index for index, group in enumerate(bed.unit.groups)}
    x, y = grid.x + spot.x, grid.y + spot.y
    left = (bed.width - bed.unit.width) / 2
    head = (bed.length - bed.unit.length) / 2
    lattice = bed.unit.lattice
    column = np.clip(((x - left) // lattice.pitch_across).astype(int), 0, lattice.across - 1)
    row = np.clip(((y - head) // lattice.pitch_along).astype(int), 0, lattice.along - 1)
    column = np.minimum(column, np.asarray(lattice.row_counts)[row] - 1)
    table = np.array(
        [
            [codes[bed.unit.coil_at(r, min(c, lattice.row_counts[r] - 1))] for c in range(max(lattice.row_counts))]
            for r in range(lattice.along)
        ]
    )
    place = table[row, column].astype(np.float64)
    if bed.edge is not None and bed.edge.rail is not None:
        side = (bed.width - bed.unit.space_width) / 2, (bed.length - bed.unit.space_length) / 2
        on_rail = (x < side[0]) | (x > bed.width - side[0]) | (y < side[1]) | (y > bed.length - side[1])
        place = np.where(on_rail, float(ON_RAIL), place)
    off = (x < 0) | (x > bed.width) | (y < 0) | (y > bed.length)
    return np.where(off, float(OFF_BED), place)


def foundations(model: BedModel) -> dict[int, Foundation]:
    """The foundation of each place: index of a coil code, or ON_RAIL."""
    sheets = tuple(Sheet(layer.law, layer.thickness) for layer in model.layers)
    found = {index: foundation(beds, sheets) for index, beds in enumerate(model.coils.values())}
    if model.rail is not None:
        found[ON_RAIL] = foundation((), (*sheets, Sheet(model.rail.law, model.rail.thickness)))
    return found
