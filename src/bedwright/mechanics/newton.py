"""One equilibrium of a bed, compiled: Newton's steps by conjugate gradients.

Every part of the energy is convex (all laws rise), so there is one equilibrium and a line search has one place to go.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from bedwright.mechanics.kernels import forces, times
from bedwright.mechanics.preparing import precondition, prepared

LINE_HALVINGS, MOST_CONJUGATE = 9, 600
FORCING = 0.05  # residual asked of a Newton step, as a share of what is out of balance
ENOUGH = 0.3  # of the residual asked of the equilibrium: no Newton step is worked out further
SLOW = 1.4  # times as many conjugate steps as with new factors
CHANGED = 8  # nodes in contact that call for new factors


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
