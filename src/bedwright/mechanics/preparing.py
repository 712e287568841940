"""What Newton's steps are prepared with, compiled: nearly the inverse of the stiffness, and quickly had.

It is exact for every column of interfaces under its node (with the slat under it), for the one movement along the
columns that ties neighbours most (the bent fillings', or the tension's), and for the coils and heads that frame.py
picks. With C the columns, V the movement and K what ties it, it is C^-1 - C^-1 V' (F + K^-1)^-1 V C^-1 while no coil is
picked, F being no less than what the columns give along it, V C^-1 V'; so it stays positive.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from bedwright.mechanics.kernels import sparse_solve


@njit(cache=True)
def factorised(frame, edge, whole, lower, inverse, y, filled):
    """L and 1/D of the system with `edge` below its diagonal `whole`, row after row, into lower and inverse."""
    size = whole.shape[0]
    for n in range(size):
        filled[n] = frame.factor_starts[n]
        y[n] = 0.0
    for n in range(size):
        for j in range(frame.rows[n], frame.rows[n + 1]):
            y[frame.others[j]] = edge[frame.edges[j]]
        own = whole[n]
        for t in range(frame.row_starts[n], frame.row_starts[n + 1]):
            i = frame.row_columns[t]
            v = y[i]
            y[i] = 0.0
            end = filled[i]
            for j in range(frame.factor_starts[i], end):
                y[frame.factor_rows[j]] -= lower[j] * v
            share = v * inverse[i]
            own -= share * v
            lower[end] = share
            filled[i] = end + np.uint32(1)
        inverse[n] = 1.0 / own


@njit(cache=True)
def columns(laid, room):
    """Factors of every node's column: 1 / pivots (M, N), multipliers lift (M, N); border (M, N), own_q (S,) of slats.

    Coil heads are wide, so a coil's stiffness goes to its nodes by their share; so does that of links and ties.
    """
    levels, nodes = room.g.shape
    last = levels - 1
    pivot, lift, shared = room.pivot, room.lift, room.border
    for i in range(levels):
        rest = laid.rest[i]
        for n in range(nodes):
            pivot[i, n] = rest * laid.own[n] + 1e-12
            shared[i, n] = room.filling[i, n]
    for n in range(nodes):
        pivot[0, n] += room.top[n]
    for c in range(laid.coil_gap.shape[0]):
        i = laid.coil_gap[c]
        stiffness, linked = laid.left[c] * room.coil[c], laid.link_held[c]
        for j in range(laid.coil_starts[c], laid.coil_starts[c + 1]):
            n = laid.coil_nodes[j]
            shared[i, n] += laid.coil_shares[j] * stiffness
            if linked > 0.0:
                pivot[i, n] += laid.coil_shares[j] * linked
                if i < last:
                    pivot[i + 1, n] += laid.coil_shares[j] * linked
    for t in range(laid.tie_down.shape[0]):
        if room.tie[t] > 0.0:
            for j in range(laid.tie_starts[t], laid.tie_starts[t + 1]):
                pivot[0, laid.tie_nodes[j]] += laid.tie_shares[j] * room.tie[t]
    for n in range(nodes):
        pivot[0, n] = 1.0 / (pivot[0, n] + shared[0, n])
    for i in range(1, levels):
        for n in range(nodes):
            between = shared[i - 1, n]
            up = -between * pivot[i - 1, n]
            lift[i, n] = up
            pivot[i, n] = 1.0 / (pivot[i, n] + shared[i, n] + (between + up * between))
    slats = room.own_q.shape[0]
    if slats:
        for s in range(slats):
            room.own_q[s] = laid.slat_stiffness[s] + 1e-12
        for n in range(nodes):
            sl = laid.slat[n]
            press = room.filling[last, n] * laid.slat_shape[n]
            for i in range(levels):
                room.border[i, n] = 0.0
            if sl < 0:
                room.press[n] = 0.0
                continue
            room.press[n] = press
            room.border[last, n] = -press * pivot[last, n]
            for i in range(last - 1, -1, -1):
                room.border[i, n] = -lift[i + 1, n] * room.border[i + 1, n]
            room.own_q[sl] += laid.slat_shape[n] * press + press * room.border[last, n]


@njit(cache=True)
def column_solve(room, r, z):
    """z = inverse of the columns, slats held, times r (M, N)."""
    levels, nodes = r.shape
    last = levels - 1
    pivot, lift = room.pivot, room.lift
    z[0] = r[0]
    for i in range(1, levels):
        for n in range(nodes):
            z[i, n] = r[i, n] - lift[i, n] * z[i - 1, n]
    for n in range(nodes):
        z[last, n] *= pivot[last, n]
    for i in range(last - 1, -1, -1):
        for n in range(nodes):
            z[i, n] = z[i, n] * pivot[i, n] - lift[i + 1, n] * z[i + 1, n]


@njit(cache=True)
def prepared(laid, room):
    """Factors of all the steps are prepared with, for the stiffness that room holds."""
    columns(laid, room)
    for i in range(room.g.shape[0]):
        room.z[i, :] = laid.along[i]
    column_solve(room, room.z, room.answer)
    along(laid, room.answer, room.give)
    if room.own_q.shape[0]:
        slats_give(laid, room)
    frame, edge, whole = laid.frame, room.edge, room.whole
    for n in range(room.give.shape[0]):
        room.stiff[n] = 1.0 / (room.give[n] + 1e-12)
        whole[frame.place[n]] = laid.own[n] + room.stiff[n]
    if frame.coils.shape[0]:
        coils_picked(laid, room)
    factorised(frame, edge, whole, room.lower, room.inverse, room.spare, room.filled)


@njit(cache=True)
def along(laid, z, out):
    """out (N,) = movements z taken along the movement that ties columns."""
    levels, nodes = z.shape
    out[:] = 0.0
    for i in range(levels):
        share = laid.along[i]
        if share != 0.0:
            for n in range(nodes):
                out[n] += share * z[i, n]


@njit(cache=True)
def slats_give(laid, room):
    """Adds to what columns give what the slats under them do: their share in a row of the answers, summed."""
    last, nodes = room.g.shape[0] - 1, room.g.shape[1]
    room.xq[:] = 0.0
    for n in range(nodes):
        if laid.slat[n] >= 0:
            room.xq[laid.slat[n]] += abs(room.press[n] * room.answer[last, n])
    for n in range(nodes):
        sl = laid.slat[n]
        if sl >= 0:
            room.give[n] += abs(room.press[n] * room.answer[last, n]) * room.xq[sl] / room.own_q[sl]


@njit(cache=True)
def coils_picked(laid, room):
    """The system's edges and diagonal for the coils and heads that are picked."""
    frame, edge, whole = laid.frame, room.edge, room.whole
    levels, nodes = room.g.shape
    gap, picked = frame.gap, frame.coils.shape[0]
    room.z[:] = 0.0
    room.z[gap, :] = 1.0
    if gap + 1 < levels:
        room.z[gap + 1, :] = -1.0
    column_solve(room, room.z, room.gap_answer)
    along(laid, room.gap_answer, room.gap_along)
    for n in range(nodes):
        room.w[n] = room.gap_along[n] * room.stiff[n]
        gives = room.gap_answer[gap, n]
        if gap + 1 < levels:
            gives -= room.gap_answer[gap + 1, n]
        room.y[n] = gives - room.w[n] * room.gap_along[n]
    e = frame.node_edges
    for c in range(picked):
        own = 0.0
        for j in range(frame.starts[c], frame.starts[c + 1]):
            n = frame.nodes[j]
            edge[e] = frame.shares[j] * room.w[n]
            e += 1
            own -= frame.shares[j] ** 2 * room.y[n]
        stiffness = (1.0 - laid.left[frame.coils[c]]) * room.coil[frame.coils[c]] + 1e-9
        head = frame.head[c]
        if head < 0:
            own -= 1.0 / stiffness
        else:
            whole[frame.place[nodes + picked + head]] = stiffness + frame.links[head]
        whole[frame.place[nodes + c]] = own
    for j in range(frame.pair_edge.shape[0]):
        edge[frame.pair_edge[j]] = 0.0
    for j in range(frame.pair_edge.shape[0]):
        edge[frame.pair_edge[j]] -= frame.pair_weight[j] * room.y[frame.pair_node[j]]


@njit(cache=True)
def precondition(laid, room, r, rq, z, zq):
    """z, zq = what the steps are prepared with, times r, rq."""
    levels, nodes = r.shape
    slats = rq.shape[0]
    column_solve(room, r, z)
    if slats:
        slats_follow(laid, room, rq, z, zq)
    frame, known, w = laid.frame, room.known, room.w
    gap, picked = frame.gap, frame.coils.shape[0]
    along(laid, z, w)
    for n in range(nodes):
        w[n] *= room.stiff[n]
        known[frame.place[n]] = w[n]
    for c in range(picked):
        s = 0.0
        for j in range(frame.starts[c], frame.starts[c + 1]):
            n = frame.nodes[j]
            h = z[gap, n] - room.gap_along[n] * w[n]
            if gap + 1 < levels:
                h -= z[gap + 1, n]
            s += frame.shares[j] * h
        known[frame.place[nodes + c]] = -s
    for c in range(nodes + picked, known.shape[0]):
        known[frame.place[c]] = 0.0
    sparse_solve(frame.factor_starts, frame.factor_rows, room.lower, room.inverse, known)
    if picked:
        push = room.y
        push[:] = 0.0
        for c in range(picked):
            f = known[frame.place[nodes + c]]
            for j in range(frame.starts[c], frame.starts[c + 1]):
                push[frame.nodes[j]] += frame.shares[j] * f
        for n in range(nodes):
            w[n] -= (known[frame.place[n]] + room.gap_along[n] * push[n]) * room.stiff[n]
        for i in range(levels):
            for n in range(nodes):
                z[i, n] -= room.answer[i, n] * w[n] + room.gap_answer[i, n] * push[n]
    else:
        for n in range(nodes):
            w[n] -= known[frame.place[n]] * room.stiff[n]
        for i in range(levels):
            for n in range(nodes):
                z[i, n] -= room.answer[i, n] * w[n]
    if slats:
        slats_give_way(laid, room, w, z, zq)


@njit(cache=True)
def slats_give_way(laid, room, w, z, zq):
    """What the slats, and the columns over them, do besides where w pushes along the columns."""
    levels, nodes = z.shape
    last = levels - 1
    room.xq[:] = 0.0
    for n in range(nodes):
        if laid.slat[n] >= 0:
            room.xq[laid.slat[n]] -= room.press[n] * room.answer[last, n] * w[n]
    for s in range(zq.shape[0]):
        room.xq[s] /= room.own_q[s]
        zq[s] += room.xq[s]
    for i in range(levels):
        for n in range(nodes):
            if laid.slat[n] >= 0:
                z[i, n] -= room.border[i, n] * room.xq[laid.slat[n]]


@njit(cache=True)
def slats_follow(laid, room, rq, z, zq):
    """From columns solved with the slats held to columns and slats solved together."""
    levels, nodes = z.shape
    last = levels - 1
    for s in range(rq.shape[0]):
        zq[s] = rq[s]
    for n in range(nodes):
        if laid.slat[n] >= 0:
            zq[laid.slat[n]] += room.press[n] * z[last, n]
    for s in range(rq.shape[0]):
        zq[s] /= room.own_q[s]
    for i in range(levels):
        for n in range(nodes):
            if laid.slat[n] >= 0:
                z[i, n] -= room.border[i, n] * zq[laid.slat[n]]
