"""A field laid out for the compiled loops, with what their steps are prepared with; and the room they work in."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.frame import Frame, frame_of, more_linked, ties_between
from bedwright.mechanics.kernels import Field

Array = NDArray[np.float64]
Indices = NDArray[np.int32]
Places = NDArray[np.uint32]
LINKED, RODS = 0.25, 0.1  # share of a coil's links that counts in the columns under its head; where they are a rod's
SHARED = 0.05  # share of a picked coil's stiffness that the columns keep, so that they are never without any
SMALL = 0.05  # compression [share] by whose secant columns are judged


class Laid(NamedTuple):
    """A field laid out for the loops, with what its solver needs besides. M interfaces, N nodes."""

    area: Array
    starts: Places
    others: Places
    couplings: Array
    own: Array
    tension: Array
    bend_share: Array
    bend_squeeze: Array
    bend_squeezed: NDArray[np.bool_]
    bend_stiffness: Array
    bend_starts: Places
    bend_rows: Places
    bend_lower: Array
    bend_inverse: Array
    filled: NDArray[np.bool_]  # (M,) whether a gap has a filling anywhere
    law: Array
    law_step: float
    thickness: Array
    cover: Array
    back: Array
    greatest: Array
    returning: bool
    coil_starts: Places
    coil_nodes: Places
    coil_shares: Array
    coil_gap: Places
    coil_kind: Places
    coil_law: Array
    coil_first: float
    coil_step: float
    low_heads: bool  # whether any coil stands on an interface that moves
    linked: bool
    link_starts: Places
    link_others: Places
    link_couplings: Array
    link_own: Array
    tie_starts: Places
    tie_nodes: Places
    tie_shares: Array
    tie_down: Array
    tie_stiffness: Array
    rim_push: Array
    rim_pull: Array
    slat: Indices
    slat_shape: Array
    slat_stiffness: Array
    face: Array
    touch: Array
    skin: float
    # what the solver's steps are prepared with
    frame: Frame
    along: Array  # (M,) [(N/mm)^0.5] the movement that ties columns most: K times its square is solved exactly
    rest: Array  # (M,) [N/mm] what ties each interface besides
    left: Array  # (C,) share of each coil's stiffness that the columns take
    link_held: Array  # (C,) [N/mm] what the columns take of its links


class Room(NamedTuple):
    """Working arrays of a solve, made once. g, r, z, p, h, trial (M, N); those with q (S,)."""

    g: Array
    r: Array
    z: Array
    p: Array
    h: Array
    trial: Array
    gq: Array
    rq: Array
    zq: Array
    pq: Array
    hq: Array
    xq: Array
    w: Array
    y: Array
    top_heads: Array
    low_heads: Array
    link: Array
    # tangent stiffness of what is no mesh operator
    filling: Array  # (M, N)
    top: Array  # (N,) contact and rim
    coil: Array  # (C,)
    tie: Array  # (J,)
    # factors of every column of interfaces, with its slat
    pivot: Array  # (M, N) 1 / pivots
    lift: Array  # (M, N)
    border: Array  # (M, N)
    press: Array  # (N,) stiffness between lowest interface and slat
    own_q: Array  # (S,)
    # the movement that ties columns, and the gap of the coils that are picked
    answer: Array  # (M, N) a column's movement under `along`
    give: Array  # (N,) movement along it per force along it
    stiff: Array  # (N,) its inverse
    gap_answer: Array  # (M, N) a column's movement under a force in the gap
    gap_along: Array  # (N,) what that moves along `along`
    edge: Array  # (E,) the system of frame.py below its diagonal
    whole: Array  # (F,) its diagonal
    lower: Array
    inverse: Array
    known: Array  # (F,) right side and answer
    spare: Array  # (F,)
    filled: Places
    state: Indices  # (3,) whether factors are there; their conjugate steps when new; nodes in contact then


def laid_out(one: Field) -> Laid:
    """The field in the order of the loops."""
    along, rest = _ties_most(one)
    frame = frame_of(one)
    left, held = np.ones(len(one.coil_gap)), np.where(more_linked(one), RODS, LINKED) * one.link_own
    left[frame.coils] = SHARED
    held[frame.coils[frame.head >= 0]] = 0.0
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
        frame=frame,
        along=along,
        rest=rest,
        left=left,
        link_held=held,
    )


def room_for(laid: Laid) -> Room:
    """Working arrays for a field."""
    levels, nodes = len(laid.tension), len(laid.area)
    slats, coils = len(laid.slat_stiffness), len(laid.coil_gap)
    size = len(laid.frame.place)
    fields = ("g", "r", "z", "p", "h", "trial", "filling", "pivot", "lift", "border", "answer", "gap_answer")
    on_nodes = ("w", "y", "top", "press", "give", "stiff", "gap_along")
    on_slats = ("gq", "rq", "zq", "pq", "hq", "xq", "own_q")
    on_coils = ("top_heads", "low_heads", "link", "coil")
    sizes: dict[str, tuple[int, ...]] = {
        **dict.fromkeys(fields, (levels, nodes)),
        **dict.fromkeys(on_nodes, (nodes,)),
        **dict.fromkeys(on_slats, (slats,)),
        **dict.fromkeys(on_coils, (coils,)),
        **dict.fromkeys(("whole", "inverse", "known", "spare"), (size,)),
        "tie": (len(laid.tie_down),),
        "lower": (len(laid.frame.factor_rows),),
    }
    return Room(
        **{name: np.zeros(shape) for name, shape in sizes.items()},
        edge=laid.frame.fixed.copy(),
        filled=np.zeros(size, np.uint32),
        state=np.zeros(3, np.int32),
    )


def _places(index: Indices) -> Places:
    return np.ascontiguousarray(index, dtype=np.uint32)


def _row(values: Array) -> Array:
    return np.ascontiguousarray(values, dtype=np.float64)


def _ties_most(one: Field) -> tuple[Array, Array]:
    """The movement of a column by which its neighbours feel it most, against what it takes to make it; and what ties
    each interface besides.
    """
    levels = len(one.tension)
    tied = ties_between(one)
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
