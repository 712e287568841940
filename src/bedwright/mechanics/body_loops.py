"""Bodies on a bed, compiled: the equilibrium as under a pad, with heights of the bodies' joints among what is sought.

A body touches through soft tissue: pressure E e / (1 - e) at a share e of its thickness pressed in, straight beyond
SOFT. Its lowest surface at a point hangs on a few heights w (joints of a chain, roll, limbs), linearly; on them stand
its weight and the stiffness of its joints. All of it is convex, so there is one equilibrium; but for the weight of a
person on the back, which turns it further once it is turned: at an edge nothing may hold it, and then there is none.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from bedwright.mechanics.kernels import Array, forces, times
from bedwright.mechanics.laid import Places
from bedwright.mechanics.newton import CHANGED, ENOUGH, FORCING, SLOW, dot, moved, summed, turned
from bedwright.mechanics.preparing import column_solve, precondition, prepared

SOFT = 0.85  # share of the tissue pressed in from which its law goes straight on
LINE_HALVINGS, MOST_CONJUGATE = 12, 900
LINE_ENOUGH = 0.3  # share of the slope along a step that may be left, either way, where the step is cut short
LINE_LEAST, LINE_MOST = 0.1, 0.7  # of what is left between a length too short and one too long


class Bodies(NamedTuple):
    """Bodies over a mesh. n contacts, K heights.

    nodes: of the mesh; touch: area [mm2]; rise [mm]: of the surface above where the heights are told from; thickness
    [mm] and modulus [N/mm2] of what is soft there; starts, heights, shares: how the surface hangs on the heights, in
    compressed rows; weight (K,) [N]; joints (K, K) [N/mm].
    """

    nodes: Places
    touch: Array
    rise: Array
    thickness: Array
    modulus: Array
    starts: Places
    heights: Places
    shares: Array
    weight: Array
    joints: Array


class BodyRoom(NamedTuple):
    """Working arrays: out-of-balance, residual, prepared, direction, product, each (K,); trial; contact stiffness (n,);
    coarse (K, K): inverse of the heights' own system; answer (M, N): a column's movement under a force on its top."""

    g: Array
    r: Array
    z: Array
    p: Array
    h: Array
    trial: Array
    stiff: Array
    coarse: Array
    answer: Array
    felt: Array  # (N,)
    held: Array  # (n,) contact stiffness when prepared
    state: NDArray[np.int32]


def body_room(bodies: Bodies, levels: int, nodes: int) -> BodyRoom:
    """Working arrays for bodies on a bed of so many interfaces and nodes."""
    K, n = len(bodies.weight), len(bodies.nodes)
    return BodyRoom(
        g=np.zeros(K), r=np.zeros(K), z=np.zeros(K), p=np.zeros(K), h=np.zeros(K), trial=np.zeros(K), stiff=np.zeros(n),
        coarse=np.zeros((K, K)), answer=np.zeros((levels, nodes)), felt=np.zeros(nodes), held=np.zeros(n),
        state=np.zeros(2, np.int32),
    )  # fmt: skip


@njit(cache=True)
def tissue(e, modulus):
    """Pressure [as modulus] of tissue at a share e pressed in, and its slope over e."""
    if e <= 0.0:
        return 0.0, 0.0
    if e < SOFT:
        return modulus * e / (1.0 - e), modulus / (1.0 - e) ** 2
    slope = modulus / (1.0 - SOFT) ** 2
    return modulus * SOFT / (1.0 - SOFT) + slope * (e - SOFT), slope


@njit(cache=True)
def body_forces(laid, room, bodies, body, u, q, w):
    """Out-of-balance forces of bed and bodies, and tangent stiffness; returns what the bed carries [N]."""
    forces(laid, u, q, 0.0, room)
    K = w.shape[0]
    for k in range(K):
        s = -bodies.weight[k]
        for j in range(K):
            s += bodies.joints[k, j] * w[j]
        body.g[k] = s
    carried = 0.0
    for i in range(bodies.nodes.shape[0]):
        n = bodies.nodes[i]
        down = -bodies.rise[i] - u[0, n]
        for j in range(bodies.starts[i], bodies.starts[i + 1]):
            down += bodies.shares[j] * w[bodies.heights[j]]
        body.stiff[i] = 0.0
        if down > 0.0:
            p, slope = tissue(down / bodies.thickness[i], bodies.modulus[i])
            f = bodies.touch[i] * p
            k = bodies.touch[i] * slope / bodies.thickness[i]
            carried += f
            room.g[0, n] -= f
            room.top[n] += k
            body.stiff[i] = k
            for j in range(bodies.starts[i], bodies.starts[i + 1]):
                body.g[bodies.heights[j]] += bodies.shares[j] * f
    return carried


@njit(cache=True)
def body_times(laid, room, bodies, body, p, pq, pw, out, outq, outw):
    """Tangent stiffness times p, pq, pw."""
    times(laid, room, p, pq, out, outq)
    K = pw.shape[0]
    for k in range(K):
        s = 0.0
        for j in range(K):
            s += bodies.joints[k, j] * pw[j]
        outw[k] = s
    for i in range(bodies.nodes.shape[0]):
        k = body.stiff[i]
        if k == 0.0:
            continue
        n = bodies.nodes[i]
        d = 0.0
        for j in range(bodies.starts[i], bodies.starts[i + 1]):
            d += bodies.shares[j] * pw[bodies.heights[j]]
        out[0, n] -= k * d
        f = k * (d - p[0, n])
        for j in range(bodies.starts[i], bodies.starts[i + 1]):
            outw[bodies.heights[j]] += bodies.shares[j] * f


@njit(cache=True)
def bodies_prepared(laid, room, bodies, body):
    """Factors of the bed, and of the bodies' heights over columns that give way."""
    prepared(laid, room)
    room.z[:] = 0.0
    room.z[0, :] = 1.0
    column_solve(room, room.z, body.answer)
    K = bodies.weight.shape[0]
    system = bodies.joints.copy()
    for k in range(K):
        system[k, k] += 1e-6
    for i in range(bodies.nodes.shape[0]):
        k = body.stiff[i]
        body.held[i] = k
        if k == 0.0:
            continue
        k = max(k - k * k * body.answer[0, bodies.nodes[i]], 0.0)
        for a in range(bodies.starts[i], bodies.starts[i + 1]):
            for b in range(bodies.starts[i], bodies.starts[i + 1]):
                system[bodies.heights[a], bodies.heights[b]] += k * bodies.shares[a] * bodies.shares[b]
    body.coarse[:] = np.linalg.inv(system)


@njit(cache=True)
def bodies_precondition(laid, room, bodies, body, z, zq, zw):
    """What room.r, room.rq, body.r come to by the factors: columns and heights solved together, then the bed's ties."""
    levels, nodes = z.shape
    felt = body.felt
    felt[:] = 0.0
    for m in range(levels):
        for n in range(nodes):
            felt[n] += body.answer[m, n] * room.r[m, n]
    K = zw.shape[0]
    right = body.trial
    right[:] = body.r
    for i in range(bodies.nodes.shape[0]):
        k = body.held[i]
        if k != 0.0:
            f = k * felt[bodies.nodes[i]]
            for j in range(bodies.starts[i], bodies.starts[i + 1]):
                right[bodies.heights[j]] += bodies.shares[j] * f
    for k in range(K):
        s = 0.0
        for j in range(K):
            s += body.coarse[k, j] * right[j]
        zw[k] = s
    precondition(laid, room, room.r, room.rq, z, zq)
    felt[:] = 0.0
    for i in range(bodies.nodes.shape[0]):
        k = body.held[i]
        if k != 0.0:
            d = 0.0
            for j in range(bodies.starts[i], bodies.starts[i + 1]):
                d += bodies.shares[j] * zw[bodies.heights[j]]
            felt[bodies.nodes[i]] += k * d
    for m in range(levels):
        for n in range(nodes):
            z[m, n] += body.answer[m, n] * felt[n]


@njit(cache=True)
def bodies_conjugate(laid, room, bodies, body, x, xq, xw, target):
    """Solves stiffness x = residual in room.r, room.rq, body.r, which are used up; returns the steps taken."""
    x[:] = 0.0
    xq[:] = 0.0
    xw[:] = 0.0
    room.p[:] = 0.0
    room.pq[:] = 0.0
    body.p[:] = 0.0
    before = 1.0
    for step in range(MOST_CONJUGATE):
        if dot(room.r, room.r) + dot(room.rq, room.rq) + dot(body.r, body.r) <= target * target:
            return step
        bodies_precondition(laid, room, bodies, body, room.z, room.zq, body.z)
        now = dot(room.r, room.z) + dot(room.rq, room.zq) + dot(body.r, body.z)
        share = 0.0 if step == 0 else now / before
        before = now
        turned(room.p, share, room.z)
        turned(room.pq, share, room.zq)
        turned(body.p, share, body.z)
        body_times(laid, room, bodies, body, room.p, room.pq, body.p, room.h, room.hq, body.h)
        length = now / (dot(room.p, room.h) + dot(room.pq, room.hq) + dot(body.p, body.h))
        moved(x, length, room.p)
        moved(xq, length, room.pq)
        moved(xw, length, body.p)
        moved(room.r, -length, room.h)
        moved(room.rq, -length, room.hq)
        moved(body.r, -length, body.h)
    return MOST_CONJUGATE


@njit(cache=True)
def touched(body):
    """Contacts that carry."""
    count = 0
    for i in range(body.stiff.shape[0]):
        if body.stiff[i] > 0.0:
            count += 1
    return count


@njit(cache=True)
def bodies_settle(laid, room, bodies, body, u, q, w, weight, tolerance, most):
    """Brings u (M, N), q (S,), w (K,) to equilibrium under the bodies' weight, in place.

    Settled when all out-of-balance forces sum to less than tolerance x weight [N]. Returns what is carried [N],
    residual [N], Newton steps, conjugate steps, whether settled. Fewer steps than `most` without settling: the next
    step went uphill, for there what holds a person on the back from rolling is less than what turns it.
    """
    step, step_q, step_w = np.empty_like(u), np.empty_like(q), np.empty_like(w)
    trial, trial_q, trial_w = room.trial, np.empty_like(q), np.empty_like(w)
    carried = body_forces(laid, room, bodies, body, u, q, w)
    conjugates = 0
    asked = tolerance * weight
    residual = summed(room.g) + summed(room.gq) + summed(body.g)
    for newton in range(most):
        if residual <= asked:
            return carried, residual, newton, conjugates, True
        contact = touched(body)
        if body.state[0] == 0 or abs(contact - body.state[1]) > CHANGED:
            bodies_prepared(laid, room, bodies, body)
            body.state[0] = 1
            body.state[1] = contact
            room.state[1] = 0
        norm = np.sqrt(dot(room.g, room.g) + dot(room.gq, room.gq) + dot(body.g, body.g))
        target = norm * max(FORCING, min(0.5, ENOUGH * asked / residual))
        room.r[:] = 0.0
        room.rq[:] = 0.0
        body.r[:] = 0.0
        moved(room.r, -1.0, room.g)
        moved(room.rq, -1.0, room.gq)
        moved(body.r, -1.0, body.g)
        took = bodies_conjugate(laid, room, bodies, body, step, step_q, step_w, target)
        conjugates += took
        if room.state[1] == 0:
            room.state[1] = max(took, 5)
        elif took > SLOW * room.state[1]:
            body.state[0] = 0
        slope = dot(room.g, step) + dot(room.gq, step_q) + dot(body.g, step_w)
        if not slope < 0.0:
            return carried, residual, newton, conjugates, False
        length, low, low_slope, high, high_slope = 1.0, 0.0, slope, 0.0, 0.0
        for _ in range(LINE_HALVINGS):
            trial[:] = u
            trial_q[:] = q
            trial_w[:] = w
            moved(trial, length, step)
            moved(trial_q, length, step_q)
            moved(trial_w, length, step_w)
            carried = body_forces(laid, room, bodies, body, trial, trial_q, trial_w)
            now = dot(room.g, step) + dot(room.gq, step_q) + dot(body.g, step_w)
            if now <= LINE_ENOUGH * abs(slope) and (length == 1.0 or now >= LINE_ENOUGH * slope):
                break
            if now > 0.0:
                high, high_slope = length, now
            else:
                low, low_slope = length, now
            length = low + (high - low) * max(LINE_LEAST, min(LINE_MOST, low_slope / (low_slope - high_slope)))
        u[:] = trial
        q[:] = trial_q
        w[:] = trial_w
        residual = summed(room.g) + summed(room.gq) + summed(body.g)
    return carried, residual, most, conjugates, residual <= asked
