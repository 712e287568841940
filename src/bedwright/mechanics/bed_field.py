"""From a bed's model to the arrays of the solver: where things are (once for a spot), and what they are (each time)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix, csr_matrix, diags

from bedwright.mechanics.base import Base
from bedwright.mechanics.bed_model import BedModel, Level
from bedwright.mechanics.bending import Stack, bonded_stack
from bedwright.mechanics.field import (
    Bent,
    Gap,
    Heads,
    Ties,
    field,
    filling_table,
    hermite,
    one_way_table,
    seat,
    straight_table,
)
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.mesh import Mesh, ring_mesh
from bedwright.mechanics.mini_layer import MiniLayer
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.stack_law import Ply, joint_way_back
from bedwright.mechanics.unit_model import Springs, coil_table

Array = NDArray[np.float64]
SKIN = 0.02  # [N/mm3] of ticking and pad: a fifth of a millimetre at 10 kPa; keeps contact well posed
NEAR, FAR = 0.25, 0.5  # spacing of samples, as a share of the coils' pitch, near the pad and far from it
TUFT_HEAD = 15.0  # radius [mm] over which a tuft's button or felt presses
TUFT_CORD = 20.0  # [N/mm] a cord hardly stretches; low enough to stay well posed
FOOT_TENSION = 20.0  # [N/m] at least of what lies on a base with gaps: feet are rings of wire and stand over a gap
BASE_HARDNESS = 0.5  # [N/mm3] of a solid slat under the bed


@dataclass(frozen=True, slots=True)
class Layout:
    """Where things are under a spot: mesh, samples (points: triangle corner nodes (points, 3), their shares, area)."""

    spot: Spot
    protocol: Protocol
    mesh: Mesh
    corners: NDArray[np.int32]
    shares: Array
    area: Array
    at: Array  # (points, 2)
    face: Array
    touch: Array

    @property
    def nodes(self) -> int:
        """Nodes of the mesh."""
        return len(self.mesh.x)


def layout(model: BedModel, spot: Spot, protocol: Protocol, fineness: float = 1.0) -> Layout:
    """Mesh and samples for a spot."""
    mesh = ring_mesh(model.width, model.length, spot.x, spot.y, protocol.diameter / 2, fineness)
    pitch = min(float(np.sqrt(min(kind.cell for kind in unit.kinds))) for unit in _units(model))
    corners, shares, area, at = _samples(mesh, pitch, spot, 1.3 * protocol.diameter / 2)
    face, touch = seat(mesh, protocol)
    return Layout(spot, protocol, mesh, corners, shares, area, at, face, touch)


def samples_of(model: BedModel, mesh: Mesh, spot: Spot) -> tuple[NDArray[np.int32], Array, Array, Array]:
    """Samples on a mesh that is not of rings, everywhere as close as near the pad: corners, shares, area, places."""
    pitch = min(float(np.sqrt(min(kind.cell for kind in unit.kinds))) for unit in _units(model))
    return _even_samples(mesh, pitch, spot)


@lru_cache(maxsize=8)
def _even_samples(mesh: Mesh, pitch: float, spot: Spot) -> tuple[NDArray[np.int32], Array, Array, Array]:
    return _samples(mesh, pitch, spot, np.inf)


def _units(model: BedModel) -> list[Springs]:
    return [one for one in model.items if isinstance(one, Springs)]


def _samples(mesh: Mesh, pitch: float, spot: Spot, near: float) -> tuple[NDArray[np.int32], Array, Array, Array]:
    """Points spread evenly over every triangle, closer together than the coils: none of them goes without a node."""
    t = mesh.triangles
    x, y = mesh.x[t], mesh.y[t]
    sides = np.hypot(x - np.roll(x, 1, axis=1), y - np.roll(y, 1, axis=1)).max(axis=1)
    distance = np.hypot(x.mean(axis=1) - spot.x, y.mean(axis=1) - spot.y)
    step = np.where(distance < near, NEAR, FAR) * pitch
    cuts = np.clip(np.ceil(sides / step), 1, 24).astype(np.int64)
    half = np.abs((x[:, 1] - x[:, 0]) * (y[:, 2] - y[:, 0]) - (x[:, 2] - x[:, 0]) * (y[:, 1] - y[:, 0])) / 2
    corners, shares, area = [], [], []
    for cut in np.unique(cuts):
        on = np.flatnonzero(cuts == cut)
        weights = _middles(int(cut))
        corners.append(np.repeat(t[on], len(weights), axis=0))
        shares.append(np.tile(weights, (len(on), 1)))
        area.append(np.repeat(half[on] / len(weights), len(weights)))
    nodes, share = np.concatenate(corners), np.concatenate(shares)
    at = np.stack([(mesh.x[nodes] * share).sum(axis=1), (mesh.y[nodes] * share).sum(axis=1)], axis=1)
    return nodes, share, np.concatenate(area), at


def _middles(cut: int) -> Array:
    """Middles of the cut x cut equal triangles of a triangle, as shares of its corners (cut^2, 3)."""
    found = []
    for i in range(cut):
        for j in range(cut - i):
            found.append(((i + 1 / 3) / cut, (j + 1 / 3) / cut))
            if i + j < cut - 1:
                found.append(((i + 2 / 3) / cut, (j + 2 / 3) / cut))
    first = np.array(found)
    return np.concatenate([first, 1 - first.sum(axis=1, keepdims=True)], axis=1)


@dataclass(frozen=True, slots=True)
class Placed:
    """What of a bed's model does not change with its figures: heads, foam rails, tufts, at a spot on a base."""

    where: Layout
    base: Base
    heads: Heads
    rail_cover: Array
    ties: Ties
    count: int


def place(model: BedModel, where: Layout, base: Base) -> Placed:
    """Heads, rails and ties of a model at a spot: what does not change when figures do."""
    items = gap_items(model, base)
    rows, columns, values, gap, kinds_at = [], [], [], [], []
    offset = kind_offset = 0
    links: list[csr_matrix] = []
    for g, item in enumerate(items):
        if not isinstance(item, Springs):
            continue
        matrix = _head_matrix(item, where)
        coo = matrix.tocoo()
        rows.append(coo.row + offset)
        columns.append(coo.col)
        values.append(coo.data)
        gap.append(np.full(len(item.x), g, dtype=np.int32))
        kinds_at.append(item.kind + kind_offset)
        links.append(_link_matrix(item))
        offset += len(item.x)
        kind_offset += len(item.kinds)
    head = csr_matrix(
        (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(offset, len(where.mesh.x))
    )
    starts, others, couplings, own = _link_arrays(links)
    heads = Heads(
        starts=head.indptr.astype(np.int32),
        nodes=head.indices.astype(np.int32),
        shares=head.data,
        gap=np.concatenate(gap),
        kind=np.concatenate(kinds_at).astype(np.int32),
        link_starts=starts,
        link_others=others,
        link_couplings=couplings,
        link_own=own,
    )
    return Placed(where, base, heads, _rail_cover(model.main, where), _ties(model, where, base), len(items))


def gap_items(model: BedModel, base: Base) -> tuple[Level | MiniLayer | Springs, ...]:
    """What lies in each gap; on a solid base the fillings below the unit are part of the coils' law."""
    return (*model.top, model.main) if base.form == "solid" and _only_levels(model) else model.items


def _only_levels(model: BedModel) -> bool:
    return all(isinstance(one, Level) for one in model.bottom)


def below_of(model: BedModel, base: Base) -> tuple[Ply, ...]:
    if base.form != "solid" or not _only_levels(model):
        return ()
    levels = [one for one in model.bottom if isinstance(one, Level)]
    return tuple(Ply("", "", one.law, one.thickness, 0.0, None, 0.0, False) for one in levels)


def _head_matrix(unit: Springs, where: Layout) -> csr_matrix:
    """Share of each node in the mean over each coil's cell, (coils, nodes); rows sum to 1."""
    coil = unit.coil_under(where.at[:, 0], where.at[:, 1])
    inside = np.ones(len(coil), dtype=bool)
    if unit.rail is not None:
        inside = ~_outside(where.at, unit.rail.inside)
    rows = np.repeat(coil[inside], 3)
    weight = (where.shares[inside] * where.area[inside, None]).ravel()
    matrix = coo_matrix((weight, (rows, where.corners[inside].ravel())), shape=(len(unit.x), len(where.mesh.x))).tocsr()
    total = np.asarray(matrix.sum(axis=1)).ravel()
    bare = np.flatnonzero(total <= 0)
    if len(bare):  # a coil no sample fell on: its nearest node takes it
        near = [int(np.argmin((where.mesh.x - unit.x[c]) ** 2 + (where.mesh.y - unit.y[c]) ** 2)) for c in bare]
        matrix = matrix + csr_matrix((np.ones(len(bare)), (bare, near)), shape=matrix.shape)
        total[bare] = 1.0
    return csr_matrix(diags(1 / total) @ matrix)


def _outside(at: Array, inside: tuple[float, float, float, float]) -> NDArray[np.bool_]:
    left, head, right, foot = inside
    return (at[:, 0] < left) | (at[:, 0] > right) | (at[:, 1] < head) | (at[:, 1] > foot)


def _rail_cover(unit: Springs, where: Layout) -> Array:
    """Area of foam rail under each node [mm2]."""
    count = len(where.mesh.x)
    if unit.rail is None:
        return np.zeros(count)
    on = _outside(where.at, unit.rail.inside)
    return np.bincount(where.corners[on].ravel(), (where.shares[on] * where.area[on, None]).ravel(), count).astype(
        np.float64
    )


def _link_matrix(unit: Springs) -> csr_matrix:
    """Matrix of all ties among the coils of a unit [N/mm]."""
    count = len(unit.x)
    parts = []
    if unit.tie.value > 0 and len(unit.pairs):
        a, b = unit.pairs.T
        parts.append(_differences([(a, 1.0), (b, -1.0)], unit.tie.value * unit.pair_share, count))
    for rings, value in ((unit.rings, np.full(len(unit.rings), unit.ring.value)), (unit.beams, unit.beam_stiffness)):
        if len(rings) and np.any(value > 0):
            a, b, c = rings.T
            parts.append(_differences([(a, 1.0), (b, -2.0), (c, 1.0)], value, count))
    return csr_matrix(sum(parts)) if parts else csr_matrix((count, count))


def _differences(terms: list[tuple[NDArray[np.int64], float]], stiffness: Array, count: int) -> csr_matrix:
    """Matrix of energy 1/2 k (sum of factor x value)^2."""
    rows = np.concatenate([np.arange(len(stiffness)) for _ in terms])
    difference = csr_matrix(
        (
            np.concatenate([np.full(len(stiffness), factor) for _, factor in terms]),
            (rows, np.concatenate([index for index, _ in terms])),
        ),
        shape=(len(stiffness), count),
    )
    return csr_matrix(difference.T @ diags(stiffness) @ difference)


def _link_arrays(links: list[csr_matrix]) -> tuple[NDArray[np.int32], NDArray[np.int32], Array, Array]:
    """All units' ties as one graph: off-diagonal in compressed rows, diagonal."""
    starts, others, values, own = [np.zeros(1, np.int64)], [], [], []
    offset = filled = 0
    for matrix in links:
        diagonal = np.array(matrix.diagonal())
        off = matrix.copy()
        off.setdiag(0)
        off.eliminate_zeros()
        starts.append(off.indptr[1:].astype(np.int64) + filled)
        others.append(off.indices + offset)
        values.append(off.data)
        own.append(diagonal)
        offset += matrix.shape[0]
        filled += len(off.data)
    return (
        np.concatenate(starts).astype(np.int32),
        np.concatenate(others).astype(np.int32),
        np.concatenate(values).astype(np.float64),
        np.concatenate(own),
    )


def _ties(model: BedModel, where: Layout, base: Base) -> Ties:
    """Tufts at a spot's mesh: each holds the upper face down over its head."""
    tufts = model.tufts
    none, real, one = np.zeros(0, np.int32), np.zeros(0), np.zeros(1, np.int32)
    if tufts is None or not tufts.places:
        return Ties(one, none, real, real, real)
    down = max(0.0, model.untufted - tufts.held) * _upper_share(model)
    starts, nodes, shares = [0], [], []
    for x, y in tufts.places:
        near = np.hypot(where.at[:, 0] - x, where.at[:, 1] - y)
        on = np.flatnonzero(near <= TUFT_HEAD)
        if not len(on):
            on = np.array([int(np.argmin(near))])
        weight = (where.shares[on] * where.area[on, None]).ravel()
        index, at = np.unique(where.corners[on].ravel(), return_inverse=True)
        total = np.bincount(at, weight)
        nodes.append(index)
        shares.append(total / total.sum())
        starts.append(starts[-1] + len(index))
    count = len(tufts.places)
    return Ties(
        np.array(starts, dtype=np.int32),
        np.concatenate(nodes).astype(np.int32),
        np.concatenate(shares),
        np.full(count, down),
        np.full(count, TUFT_CORD),
    )


def _upper_share(model: BedModel) -> float:
    """Share of a tuft's valley that the upper face takes: by how soft its fillings are beside those of the lower."""

    def softness(items: tuple[Level | MiniLayer | Springs, ...]) -> float:
        return sum(one.thickness / max(series_modulus(one), 1e-6) for one in items if isinstance(one, Level))

    up, down = softness(model.top), softness(model.bottom)
    return up / (up + down) if up + down > 0 else 1.0


def series_modulus(level: Level) -> float:
    """Secant modulus of a level at 10 % [kPa]."""
    return float(np.interp(0.1, level.law.compression, level.law.stress)) / 0.1


def bed_field(model: BedModel, placed: Placed) -> Field:
    """The arrays of a model at a spot."""
    where, base = placed.where, placed.base
    mesh = where.mesh
    items = gap_items(model, base)
    gaps, laws = [], []
    for item in items:
        if isinstance(item, Level):
            gaps.append(_level_gap(item, mesh.area))
        elif isinstance(item, MiniLayer):
            gaps.append(Gap(item.table(), item.thickness, mesh.area))
        else:
            below = below_of(model, base) if item is model.main else ()
            laws += [coil_table(kind, below) for kind in item.kinds]
            gaps.append(_spring_gap(item, model, placed, base))
    levels = len(items) + (base.form != "solid")
    bent = _bent(model, items, levels)
    tension = np.zeros(levels)
    tension[0] = model.tension.value / 1000
    slats = None
    if base.form != "solid":
        gap, slats = _base_gap(model, placed)
        gaps.append(gap)
        tension[-1] = max(model.lower_tension.value, FOOT_TENSION) / 1000
    most = max(len(law) for law in laws)
    coil_laws = np.stack([_carried_on(law, most) for law in laws])
    push, pull = model.rim.value / 1000 * mesh.rim, model.rim_hold / 1000 * mesh.rim
    heads, ties, rims = placed.heads, placed.ties, (push, pull)
    return field(mesh, gaps, tension, bent, heads, coil_laws, ties, rims, where.face, where.touch, SKIN, slats)


def _level_gap(level: Level, area: Array) -> Gap:
    law, back = _level_tables(level)
    return Gap(law, level.thickness, area, back)


@lru_cache(maxsize=256)
def _level_tables(level: Level) -> tuple[Array, Array | None]:
    back = joint_way_back(level.plies)
    table = None if back is None else hermite(np.asarray(back, dtype=np.float64))
    return filling_table(level.law.compression, level.law.stress), table


@lru_cache(maxsize=64)
def _modes(layers: tuple[tuple[float, float, float], ...]) -> tuple[Stack, ...]:
    return (bonded_stack(layers),)


def _spring_gap(unit: Springs, model: BedModel, placed: Placed, base: Base) -> Gap:
    if unit.rail is None:
        return Gap(None, 1.0, placed.where.mesh.area)
    ply = unit.rail.ply
    below = below_of(model, base)
    thick = ply.thickness + sum(one.thickness for one in below)
    return Gap(filling_table(ply.law.compression, ply.law.stress), thick, placed.rail_cover)


def _bent(model: BedModel, items: tuple[Level | MiniLayer | Springs, ...], levels: int) -> list[Bent]:
    """How fillings bend: layers that are glued to each other as one, loose ones each on its own."""
    found: list[Bent] = []
    groups: list[list[int]] = []
    joined = False
    for g, item in enumerate(items):
        if not isinstance(item, Level):
            joined = False
            continue
        if joined:
            groups[-1].append(g)
        else:
            groups.append([g])
        joined = item.glued
    for group in groups:
        parts = [items[g] for g in group]
        layers = [
            (series_modulus(one) * model.bending.value, one.thickness, max(ply.poisson for ply in one.plies))
            for one in parts
            if isinstance(one, Level)
        ]
        if model.bending.value <= 0:
            continue
        for mode in _modes(tuple(layers)):
            share, squeeze = np.zeros(levels + 1), np.zeros(levels + 1)  # the last may be the ground, which stays
            share[group[0] : group[-1] + 2] = mode.weights
            squeeze[group[0] : group[-1] + 2] = mode.squeeze
            found.append(Bent(share[:levels], squeeze[:levels], mode.bending, mode.shear))
    return _joined(found)


def _joined(found: list[Bent]) -> list[Bent]:
    """Stacks that lie on each other bend together: one that has all their bending, on the mean of their deflections.

    Reckoned with once and not stack by stack, which would take two to three times as long. H of the demo's beds comes
    out 0 to 1.3 % lower for it; loose stacks alone, against elasticity, up to 6 % of the force at a tension of 50 N/m
    and 10 % at none (tests/worked/test_elasticity.py).
    """
    if not found:
        return []
    bending = sum(one.bending for one in found)
    ratio = sum(one.bending**2 / one.shear for one in found) / bending
    share = sum(one.bending * one.share for one in found) / bending
    squeeze = sum(one.bending * one.squeeze for one in found) / bending
    return [Bent(np.asarray(share), np.asarray(squeeze), bending, bending / ratio)]


def _carried_on(law: Array, points: int) -> Array:
    more = points - len(law)
    value, slope = law[-1]
    steps = np.arange(1, more + 1)
    return np.concatenate([law, np.stack([value + slope * steps, np.full(more, slope)], axis=1)])


def _base_gap(model: BedModel, placed: Placed) -> tuple[Gap, tuple[NDArray[np.int32], Array, Array] | None]:
    """A base that gives, as one more gap: slats with gaps between, each bending; or springs spread over the plan."""
    mesh, base = placed.where.mesh, placed.base
    if base.form == "sprung":
        return Gap(straight_table(base.spring_stiffness * 1e-6), 1.0, mesh.area), None
    pitch = base.slat_width + base.slat_gap
    count = max(1, int((model.length + base.slat_gap) // pitch))
    start = (model.length - (count * pitch - base.slat_gap)) / 2
    reach = np.sqrt(mesh.area) / 2
    cover = _covered(mesh.y - reach, mesh.y + reach, start, base, count) * mesh.area / (2 * reach)
    nearest = np.clip(np.floor((mesh.y - start + base.slat_gap / 2) / pitch), 0, count - 1).astype(np.int32)
    # a slat held at both ends bends into nearly a half wave; its stiffness is that of a force at mid span
    shape = np.sin(np.pi * np.clip(mesh.x / model.width, 0, 1))
    slat = np.where(cover > 0, nearest, -1).astype(np.int32)
    return Gap(one_way_table(BASE_HARDNESS), 1.0, cover), (slat, shape, np.full(count, base.slat_stiffness))


def _covered(low: Array, high: Array, start: float, base: Base, count: int) -> Array:
    """Length of [low, high] that lies on slats [mm]."""
    pitch, total = base.slat_width + base.slat_gap, np.zeros_like(low)
    for slat in range(count):
        a = start + slat * pitch
        total += np.maximum(np.minimum(high, a + base.slat_width) - np.maximum(low, a), 0.0)
    return total
