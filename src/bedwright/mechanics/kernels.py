"""The loops of the bed's solver, compiled: forces, stiffness, and one equilibrium by Newton's method.

Every part of the energy is convex (all laws rise), so there is one equilibrium and a line search has one place to go.
Newton's steps are solved by conjugate gradients, preconditioned by an exact solve of every column of interfaces under
its node (with the slat under it), so neighbours are all that is left to the iterations.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.int32]
LINE_HALVINGS, MOST_CONJUGATE = 9, 600
FORCING = 0.05  # residual asked of a Newton step, as a share of what is out of balance
STALE = 12  # conjugate steps that show that the fields' factors no longer fit


class Field(NamedTuple):
    """A bed as arrays. N nodes, M interfaces from the top face down, C coils, B bent stacks, J ties, S slats.

    Unit N, mm. Gap g lies between interfaces g and g + 1; the last one between the lowest interface and the ground.
    """

    # mesh
    area: Array  # (N,)
    starts: Indices
    others: Indices
    couplings: Array
    own: Array
    factor_starts: Indices  # (N + 1,) columns of L below its diagonal, for any matrix of the mesh's pattern
    factor_rows: Indices
    factor_parent: Indices  # (N,) elimination tree
    moved: Indices  # (F,) fields that tie columns together: this many interfaces, from the top, moving as one
    lateral: Array  # (F,) [N/mm] what ties them
    # what pulls in the plane
    tension: Array  # (M,) [N/mm]
    # stacks that bend: m = K (share . u) + A (squeeze . u), y = D (A + D/S K)^-1 m, forces share K y + squeeze A y
    bend_share: Array  # (B, M)
    bend_squeeze: Array  # (B, M) [1/mm2]
    bend_stiffness: Array  # (B,) D [N mm]
    bend_starts: Indices  # (B, N + 1) columns of L below its diagonal of 1, A + D/S K = L D L'
    bend_rows: Indices
    bend_lower: Array
    bend_inverse: Array  # (B, N) 1/D of that factor
    bend_own: Array  # (B, N) what one node feels of its own bending [N/mm]
    # fillings: force = area x stress(compression)
    law: Array  # (M, points, 2) stress [N/mm2] and its slope over compression
    law_step: float  # of compression [share]
    thickness: Array  # (M,)
    cover: Array  # (M, N) area that the filling of a gap has under a node [mm2]
    back: Array  # (M, points, 2) share of the stress left on the way back, over compression / greatest compression
    greatest: Array  # (M, N) greatest compression so far [share]
    returning: bool
    # coils: travel is the mean of the head's nodes, top less bottom
    coil_starts: Indices  # (C + 1,)
    coil_nodes: Indices
    coil_shares: Array
    coil_gap: Indices  # (C,)
    coil_kind: Indices  # (C,)
    coil_law: Array  # (kinds, points, 2) force [N] and slope over travel, from coil_first on
    coil_first: float
    coil_step: float
    # links of coils with their neighbours, on the displacement of the heads, top and bottom alike
    link_starts: Indices  # (C + 1,)
    link_others: Indices
    link_couplings: Array
    link_own: Array  # (C,)
    # ties (tufts): pull the top face down until the thickness is no more than they allow
    tie_starts: Indices
    tie_nodes: Indices
    tie_shares: Array
    tie_down: Array  # (J,) how far the face has to come down to slacken it [mm]
    tie_stiffness: Array  # (J,) [N/mm]
    # border: on the top face along the rim
    rim_push: Array  # (N,) [N/mm]
    rim_pull: Array  # (N,) [N/mm]
    # slats: the last gap presses on phi x q of the slat below
    slat: Indices  # (N,) or -1
    slat_shape: Array  # (N,)
    slat_stiffness: Array  # (S,) [N/mm]
    # the pad
    face: Array  # (N,) rise of the pad's face above its lowest point [mm]
    touch: Array  # (N,) area through which a node may be touched [mm2]
    skin: float  # [N/mm3]


@njit(cache=True)
def look_up(table, at):
    """Value and slope of a table of values and slopes at whole steps: cubic between, straight beyond."""
    last = table.shape[0] - 1
    if at <= 0.0:
        return table[0, 0] + table[0, 1] * at, table[0, 1]
    if at >= last:
        return table[last, 0] + table[last, 1] * (at - last), table[last, 1]
    i = int(at)
    f = at - i
    y0, m0, y1, m1 = table[i, 0], table[i, 1], table[i + 1, 0], table[i + 1, 1]
    a = 2.0 * (y0 - y1) + m0 + m1
    b = 3.0 * (y1 - y0) - 2.0 * m0 - m1
    return ((a * f + b) * f + m0) * f + y0, (3.0 * a * f + 2.0 * b) * f + m0


@njit(cache=True)
def laplace(field, w, out):
    """out = K w."""
    for n in range(w.shape[0]):
        s = field.own[n] * w[n]
        for j in range(field.starts[n], field.starts[n + 1]):
            s += field.couplings[j] * w[field.others[j]]
        out[n] = s


@njit(cache=True)
def sparse_solve(starts, rows, lower, inverse, y):
    """y = (L D L')^-1 y with L in columns, its diagonal of 1 left out."""
    count = inverse.shape[0]
    for n in range(count):
        v = y[n]
        for j in range(starts[n], starts[n + 1]):
            y[rows[j]] -= lower[j] * v
    for n in range(count - 1, -1, -1):
        s = y[n] * inverse[n]
        for j in range(starts[n], starts[n + 1]):
            s -= lower[j] * y[rows[j]]
        y[n] = s


@njit(cache=True)
def bending(field, u, out, w, y):
    """Adds the forces of bent stacks to out."""
    nodes, levels = u.shape
    for b in range(field.bend_stiffness.shape[0]):
        squeezed = np.any(field.bend_squeeze[b] != 0.0)
        for n in range(nodes):
            s = 0.0
            for i in range(levels):
                s += field.bend_share[b, i] * u[n, i]
            w[n] = s
        laplace(field, w, y)
        if squeezed:
            for n in range(nodes):
                s = 0.0
                for i in range(levels):
                    s += field.bend_squeeze[b, i] * u[n, i]
                y[n] += field.area[n] * s
        sparse_solve(field.bend_starts[b], field.bend_rows, field.bend_lower, field.bend_inverse[b], y)
        laplace(field, y, w)
        D = field.bend_stiffness[b]
        for n in range(nodes):
            v = D * w[n]
            for i in range(levels):
                out[n, i] += field.bend_share[b, i] * v
        if squeezed:
            for n in range(nodes):
                v = D * field.area[n] * y[n]
                for i in range(levels):
                    out[n, i] += field.bend_squeeze[b, i] * v


@njit(cache=True)
def in_plane(field, u, out):
    """Adds the forces of tensions to out."""
    nodes, levels = u.shape
    for i in range(levels):
        T = field.tension[i]
        if T != 0.0:
            for n in range(nodes):
                s = field.own[n] * u[n, i]
                for j in range(field.starts[n], field.starts[n + 1]):
                    s += field.couplings[j] * u[field.others[j], i]
                out[n, i] += T * s


@njit(cache=True)
def means(field, u, level_of, heads):
    """heads[c] = mean of an interface over the head of coil c; level_of shifts from the coil's gap."""
    levels = u.shape[1]
    for c in range(heads.shape[0]):
        i = field.coil_gap[c] + level_of
        s = 0.0
        if i < levels:
            for j in range(field.coil_starts[c], field.coil_starts[c + 1]):
                s += field.coil_shares[j] * u[field.coil_nodes[j], i]
        heads[c] = s


@njit(cache=True)
def link_forces(field, heads, out):
    """out = (graph of links) heads."""
    for c in range(heads.shape[0]):
        s = field.link_own[c] * heads[c]
        for j in range(field.link_starts[c], field.link_starts[c + 1]):
            s += field.link_couplings[j] * heads[field.link_others[j]]
        out[c] = s


@njit(cache=True)
def spread(field, forces, level_of, out):
    """Adds coil forces to the nodes of their heads on an interface."""
    levels = out.shape[1]
    for c in range(forces.shape[0]):
        i = field.coil_gap[c] + level_of
        if i < levels:
            for j in range(field.coil_starts[c], field.coil_starts[c + 1]):
                out[field.coil_nodes[j], i] += field.coil_shares[j] * forces[c]


class Stiffness(NamedTuple):
    """Tangent stiffness of what is no mesh operator: fillings (N, M), contact and rim (N,), coils (C,), ties (J,)."""

    filling: Array
    top: Array
    coil: Array
    tie: Array


@njit(cache=True)
def forces(field, u, q, depth, g, gq, k, top_heads, low_heads, link):
    """Out-of-balance forces g (N, M) and gq (S,), tangent stiffness k; returns the pad's force [N]."""
    nodes, levels = u.shape
    coils = field.coil_gap.shape[0]
    g[:] = 0.0
    pad = 0.0
    for n in range(nodes):
        k.top[n] = 0.0
        pressed = depth - field.face[n] - u[n, 0]
        if pressed > 0.0 and field.touch[n] > 0.0:
            p = field.touch[n] * field.skin * pressed
            pad += p
            g[n, 0] -= p
            k.top[n] += field.touch[n] * field.skin
        rim = field.rim_push[n] if u[n, 0] > 0.0 else field.rim_pull[n]
        if rim != 0.0:
            g[n, 0] += rim * u[n, 0]
            k.top[n] += rim
    for s in range(q.shape[0]):
        gq[s] = field.slat_stiffness[s] * q[s]
    last = levels - 1
    for n in range(nodes):
        for i in range(levels):
            k.filling[n, i] = 0.0
            cover = field.cover[i, n]
            if cover == 0.0:
                continue
            below = u[n, i + 1] if i < last else 0.0
            sl = field.slat[n] if i == last else -1
            if sl >= 0:
                below = field.slat_shape[n] * q[sl]
            e = (u[n, i] - below) / field.thickness[i]
            stress, slope = look_up(field.law[i], e / field.law_step)
            slope /= field.law_step
            if field.returning:
                most = field.greatest[i, n]
                if most > 0.0 and 0.0 < e < most:
                    x = e / most * (field.back.shape[1] - 1)
                    share, rise = look_up(field.back[i], x)
                    slope = slope * share + stress * rise * (field.back.shape[1] - 1) / most
                    stress *= share
            f = cover * stress
            g[n, i] += f
            k.filling[n, i] = cover * slope / field.thickness[i]
            if i < last:
                g[n, i + 1] -= f
            elif sl >= 0:
                gq[sl] -= field.slat_shape[n] * f
    in_plane(field, u, g)
    if coils:
        means(field, u, 0, top_heads)
        means(field, u, 1, low_heads)
        link_forces(field, top_heads, link)
        for c in range(coils):
            at = (top_heads[c] - low_heads[c] - field.coil_first) / field.coil_step
            force, slope = look_up(field.coil_law[field.coil_kind[c]], at)
            k.coil[c] = slope / field.coil_step
            top_heads[c] = force
            link[c] += force
        spread(field, link, 0, g)
        if np.any(field.coil_gap + 1 < levels):
            link_forces(field, low_heads, link)
            for c in range(coils):
                link[c] -= top_heads[c]
            spread(field, link, 1, g)
    for t in range(field.tie_down.shape[0]):
        s = 0.0
        for j in range(field.tie_starts[t], field.tie_starts[t + 1]):
            s += field.tie_shares[j] * u[field.tie_nodes[j], 0]
        short = field.tie_down[t] - s
        k.tie[t] = 0.0
        if short > 0.0:
            k.tie[t] = field.tie_stiffness[t]
            for j in range(field.tie_starts[t], field.tie_starts[t + 1]):
                g[field.tie_nodes[j], 0] -= field.tie_shares[j] * field.tie_stiffness[t] * short
    return pad


@njit(cache=True)
def times(field, k, p, pq, out, outq, w, y, top_heads, low_heads, link):
    """out, outq = tangent stiffness times p, pq."""
    nodes, levels = p.shape
    last = levels - 1
    for s in range(pq.shape[0]):
        outq[s] = field.slat_stiffness[s] * pq[s]
    for n in range(nodes):
        out[n, 0] = k.top[n] * p[n, 0]
        for i in range(1, levels):
            out[n, i] = 0.0
        for i in range(last):
            f = k.filling[n, i] * (p[n, i] - p[n, i + 1])
            out[n, i] += f
            out[n, i + 1] -= f
        sl = field.slat[n]
        if sl >= 0:
            f = k.filling[n, last] * (p[n, last] - field.slat_shape[n] * pq[sl])
            outq[sl] -= field.slat_shape[n] * f
        else:
            f = k.filling[n, last] * p[n, last]
        out[n, last] += f
    in_plane(field, p, out)
    bending(field, p, out, w, y)
    coils = field.coil_gap.shape[0]
    if coils:
        means(field, p, 0, top_heads)
        means(field, p, 1, low_heads)
        link_forces(field, top_heads, link)
        for c in range(coils):
            f = k.coil[c] * (top_heads[c] - low_heads[c])
            link[c] += f
            top_heads[c] = f
        spread(field, link, 0, out)
        if np.any(field.coil_gap + 1 < levels):
            link_forces(field, low_heads, link)
            for c in range(coils):
                link[c] -= top_heads[c]
            spread(field, link, 1, out)
    for t in range(field.tie_down.shape[0]):
        if k.tie[t] > 0.0:
            s = 0.0
            for j in range(field.tie_starts[t], field.tie_starts[t + 1]):
                s += field.tie_shares[j] * p[field.tie_nodes[j], 0]
            for j in range(field.tie_starts[t], field.tie_starts[t + 1]):
                out[field.tie_nodes[j], 0] += field.tie_shares[j] * k.tie[t] * s


@njit(cache=True)
def factorised(field, stiffness, local, lower, inverse, y, pattern, flag, filled):
    """L and 1/D of stiffness K + diag(local), up-looking, into lower and inverse."""
    nodes = local.shape[0]
    for n in range(nodes):
        flag[n] = -1
        filled[n] = 0
    for n in range(nodes):
        top = nodes
        flag[n] = n
        y[n] = local[n] + stiffness * field.own[n]
        for j in range(field.starts[n], field.starts[n + 1]):
            i = field.others[j]
            if i < n:
                y[i] += stiffness * field.couplings[j]
                depth = 0
                while flag[i] != n:
                    pattern[depth] = i
                    depth += 1
                    flag[i] = n
                    i = field.factor_parent[i]
                while depth > 0:
                    depth -= 1
                    top -= 1
                    pattern[top] = pattern[depth]
        own = y[n]
        y[n] = 0.0
        for t in range(top, nodes):
            i = pattern[t]
            v = y[i]
            y[i] = 0.0
            end = field.factor_starts[i] + filled[i]
            for j in range(field.factor_starts[i], end):
                y[field.factor_rows[j]] -= lower[j] * v
            share = v * inverse[i]
            own -= share * v
            lower[end] = share
            filled[i] += 1
        inverse[n] = 1.0 / max(own, 1e-12)


@njit(cache=True)
def fields_factorised(field, k, room):
    """Factors of the fields that tie columns together."""
    nodes, levels = room.g.shape
    for f in range(field.lateral.shape[0]):
        if field.lateral[f] <= 0.0:
            continue
        under = field.moved[f] - 1  # the gap below the interfaces that move
        local = room.local[f]
        for n in range(nodes):
            local[n] = k.top[n] + k.filling[n, under]
            room.y[n] = 0.0
        for c in range(field.coil_gap.shape[0]):
            if field.coil_gap[c] == under:
                for j in range(field.coil_starts[c], field.coil_starts[c + 1]):
                    local[field.coil_nodes[j]] += field.coil_shares[j] * k.coil[c]
        for t in range(field.tie_down.shape[0]):
            for j in range(field.tie_starts[t], field.tie_starts[t + 1]):
                local[field.tie_nodes[j]] += field.tie_shares[j] * k.tie[t]
        factorised(
            field, field.lateral[f], local, room.lower[f], room.inverse[f], room.y, room.pattern, room.flag, room.filled
        )


@njit(cache=True)
def columns(field, k, pivot, lift, border, own_q):
    """Factors of every node's column: pivots (N, M) and multipliers lift (N, M); border (N, M) and own_q (S,) of slats.

    Coil heads are wide, so a coil's stiffness goes to its nodes by their share; so does that of links and ties.
    """
    nodes, levels = pivot.shape
    last = levels - 1
    shared = np.zeros((nodes, levels))  # coil stiffness in each gap
    for n in range(nodes):
        for i in range(levels):
            s = field.tension[i] * field.own[n]
            for b in range(field.bend_stiffness.shape[0]):
                s += field.bend_share[b, i] ** 2 * field.bend_own[b, n]
            pivot[n, i] = s
        pivot[n, 0] += k.top[n]
    for c in range(field.coil_gap.shape[0]):
        i = field.coil_gap[c]
        for j in range(field.coil_starts[c], field.coil_starts[c + 1]):
            n = field.coil_nodes[j]
            shared[n, i] += field.coil_shares[j] * k.coil[c]
            pivot[n, i] += field.coil_shares[j] * field.link_own[c] * 0.5
            if i < last:
                pivot[n, i + 1] += field.coil_shares[j] * field.link_own[c] * 0.5
    for t in range(field.tie_down.shape[0]):
        for j in range(field.tie_starts[t], field.tie_starts[t + 1]):
            pivot[field.tie_nodes[j], 0] += field.tie_shares[j] * k.tie[t]
    for s in range(own_q.shape[0]):
        own_q[s] = field.slat_stiffness[s]
    for n in range(nodes):
        for i in range(levels):
            between = k.filling[n, i] + shared[n, i]
            shared[n, i] = between
            pivot[n, i] += between
            if i < last:
                pivot[n, i + 1] += between
        for i in range(1, levels):
            lift[n, i] = -shared[n, i - 1] / pivot[n, i - 1]
            pivot[n, i] += lift[n, i] * shared[n, i - 1]
        for i in range(levels):
            if pivot[n, i] < 1e-12:
                pivot[n, i] = 1e-12
        sl = field.slat[n]
        if sl >= 0:
            c = -field.slat_shape[n] * k.filling[n, last]
            for i in range(levels):
                border[n, i] = 0.0
            border[n, last] = c / pivot[n, last]
            for i in range(last - 1, -1, -1):
                border[n, i] = -lift[n, i + 1] * border[n, i + 1]
            own_q[sl] += field.slat_shape[n] ** 2 * k.filling[n, last] - c * border[n, last]
    for s in range(own_q.shape[0]):
        own_q[s] = max(own_q[s], 1e-12)


@njit(cache=True)
def precondition(field, k, room, r, rq, z, zq):
    """z, zq = inverse of the columns with their slats, plus those of the fields, times r, rq."""
    nodes, levels = r.shape
    last = levels - 1
    pivot, lift, border, own_q = room.pivot, room.lift, room.border, room.own_q
    for s in range(rq.shape[0]):
        zq[s] = rq[s]
    for n in range(nodes):
        z[n, 0] = r[n, 0]
        for i in range(1, levels):
            z[n, i] = r[n, i] - lift[n, i] * z[n, i - 1]
        z[n, last] /= pivot[n, last]
        for i in range(last - 1, -1, -1):
            z[n, i] = z[n, i] / pivot[n, i] - lift[n, i + 1] * z[n, i + 1]
        sl = field.slat[n]
        if sl >= 0:
            zq[sl] += field.slat_shape[n] * k.filling[n, last] * z[n, last]
    for s in range(rq.shape[0]):
        zq[s] /= own_q[s]
    for n in range(nodes):
        sl = field.slat[n]
        if sl >= 0:
            for i in range(levels):
                z[n, i] -= border[n, i] * zq[sl]
    for f in range(field.lateral.shape[0]):
        if field.lateral[f] <= 0.0:
            continue
        for n in range(nodes):
            s = 0.0
            for i in range(field.moved[f]):
                s += r[n, i]
            room.y[n] = s
        sparse_solve(field.factor_starts, field.factor_rows, room.lower[f], room.inverse[f], room.y)
        for n in range(nodes):
            for i in range(field.moved[f]):
                z[n, i] += room.y[n]


@njit(cache=True)
def dot(a, b, aq, bq):
    s = 0.0
    for n in range(a.shape[0]):
        for i in range(a.shape[1]):
            s += a[n, i] * b[n, i]
    for j in range(aq.shape[0]):
        s += aq[j] * bq[j]
    return s


class Room(NamedTuple):
    """Working arrays of a solve, made once."""

    g: Array
    r: Array
    z: Array
    p: Array
    h: Array
    trial: Array
    pivot: Array
    lift: Array
    border: Array
    gq: Array
    rq: Array
    zq: Array
    pq: Array
    hq: Array
    xq: Array
    own_q: Array
    w: Array
    y: Array
    top_heads: Array
    low_heads: Array
    link: Array
    local: Array  # (F, N)
    lower: Array  # (F, filled)
    inverse: Array  # (F, N)
    pattern: Indices
    flag: Indices
    filled: Indices
    age: Indices  # (1,) below 0 while the fields have no factors


@njit(cache=True)
def conjugate(field, k, room, b, bq, x, xq, forcing):
    """Solves stiffness x = b to a residual of `forcing` times b; x starts as it is. Returns the steps taken."""
    times(field, k, x, xq, room.h, room.hq, room.w, room.y, room.top_heads, room.low_heads, room.link)
    for n in range(b.shape[0]):
        for i in range(b.shape[1]):
            room.r[n, i] = b[n, i] - room.h[n, i]
    for j in range(bq.shape[0]):
        room.rq[j] = bq[j] - room.hq[j]
    room.p[:] = 0.0  # what a failed solve left there would stay, were it no number
    room.pq[:] = 0.0
    target = forcing * forcing * dot(b, b, bq, bq)
    before = 1.0
    for step in range(MOST_CONJUGATE):
        if dot(room.r, room.r, room.rq, room.rq) <= target:
            return step
        precondition(field, k, room, room.r, room.rq, room.z, room.zq)
        now = dot(room.r, room.z, room.rq, room.zq)
        share = 0.0 if step == 0 else now / before
        before = now
        for n in range(b.shape[0]):
            for i in range(b.shape[1]):
                room.p[n, i] = room.z[n, i] + share * room.p[n, i]
        for j in range(bq.shape[0]):
            room.pq[j] = room.zq[j] + share * room.pq[j]
        times(field, k, room.p, room.pq, room.h, room.hq, room.w, room.y, room.top_heads, room.low_heads, room.link)
        length = now / dot(room.p, room.h, room.pq, room.hq)
        for n in range(b.shape[0]):
            for i in range(b.shape[1]):
                x[n, i] += length * room.p[n, i]
                room.r[n, i] -= length * room.h[n, i]
        for j in range(bq.shape[0]):
            xq[j] += length * room.pq[j]
            room.rq[j] -= length * room.hq[j]
    return MOST_CONJUGATE


@njit(cache=True)
def out_of_balance(g, gq):
    s = 0.0
    for n in range(g.shape[0]):
        for i in range(g.shape[1]):
            s += abs(g[n, i])
    for j in range(gq.shape[0]):
        s += abs(gq[j])
    return s


@njit(cache=True)
def equilibrium(field, u, q, depth, k, room, scale, tolerance, most):
    """Brings u, q to equilibrium under the pad at a depth [mm], in place.

    Settled when the sum of all out-of-balance forces is below tolerance x max(pad's force, scale). Returns force [N],
    residual [N], Newton steps, conjugate steps, whether settled.
    """
    step, step_q = np.zeros_like(u), np.zeros_like(q)
    pad = forces(field, u, q, depth, room.g, room.gq, k, room.top_heads, room.low_heads, room.link)
    bending(field, u, room.g, room.w, room.y)
    conjugates = 0
    last = 0
    slow = False
    residual = out_of_balance(room.g, room.gq)
    for newton in range(most):
        if residual <= tolerance * max(pad, scale):
            return pad, residual, newton, conjugates, True
        columns(field, k, room.pivot, room.lift, room.border, room.own_q)
        # factors of another contact can end the conjugate steps early, on a step that is no Newton step
        if room.age[0] < 0 or last > STALE or slow:
            fields_factorised(field, k, room)
            room.age[0] = 0
        step[:] = 0.0
        step_q[:] = 0.0
        for n in range(u.shape[0]):
            for i in range(u.shape[1]):
                room.trial[n, i] = -room.g[n, i]
        for j in range(q.shape[0]):
            room.xq[j] = -room.gq[j]
        last = conjugate(field, k, room, room.trial, room.xq, step, step_q, FORCING)
        conjugates += last
        slope = dot(room.g, step, room.gq, step_q)
        length = 1.0
        for _ in range(LINE_HALVINGS):
            for n in range(u.shape[0]):
                for i in range(u.shape[1]):
                    room.trial[n, i] = u[n, i] + length * step[n, i]
            for j in range(q.shape[0]):
                room.xq[j] = q[j] + length * step_q[j]
            pad = forces(
                field, room.trial, room.xq, depth, room.g, room.gq, k, room.top_heads, room.low_heads, room.link
            )
            bending(field, room.trial, room.g, room.w, room.y)
            now = dot(room.g, step, room.gq, step_q)
            if now <= 0.5 * abs(slope):
                break
            length *= max(0.2, min(0.7, slope / (slope - now)))
        u[:] = room.trial
        q[:] = room.xq
        before, residual = residual, out_of_balance(room.g, room.gq)
        slow = residual > 0.5 * before
    return pad, residual, most, conjugates, residual <= tolerance * max(pad, scale)
