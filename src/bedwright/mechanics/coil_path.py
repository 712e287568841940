"""The way of one coil from free to solid: its whole wire as one elastic line, ends held, with everything it touches.

The wire keeps its length, bends and twists as Kirchhoff's rod (book `love-helix`), at any turning. Its upper end only
comes down; neither end tilts, turns or shifts. No place may pass a seat, no turn its neighbour of like size; a touch
pushes up and down only, and never pulls. Nothing in it is fitted; finite elements and a finer beam agree within 0.6 %
(1.1 % for three turns; book `fe-coils`). The force is scaled so that the start is the exact rate (`coil_rate`), which
takes up the coarse pieces, stretch, shear and the wire's curvature: 1 % or so.

Left out: friction, and sideways slip of wire on wire.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bedwright.mechanics.coil_line import Held, Line, Touches, Tries, follow, put_together
from bedwright.mechanics.coil_rate import rate
from bedwright.mechanics.coil_shape import Array, CoilShape, diameter_at, longest_way

PLACES_A_TURN, MOST_PLACES, FEWEST_A_TURN = 12, 144, 6
FREE_TURN = 0.5  # at each held end no touch is looked for: a made end lies flat, a held one would be endlessly hard
START, POINTS = 0.002, 60  # first way, share of the free height; ways followed down to the last wire
GIVE = 1e-4  # what a touch gives, as a share of what the coil gives: so that wire lying close can be told apart
TOLERANCE = 1e-8  # of the free height
LEAST_STEP = 5e-4  # of the free height
BOWED = 0.5  # of the slope at the start: a coil that nothing touches yet and that gives way faster has bowed out
FINE, STEP = 20, 1e-6  # places within a piece for its length; share of the wire over which its direction is taken


@dataclass(frozen=True, slots=True)
class Path:
    """A coil's way down: compression [mm] and force [N], (points,), as far as it was followed; no points at worst.

    onset: compression [mm] at which the wire first touches, None where it was not reached; residual [mm]: how far the
    held end misses its place, at worst; whole: followed down to the last wire between the seats; bows: the coil, alone
    between its ends, bowed out sideways after the last point; scale: by which forces were scaled to the exact rate.
    """

    compression: Array
    force: Array
    onset: float | None
    residual: float
    whole: bool
    bows: bool
    scale: float


def follow_down(shape: CoilShape, points: int = POINTS) -> Path:
    """Follow a coil down from free, ends held, to where one wire is left between the seats or it is solid.

    It may end sooner: where it bows out, or where no balance with all touches is found.
    """
    line, held = wire_line(shape)
    touch = touches(shape, len(line.length))
    height, start = shape.free_height, rate(shape)
    tries = Tries(
        tolerance=TOLERANCE * height,
        give=GIVE / start,
        force=1e-5 * start * height,
        moment=1e-5 * start * height * held.size,
        steps=10,
        rounds=60,
        least=LEAST_STEP * height,
        bowed=BOWED,
    )
    last = min(longest_way(shape), height - shape.wire_diameter)
    ways = np.concatenate([[START * height], np.linspace(0, last, points + 1)[1:]])
    force, reached, onset, residual, bows = follow(line, held, touch, ways, tries)
    scale = start * ways[0] / force[0] if reached else 1.0
    return Path(
        compression=ways[:reached],
        force=force[:reached] * scale,
        onset=float(onset) if onset >= 0 else None,
        residual=float(residual),
        whole=reached == len(ways),
        bows=bool(bows),
        scale=float(scale),
    )


def wire_line(shape: CoilShape) -> tuple[Line, Held]:
    """The free wire as straight-framed pieces, and where its upper end is when nothing pulls."""
    n = shape.live_turns
    count = round(n * max(FEWEST_A_TURN, min(PLACES_A_TURN, MOST_PLACES / n)))
    place = np.linspace(0, 1, count + 1)
    fine = _points(shape, np.linspace(0, 1, count * FINE + 1))
    length = np.linalg.norm(np.diff(fine, axis=0), axis=1).reshape(count, FINE).sum(axis=1)
    frames = _frames(shape, place)
    natural = _turn_between(frames[:-1], frames[1:]) / length[:, None]
    inertia = np.pi * shape.wire_diameter**4 / 64
    line = Line(
        length=length,
        natural=natural,
        frame=np.ascontiguousarray(frames[0]),
        start=fine[0].copy(),
        bend=1 / (shape.youngs_modulus * inertia),
        twist=1 / (2 * shape.shear_modulus * inertia),
    )
    places, frame = np.zeros((count + 1, 3)), np.zeros((3, 3))
    put_together(line, np.zeros(6), np.zeros(count + 1), places, frame)
    return line, Held(frame, places[-1].copy(), shape.largest_diameter / 2)


def touches(shape: CoilShape, count: int) -> Touches:
    """Every touch that a wire of so many pieces may come to: both seats, and neighbours a turn apart of like size.

    Neighbours touch where their radii differ by less than a wire, then sqrt(d^2 - step^2) apart in height.
    """
    d, half, clear = shape.wire_diameter, 0.5 / shape.live_turns, FREE_TURN / shape.live_turns
    place = np.linspace(0, 1, count + 1)
    rows: list[tuple[list[int], list[float], float, float, float]] = []
    inner = np.flatnonzero((place > clear - 1e-9) & (place < 1 - clear + 1e-9) & (place > 0) & (place < 1))
    for node in inner.tolist():
        rows.append(([node, 0, 0, 0], [1.0, 0.0, 0.0, 0.0], 0.0, 0.0, 1.0))
        rows.append(([node, 0, 0, 0], [-1.0, 0.0, 0.0, 0.0], 0.0, 1.0, 0.0))
    centre = place[(place > half + clear - 1e-9) & (place < 1 - half - clear + 1e-9)]
    apart = np.abs(diameter_at(shape, centre + half) - diameter_at(shape, centre - half)) / 2
    for at, step in zip(centre[apart < d].tolist(), apart[apart < d].tolist(), strict=True):
        (above, up), (below, down) = _between(count, at + half), _between(count, at - half)
        nodes, weights = [above, above + 1, below, below + 1], [1 - up, up, down - 1, -down]
        rows.append((nodes, weights, float(np.sqrt(d**2 - step**2)), 0.0, 0.0))
    nodes_of, weights_of, least, upper, seat = zip(*rows, strict=True) if rows else ((), (), (), (), ())
    return Touches(
        node=np.array(nodes_of, dtype=np.int64).reshape(-1, 4),
        weight=np.array(weights_of, dtype=np.float64).reshape(-1, 4),
        least=np.array(least, dtype=np.float64),
        upper=np.array(upper, dtype=np.float64),
        seat=np.array(seat, dtype=np.float64),
    )


def _between(count: int, place: float) -> tuple[int, float]:
    """Node below a place, share 0 to 1 of the wire, and how far on to the next."""
    at = place * count
    node = min(max(int(np.floor(at + 1e-9)), 0), count - 1)
    return node, at - node


def _points(shape: CoilShape, place: Array) -> Array:
    angle, radius = 2 * np.pi * shape.live_turns * place, diameter_at(shape, place) / 2
    return np.stack([radius * np.cos(angle), radius * np.sin(angle), shape.free_height * place], axis=1)


def _frames(shape: CoilShape, place: Array) -> Array:
    """Frames (places, 3, 3): the third column along the wire, the first outwards."""
    along = _points(shape, np.minimum(place + STEP, 1)) - _points(shape, np.maximum(place - STEP, 0))
    along /= np.linalg.norm(along, axis=1)[:, None]
    angle = 2 * np.pi * shape.live_turns * place
    outwards = np.stack([np.cos(angle), np.sin(angle), np.zeros_like(angle)], axis=1)
    outwards -= np.sum(outwards * along, axis=1)[:, None] * along
    outwards /= np.linalg.norm(outwards, axis=1)[:, None]
    return np.stack([outwards, np.cross(along, outwards), along], axis=2)


def _turn_between(first: Array, second: Array) -> Array:
    """The turn from one frame to the next, in the first one's own axes, as angle times axis (places, 3)."""
    turn = np.swapaxes(first, 1, 2) @ second
    sine = np.stack(
        [turn[:, 2, 1] - turn[:, 1, 2], turn[:, 0, 2] - turn[:, 2, 0], turn[:, 1, 0] - turn[:, 0, 1]], axis=1
    )
    sine /= 2
    size = np.linalg.norm(sine, axis=1)
    angle = np.arctan2(size, (np.trace(turn, axis1=1, axis2=2) - 1) / 2)
    return np.asarray(sine * (angle / np.where(size > 0, size, 1.0))[:, None], dtype=np.float64)
