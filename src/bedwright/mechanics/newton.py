"""One equilibrium of a bed, compiled: Newton's steps by conjugate gradients, and what those are prepared with.

Every part of the energy is convex (all laws rise), so there is one equilibrium and a line search has one place to go.
The steps are prepared by a matrix whose inverse is exact for two things at once: every column of interfaces under its
node (with the slat under it), and the one movement along the columns that ties neighbours most (the bent fillings', or
the tension's). It is C^-1 - C^-1 V' (F + K^-1)^-1 V C^-1, with C the columns, V the movement, K what ties it, and F no
less than what the columns give along it, V C^-1 V'; so it stays positive.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from bedwright.mechanics.kernels import forces, sparse_solve, times

LINE_HALVINGS, MOST_CONJUGATE = 9, 600
FORCING = 0.05  # residual asked of a Newton step, as a share of what is out of balance
ENOUGH = 0.3  # of the residual asked of the equilibrium: no Newton step is worked out further
SLOW = 1.4  # times as many conjugate steps as with new factors
CHANGED = 8  # nodes in contact that call for new factors
LINKED = 0.25  # share of a coil's links that counts in the columns under its head


@njit(cache=True)
def factorised(laid, local, lower, inverse, y, pattern, flag, filled):
    """L and 1/D of K + diag(local), up-looking, into lower and inverse."""
    nodes = local.shape[0]
    for n in range(nodes):
        flag[n] = -1
        filled[n] = laid.factor_starts[n]
        y[n] = 0.0
    for n in range(nodes):
        top = nodes
        flag[n] = n
        own = local[n] + laid.own[n]
        for j in range(laid.starts[n], laid.starts[n + 1]):
            i = laid.others[j]
            if i < n:
                y[i] = laid.couplings[j]
                depth = 0
                while flag[i] != n:
                    pattern[depth] = i
                    depth += 1
                    flag[i] = n
                    i = laid.factor_parent[i]
                while depth > 0:
                    depth -= 1
                    top -= 1
                    pattern[top] = pattern[depth]
        for t in range(top, nodes):
            i = pattern[t]
            v = y[i]
            y[i] = 0.0
            end = filled[i]
            for j in range(laid.factor_starts[i], end):
                y[laid.factor_rows[j]] -= lower[j] * v
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
        stiffness, linked = room.coil[c], LINKED * laid.link_own[c]
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
    levels, nodes = room.g.shape
    columns(laid, room)
    tied = np.any(laid.along != 0.0)
    if tied:
        for i in range(levels):
            room.z[i, :] = laid.along[i]
        column_solve(room, room.z, room.answer)
        room.give[:] = 0.0
        for i in range(levels):
            for n in range(nodes):
                room.give[n] += laid.along[i] * room.answer[i, n]
        for s in range(room.own_q.shape[0]):
            room.xq[s] = 0.0
        if room.own_q.shape[0]:
            # slats tie the columns over them: their share in a row of the answers, summed, is no less than it
            last = levels - 1
            for n in range(nodes):
                if laid.slat[n] >= 0:
                    room.xq[laid.slat[n]] += abs(room.press[n] * room.answer[last, n])
            for n in range(nodes):
                sl = laid.slat[n]
                if sl >= 0:
                    room.give[n] += abs(room.press[n] * room.answer[last, n]) * room.xq[sl] / room.own_q[sl]
    if tied:
        for n in range(nodes):
            room.w[n] = 1.0 / room.give[n]
        factorised(laid, room.w, room.lower, room.inverse, room.y, room.pattern, room.flag, room.filled)


@njit(cache=True)
def precondition(laid, room, r, rq, z, zq):
    """z, zq = what the steps are prepared with, times r, rq."""
    levels, nodes = r.shape
    last = levels - 1
    slats = rq.shape[0]
    column_solve(room, r, z)
    if slats:
        slats_follow(laid, room, rq, z, zq)
    tied = np.any(laid.along != 0.0)
    w = room.y
    if tied:
        w[:] = 0.0
        for i in range(levels):
            along = laid.along[i]
            if along != 0.0:
                for n in range(nodes):
                    w[n] += along * z[i, n]
        for n in range(nodes):
            w[n] /= room.give[n]
            room.w[n] = w[n]
        sparse_solve(laid.factor_starts, laid.factor_rows, room.lower, room.inverse, w)
        for n in range(nodes):
            w[n] = room.w[n] - w[n] / room.give[n]
    if tied:
        for i in range(levels):
            for n in range(nodes):
                z[i, n] -= room.answer[i, n] * w[n]
        if slats:
            for s in range(slats):
                room.xq[s] = 0.0
            for n in range(nodes):
                if laid.slat[n] >= 0:
                    room.xq[laid.slat[n]] -= room.press[n] * room.answer[last, n] * w[n]
            for s in range(slats):
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


@njit(cache=True)
def dot(a, b):
    """Sum of products, in four lines that do not wait for each other."""
    a, b = a.reshape(-1), b.reshape(-1)
    count = a.shape[0]
    s = t = v = w = 0.0
    whole = count - count % 4
    for j in range(0, whole, 4):
        s += a[j] * b[j]
        t += a[j + 1] * b[j + 1]
        v += a[j + 2] * b[j + 2]
        w += a[j + 3] * b[j + 3]
    for j in range(whole, count):
        s += a[j] * b[j]
    return (s + t) + (v + w)


@njit(cache=True)
def summed(a):
    """Sum of what is there, whatever its sign."""
    a = a.reshape(-1)
    count = a.shape[0]
    s = t = v = w = 0.0
    whole = count - count % 4
    for j in range(0, whole, 4):
        s += abs(a[j])
        t += abs(a[j + 1])
        v += abs(a[j + 2])
        w += abs(a[j + 3])
    for j in range(whole, count):
        s += abs(a[j])
    return (s + t) + (v + w)


@njit(cache=True)
def moved(x, by, p):
    """x += by p."""
    a, b = x.reshape(-1), p.reshape(-1)
    for j in range(a.shape[0]):
        a[j] += by * b[j]


@njit(cache=True)
def turned(p, by, z):
    """p = z + by p."""
    a, b = p.reshape(-1), z.reshape(-1)
    for j in range(a.shape[0]):
        a[j] = b[j] + by * a[j]


@njit(cache=True)
def conjugate(laid, room, x, xq, target):
    """Solves stiffness x = room.r until the residual's norm is no more than target; x starts at 0.

    room.r, room.rq are used up. Returns the steps taken.
    """
    x[:] = 0.0
    xq[:] = 0.0
    room.p[:] = 0.0
    room.pq[:] = 0.0
    before = 1.0
    for step in range(MOST_CONJUGATE):
        if dot(room.r, room.r) + dot(room.rq, room.rq) <= target * target:
            return step
        precondition(laid, room, room.r, room.rq, room.z, room.zq)
        now = dot(room.r, room.z) + dot(room.rq, room.zq)
        share = 0.0 if step == 0 else now / before
        before = now
        turned(room.p, share, room.z)
        turned(room.pq, share, room.zq)
        times(laid, room, room.p, room.pq, room.h, room.hq)
        length = now / (dot(room.p, room.h) + dot(room.pq, room.hq))
        moved(x, length, room.p)
        moved(xq, length, room.pq)
        moved(room.r, -length, room.h)
        moved(room.rq, -length, room.hq)
    return MOST_CONJUGATE


@njit(cache=True)
def touching(laid, room):
    """Nodes the pad touches."""
    count = 0
    for n in range(room.top.shape[0]):
        if room.top[n] >= laid.touch[n] * laid.skin > 0.0:
            count += 1
    return count


@njit(cache=True)
def equilibrium(laid, room, u, q, depth, scale, tolerance, most):
    """Brings u (M, N), q (S,) to equilibrium under the pad at a depth [mm], in place.

    Settled when the sum of all out-of-balance forces is below tolerance x max(pad's force, scale). Returns force [N],
    residual [N], Newton steps, conjugate steps, whether settled.
    """
    step, step_q = np.empty_like(u), np.empty_like(q)
    trial, trial_q = room.trial, np.empty_like(q)
    pad = forces(laid, u, q, depth, room)
    conjugates = 0
    residual = summed(room.g) + summed(room.gq)
    for newton in range(most):
        asked = tolerance * max(pad, scale)
        if residual <= asked:
            return pad, residual, newton, conjugates, True
        contact = touching(laid, room)
        if room.state[0] == 0 or abs(contact - room.state[2]) > CHANGED:
            prepared(laid, room)
            room.state[0] = 1
            room.state[1] = 0
            room.state[2] = contact
        norm = np.sqrt(dot(room.g, room.g) + dot(room.gq, room.gq))
        target = norm * max(FORCING, min(0.5, ENOUGH * asked / residual))
        room.r[:] = 0.0
        room.rq[:] = 0.0
        moved(room.r, -1.0, room.g)
        moved(room.rq, -1.0, room.gq)
        took = conjugate(laid, room, step, step_q, target)
        conjugates += took
        if room.state[1] == 0:
            room.state[1] = max(took, 5)
        elif took > SLOW * room.state[1]:
            room.state[0] = 0
        slope = dot(room.g, step) + dot(room.gq, step_q)
        length = 1.0
        for _ in range(LINE_HALVINGS):
            trial[:] = u
            trial_q[:] = q
            moved(trial, length, step)
            moved(trial_q, length, step_q)
            pad = forces(laid, trial, trial_q, depth, room)
            now = dot(room.g, step) + dot(room.gq, step_q)
            if now <= 0.5 * abs(slope):
                break
            length *= max(0.2, min(0.7, slope / (slope - now)))
        u[:] = trial
        q[:] = trial_q
        residual = summed(room.g) + summed(room.gq)
    return pad, residual, most, conjugates, residual <= tolerance * max(pad, scale)
