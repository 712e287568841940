"""A spring unit as the solver takes it: where its coils stand, their kinds, and what ties each to its neighbours.

Lacing and end rings tie open coils; glue and the weld of a string tie pockets; a rod or strip is a beam on its coils.
How stiff a tie is, only a maker's measurement tells. Where there is none, a plausible figure stands in, with a range
from nothing to three times it, and the answer says so.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import EdgeAtSize, UnitAtSize
from bedwright.mechanics.bed_ties import coil_heat
from bedwright.mechanics.card_coil import shape_of, wire_tolerance
from bedwright.mechanics.coil_force import force_curve
from bedwright.mechanics.coil_shape import CoilShape, longest_way
from bedwright.mechanics.field import COIL_FIRST, COIL_STEP, STOP, hermite
from bedwright.mechanics.open_figure import OpenFigure
from bedwright.mechanics.pocket import CLOTH_WAY, pocketed
from bedwright.mechanics.stack_law import Ply, series
from bedwright.mechanics.wire import EN_YOUNG

Array = NDArray[np.float64]
Indices = NDArray[np.int64]
# Ties that nobody measured [N/mm]: plausible choices of a trial; their range is from nothing to three times as much.
PLAUSIBLE_LACING, PLAUSIBLE_RING, PLAUSIBLE_GLUE = 0.5, 0.2, 0.05
PAST_SOLID = 6.0  # [mm] of a coil's table beyond solid, where the stop acts


@dataclass(frozen=True, slots=True)
class CoilKind:
    """Coils that are alike: code, live shape, pocket height [mm] or None, wire tolerance [mm], cell [mm2].

    heat: change of free height by heat and first pressing [mm]. scale: factor on the force, 1 as built; what a
    tolerance of wire, turns or diameter does.
    """

    code: str
    shape: CoilShape
    pocket_height: float | None
    cloth_way: float
    wire_tolerance: float
    cell: float
    heat: OpenFigure
    scale: float = 1.0

    @property
    def live(self) -> CoilShape:
        """The coil as it stands in the bed: its free height after heat."""
        if self.heat.value == 0:
            return self.shape
        return replace(self.shape, free_height=self.shape.free_height + self.heat.value)

    @property
    def travel(self) -> float:
        """Way from rest to solid [mm]."""
        held = 0.0
        if self.pocket_height is not None:
            held = max(0.0, self.live.free_height + self.shape.wire_diameter - self.pocket_height)
        return longest_way(self.live) - held

    def closing(self) -> float:
        """Way from rest at which the wire first touches [mm]."""
        return max(0.0, force_curve(self.live).closing - (longest_way(self.live) - self.travel))


@dataclass(frozen=True, slots=True)
class Rail:
    """Foam round the unit: its ply, and the rectangle inside which there is none (left, head, right, foot) [mm]."""

    ply: Ply
    inside: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Springs:
    """A unit in the bed: coils C at x, y [mm], kind of each, places for looking up, ties.

    pairs (P, 2), pair_share (P,): neighbours tied by `tie` times their share. rings (R, 3): coils in a row whose second
    difference `ring` resists. beams (Q, 3), beam_stiffness (Q,) [N/mm]: the same of rods and strips, EI / p^3.
    """

    name: str
    construction: str
    x: Array
    y: Array
    kind: Indices
    kinds: tuple[CoilKind, ...]
    first: Indices  # (rows, columns) first coil of a place, columns filled up with the row's last
    side: Indices  # (rows, columns) coils along one side of a place
    counts: Indices  # (rows,)
    starts: Array  # (rows,) x of the first place [mm]
    head: float  # y of the first row [mm]
    pitch: tuple[float, float]
    pairs: Indices
    pair_share: Array
    rings: Indices
    beams: Indices
    beam_stiffness: Array
    tie: OpenFigure
    ring: OpenFigure
    rail: Rail | None

    def coil_under(self, x: Array, y: Array) -> Indices:
        """Index of the coil whose cell holds each point, or is nearest to it; x, y (points,) [mm]."""
        across, along = self.pitch
        row_at = (y - self.head) / along + 0.5
        row = np.clip(np.floor(row_at).astype(np.int64), 0, len(self.counts) - 1)
        column_at = (x - self.starts[row]) / across + 0.5
        column = np.clip(np.floor(column_at).astype(np.int64), 0, self.counts[row] - 1)
        side = self.side[row, column]
        i = np.clip(np.floor((column_at - column) * side).astype(np.int64), 0, side - 1)
        j = np.clip(np.floor((row_at - row) * side).astype(np.int64), 0, side - 1)
        return np.asarray(self.first[row, column] + j * side + i, dtype=np.int64)

    def with_figure(self, field: str, value: float) -> Springs:
        """The same with a tie at another value: tie, ring."""
        changed: dict[str, Any] = {field: replace(getattr(self, field), value=value)}
        return replace(self, **changed)

    def with_heat(self, code: str, value: float) -> Springs:
        """The same with a coil's change of height by heat at another value [mm]."""
        kinds = (replace(k, heat=replace(k.heat, value=value)) if k.code == code else k for k in self.kinds)
        return replace(self, kinds=tuple(kinds))

    def higher(self, coil: float, pocket: float) -> Springs:
        """The same with all its coils, or all its pockets, higher [mm]."""
        return replace(
            self,
            kinds=tuple(
                replace(
                    kind,
                    heat=replace(kind.heat, value=kind.heat.value + coil),
                    pocket_height=None if kind.pocket_height is None else kind.pocket_height + pocket,
                )
                for kind in self.kinds
            ),
        )

    @property
    def grown(self) -> float:
        """How far heat and first pressing change the unit's height [mm]: open coils' only, pockets hold theirs."""
        by = np.array([kind.heat.value if kind.pocket_height is None else 0.0 for kind in self.kinds])
        return float(np.mean(by[self.kind]))

    def scaled(self, by: dict[str, float]) -> Springs:
        """The same with the force of its coils multiplied, by code of the coil."""
        return replace(self, kinds=tuple(replace(k, scale=k.scale * by.get(k.code, 1.0)) for k in self.kinds))


def springs(unit: UnitAtSize, edge: EdgeAtSize | None, rail: Ply | None, bed: tuple[float, float]) -> Springs:
    """The unit of a bed of width x length [mm], in its middle. Raises FaultsFound for a coil that cannot be."""
    left, top = (bed[0] - unit.width) / 2, (bed[1] - unit.length) / 2
    standing = unit.standing()
    wires = {group.coil.code: group for group in unit.groups}
    kinds: dict[tuple[str, float], int] = {}
    found: list[CoilKind] = []
    kind = np.empty(len(standing), dtype=np.int64)
    for index, one in enumerate(standing):
        cell = one.across * one.along
        key = one.coil, cell
        if key not in kinds:
            group = wires[one.coil]
            kinds[key] = len(found)
            pocket = unit.card.pocket_height if unit.card.construction == "pocket" else None
            shape = shape_of(group.coil, group.wire)
            heat = coil_heat(group.coil, pocket is not None)
            found.append(
                CoilKind(one.coil, shape, pocket, _cloth_way(unit, shape), wire_tolerance(group.wire), cell, heat)
            )
        kind[index] = kinds[key]
    lattice = unit.lattice
    widest = max(lattice.row_counts)
    counts = np.asarray(lattice.row_counts, dtype=np.int64)
    first, side = np.zeros((lattice.along, widest), np.int64), np.ones((lattice.along, widest), np.int64)
    for index in range(len(standing) - 1, -1, -1):
        first[standing[index].row, standing[index].column] = index
    for row in range(lattice.along):
        for column in range(counts[row]):
            side[row, column] = round(unit.per_place_at(row, column) ** 0.5)
    x = np.array([one.x for one in standing]) + left
    y = np.array([one.y for one in standing]) + top
    pairs, share, rings = _neighbours(unit, first, counts)
    beams, stiffness = _beams(edge, first, counts, lattice.pitch_across, lattice.pitch_along)
    tie, ring = _ties(unit)
    band = None
    if rail is not None:
        inner = unit.space_width, unit.space_length
        band = Rail(
            rail, ((bed[0] - inner[0]) / 2, (bed[1] - inner[1]) / 2, (bed[0] + inner[0]) / 2, (bed[1] + inner[1]) / 2)
        )
    return Springs(
        name=unit.card.called,
        construction=unit.card.construction,
        x=x,
        y=y,
        kind=kind,
        kinds=tuple(found),
        first=first,
        side=side,
        counts=counts,
        starts=np.array([lattice.row_start(row) for row in range(lattice.along)]) + left,
        head=lattice.head / 2 + top,
        pitch=(lattice.pitch_across, lattice.pitch_along),
        pairs=pairs,
        pair_share=share,
        rings=rings,
        beams=beams,
        beam_stiffness=stiffness,
        tie=tie,
        ring=ring,
        rail=band,
    )


def _cloth_way(unit: UnitAtSize, shape: CoilShape) -> float:
    """Way over which a pocket's cloth goes slack [mm]: from its measured hold, F0 over it, else a plausible one."""
    hold = unit.card.cloth_hold
    if hold is None or unit.card.pocket_height is None:
        return CLOTH_WAY
    return max(0.05, pocketed(shape, unit.card.pocket_height).held_force / hold)


def _ties(unit: UnitAtSize) -> tuple[OpenFigure, OpenFigure]:
    """What ties neighbours, and what keeps a row of end rings straight [N/mm]."""
    card = unit.card
    if card.construction == "pocket":
        tie = OpenFigure.measured_or(
            "glue between pockets", "glue_tie", card.glue_tie, PLAUSIBLE_GLUE, "N/mm", card.called
        )
        return tie, OpenFigure("end rings", 0.0, 0.0, 0.0, "N/mm", True)
    tie = OpenFigure.measured_or("lacing", "lacing_tie", card.lacing_tie, PLAUSIBLE_LACING, "N/mm", card.called)
    ring = OpenFigure.measured_or("end rings", "ring_bending", card.ring_bending, PLAUSIBLE_RING, "N/mm", card.called)
    return (tie, ring) if card.lacing != "none" else (tie.nothing(), ring.nothing())


def _neighbours(unit: UnitAtSize, first: Indices, counts: Indices) -> tuple[Indices, Array, Indices]:
    """Pairs of tied neighbours with their share, and triples of coils in a laced row.

    Open coils: a helix winds round the rings on both sides of its line, so it ties neighbours along and across it.
    Pockets: neighbours in a string hang by their cloth, strings by glue, at every or every second contact. In nested
    rows a coil meets two of the next row. Places with several coils are tied through the first of them.
    """
    nested = unit.lattice.nested
    pairs: list[tuple[int, int, float]] = []
    thin = 0.5 if unit.card.glue_pattern == "every second contact" else 1.0
    if unit.card.construction == "pocket" and unit.card.glue_pattern == "none":
        thin = 0.0
    for row, count in enumerate(counts):
        pairs += [(int(first[row, c]), int(first[row, c + 1]), 1.0) for c in range(count - 1)]
        if row + 1 == len(counts):
            continue
        for c in range(count):
            if not nested:
                beside: tuple[int, ...] = (c,)
            else:
                beside = (c - 1, c) if row % 2 == 0 else (c, c + 1)
            pairs += [(int(first[row, c]), int(first[row + 1, b]), thin) for b in beside if 0 <= b < counts[row + 1]]
    rings: list[tuple[int, int, int]] = []
    if unit.card.lacing == "across":
        for row, count in enumerate(counts):
            rings += [(int(first[row, c]), int(first[row, c + 1]), int(first[row, c + 2])) for c in range(count - 2)]
    elif unit.card.lacing == "along" and not nested:
        for c in range(int(min(counts))):
            rings += [(int(first[r, c]), int(first[r + 1, c]), int(first[r + 2, c])) for r in range(len(counts) - 2)]
    kept = [pair for pair in pairs if pair[2] > 0]
    return (
        np.array([pair[:2] for pair in kept], dtype=np.int64).reshape(-1, 2),
        np.array([pair[2] for pair in kept], dtype=np.float64),
        np.array(rings, dtype=np.int64).reshape(-1, 3),
    )


def _beams(
    edge: EdgeAtSize | None, first: Indices, counts: Indices, across: float, along: float
) -> tuple[Indices, Array]:
    """Triples of neighbours along the edge rod or strip, and EI / p^3 of each [N/mm]. A strip lies flat."""
    none = np.zeros((0, 3), np.int64), np.zeros(0)
    if edge is None or edge.card.form not in ("edge rod", "edge strip"):
        return none
    if edge.card.form == "edge rod":
        if edge.wire is None:
            return none
        stiffness, at = EN_YOUNG * np.pi * edge.wire.diameter**4 / 64, 0
    else:
        width, thick = edge.card.strip_width or 0.0, edge.card.strip_thickness or 0.0
        stiffness, at = EN_YOUNG * width * thick**3 / 12, int(edge.card.strip_row or 0)
    rows, columns = len(counts), int(min(counts))
    if rows < 2 * at + 3 or columns < 2 * at + 3:
        return none
    lines = [([int(first[r, c]) for c in range(at, int(counts[r]) - at)], across) for r in (at, rows - 1 - at)]
    for side in (at, -1 - at):
        line = [int(first[r, side if side >= 0 else int(counts[r]) + side]) for r in range(at, rows - at)]
        lines.append((line, along))
    triples, values = [], []
    for line, pitch in lines:
        triples += [(a, b, c) for a, b, c in zip(line, line[1:], line[2:], strict=False)]
        values += [stiffness / pitch**3] * (len(line) - 2)
    return np.array(triples, dtype=np.int64), np.array(values)


@lru_cache(maxsize=256)
def coil_table(kind: CoilKind, below: tuple[Ply, ...] = ()) -> Array:
    """Law of a coil and of what lies under its foot, (points, 2): force [N] and slope over COIL_STEP of way.

    below: fillings between the unit and a solid base, pressed by the foot over the coil's cell.
    """
    shape = kind.live
    solid = kind.travel
    ways = np.arange(COIL_FIRST, solid + PAST_SOLID + COIL_STEP, COIL_STEP)
    if kind.pocket_height is not None:
        force = pocketed(shape, kind.pocket_height, cloth_way=kind.cloth_way).force(ways)
    else:
        curve = force_curve(shape)
        force = np.interp(np.minimum(ways, solid), curve.compression, curve.force)
        force = np.where(ways > solid, force + STOP * (ways - solid), np.where(ways < 0, curve.rate * ways, force))
    force = force * kind.scale
    if below:
        law, thick = series(below), sum(ply.thickness for ply in below)
        pressure = np.maximum(force, 0.0) / kind.cell * 1000
        start = law.stress[1] / law.compression[1]
        foot = thick * np.where(
            pressure > law.stress[-1], law.compression[-1] + 1e-4 * (pressure - law.stress[-1]),
            np.interp(pressure, law.stress, law.compression),
        )  # fmt: skip
        foot = np.where(force < 0, thick * force / kind.cell * 1000 / start, foot)
        whole = ways + foot
        ways = np.arange(COIL_FIRST, whole[-1], COIL_STEP)
        slope = (force[1] - force[0]) / (whole[1] - whole[0])
        force = np.where(ways < whole[0], force[0] + slope * (ways - whole[0]), np.interp(ways, whole, force))
    return hermite(force)
