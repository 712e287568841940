"""Force of one coil over its whole way: falling rate first, then the wire comes to lie, piece after piece.

Four steps, each with its book:

1. Every short piece of the wire is a piece of a uniform helix that keeps its length, at any compression (Love). All
   pieces share one axial force and one axial moment; the moment is the one at which the ends have not turned.
2. Ends that may not tilt make the coil stiffer than its pieces, by rate / rate of the pieces when free. That share
   fades as the coil comes down; it is taken as (height left / free height)^1.5, fitted to finite elements, no law.
3. Where the wire comes to lie on a seat or on its neighbour it stiffens the coil, by the share that `coil_touch` finds
   for the whole held wire and small further turns, with the levers of the coil as it is when pieces begin to close.
4. Between the last wire's thickness and solid nothing is followed; there the force goes straight to the one that
   presses the last piece flat.

Pieces that close one by one at their solid step, as the handbooks have it, say which coil is still free; their force
with linear pieces is `capped_force`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from bedwright.errors import NotConverged, OutsideRange
from bedwright.mechanics.coil_rate import plain_rate, rate
from bedwright.mechanics.coil_shape import Array, CoilShape, longest_way, solid_step, stations
from bedwright.mechanics.coil_touch import touching

FADING = 1.5  # power of the height left, see above
FORCES, CLOSING_STEPS = 32, 96  # forces tabled for pieces that nothing stops, and for pieces that close
FARTHEST, MOST_TRIES = -60.0, 12  # pitch angle [degrees] at which a piece that nothing stops is stopped
TABLED = 160  # points of the curve kept
SETTLED = 1e-10  # relative residual asked of every piece and of the turn of the ends
MOST_ROUNDS = 80
FINER = 16  # for the capped integral, whose break moves along the wire
# Share of the free height to which finite elements have checked the force of each profile (book `fe-coils`): within
# 1.2 % until the wire touches, within 1.7 % after (2.5 % for a cylinder).
CHECKED_SHARE = {
    "cylinder": 0.87,
    "cone": 0.95,
    "barrel": 0.88,
    "hourglass-parabolic": 0.77,
    "hourglass-straight": 0.95,
}


@dataclass(frozen=True, slots=True)
class Curve:
    """A coil's curve from free to solid.

    compression [mm], force [N], free_diameter [mm] (largest coil that is still free), each of shape (points,), first
    point at nothing; rate [N/mm] at the start; residual: worst relative residual of the sums behind it; closing:
    compression [mm] at which the wire first touches a seat or its neighbour.
    """

    compression: Array
    force: Array
    free_diameter: Array
    rate: float
    residual: float
    closing: float


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
    """Compression [mm] to which finite elements have checked the force of such a profile; nothing for a table."""
    return min(CHECKED_SHARE.get(shape.profile, 0.0) * shape.free_height, longest_way(shape))


@lru_cache(maxsize=256)
def force_curve(shape: CoilShape) -> Curve:
    """The whole curve of a coil from free to solid. Raises NotConverged with its residual."""
    pieces, solid, start = _Pieces.of(shape), longest_way(shape), rate(shape)
    closing, closing_way, closing_diameter, closing_residual = _closing_pieces(pieces, shape, solid)
    touch = touching(shape, shape.free_height - closing, solid)
    piece_way, piece_force, residual = _without_touch(pieces, shape, solid)

    way = np.concatenate([[1e-3 * closing], np.linspace(0, solid, TABLED + 1)[1:]])
    breaks = touch.compression[[0, -1]]
    way = np.unique(np.append(way, [s for s in breaks if np.min(np.abs(way - s)) > 1e-9 * solid]))
    excess = start / float(piece_force[0] / piece_way[0]) - 1
    held = 1 + excess * np.maximum(0.0, 1 - way / shape.free_height) ** FADING
    force = way * np.interp(way, piece_way, piece_force / piece_way) * held * touch.at(way)
    force = _through_the_last_wire(shape, way, force, float(touch.compression[-1]))
    free = np.where(way < closing, shape.largest_diameter, np.interp(way, closing_way, closing_diameter))
    curve = Curve(
        compression=np.concatenate([[0.0], way]),
        force=np.concatenate([[0.0], force]),
        free_diameter=np.concatenate([[shape.largest_diameter], free]),
        rate=start,
        residual=max(residual, closing_residual),
        closing=float(touch.compression[0]) if touch.touches else solid,
    )
    for values in (curve.compression, curve.force):
        fall = float(np.min(np.diff(values)))
        if fall <= 0:
            raise NotConverged(f"The force curve of {shape} does not rise all the way.", residual=-fall)
    for values in (curve.compression, curve.force, curve.free_diameter):
        values.setflags(write=False)
    return curve


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


def _through_the_last_wire(shape: CoilShape, way: Array, force: Array, followed: float) -> Array:
    """Forces [N] with those beyond the touches followed going straight to that which presses the last piece flat."""
    solid = max(float(force[-1]), float(np.max(_flattening(shape))))
    if way[-1] <= followed:
        return force
    start = float(np.interp(followed, way, force))
    return np.where(way > followed, start + (solid - start) * (way - followed) / (way[-1] - followed), force)


def _without_touch(pieces: _Pieces, shape: CoilShape, solid: float) -> tuple[Array, Array, float]:
    """Compressions [mm] past solid, forces [N] and residual of pieces that nothing stops, not even one another."""
    free = replace(pieces, least_sine=np.full_like(pieces.least_sine, np.sin(np.radians(FARTHEST))))
    most = 1.1 * plain_rate(shape) * solid
    for _ in range(MOST_TRIES):
        forces = np.linspace(0, most, FORCES + 1)
        forces[0] = 1e-3 * most
        way, _, residual = _settle(free, forces)
        if way[-1] >= solid:
            return way, forces, residual
        most *= 1.2
    raise NotConverged("The coil does not come down to solid.", residual=float(solid - way[-1]))


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
