"""The sparse system that Newton's steps are prepared with: nodes, picked coils, and picked heads.

Nodes tell how far columns move along the movement that ties them; a picked coil tells its force, a picked head how far
it moves. Coils are picked where a cloth or a stop makes them far stiffer than the fillings over them, so that sharing
them out among the nodes of their heads would misjudge all that bends within a head; heads are picked along a rod or
strip round the edge. The system is quasi-definite, so its factors exist in any order; it is ordered to stay sparse.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix, csc_matrix, csr_matrix, tril

from bedwright.mechanics.kernels import Field
from bedwright.mechanics.ordering import Ordered, ordered

Array = NDArray[np.float64]
Indices = NDArray[np.int32]
Places = NDArray[np.uint32]
Wide = NDArray[np.int64]
HELD, HALF = 12.0, 0.5  # times as stiff as what bends over it: a coil that is held; compression [share] fillings reach
LINKED_MORE, LEAST_LINKED = 4.0, 1.0  # links this many times the usual, and at least so stiff [N/mm]
NEAR = 2.2  # radii of the pad within which coils are picked


class Frame(NamedTuple):
    """Nodes N, picked coils P, picked heads H; E edges of the system's graph.

    coils (P,): which. starts, nodes, shares: their heads in compressed rows. head (P,): index of its own among the
    heads, -1 for none. gap: where they stand. links (H,): own stiffness of a head's links [N/mm].
    place (N + P + H,): where each stands in the order of the system; rows, others, edges: the system below its diagonal
    in that order, by rows; fixed (E,): value of each edge that never changes, 0 for the rest. Edges in this order: the
    mesh's, those between a node and a coil as in `nodes`, those between two coils, the rest.
    pair_node, pair_edge, pair_weight: what a node adds to the edge between two coils.
    factor_starts, factor_rows: the factor's columns below its diagonal; row_starts, row_columns: the same by rows.
    """

    coils: Places
    starts: Places
    nodes: Places
    shares: Array
    head: Indices
    gap: int
    links: Array
    place: Places
    rows: Places
    others: Places
    edges: Places
    fixed: Array
    node_edges: int
    pair_node: Places
    pair_edge: Places
    pair_weight: Array
    factor_starts: Places
    factor_rows: Places
    row_starts: Places
    row_columns: Places


def frame_of(one: Field) -> Frame:
    """The system of a field."""
    nodes = len(one.area)
    coils, head, gap = _picked(one)
    count, own = len(coils), np.flatnonzero(head >= 0)
    heads = len(own)
    below = tril(csr_matrix((one.couplings, one.others, one.starts), shape=(nodes, nodes)), -1).tocoo()
    all_heads = csr_matrix((one.coil_shares, one.coil_nodes, one.coil_starts), shape=(len(one.coil_gap), nodes))
    rows = all_heads[coils]
    pair_node, pair_a, pair_b, pair_weight = _pairs(rows)
    keys, pair_of = np.unique(pair_a * count + pair_b, return_inverse=True)
    graph = csr_matrix((one.link_couplings, one.link_others, one.link_starts), shape=(len(one.coil_gap),) * 2)
    links = tril(graph[coils[own]][:, coils[own]], -1).tocoo()
    coil_of = nodes + np.repeat(np.arange(count), np.diff(rows.indptr))
    first = nodes + count
    a = np.concatenate([below.row, coil_of, nodes + keys // max(count, 1), first + np.arange(heads), first + links.row])
    b = np.concatenate([below.col, rows.indices, nodes + keys % max(count, 1), nodes + own, first + links.col])
    a, b, size = a.astype(np.int64), b.astype(np.int64), nodes + count + heads
    if count:
        half = coo_matrix((np.ones(len(a)), (a, b)), shape=(size, size)).tocsr()
        order = ordered(half + half.T)
    else:
        order = Ordered(np.arange(nodes, dtype=np.int32), one.factor_starts, one.factor_rows)
    high = np.maximum(order.place[a], order.place[b])
    low = np.minimum(order.place[a], order.place[b])
    by_row = np.lexsort((low, high))
    filled = csc_matrix((np.ones(len(order.rows), np.int8), order.rows, order.starts), shape=(size, size))
    by_rows = filled.tocsr()
    return Frame(
        coils=_places(coils),
        starts=_places(rows.indptr),
        nodes=_places(rows.indices),
        shares=_row(rows.data),
        head=head,
        gap=gap,
        links=_row(one.link_own[coils[own]]),
        place=_places(order.place),
        rows=_places(np.concatenate([[0], np.cumsum(np.bincount(high, minlength=size))])),
        others=_places(low[by_row]),
        edges=_places(by_row),
        fixed=np.concatenate([below.data, np.zeros(len(rows.data) + len(keys)), np.full(heads, -1.0), links.data]),
        node_edges=len(below.data),
        pair_node=_places(pair_node),
        pair_edge=_places(len(below.data) + len(rows.data) + pair_of),
        pair_weight=_row(pair_weight),
        factor_starts=_places(order.starts),
        factor_rows=_places(order.rows),
        row_starts=_places(by_rows.indptr),
        row_columns=_places(by_rows.indices),
    )


def more_linked(one: Field) -> NDArray[np.bool_]:
    """Coils whose links are far stiffer than the usual: those of a rod or strip."""
    usual = float(np.median(one.link_own)) if len(one.link_own) else 0.0
    return np.asarray(one.link_own > max(LINKED_MORE * usual, LEAST_LINKED))


def _held(one: Field, gap: int) -> NDArray[np.bool_]:
    """Coils that are, unpressed, far stiffer for their area than all that bends within a head, fillings at their
    softest: sharing such a coil out among its nodes would hold them apart."""
    area = float(np.sum(one.area))
    soft = np.quantile(one.law[:, : round(HALF / one.law_step), 1] / one.law_step, 0.1, axis=1)
    soft = soft / one.thickness * one.cover.sum(axis=1) / area
    soft[gap] = 0.0
    wave = np.pi**2 * len(one.coil_gap) / area  # of two heads [1/mm2]
    column = np.diag(soft + 1e-9) + np.diag(np.concatenate([[0.0], soft[:-1]])) + wave * ties_between(one)
    column -= np.diag(soft[:-1], 1) + np.diag(soft[:-1], -1)
    push = np.zeros(len(soft))
    push[gap] = 1.0
    push[gap + 1 :][:1] = -1.0
    gives = float(push @ np.linalg.solve(column, push))
    stiffness = one.coil_law[one.coil_kind, int(-one.coil_first / one.coil_step), 1] / one.coil_step
    return np.asarray(stiffness * len(one.coil_gap) / area * gives > HELD)


def ties_between(one: Field) -> Array:
    """What ties the interfaces of neighbouring columns (M, M) [N/mm]: tension, and bent stacks by their stiffness in
    shear, which is what they show the pad's edge."""
    tied = np.diag(one.tension)
    for b, share in enumerate(one.bend_share):
        tied = tied + one.bend_stiffness[b] / one.bend_ratio[b] * np.outer(share, share)
    return tied


def _pairs(rows: csr_matrix) -> tuple[Wide, Wide, Wide, Array]:
    """Every pair of heads at every node: node, the later head, the earlier, product of their shares there."""
    by_node = rows.tocsc()
    counts = np.diff(by_node.indptr)
    node, later, earlier, weight = (
        [np.zeros(0, np.int64)],
        [np.zeros(0, np.int64)],
        [np.zeros(0, np.int64)],
        [np.zeros(0)],
    )
    for many in np.unique(counts[counts > 1]):
        at = np.flatnonzero(counts == many)
        i, j = np.tril_indices(int(many), -1)
        one, two = by_node.indptr[at][:, None] + i, by_node.indptr[at][:, None] + j
        node.append(np.repeat(at, len(i)))
        later.append(by_node.indices[one].ravel())
        earlier.append(by_node.indices[two].ravel())
        weight.append((by_node.data[one] * by_node.data[two]).ravel())
    return np.concatenate(node), np.concatenate(later), np.concatenate(earlier), np.concatenate(weight)


def _places(index: NDArray[np.integer[Any]]) -> Places:
    return np.ascontiguousarray(index, dtype=np.uint32)


def _row(values: Array) -> Array:
    return np.ascontiguousarray(values, dtype=np.float64)


def _picked(one: Field) -> tuple[Indices, Indices, int]:
    """Coils picked, the index of each among the heads (-1: none), and the gap they stand in."""
    none = np.zeros(0, np.int32), np.zeros(0, np.int32), 0
    count, nodes = len(one.coil_gap), len(one.area)
    if not count or len(one.slat_stiffness):
        return none
    gap = int(np.bincount(one.coil_gap).argmax())
    here = one.coil_gap == gap
    shares = csr_matrix((one.coil_shares, one.coil_nodes, one.coil_starts), shape=(count, nodes))
    pad = one.touch > 0
    if not pad.any():
        return none
    x, y = one.x, one.y
    middle = float(np.average(x[pad], weights=one.touch[pad])), float(np.average(y[pad], weights=one.touch[pad]))
    reach = NEAR * float(np.max(np.hypot(x[pad] - middle[0], y[pad] - middle[1])))
    near = np.asarray(shares @ (np.hypot(x - middle[0], y - middle[1]) < reach)).ravel() > 0.5
    held = _held(one, gap) & here
    linked = more_linked(one) & here
    if gap + 1 < len(one.tension) or not np.any(linked & near):
        linked[:] = False
    coils = np.flatnonzero((near & held) | linked)
    head = np.where(linked[coils], np.cumsum(linked[coils]) - 1, -1)
    return coils.astype(np.int32), head.astype(np.int32), gap
