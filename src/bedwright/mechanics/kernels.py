"""The loops of the bed's solver, compiled: what its parts push with, and how stiff they are.

Arrays of fields are laid out interface after interface, (M, N), so that a loop over the nodes of one interface reads
and writes in a row; indices have no sign, which spares a look at every one of them whether it counts from the end.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.int32]


class Field(NamedTuple):
    """A bed as arrays. N nodes, M interfaces from the top face down, C coils, B bent stacks, J ties, S slats.

    Unit N, mm. Gap g lies between interfaces g and g + 1; the last one between the lowest interface and the ground.
    """

    # mesh
    x: Array  # (N,)
    y: Array  # (N,)
    area: Array  # (N,)
    starts: Indices
    others: Indices
    couplings: Array
    own: Array
    factor_starts: Indices  # (N + 1,) columns of L below its diagonal, for any matrix of the mesh's pattern
    factor_rows: Indices
    # what pulls in the plane
    tension: Array  # (M,) [N/mm]
    # stacks that bend: m = K (share . u) + A (squeeze . u), y = D (A + D/S K)^-1 m, forces share K y + squeeze A y
    bend_share: Array  # (B, M)
    bend_squeeze: Array  # (B, M) [1/mm2]
    bend_stiffness: Array  # (B,) D [N mm]
    bend_ratio: Array  # (B,) D/S [mm2]
    bend_starts: Indices  # (B, N + 1) columns of L below its diagonal of 1, A + D/S K = L D L'
    bend_rows: Indices
    bend_lower: Array
    bend_inverse: Array  # (B, N) 1/D of that factor
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
    i = np.uint32(at)
    f = at - i
    y0, m0, y1, m1 = table[i, 0], table[i, 1], table[i + np.uint32(1), 0], table[i + np.uint32(1), 1]
    a = 2.0 * (y0 - y1) + m0 + m1
    b = 3.0 * (y1 - y0) - 2.0 * m0 - m1
    return ((a * f + b) * f + m0) * f + y0, (3.0 * a * f + 2.0 * b) * f + m0


@njit(cache=True)
def laplace(laid, w, out):
    """out = K w."""
    for n in range(w.shape[0]):
        s = laid.own[n] * w[n]
        for j in range(laid.starts[n], laid.starts[n + 1]):
            s += laid.couplings[j] * w[laid.others[j]]
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
def bending(laid, u, out, w, y):
    """Adds the forces of bent stacks to out."""
    levels, nodes = u.shape
    for b in range(laid.bend_stiffness.shape[0]):
        w[:] = 0.0
        for i in range(levels):
            share = laid.bend_share[b, i]
            if share != 0.0:
                for n in range(nodes):
                    w[n] += share * u[i, n]
        laplace(laid, w, y)
        if laid.bend_squeezed[b]:
            for i in range(levels):
                squeeze = laid.bend_squeeze[b, i]
                if squeeze != 0.0:
                    for n in range(nodes):
                        y[n] += laid.area[n] * squeeze * u[i, n]
        sparse_solve(laid.bend_starts[b], laid.bend_rows, laid.bend_lower, laid.bend_inverse[b], y)
        laplace(laid, y, w)
        D = laid.bend_stiffness[b]
        for i in range(levels):
            share = D * laid.bend_share[b, i]
            if share != 0.0:
                for n in range(nodes):
                    out[i, n] += share * w[n]
        if laid.bend_squeezed[b]:
            for i in range(levels):
                squeeze = D * laid.bend_squeeze[b, i]
                if squeeze != 0.0:
                    for n in range(nodes):
                        out[i, n] += squeeze * laid.area[n] * y[n]


@njit(cache=True)
def in_plane(laid, u, out):
    """Adds the forces of tensions to out."""
    levels, nodes = u.shape
    for i in range(levels):
        T = laid.tension[i]
        if T != 0.0:
            for n in range(nodes):
                s = laid.own[n] * u[i, n]
                for j in range(laid.starts[n], laid.starts[n + 1]):
                    s += laid.couplings[j] * u[i, laid.others[j]]
                out[i, n] += T * s


@njit(cache=True)
def means(laid, u, level_of, heads):
    """heads[c] = mean of an interface over the head of coil c; level_of shifts from the coil's gap."""
    levels = u.shape[0]
    for c in range(heads.shape[0]):
        i = laid.coil_gap[c] + level_of
        s = 0.0
        if i < levels:
            for j in range(laid.coil_starts[c], laid.coil_starts[c + 1]):
                s += laid.coil_shares[j] * u[i, laid.coil_nodes[j]]
        heads[c] = s


@njit(cache=True)
def link_forces(laid, heads, out):
    """out = (graph of links) heads."""
    for c in range(heads.shape[0]):
        s = laid.link_own[c] * heads[c]
        for j in range(laid.link_starts[c], laid.link_starts[c + 1]):
            s += laid.link_couplings[j] * heads[laid.link_others[j]]
        out[c] = s


@njit(cache=True)
def spread(laid, forces, level_of, out):
    """Adds coil forces to the nodes of their heads on an interface."""
    levels = out.shape[0]
    for c in range(forces.shape[0]):
        i = laid.coil_gap[c] + level_of
        if i < levels:
            f = forces[c]
            for j in range(laid.coil_starts[c], laid.coil_starts[c + 1]):
                out[i, laid.coil_nodes[j]] += laid.coil_shares[j] * f


@njit(cache=True)
def fillings(laid, u, q, g, gq, stiffness):
    """Adds the forces of fillings to g, gq; fills their stiffness."""
    levels, nodes = u.shape
    last = levels - 1
    knots = laid.back.shape[1] - 1
    for i in range(levels):
        if not laid.filled[i]:
            stiffness[i, :] = 0.0
            continue
        thickness = laid.thickness[i]
        law, back = laid.law[i], laid.back[i]
        for n in range(nodes):
            cover = laid.cover[i, n]
            if cover == 0.0:
                stiffness[i, n] = 0.0
                continue
            below = 0.0
            sl = -1
            if i < last:
                below = u[i + 1, n]
            else:
                sl = laid.slat[n]
                if sl >= 0:
                    below = laid.slat_shape[n] * q[sl]
            e = (u[i, n] - below) / thickness
            stress, slope = look_up(law, e / laid.law_step)
            slope /= laid.law_step
            if laid.returning:
                most = laid.greatest[i, n]
                if most > 0.0 and 0.0 < e < most:
                    share, rise = look_up(back, e / most * knots)
                    slope = slope * share + stress * rise * knots / most
                    stress *= share
            f = cover * stress
            stiffness[i, n] = cover * slope / thickness
            g[i, n] += f
            if i < last:
                g[i + 1, n] -= f
            elif sl >= 0:
                gq[sl] -= laid.slat_shape[n] * f


@njit(cache=True)
def forces(laid, u, q, depth, room):
    """Out-of-balance forces room.g (M, N) and room.gq (S,), and tangent stiffness; returns the pad's force [N]."""
    nodes = u.shape[1]
    coils = laid.coil_gap.shape[0]
    g, gq = room.g, room.gq
    g[:] = 0.0
    pad = 0.0
    for n in range(nodes):
        s = 0.0
        stiffness = 0.0
        pressed = depth - laid.face[n] - u[0, n]
        if pressed > 0.0 and laid.touch[n] > 0.0:
            p = laid.touch[n] * laid.skin * pressed
            pad += p
            s = -p
            stiffness = laid.touch[n] * laid.skin
        rim = laid.rim_push[n] if u[0, n] > 0.0 else laid.rim_pull[n]
        g[0, n] = s + rim * u[0, n]
        room.top[n] = stiffness + rim
    for s in range(q.shape[0]):
        gq[s] = laid.slat_stiffness[s] * q[s]
    fillings(laid, u, q, g, gq, room.filling)
    in_plane(laid, u, g)
    if coils:
        top, low, link = room.top_heads, room.low_heads, room.link
        means(laid, u, 0, top)
        if laid.low_heads:
            means(laid, u, 1, low)
        else:
            low[:] = 0.0
        if laid.linked:
            link_forces(laid, top, link)
        else:
            link[:] = 0.0
        for c in range(coils):
            at = (top[c] - low[c] - laid.coil_first) / laid.coil_step
            force, slope = look_up(laid.coil_law[laid.coil_kind[c]], at)
            room.coil[c] = slope / laid.coil_step
            top[c] = force
            link[c] += force
        spread(laid, link, 0, g)
        if laid.low_heads:
            if laid.linked:
                link_forces(laid, low, link)
            else:
                link[:] = 0.0
            for c in range(coils):
                link[c] -= top[c]
            spread(laid, link, 1, g)
    for t in range(laid.tie_down.shape[0]):
        s = 0.0
        for j in range(laid.tie_starts[t], laid.tie_starts[t + 1]):
            s += laid.tie_shares[j] * u[0, laid.tie_nodes[j]]
        short = laid.tie_down[t] - s
        room.tie[t] = 0.0
        if short > 0.0:
            room.tie[t] = laid.tie_stiffness[t]
            for j in range(laid.tie_starts[t], laid.tie_starts[t + 1]):
                g[0, laid.tie_nodes[j]] -= laid.tie_shares[j] * laid.tie_stiffness[t] * short
    bending(laid, u, g, room.w, room.y)
    return pad


@njit(cache=True)
def times(laid, room, p, pq, out, outq):
    """out, outq = tangent stiffness times p, pq."""
    levels, nodes = p.shape
    last = levels - 1
    for s in range(pq.shape[0]):
        outq[s] = laid.slat_stiffness[s] * pq[s]
    for n in range(nodes):
        out[0, n] = room.top[n] * p[0, n]
    for i in range(last):
        if laid.filled[i]:
            for n in range(nodes):
                f = room.filling[i, n] * (p[i, n] - p[i + 1, n])
                out[i, n] += f
                out[i + 1, n] = -f
        else:
            out[i + 1, :] = 0.0
    if laid.filled[last]:
        if pq.shape[0]:
            for n in range(nodes):
                sl = laid.slat[n]
                if sl >= 0:
                    f = room.filling[last, n] * (p[last, n] - laid.slat_shape[n] * pq[sl])
                    outq[sl] -= laid.slat_shape[n] * f
                else:
                    f = room.filling[last, n] * p[last, n]
                out[last, n] += f
        else:
            for n in range(nodes):
                out[last, n] += room.filling[last, n] * p[last, n]
    in_plane(laid, p, out)
    bending(laid, p, out, room.w, room.y)
    coils = laid.coil_gap.shape[0]
    if coils:
        top, low, link = room.top_heads, room.low_heads, room.link
        means(laid, p, 0, top)
        if laid.low_heads:
            means(laid, p, 1, low)
        else:
            low[:] = 0.0
        if laid.linked:
            link_forces(laid, top, link)
        else:
            link[:] = 0.0
        for c in range(coils):
            f = room.coil[c] * (top[c] - low[c])
            link[c] += f
            top[c] = f
        spread(laid, link, 0, out)
        if laid.low_heads:
            if laid.linked:
                link_forces(laid, low, link)
            else:
                link[:] = 0.0
            for c in range(coils):
                link[c] -= top[c]
            spread(laid, link, 1, out)
    for t in range(laid.tie_down.shape[0]):
        if room.tie[t] > 0.0:
            s = 0.0
            for j in range(laid.tie_starts[t], laid.tie_starts[t + 1]):
                s += laid.tie_shares[j] * p[0, laid.tie_nodes[j]]
            for j in range(laid.tie_starts[t], laid.tie_starts[t + 1]):
                out[0, laid.tie_nodes[j]] += laid.tie_shares[j] * room.tie[t] * s
