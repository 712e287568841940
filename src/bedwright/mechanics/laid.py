"""A field laid out for the compiled loops, with what their steps are prepared with; and the room they work in."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.kernels import Field, Laid, Room

Array = NDArray[np.float64]
Indices = NDArray[np.int32]
Places = NDArray[np.uint32]
SMALL = 0.05  # compression [share] by whose secant columns are judged


def laid_out(one: Field) -> Laid:
    """The field in the order of the loops."""
    along, rest = _ties_most(one)
    return Laid(
        area=_row(one.area),
        starts=_places(one.starts),
        others=_places(one.others),
        couplings=_row(one.couplings),
        own=_row(one.own),
        tension=_row(one.tension),
        bend_share=_row(one.bend_share),
        bend_squeeze=_row(one.bend_squeeze),
        bend_squeezed=np.any(one.bend_squeeze != 0, axis=1),
        bend_stiffness=_row(one.bend_stiffness),
        bend_starts=_places(one.bend_starts),
        bend_rows=_places(one.bend_rows),
        bend_lower=_row(one.bend_lower),
        bend_inverse=_row(one.bend_inverse),
        bend_own=_row(one.bend_own),
        filled=np.any(one.cover != 0, axis=1),
        law=_row(one.law),
        law_step=float(one.law_step),
        thickness=_row(one.thickness),
        cover=_row(one.cover),
        back=_row(one.back),
        greatest=_row(one.greatest),
        returning=bool(one.returning),
        coil_starts=_places(one.coil_starts),
        coil_nodes=_places(one.coil_nodes),
        coil_shares=_row(one.coil_shares),
        coil_gap=_places(one.coil_gap),
        coil_kind=_places(one.coil_kind),
        coil_law=_row(one.coil_law),
        coil_first=float(one.coil_first),
        coil_step=float(one.coil_step),
        low_heads=bool(np.any(one.coil_gap + 1 < len(one.tension))),
        linked=bool(np.any(one.link_own != 0)),
        link_starts=_places(one.link_starts),
        link_others=_places(one.link_others),
        link_couplings=_row(one.link_couplings),
        link_own=_row(one.link_own),
        tie_starts=_places(one.tie_starts),
        tie_nodes=_places(one.tie_nodes),
        tie_shares=_row(one.tie_shares),
        tie_down=_row(one.tie_down),
        tie_stiffness=_row(one.tie_stiffness),
        rim_push=_row(one.rim_push),
        rim_pull=_row(one.rim_pull),
        slat=one.slat,
        slat_shape=_row(one.slat_shape),
        slat_stiffness=_row(one.slat_stiffness),
        face=_row(one.face),
        touch=_row(one.touch),
        skin=float(one.skin),
        factor_starts=_places(one.factor_starts),
        factor_rows=_places(one.factor_rows),
        factor_parent=one.factor_parent,
        along=along,
        rest=rest,
    )


def room_for(laid: Laid) -> Room:
    """Working arrays for a field."""
    levels, nodes = len(laid.tension), len(laid.area)
    slats, coils = len(laid.slat_stiffness), len(laid.coil_gap)
    fields = ("g", "r", "z", "p", "h", "trial", "filling", "pivot", "lift", "border", "answer")
    on_nodes = ("w", "y", "top", "press", "give", "inverse")
    on_slats = ("gq", "rq", "zq", "pq", "hq", "xq", "own_q")
    on_coils = ("top_heads", "low_heads", "link", "coil")
    sizes: dict[str, tuple[int, ...]] = {
        **dict.fromkeys(fields, (levels, nodes)),
        **dict.fromkeys(on_nodes, (nodes,)),
        **dict.fromkeys(on_slats, (slats,)),
        **dict.fromkeys(on_coils, (coils,)),
        "tie": (len(laid.tie_down),),
        "lower": (len(laid.factor_rows),),
    }
    return Room(
        **{name: np.zeros(size) for name, size in sizes.items()},
        pattern=np.zeros(nodes, np.int32),
        flag=np.zeros(nodes, np.int32),
        filled=np.zeros(nodes, np.uint32),
        state=np.zeros(3, np.int32),
    )


def _places(index: Indices) -> Places:
    return np.ascontiguousarray(index, dtype=np.uint32)


def _row(values: Array) -> Array:
    return np.ascontiguousarray(values, dtype=np.float64)


def _ties_most(one: Field) -> tuple[Array, Array]:
    """The movement of a column by which its neighbours feel it most, against what it takes to make it; and what ties
    each interface besides. Both by the shear stiffness of bent stacks, which is what they show the pad's edge.
    """
    levels = len(one.tension)
    tied = np.diag(one.tension)
    for b in range(len(one.bend_stiffness)):
        own = one.bend_own[b]
        ratio = np.median((one.bend_stiffness[b] * one.own**2 / own - one.area) / one.own)
        tied = tied + one.bend_stiffness[b] / ratio * np.outer(one.bend_share[b], one.bend_share[b])
    if not np.any(tied):
        return np.zeros(levels), np.zeros(levels)
    whole = float(np.sum(one.area))
    at = min(round(SMALL / one.law_step), one.law.shape[1] - 1)
    each = one.law[:, at, 0] / (at * one.law_step) / one.thickness * one.cover.sum(axis=1) / whole
    zero = int(-one.coil_first / one.coil_step)
    for gap in range(levels):
        kinds = one.coil_kind[one.coil_gap == gap]
        each[gap] += float(np.sum(one.coil_law[kinds, zero, 1])) / one.coil_step / whole if len(kinds) else 0.0
    each += 1e-9
    column = np.diag(each) + np.diag(np.concatenate([[one.skin], each[:-1]]))
    column -= np.diag(each[:-1], 1) + np.diag(each[:-1], -1)
    half = np.linalg.inv(np.linalg.cholesky(column))
    _, vectors = np.linalg.eigh(half @ tied @ half.T)
    movement = half.T @ vectors[:, -1]
    along = tied @ movement / np.sqrt(movement @ tied @ movement)
    along *= np.sign(along[np.argmax(np.abs(along))])
    return np.ascontiguousarray(along), np.maximum(np.diag(tied) - along**2, 0.0)
