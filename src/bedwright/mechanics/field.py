"""From the parts of a bed to the arrays that the compiled loops take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.sparse import csc_matrix, diags
from scipy.sparse.linalg import splu

from bedwright.mechanics.kernels import Field
from bedwright.mechanics.mesh import Mesh
from bedwright.mechanics.pad import Protocol

Array = NDArray[np.float64]
Indices = NDArray[np.int32]
LAW_STEP, LAW_POINTS = 0.0025, 389  # of a filling's compression: finer than the step a quilted ply starts with
BACK_POINTS = 65
COIL_STEP, COIL_FIRST = 0.25, -5.0  # of a coil's travel [mm]
OUT_OF_REACH = 1e9  # rise of the pad's face where there is no pad [mm]
STOP = 50.0  # stiffness of a coil that is solid [N/mm]: far above any coil, low enough to stay well posed


@dataclass(frozen=True, slots=True)
class Gap:
    """What lies between two interfaces: law (points, 2) of LAW_STEP, thickness [mm], area it has under each node.

    back: (BACK_POINTS, 2) share of the stress left on the way back; None: the same path. law None: nothing but coils.
    """

    law: Array | None
    thickness: float
    cover: Array
    back: Array | None = None


@dataclass(frozen=True, slots=True)
class Bent:
    """A stack that bends: share and squeeze [1/mm2] of each interface (M,), D [N mm], S [N/mm]; see bending.py."""

    share: Array
    squeeze: Array
    bending: float
    shear: float


@dataclass(frozen=True, slots=True)
class Heads:
    """Coils C: nodes and shares of their heads in compressed rows, gap, kind, links among them."""

    starts: Indices
    nodes: Indices
    shares: Array
    gap: Indices
    kind: Indices
    link_starts: Indices
    link_others: Indices
    link_couplings: Array
    link_own: Array


@dataclass(frozen=True, slots=True)
class Ties:
    """Ties J (tufts): nodes and shares in compressed rows, how far the face must come down [mm], stiffness [N/mm]."""

    starts: Indices
    nodes: Indices
    shares: Array
    down: Array
    stiffness: Array


def no_heads() -> Heads:
    """A bed whose springs are smeared into a gap."""
    none, real, one = np.zeros(0, np.int32), np.zeros(0), np.zeros(1, np.int32)
    return Heads(one, none, real, none, none, one, none, real, real)


def no_ties() -> Ties:
    """A bed without tufts."""
    none, real, one = np.zeros(0, np.int32), np.zeros(0), np.zeros(1, np.int32)
    return Ties(one, none, real, real, real)


def hermite(values: Array) -> Array:
    """Table (points, 2) of values and slopes per step, monotone cubic between (Fritsch and Carlson)."""
    steps = np.arange(len(values), dtype=np.float64)
    return np.ascontiguousarray(np.stack([values, PchipInterpolator(steps, values).derivative()(steps)], axis=1))


def filling_table(compression: Array, stress_kpa: Array) -> Array:
    """Table of a filling's law: stress [N/mm2] at compressions 0, LAW_STEP, ..., rising everywhere."""
    at = np.arange(LAW_POINTS) * LAW_STEP
    law = PchipInterpolator(compression, stress_kpa)
    last, slope = float(compression[-1]), max(float(law.derivative()(compression[-1])), 1e-6)
    values = np.where(at <= last, law(np.minimum(at, last)), stress_kpa[-1] + slope * (at - last)) / 1000
    return hermite(np.maximum.accumulate(values + 1e-12 * at))


def straight_table(slope: float) -> Array:
    """Law of LAW_STEP that rises by slope [N/mm2] per compression of 1, in pull as in push."""
    return np.array([[0.0, slope * LAW_STEP], [slope * LAW_STEP, slope * LAW_STEP]])


def one_way_table(slope: float) -> Array:
    """A law that pushes with slope [N/mm2] per compression of 1 and hardly pulls."""
    at = np.arange(LAW_POINTS) * LAW_STEP
    table = np.stack([slope * at, np.full_like(at, slope * LAW_STEP)], axis=1)
    table[0, 1] = 1e-5 * slope * LAW_STEP
    return table


def field(
    mesh: Mesh,
    gaps: Sequence[Gap],
    tension: Array,
    bent: Sequence[Bent],
    heads: Heads,
    coil_laws: Array,
    ties: Ties,
    rim: tuple[Array, Array],
    face: Array,
    touch: Array,
    skin: float,
    slats: tuple[Indices, Array, Array] | None = None,
) -> Field:
    """The arrays of a bed. coil_laws (kinds, points, 2) of COIL_STEP from COIL_FIRST; face, touch (nodes,)."""
    nodes, levels = len(mesh.x), len(gaps)
    blank = straight_table(0.0)
    points = max(2 if g.law is None else len(g.law) for g in gaps)
    law = np.stack([_extended(blank if g.law is None else g.law, points) for g in gaps])
    whole = np.stack([np.ones(BACK_POINTS), np.zeros(BACK_POINTS)], axis=1)
    back = np.stack([whole if g.back is None else g.back for g in gaps])
    cover = np.stack([np.zeros(nodes) if g.law is None else g.cover for g in gaps])
    factors = [_plate_factor(mesh, one.bending / one.shear) for one in bent]
    sizes = np.concatenate([[0], np.cumsum([len(lower.data) for lower, _ in factors])])
    if slats is None:
        slats = np.full(nodes, -1, np.int32), np.zeros(nodes), np.zeros(0)
    return Field(
        x=mesh.x,
        y=mesh.y,
        area=mesh.area,
        starts=mesh.starts,
        others=mesh.others,
        couplings=mesh.couplings,
        own=mesh.own,
        factor_starts=mesh.factor_starts,
        factor_rows=mesh.factor_rows,
        tension=np.asarray(tension, dtype=np.float64),
        bend_share=np.array([one.share for one in bent]).reshape(len(bent), levels),
        bend_squeeze=np.array([one.squeeze for one in bent]).reshape(len(bent), levels),
        bend_stiffness=np.array([one.bending for one in bent], dtype=np.float64),
        bend_ratio=np.array([one.bending / one.shear for one in bent], dtype=np.float64),
        bend_starts=np.array([lower.indptr + sizes[b] for b, (lower, _) in enumerate(factors)], np.int32).reshape(
            len(bent), nodes + 1
        ),
        bend_rows=np.concatenate([np.zeros(0, np.int32), *(lower.indices for lower, _ in factors)]).astype(np.int32),
        bend_lower=np.concatenate([np.zeros(0), *(lower.data for lower, _ in factors)]),
        bend_inverse=np.array([inverse for _, inverse in factors]).reshape(len(bent), nodes),
        law=np.ascontiguousarray(law),
        law_step=LAW_STEP,
        thickness=np.array([g.thickness for g in gaps], dtype=np.float64),
        cover=cover,
        back=np.ascontiguousarray(back),
        greatest=np.zeros((levels, nodes)),
        returning=False,
        coil_starts=heads.starts,
        coil_nodes=heads.nodes,
        coil_shares=heads.shares,
        coil_gap=heads.gap,
        coil_kind=heads.kind,
        coil_law=coil_laws,
        coil_first=COIL_FIRST,
        coil_step=COIL_STEP,
        link_starts=heads.link_starts,
        link_others=heads.link_others,
        link_couplings=heads.link_couplings,
        link_own=heads.link_own,
        tie_starts=ties.starts,
        tie_nodes=ties.nodes,
        tie_shares=ties.shares,
        tie_down=ties.down,
        tie_stiffness=ties.stiffness,
        rim_push=rim[0],
        rim_pull=rim[1],
        slat=slats[0],
        slat_shape=slats[1],
        slat_stiffness=slats[2],
        face=face,
        touch=touch,
        skin=skin,
    )


def _extended(table: Array, points: int) -> Array:
    """A table carried straight on to more points."""
    more = points - len(table)
    if more <= 0:
        return table
    value, slope = table[-1]
    steps = np.arange(1, more + 1)
    return np.concatenate([table, np.stack([value + slope * steps, np.full(more, slope)], axis=1)])


@lru_cache(maxsize=8)
def _plate_factor(mesh: Mesh, ratio: float) -> tuple[csc_matrix, Array]:
    """L without its diagonal and 1/D of A + ratio K = L D L'; kept, since most figures that move leave it as it is.

    The mesh is numbered for it already, and the matrix is positive, so nothing is permuted or pivoted.
    """
    matrix = csc_matrix(diags(mesh.area) + ratio * mesh.matrix)
    found = splu(matrix, permc_spec="NATURAL", options={"SymmetricMode": True}, diag_pivot_thresh=0.0)
    lower = csc_matrix(found.L)
    lower.setdiag(0)
    lower.eliminate_zeros()
    lower.sort_indices()
    return lower, 1 / np.asarray(found.U.diagonal())


def seat(mesh: Mesh, protocol: Protocol) -> tuple[Array, Array]:
    """Rise of the pad's face over each node [mm], as the mean over its ring, and area through which it is touched.

    Nodes on the bed's edge belong to no ring and take the face as it is there.
    """
    pad = protocol.diameter / 2
    ring, touched = mesh.rim == 0, mesh.radius <= pad
    radii, which = np.unique(np.round(mesh.radius[ring], 9), return_inverse=True)
    halves = np.concatenate([[0.0], (radii[1:] + radii[:-1]) / 2, radii[-1:]])
    near = radii <= pad
    over = np.full(len(radii), OUT_OF_REACH)
    over[near] = [protocol.mean_rise(a, b) for a, b in zip(halves[:-1][near], halves[1:][near], strict=True)]
    rise = np.full(len(mesh.x), OUT_OF_REACH)
    rise[ring] = over[which]
    edge = ~ring & touched
    rise[edge] = protocol.rise(mesh.radius[edge])
    return np.where(touched, rise, OUT_OF_REACH), np.where(touched, mesh.area, 0.0)
