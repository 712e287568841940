"""Where the wire of a coil comes to lie, on its seats and on its own neighbouring turns, and how that stiffens it.

The wire is one curved beam held at both ends, small strains and small further turns, under an end that comes down. No
place may pass a seat, no turn its neighbour of the same size. A place that touches pushes back and cannot pull: a
linear complementarity problem, whose answer is straight between one touch and the next and is followed exactly from
touch to touch (Cottle, Pang and Stone, "The Linear Complementarity Problem", parametric principal pivoting; from
memory). So a held turn that reaches the seat first at two thirds of its way round, the bridge behind it, the wire that
rolls on from there and the moment it carries are all in, and none is fitted.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bedwright.errors import NotConverged
from bedwright.mechanics.coil_shape import Array, CoilShape, diameter_at, slope_at

PLACES_A_TURN, MOST_PLACES = 12, 144  # 24 a turn move no force by 0.5 %
FEWEST_A_TURN = 6
FREE_TURN = 0.5  # at each held end no touch is looked for: a made end lies flat, a held one would be endlessly hard
YIELDING = 1e-5  # of the most yielding place, what a touch itself gives: keeps the sums solvable when all lies flat
APART = 1e-7  # of the free height, so that places that would touch at once touch one after another


@dataclass(frozen=True, slots=True)
class Touching:
    """Force with touching over force without, linear: ratio at each compression [mm], both (points,), first is 1.

    Between points the force (ratio times compression) is straight. touches: how often a place came to lie or rose.
    """

    compression: Array
    ratio: Array
    touches: int

    def at(self, way: Array) -> Array:
        """Ratio at compressions [mm]; the last one is kept beyond."""
        share = np.interp(way, self.compression, self.compression * self.ratio)
        safe = np.where(way > 0, way, 1.0)
        inside = np.where(way > self.compression[0], share / safe, 1.0)
        return np.asarray(np.where(way >= self.compression[-1], self.ratio[-1], inside), dtype=np.float64)


def touching(shape: CoilShape, height: float, last: float) -> Touching:
    """Follow every touch from free to a compression `last` [mm], with the levers of a coil come down to `height` [mm].

    Linear complementarity over the seats and the neighbours (module text). The way ends sooner where only one wire is
    left between the seats: a line without thickness says nothing there. Raises NotConverged.
    """
    stiffness, sink, yielding, place = _held_beam(shape, height)
    part, gap = _limits(shape, place)
    v = part @ sink + (part @ np.ones(len(place)) < -0.5)  # a top seat comes down itself
    S = part @ yielding @ part.T
    S += np.eye(len(S)) * (YIELDING * float(np.max(np.diag(yielding))))
    return _follow(S, v, gap, stiffness, min(last, shape.free_height - shape.wire_diameter))


def _held_beam(shape: CoilShape, height: float) -> tuple[float, Array, Array, Array]:
    """Axial stiffness [N/mm] of the wire with held ends and, for the places between them, what a touch needs.

    sink (places,): way down per way of the upper end; yielding (places, places) [mm/N]: way up at one place for a force
    up at another, ends held; place: share of the live turns. Virtual work over straight pieces between the places.
    """
    n, d = shape.live_turns, shape.wire_diameter
    count = round(n * max(FEWEST_A_TURN, min(PLACES_A_TURN, MOST_PLACES / n)))
    place = np.linspace(0, 1, count + 1)
    between = (place[1:] + place[:-1]) / 2
    points, middles = _points(shape, place, height), _points(shape, between, height)
    angle, turn = 2 * np.pi * n * between, 2 * np.pi * n
    radius, widening = diameter_at(shape, between) / 2, slope_at(shape, between) / 2
    cos, sin = np.cos(angle), np.sin(angle)
    along = np.stack(
        [widening * cos - radius * turn * sin, widening * sin + radius * turn * cos, np.full_like(cos, height)], axis=1
    )
    speed = np.linalg.norm(along, axis=1)
    tangent = along / speed[:, None]
    inertia = np.pi * d**4 / 64
    axial = tangent[:, :, None] * tangent[:, None, :]
    turning = axial / (2 * shape.shear_modulus * inertia) + (np.eye(3) - axial) / (shape.youngs_modulus * inertia)
    turning *= (speed / count)[:, None, None]

    reach = points[1:-1, None, :] - middles[None, :, :]  # from each piece to each place
    reach *= (place[1:-1, None] > between[None, :])[:, :, None]  # only pieces below a place turn it
    rise = np.stack([reach[:, :, 1], -reach[:, :, 0], np.zeros(reach.shape[:2])], axis=2)
    top = points[-1] - middles
    shifts = np.cross(top[None, :, :], np.eye(3)[:, None, :])
    turns = np.broadcast_to(np.eye(3)[:, None, :], shifts.shape)
    end = np.concatenate([shifts, turns])  # six unit wrenches at the upper end
    moments = np.concatenate([rise, end])
    turned = np.einsum("nij,lnj->lni", turning, moments).reshape(len(moments), -1)
    compliance = moments.reshape(len(moments), -1) @ turned.T
    held = np.linalg.inv(compliance[-6:, -6:])
    cross = compliance[:-6, -6:]
    return float(held[2, 2]), cross @ held[:, 2], compliance[:-6, :-6] - cross @ held @ cross.T, place[1:-1]


def _points(shape: CoilShape, place: Array, height: float) -> Array:
    angle, radius = 2 * np.pi * shape.live_turns * place, diameter_at(shape, place) / 2
    return np.stack([radius * np.cos(angle), radius * np.sin(angle), height * place], axis=1)


def _limits(shape: CoilShape, place: Array) -> tuple[Array, Array]:
    """Matrix (touches, places) that takes heights to gaps, and the free gaps [mm]: lower seat, upper seat, neighbours.

    Neighbours a turn apart touch where their radii differ by less than a wire, then sqrt(d^2 - step^2) apart in height.
    """
    H, d, half = shape.free_height, shape.wire_diameter, 0.5 / shape.live_turns
    clear = FREE_TURN / shape.live_turns
    seated = np.flatnonzero((place > clear - 1e-9) & (place < 1 - clear + 1e-9))
    lower = np.eye(len(place))[seated]
    centre = place[(place > half + clear - 1e-9) & (place < 1 - half - clear + 1e-9)]
    step = np.abs(diameter_at(shape, centre + half) - diameter_at(shape, centre - half)) / 2
    centre, step = centre[step < d], step[step < d]
    pairs = _between(place, centre + half) - _between(place, centre - half)
    gap = np.concatenate([H * place[seated], H * (1 - place[seated]), shape.pitch - np.sqrt(d**2 - step**2)])
    gap += APART * H * np.modf(np.arange(len(gap)) * (np.sqrt(5) - 1) / 2)[0]
    return np.concatenate([lower, -lower, pairs]), gap


def _between(place: Array, wanted: Array) -> Array:
    """Matrix (wanted, places) that reads a value at wanted places, straight between the even places."""
    at = (wanted - place[0]) / (place[1] - place[0])
    left = np.clip(np.floor(at + 1e-9).astype(int), 0, len(place) - 2)
    share = at - left
    matrix = np.zeros((len(wanted), len(place)))
    row = np.arange(len(wanted))
    matrix[row, left], matrix[row, left + 1] = 1 - share, share
    return matrix


def _follow(S: Array, v: Array, gap: Array, stiffness: float, last: float) -> Touching:
    """Follow gaps gap - s v + S f >= 0 and pushes f >= 0, one of each pair nothing, from s = 0 to `last`.

    While the same places touch, pushes and gaps are straight in s; the next change is the first to reach nothing.
    """
    touch = np.zeros(len(v), dtype=bool)
    way, force, s = [0.0], [0.0], 0.0
    for _ in range(40 * len(v) + 10):
        on = np.flatnonzero(touch)
        rising, offset = np.linalg.solve(S[np.ix_(on, on)], np.stack([v[on], gap[on]], axis=1)).T
        closing = v - S[:, on] @ rising
        reach = gap - S[:, on] @ offset
        meets = np.full(len(v), np.inf)
        nearing = ~touch & (closing > 0)
        meets[nearing] = reach[nearing] / closing[nearing]
        leaving = rising < 0
        meets[on[leaving]] = offset[leaving] / rising[leaving]
        change = int(np.argmin(meets))
        s = min(max(s, float(meets[change])), last)
        way.append(s)
        force.append(stiffness * s + float(v[on] @ (rising * s - offset)))
        if s >= last:
            break
        touch[change] = ~touch[change]
    else:
        raise NotConverged(f"The touches of the coil do not settle at {s:g} mm.", residual=(last - s) / last)
    steps = np.array(way)
    keep = np.append(np.diff(steps) > 0, True)
    keep[0] = False
    first = steps[1]
    steps = np.append(first, steps[keep][steps[keep] > first])
    forces = np.interp(steps, way, force)
    return Touching(steps, forces / (stiffness * steps), len(way) - 2)
