"""Force of one coil over its whole way: falling rate first, then the wire comes to lie, place after place.

1. The whole wire is followed down as one elastic line with all it touches (`coil_path`; book `love-helix`).
2. A slender coil alone bows out sideways on its way, and its force then hardly rises. Lacing and pockets hold it, so
   from there on it is taken upright: pieces of uniform helices that keep their length under one force and one moment
   (Love), each of which stops when it is flat.
3. Between the last wire's thickness and solid nothing is followed; there the force goes straight to the one that
   presses the last piece flat.

Pieces that close one by one at their solid step, as the handbooks have it, say which coil is still free; their force
with linear pieces is `capped_force`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.interpolate import PchipInterpolator

from bedwright.errors import NotConverged, OutsideRange
from bedwright.mechanics.coil_path import follow_down
from bedwright.mechanics.coil_rate import rate
from bedwright.mechanics.coil_shape import Array, CoilShape, longest_way, solid_step, stations

FORCES, CLOSING_STEPS = 24, 64  # forces tabled for pieces before the first closes, and while they close
HARDLY = 0.05  # of the rate at the start: a slope that counts as none
UPRIGHT = 0.8  # of the way to bowing: from there on a coil is taken as its pieces, before it leans
TABLED = 160  # points of the curve kept
SETTLED = 1e-10  # relative residual asked of every piece and of the turn of the ends
MOST_ROUNDS = 80
FINER = 16  # for the capped integral, whose break moves along the wire
# Share of the free height to which finite elements, or a finer beam that shares nothing with the program, have checked
# the force of each profile (book `fe-coils`).
CHECKED_SHARE = {
    "cylinder": 0.92,
    "cone": 0.95,
    "barrel": 0.94,
    "hourglass-parabolic": 0.95,
    "hourglass-straight": 0.95,
    "table": 0.95,
}


@dataclass(frozen=True, slots=True)
class Curve:
    """A coil's curve from free to solid.

    compression [mm], force [N], free_diameter [mm] (largest coil that is still free), each of shape (points,), first
    point at nothing; rate [N/mm] at the start; residual: worst relative residual of the sums behind it; closing:
    compression [mm] at which the wire first touches a seat or its neighbour; bows: compression [mm] from which a coil
    alone bows out sideways and is taken upright, None for one that does not; followed: compression [mm] to which its
    wire was followed.
    """

    compression: Array
    force: Array
    free_diameter: Array
    rate: float
    residual: float
    closing: float
    bows: float | None
    followed: float


def force(shape: CoilShape, compression: float) -> float:
    """Force [N] at a compression [mm], 0 to solid.

    Books `love-helix`, `conical-springs`, `fe-coils`. Raises OutsideRange below 0 and beyond solid.
    """
    return float(force_table(shape, np.array([compression], dtype=np.float64))[0])


def force_table(shape: CoilShape, compressions: Array) -> Array:
    """Forces [N] at compressions [mm], any array shape; rising and continuous, the start's slope is `rate`.

    One curve per shape is worked out and kept; reading from it is quick. Raises OutsideRange below 0 and beyond solid.
    """
    curve = force_curve(shape)
    way = np.asarray(compressions, dtype=np.float64)
    _inside(shape, way)
    return way * _secant(curve, way)


def force_and_slope(shape: CoilShape, compressions: Array) -> tuple[Array, Array]:
    """Forces [N] and their slopes [N/mm] at compressions [mm], for a solver that wants both. Raises OutsideRange."""
    curve = force_curve(shape)
    way = np.asarray(compressions, dtype=np.float64)
    _inside(shape, way)
    stiffness = np.concatenate([[curve.rate], curve.force[1:] / curve.compression[1:]])
    bends = np.diff(stiffness) / np.diff(curve.compression)
    part = np.clip(np.searchsorted(curve.compression, way, side="right") - 1, 0, len(bends) - 1)
    secant = stiffness[part] + bends[part] * (way - curve.compression[part])
    return way * secant, secant + way * bends[part]


def free_diameter_at(shape: CoilShape, compressions: Array) -> Array:
    """Mean diameter [mm] of the largest coil not yet flat, at compressions [mm]."""
    curve = force_curve(shape)
    return np.asarray(np.interp(compressions, curve.compression, curve.free_diameter), dtype=np.float64)


def capped_force(shape: CoilShape, compression: float) -> float:
    """Force [N] of linear turns that close one after another: s(F) = integral of min(8 F D^3/(G d^4), h) dN.

    Castigliano with the free pitch less the solid step as the cap h. Raises OutsideRange below 0 and beyond solid.
    """
    _inside(shape, np.array([compression]))
    at = stations(shape, FINER)
    G, d, n = shape.shear_modulus, shape.wire_diameter, shape.live_turns
    give = 8 * at.diameter**3 / (G * d**4)
    cap = shape.pitch - solid_step(shape, FINER)
    low, high = 0.0, float(np.max(cap / give))
    for _ in range(100):
        middle = (low + high) / 2
        way = n * float(np.sum(at.weight * np.minimum(middle * give, cap)))
        low, high = (middle, high) if way < compression else (low, middle)
    return (low + high) / 2


def helix_force(shape: CoilShape, compression: float) -> float:
    """Force [N] of a cylinder as one uniform helix of fixed wire length and turns, at a compression [mm].

    Love: U = L/2 (EI (kappa - kappa0)^2 + GJ (tau - tau0)^2), F = dU/ds. The closed form that `force` must meet where
    it applies; no solid, no held ends. Raises OutsideRange for another profile and beyond solid.
    """
    if shape.smallest_diameter != shape.largest_diameter:
        raise OutsideRange(f"A {shape.profile} is no uniform helix; use force, or a cylinder.")
    _inside(shape, np.array([compression]))
    inertia = np.pi * shape.wire_diameter**4 / 64
    EI, GJ = shape.youngs_modulus * inertia, 2 * shape.shear_modulus * inertia
    turn = 2 * np.pi * shape.live_turns
    length = float(np.hypot(turn * shape.end_diameter / 2, shape.free_height))
    q = turn / length
    sine0, sine = shape.free_height / length, (shape.free_height - compression) / length
    cosine0, cosine = np.sqrt(1 - sine0**2), np.sqrt(1 - sine**2)
    bend, twist = EI * q * (cosine - cosine0), GJ * q * (sine - sine0)
    return float(q * (bend * sine / cosine - twist))


def checked_compression(shape: CoilShape) -> float:
    """Compression [mm] to which finite elements have checked the force of such a profile, and its wire was followed."""
    return min(CHECKED_SHARE[shape.profile] * shape.free_height, longest_way(shape), force_curve(shape).followed)


@lru_cache(maxsize=256)
def force_curve(shape: CoilShape) -> Curve:
    """The whole curve of a coil from free to solid. Raises NotConverged with its residual."""
    pieces, solid, start = _Pieces.of(shape), longest_way(shape), rate(shape)
    closing, closing_way, closing_diameter, closing_residual = _closing_pieces(pieces, shape, solid)
    path = follow_down(shape)
    way, force = path.compression, path.force
    first = solid if path.onset is None else path.onset
    bows = float(way[-1]) if path.bows else None
    if bows is not None or not len(way):
        upright = way < UPRIGHT * (bows or 0.0)
        way, force = _upright(pieces, shape, way[upright], force[upright])
        first = closing
    rising = _rising(way, force, start)  # a coil that snaps aside once it lies is followed no further
    way, force = way[:rising], force[:rising]
    last, followed = float(way[-1]), float(min(way[-1], path.compression[-1])) if len(path.compression) else 0.0
    way, force = _tabled(way, force, first, start)
    if last < solid * (1 - 1e-9):
        way = np.append(way, solid)
        force = np.append(force, max(float(force[-1]) * solid / last, float(np.max(_flattening(shape)))))
    free = np.where(way < closing, shape.largest_diameter, np.interp(way, closing_way, closing_diameter))
    curve = Curve(
        compression=np.concatenate([[0.0], way]),
        force=np.concatenate([[0.0], force]),
        free_diameter=np.concatenate([[shape.largest_diameter], free]),
        rate=start,
        residual=max(path.residual / shape.free_height, closing_residual),
        closing=min(first, solid),
        bows=bows,
        followed=followed,
    )
    for values in (curve.compression, curve.force):
        fall = float(np.min(np.diff(values)))
        if fall <= 0:
            raise NotConverged(f"The force curve of {shape} does not rise all the way.", residual=-fall)
    for values in (curve.compression, curve.force, curve.free_diameter):
        values.setflags(write=False)
    return curve


def _rising(way: Array, force: Array, start: float) -> int:
    """How many of the points lie before the force first hardly rises."""
    falls = np.flatnonzero(np.diff(force) <= HARDLY * start * np.diff(way))
    return int(falls[0]) + 1 if len(falls) else len(force)


def _upright(pieces: _Pieces, shape: CoilShape, way: Array, force: Array) -> tuple[Array, Array]:
    """Compressions [mm] and forces [N] of a coil held from bowing: as followed so far, then pieces that stop flat."""
    closing = _flattening(shape)
    low = 0.9 * float(np.min(closing))
    forces = np.concatenate(
        [
            [low / 1000],
            np.linspace(0, low, FORCES + 1)[1:],
            np.geomspace(low, 1.4 * float(np.max(closing)), CLOSING_STEPS)[1:],
        ]
    )
    piece_way, _, _ = _settle(pieces, forces)
    at = float(way[-1]) if len(way) else float(piece_way[0])
    level = (float(force[-1]) if len(way) else rate(shape) * at) / float(np.interp(at, piece_way, forces))
    beyond = (piece_way > at * (1 + 1e-6)) & (piece_way < longest_way(shape) * (1 - 1e-6))
    return np.append(way, piece_way[beyond]), np.append(force, forces[beyond] * level)


def _tabled(way: Array, force: Array, first: float, start: float) -> tuple[Array, Array]:
    """The curve at even points, monotone cubic in its secant, with the first touch [mm] as a corner."""
    secant = np.concatenate([[start], force / way])
    way = np.concatenate([[0.0], way])
    at = int(np.searchsorted(way, first))
    if 2 <= at < len(way) and way[at - 1] < first * (1 - 1e-6) and first * (1 + 1e-6) < way[at]:
        slope = (secant[at - 1] - secant[at - 2]) / (way[at - 1] - way[at - 2])
        corner = secant[at - 1] + slope * (first - way[at - 1])
        straight = float(np.interp(first, way[at - 1 : at + 1], (secant * way)[at - 1 : at + 1])) / first
        secant = np.insert(secant, at, min(corner, straight))  # a touch can only stiffen
        way = np.insert(way, at, first)
    else:
        at = len(way) - 1
    even = np.linspace(0, way[-1], TABLED + 1)[1:]
    between = np.min(np.abs(even[:, None] - way[1:]), axis=1) > 1e-9 * way[-1]
    even = np.sort(np.concatenate([even[between], way[1:]]))
    parts = [PchipInterpolator(way[: at + 1], secant[: at + 1])(even[even <= way[at]])]
    if at < len(way) - 1:
        parts.append(PchipInterpolator(way[at:], secant[at:])(even[even > way[at]]))
    return even, even * np.concatenate(parts)


@dataclass(frozen=True, slots=True)
class _Pieces:
    """Pieces of the wire, arrays (pieces,): length, free pitch angle's sine, free turn per length, least sine, D."""

    length: Array
    sine: Array
    spin: Array
    least_sine: Array
    diameter: Array
    bending: float  # EI [N mm2]
    torsion: float  # GJ [N mm2]

    @classmethod
    def of(cls, shape: CoilShape) -> _Pieces:
        at = stations(shape)
        turn = 2 * np.pi * shape.live_turns
        speed = np.hypot(turn * at.diameter / 2, shape.free_height)  # wire per place
        inertia = np.pi * shape.wire_diameter**4 / 64
        return cls(
            length=at.weight * speed,
            sine=shape.free_height / speed,
            spin=turn / speed,
            least_sine=solid_step(shape) * shape.live_turns / speed,
            diameter=at.diameter,
            bending=shape.youngs_modulus * inertia,
            torsion=2 * shape.shear_modulus * inertia,
        )


def _closing_pieces(pieces: _Pieces, shape: CoilShape, solid: float) -> tuple[float, Array, Array, float]:
    """Compression [mm] at which the first piece closes alone; then largest free diameter [mm] by compression, residual.

    Forces tabled from a little before the first piece closes, by equal ratios to past the last.
    """
    closing = _flattening(shape)
    forces = np.geomspace(0.9 * float(np.min(closing)), 1.4 * float(np.max(closing)), CLOSING_STEPS + 1)
    way, free, residual = _settle(pieces, forces)
    closed = way[free < float(np.max(pieces.diameter)) * (1 - 1e-12)]
    first = float(min(closed[0], solid)) if len(closed) else solid
    short = way <= solid * (1 - 1e-9)
    return first, np.append(way[short], solid), np.append(free[short], np.min(pieces.diameter)), residual


def _flattening(shape: CoilShape) -> Array:
    """Force [N] at which each linear piece closes alone: G d^4 h/(8 D^3), h its pitch less its solid step."""
    cap = shape.pitch - solid_step(shape)
    return np.asarray(shape.shear_modulus * shape.wire_diameter**4 * cap / (8 * stations(shape).diameter ** 3))


def _settle(pieces: _Pieces, forces: Array) -> tuple[Array, Array, float]:
    """Compression [mm] and largest free diameter [mm] at each force, by Newton's method on all forces at once.

    Unknowns: pitch angle a and spin q (turn per length) of every piece at every force, axial moment M of every force.
    With kappa = q cos a, tau = q sin a and a compressing force P, Love's two equations for a helix are
    GJ (tau - tau0) = -P cos^2 a / q + M sin a  and  EI (kappa - kappa0) = P cos a sin a / q + M cos a.
    A flat piece keeps its angle: the wire then carries what that angle allows and the turns below carry the rest.
    """
    EI, GJ = pieces.bending, pieces.torsion
    P = forces[:, None]
    a0 = np.arcsin(pieces.sine)
    kappa0, tau0 = pieces.spin * np.cos(a0), pieces.spin * pieces.sine
    least = np.arcsin(pieces.least_sine)
    cos, tan = np.cos(least), np.tan(least)
    lying = EI * cos + GJ * tan * pieces.least_sine
    whole = float(np.sum(pieces.length * pieces.spin))
    a = np.maximum(a0 - P * np.cos(a0) / (GJ * pieces.spin**2), least)  # the linear answer to start from
    q = np.broadcast_to(pieces.spin, a.shape).copy()
    M = np.zeros_like(P)
    worst = np.inf
    for _ in range(MOST_ROUNDS):
        s, c = np.sin(a), np.cos(a)
        twist = GJ * (q * s - tau0) + P * c * c / q - M * s
        bend = EI * (q * c - kappa0) - P * c * s / q - M * c
        j11, j12 = GJ * q * c - 2 * P * c * s / q - M * c, GJ * s - P * c * c / q**2
        j21, j22 = -EI * q * s - P * (c * c - s * s) / q + M * s, EI * c + P * c * s / q**2
        det = j11 * j22 - j12 * j21
        da, dq = (j12 * bend - j22 * twist) / det, (j21 * twist - j11 * bend) / det
        da_m, dq_m = (j22 * s - j12 * c) / det, (j11 * c - j21 * s) / det
        down = a <= least
        borne = (GJ * (tau0 - q * s) + M * s) * q / c**2  # what a flat piece carries through the wire
        flat = np.where(down, borne <= P, a + da <= least)
        dq = np.where(flat, (EI * kappa0 + GJ * tan * tau0 + M / cos) / lying - q, dq)
        dq_m = np.where(flat, 1 / (cos * lying), dq_m)
        open_turn = np.sum(pieces.length * (q + dq), axis=1, keepdims=True) - whole
        dm = -open_turn / np.sum(pieces.length * dq_m, axis=1, keepdims=True)
        new_a = np.where(flat, least, np.maximum(a + da + da_m * dm, least))
        new_q = q + dq + dq_m * dm
        worst = float(max(np.max(np.abs(new_a - a)), np.max(np.abs(new_q / q - 1))))
        a, q, M = new_a, new_q, M + dm
        if worst < SETTLED:
            break
    else:
        raise NotConverged("The pieces of the coil do not settle.", residual=worst)
    way = np.sum(pieces.length * (pieces.sine - np.sin(a)), axis=1)
    free = np.where(a > least + 1e-12, pieces.diameter, 0.0).max(axis=1)
    return way, np.where(free > 0, free, float(np.min(pieces.diameter))), worst


def _secant(curve: Curve, way: Array) -> Array:
    """Force over compression [N/mm], straight between tabled points and the rate at nothing."""
    stiffness = np.concatenate([[curve.rate], curve.force[1:] / curve.compression[1:]])
    return np.asarray(np.interp(way, curve.compression, stiffness), dtype=np.float64)


def _inside(shape: CoilShape, way: Array) -> None:
    solid = longest_way(shape)
    bad = way[~((way >= 0) & (way <= solid * (1 + 1e-9)))] if way.size else way
    if bad.size:
        raise OutsideRange(
            f"A compression of {float(bad.flat[0]):g} mm is outside this coil's way; it is solid at {solid:.4g} mm,"
            f" so give 0 to {solid:.4g} mm."
        )
