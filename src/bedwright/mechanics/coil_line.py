"""The loops behind `coil_path`, compiled: the wire as one elastic line, followed down with all that it touches.

From the lower end the line is put together piece by piece: the pull and moment in it turn each piece against its
natural curvature (Kirchhoff's rod, book `love-helix`; no stretch, no shear). Unknown are pull and moment at the lower
end and the push of every touch; known are the upper end, which only comes down, and that no touch is passed.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

Array = NDArray[np.float64]

FAR = 1e3  # residual [mm] at which Newton's method is lost
SLOW = 0.3  # a step that leaves more than this share of the residual asks for a new Jacobian
AT_ONCE = 6  # rounds in which all touches change that want to; after that one at a time, so that it cannot go round


class Line(NamedTuple):
    """A wire of P pieces, held at its lower end: length [mm], natural curvature in its own frame [1/mm], frame, place.

    bend, twist: what bending and torsion give way by [1/(N mm2)].
    """

    length: Array  # (P,)
    natural: Array  # (P, 3)
    frame: Array  # (3, 3)
    start: Array  # (3,)
    bend: float
    twist: float


class Held(NamedTuple):
    """The upper end, free: frame and place [mm]; size [mm]: lever by which a missed turn counts as a length."""

    frame: Array  # (3, 3)
    place: Array  # (3,)
    size: float


class Touches(NamedTuple):
    """C possible touches, each of up to four nodes: gap = upper x height of the end + weights x heights - least.

    A push opens its gap by the same weights. seat: 1 for the lower seat, which carries its pushes.
    """

    node: NDArray[np.int64]  # (C, 4)
    weight: Array  # (C, 4)
    least: Array  # (C,) [mm]
    upper: Array  # (C,) 1 for the upper seat
    seat: Array  # (C,)


class Tries(NamedTuple):
    """tolerance [mm]; give of a touch [mm/N]; trial force [N], moment [N mm]; most Newton steps, rounds; least step.

    bowed: share of the slope at the start below which a coil that nothing touches yet has bowed out.
    """

    tolerance: float
    give: float
    force: float
    moment: float
    steps: int
    rounds: int
    least: float
    bowed: float


@njit(cache=True)
def rotate(v, out):
    """out = exp of the cross product with v."""
    a2 = v[0] * v[0] + v[1] * v[1] + v[2] * v[2]
    if a2 < 1e-8:
        s = 1.0 - a2 / 6.0
        c = 0.5 - a2 / 24.0
    else:
        a = np.sqrt(a2)
        s = np.sin(a) / a
        c = (1.0 - np.cos(a)) / a2
    x, y, z = v[0], v[1], v[2]
    out[0, 0] = 1.0 - c * (y * y + z * z)
    out[0, 1] = c * x * y - s * z
    out[0, 2] = c * x * z + s * y
    out[1, 0] = c * x * y + s * z
    out[1, 1] = 1.0 - c * (x * x + z * z)
    out[1, 2] = c * y * z - s * x
    out[2, 0] = c * x * z - s * y
    out[2, 1] = c * y * z + s * x
    out[2, 2] = 1.0 - c * (x * x + y * y)


@njit(cache=True)
def times(A, B, out):
    """out = A B, of 3 x 3."""
    for i in range(3):
        for j in range(3):
            out[i, j] = A[i, 0] * B[0, j] + A[i, 1] * B[1, j] + A[i, 2] * B[2, j]


@njit(cache=True)
def put_together(line, wrench, lift, places, R):
    """Places of the line (nodes, 3) and the frame R at its upper end, from the wrench at its lower end.

    lift: push up [N] at every node. Midpoint rule: the frame in the middle of a piece turns the whole of it.
    """
    length, natural = line.length, line.natural
    r, n, m = np.empty(3), np.empty(3), np.empty(3)
    half, middle, moment, turn = np.empty(3), np.empty(3), np.empty(3), np.empty(3)
    E, Rm, T = np.empty((3, 3)), np.empty((3, 3)), np.empty((3, 3))
    for i in range(3):
        r[i], n[i], m[i] = line.start[i], wrench[i], wrench[3 + i]
        places[0, i] = r[i]
        for j in range(3):
            R[i, j] = line.frame[i, j]
    for e in range(len(length)):
        h = length[e]
        n[2] -= lift[e]
        for j in range(3):
            along = R[0, j] * m[0] + R[1, j] * m[1] + R[2, j] * m[2]
            turn[j] = (natural[e, j] + along * (line.bend if j < 2 else line.twist)) * 0.5 * h
        rotate(turn, E)
        times(R, E, Rm)
        for i in range(3):
            half[i] = 0.25 * h * (R[i, 2] + Rm[i, 2])
        moment[0] = m[0] - (half[1] * n[2] - half[2] * n[1])
        moment[1] = m[1] - (half[2] * n[0] - half[0] * n[2])
        moment[2] = m[2] - (half[0] * n[1] - half[1] * n[0])
        for j in range(3):
            along = Rm[0, j] * moment[0] + Rm[1, j] * moment[1] + Rm[2, j] * moment[2]
            turn[j] = (natural[e, j] + along * (line.bend if j < 2 else line.twist)) * h
        rotate(turn, E)
        for i in range(3):
            middle[i] = h * Rm[i, 2]
        m[0] -= middle[1] * n[2] - middle[2] * n[1]
        m[1] -= middle[2] * n[0] - middle[0] * n[2]
        m[2] -= middle[0] * n[1] - middle[1] * n[0]
        times(R, E, T)
        for i in range(3):
            r[i] += middle[i]
            places[e + 1, i] = r[i]
            for j in range(3):
                R[i, j] = T[i, j]


@njit(cache=True)
def missed(places, R, held, at, out):
    """How far the upper end misses place [mm] and frame [as lengths: turn x size] that it is held in."""
    frame, size = held.frame, held.size
    for i in range(3):
        out[i] = places[-1, i] - at[i]
    a = b = c = 0.0
    for k in range(3):
        a += R[2, k] * frame[1, k] - R[1, k] * frame[2, k]
        b += R[0, k] * frame[2, k] - R[2, k] * frame[0, k]
        c += R[1, k] * frame[0, k] - R[0, k] * frame[1, k]
    out[3], out[4], out[5] = 0.5 * a * size, 0.5 * b * size, 0.5 * c * size


@njit(cache=True)
def gaps(touch, places, top, out):
    """Gap [mm] of every touch, with the upper seat at `top` [mm]."""
    for c in range(len(touch.least)):
        gap = touch.upper[c] * top - touch.least[c]
        for q in range(4):
            gap += touch.weight[c, q] * places[touch.node[c, q], 2]
        out[c] = gap


@njit(cache=True)
def lifts(touch, push, out):
    """Push up at every node [N] from the pushes of the touches."""
    out[:] = 0.0
    for c in range(len(push)):
        if push[c] != 0.0:
            for q in range(4):
                out[touch.node[c, q]] += touch.weight[c, q] * push[c]


@njit(cache=True)
def eliminate(J, x, size):
    """x = J^-1 x of the first size rows, by elimination with the largest pivot; J is spoilt. False where singular."""
    for k in range(size):
        pivot = k
        for i in range(k + 1, size):
            if abs(J[i, k]) > abs(J[pivot, k]):
                pivot = i
        if J[pivot, k] == 0.0:
            return False
        if pivot != k:
            for j in range(k, size):
                J[k, j], J[pivot, j] = J[pivot, j], J[k, j]
            x[k], x[pivot] = x[pivot], x[k]
        for i in range(k + 1, size):
            part = J[i, k] / J[k, k]
            if part != 0.0:
                for j in range(k + 1, size):
                    J[i, j] -= part * J[k, j]
                x[i] -= part * x[k]
    for k in range(size - 1, -1, -1):
        for j in range(k + 1, size):
            x[k] -= J[k, j] * x[j]
        x[k] /= J[k, k]
    return True


@njit(cache=True)
def settle(line, held, touch, way, tries, state, work):
    """The balance at a way down: whether it was found; state and the gaps in work are then those of it.

    state: wrench (6,), push (touches,), on (touches,); all are changed. Second: residual [mm].
    """
    wrench, push, on = state
    tolerance, give = tries.tolerance, tries.give
    places, R, trial, trial_R, lift, trial_lift, gap, trial_gap, miss, trial_miss, which, J, spoilt, step = work
    at = held.place.copy()
    at[2] -= way
    count = len(push)
    residual = 0.0
    for rounds in range(tries.rounds):
        size = 6
        for c in range(count):
            if on[c]:
                which[size - 6] = c
                size += 1
        known, found, best = False, False, 1e300
        for _ in range(tries.steps):
            lifts(touch, push, lift)
            put_together(line, wrench, lift, places, R)
            missed(places, R, held, at, miss)
            gaps(touch, places, at[2], gap)
            residual = 0.0
            for i in range(size):
                step[i] = -miss[i] if i < 6 else -(gap[which[i - 6]] + give * push[which[i - 6]])
                residual = max(residual, abs(step[i]))
            if residual < tolerance:
                found = True
                break
            if not residual < FAR:
                return False, residual
            if not known or residual > SLOW * best:
                for j in range(size):
                    by = tries.moment if 3 <= j < 6 else tries.force
                    for i in range(len(lift)):
                        trial_lift[i] = lift[i]
                    if j < 6:
                        wrench[j] += by
                    else:
                        for q in range(4):
                            trial_lift[touch.node[which[j - 6], q]] += touch.weight[which[j - 6], q] * by
                    put_together(line, wrench, trial_lift, trial, trial_R)
                    if j < 6:
                        wrench[j] -= by
                    missed(trial, trial_R, held, at, trial_miss)
                    gaps(touch, trial, at[2], trial_gap)
                    for i in range(6):
                        J[i, j] = (trial_miss[i] - miss[i]) / by
                    for i in range(6, size):
                        J[i, j] = (trial_gap[which[i - 6]] - gap[which[i - 6]]) / by
                    if j >= 6:
                        J[j, j] += give
                known = True
            best = min(best, residual)
            for i in range(size):
                for j in range(size):
                    spoilt[i, j] = J[i, j]
            if not eliminate(spoilt, step, size):
                return False, residual
            for i in range(size):
                if i < 6:
                    wrench[i] += step[i]
                else:
                    push[which[i - 6]] += step[i]
        if not found:
            return False, residual
        changed = False
        worst, at_worst = 0.0, -1
        for c in range(count):
            pulls = on[c] and push[c] < 0.0
            passes = not on[c] and gap[c] < -10.0 * tolerance
            if pulls or passes:
                changed = True
                by = -push[c] * give if pulls else -gap[c]
                if rounds < AT_ONCE:
                    on[c] = passes
                    push[c] = 0.0
                elif at_worst < 0 or by > worst:
                    worst, at_worst = by, c
        if at_worst >= 0:
            on[at_worst] = not on[at_worst]
            push[at_worst] = 0.0
        if not changed:
            return True, residual
    return False, residual


@njit(cache=True)
def follow(line, held, touch, ways, tries):
    """Force on the lower end and seat [N] at ways down [mm], one by one; how many were reached; onset; residual.

    onset [mm]: way at which the first touch comes to lie, -1 for none reached. Ways in between are taken where Newton's
    method or the touches do not settle, down to the least step. Last: whether the coil bowed out, which ends it.
    """
    nodes, count = len(line.length) + 1, len(touch.least)
    gap = np.zeros(count)
    work = (
        np.zeros((nodes, 3)), np.zeros((3, 3)), np.zeros((nodes, 3)), np.zeros((3, 3)), np.zeros(nodes),
        np.zeros(nodes), gap, np.zeros(count), np.zeros(6), np.zeros(6), np.zeros(count, np.int64),
        np.zeros((6 + count, 6 + count)), np.zeros((6 + count, 6 + count)), np.zeros(6 + count),
    )  # fmt: skip
    wrench, push, on = np.zeros(6), np.zeros(count), np.zeros(count, np.bool_)
    good, before = np.zeros(6), np.zeros(6)
    good_push, good_on = np.zeros(count), np.zeros(count, np.bool_)
    gap_here, gap_last = np.zeros(count), np.zeros(count)
    force, here, last, step, onset, worst = np.zeros(len(ways)), 0.0, -1.0, ways[0], -1.0, 0.0
    for k in range(len(ways)):
        while here < ways[k]:
            there = min(ways[k], here + step)
            on_by = (there - here) / (here - last) if last >= 0.0 else 0.0
            for i in range(6):
                wrench[i] = good[i] + (good[i] - before[i]) * on_by
            for c in range(count):
                push[c], on[c] = good_push[c], good_on[c]
            found, residual = settle(line, held, touch, there, tries, (wrench, push, on), work)
            if not found:
                step = (there - here) / 2.0
                if step < tries.least:
                    return force, k, onset, worst, False
                continue
            if onset < 0.0:
                for c in range(count):
                    if on[c]:
                        meets = there
                        if last > 0.0 and gap_last[c] > gap_here[c]:  # straight on from the last two free ways
                            meets = here + gap_here[c] * (here - last) / (gap_last[c] - gap_here[c])
                        meets = min(max(meets, here), there)
                        onset = meets if onset < 0.0 else min(onset, meets)
            for i in range(6):
                before[i], good[i] = good[i], wrench[i]
            for c in range(count):
                gap_last[c], gap_here[c] = gap_here[c], gap[c]
                good_push[c], good_on[c] = push[c], on[c]
            last, here = here, there
            worst = max(worst, residual)
            step = max(2.0 * step, ways[k] - (ways[k - 1] if k > 0 else 0.0))
        force[k] = -good[2]
        for c in range(count):
            force[k] += good_push[c] * touch.seat[c]
        if k > 0 and onset < 0.0:
            slope = (force[k] - force[k - 1]) / (ways[k] - ways[k - 1])
            if slope < tries.bowed * force[0] / ways[0]:
                return force, k, onset, worst, True
    return force, len(ways), onset, worst, False
