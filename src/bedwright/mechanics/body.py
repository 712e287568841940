"""A body as a set of rods over the plan, hung on a few heights; and what of it lies over the cells of a mesh.

A rod is a piece of trunk or limb: a straight axis over the plan between two joints, with how high its lowest line lies,
how wide and how thick it is and how thick its soft tissue is, told at places along the axis. Its joints' heights are
what the solver seeks (down is positive), each a sum of heights w with fixed shares.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.body_loops import Bodies
from bedwright.mechanics.lying_mesh import LyingMesh

Array = NDArray[np.float64]
SAMPLES = 4  # of a cell each way: rises and bony points are means over the cell
G = 9.80665  # [m/s2]
Hung = tuple[tuple[int, float], ...]
"""Heights on which an end hangs, each with its share."""


@dataclass(frozen=True, slots=True)
class Bony:
    """A place where bone lies close under the skin: share along the axis, place across it [mm], reach [mm] of the
    thinning, thickness of what is soft there [mm]."""

    along: float
    across: float
    reach: float
    thickness: float


@dataclass(frozen=True, slots=True)
class Rod:
    """start, end: of the axis over the plan x, y [mm]; from_, to: what its ends hang on. at: shares along the axis
    where rise (of the lowest line above the heights), half_width, half_height, thickness (of soft tissue) are told, all
    in mm. power: of the superellipse that its section is. modulus: of the tissue [kPa]. roll: index of the height that
    turns it about the bed's length, per 100 mm of x, with `middle` the x about which it turns; -1 for none."""

    part: str
    start: tuple[float, float]
    end: tuple[float, float]
    from_: Hung
    to: Hung
    at: Array
    rise: Array
    half_width: Array
    half_height: Array
    thickness: Array
    modulus: float
    power: float = 2.0
    bony: tuple[Bony, ...] = ()
    roll: int = -1
    middle: float = 0.0

    def over(self, x: Array, y: Array) -> tuple[Array, Array, Array]:
        """At places x, y: share along the axis, rise of the surface (inf where it is not over them), tissue [mm]."""
        ax, ay = self.start
        dx, dy = self.end[0] - ax, self.end[1] - ay
        length = float(np.hypot(dx, dy))
        t = ((x - ax) * dx + (y - ay) * dy) / length**2
        s = ((x - ax) * dy - (y - ay) * dx) / length
        inside = (t >= 0) & (t <= 1)
        tt = np.clip(t, 0, 1)
        a, b = np.interp(tt, self.at, self.half_width), np.interp(tt, self.at, self.half_height)
        share = np.clip(np.abs(s) / np.maximum(a, 1e-9), 0, 1)
        inside &= np.abs(s) < a
        rise = np.interp(tt, self.at, self.rise) + b * (1 - (1 - share**self.power) ** (1 / self.power))
        thick = np.interp(tt, self.at, self.thickness)
        for one in self.bony:
            near = np.exp(-(((t - one.along) * length) ** 2 + (s - one.across) ** 2) / one.reach**2)
            thick = thick - np.maximum(thick - one.thickness, 0) * near
        return tt, np.where(inside, rise, np.inf), thick

    @property
    def outline(self) -> tuple[Array, Array]:
        """Outline over the plan x, y [mm], closed."""
        (ax, ay), (bx, by) = self.start, self.end
        length = float(np.hypot(bx - ax, by - ay))
        ux, uy = (bx - ax) / length, (by - ay) / length
        x, y = ax + self.at * (bx - ax), ay + self.at * (by - ay)
        right = x + self.half_width * uy, y - self.half_width * ux
        left = x - self.half_width * uy, y + self.half_width * ux
        return (
            np.concatenate([right[0], left[0][::-1], right[0][:1]]),
            np.concatenate([right[1], left[1][::-1], right[1][:1]]),
        )


@dataclass(frozen=True, slots=True)
class Body:
    """Rods; names of the heights they hang on; masses [kg] with what each hangs on; stiffness (K, K) of the joints
    [N/mm]; mass [kg]. spine: of its points, names, y [mm], what they hang on and how high they lie above that [mm].
    marks: the same for what `sink` is told of. stature [mm]."""

    called: str
    posture: str
    rods: tuple[Rod, ...]
    heights: tuple[str, ...]
    masses: tuple[tuple[float, Hung, float], ...]  # mass, what it hangs on, place along the bed y [mm]
    joints: Array
    mass: float
    stature: float
    spine: tuple[tuple[str, float, Hung, float], ...]
    marks: tuple[tuple[str, float, float, Hung, float], ...]  # name, x, y, hung on, rise
    bounds: tuple[float, float, float]  # y of the bounds between head, trunk, pelvis, legs [mm]
    middle: float

    @property
    def weight(self) -> Array:
        """Weight on each height [N]."""
        found = np.zeros(len(self.heights))
        for mass, hung, _ in self.masses:
            for k, share in hung:
                found[k] += share * mass * G
        return found

    @property
    def window(self) -> tuple[float, float, float, float]:
        """Least and greatest x and y of its outline [mm]: left, head, right, foot."""
        x = np.concatenate([rod.outline[0] for rod in self.rods])
        y = np.concatenate([rod.outline[1] for rod in self.rods])
        return float(x.min()), float(y.min()), float(x.max()), float(y.max())


@dataclass(frozen=True, slots=True, eq=False)
class OnMesh:
    """Bodies over a mesh: arrays for the loops; of each contact its body, place x, y and its rod's axis y there [mm],
    about which the heights balance; first height of each body; which heights are a roll; how each body is called and
    its middle x [mm], for sentences."""

    bodies: Bodies
    owner: NDArray[np.int64]
    x: Array
    y: Array
    axis_y: Array
    offsets: tuple[int, ...]
    rolls: NDArray[np.bool_]
    called: tuple[str, ...]
    middles: tuple[float, ...]


def on_mesh(persons: Sequence[Body], mesh: LyingMesh) -> OnMesh:
    """What of each body lies over each cell, as means over the cell; a body's lowest rod there is what touches."""
    x, y = np.meshgrid(mesh.x, mesh.y)
    area = mesh.mesh.area[mesh.node]
    step = (np.arange(SAMPLES) + 0.5) / SAMPLES - 0.5
    offsets, rows = [], []
    first = 0
    for index, body in enumerate(persons):
        offsets.append(first)
        rows += _rows(body, index, first, x, y, area, mesh, step * mesh.cell)
        first += len(body.heights)
    nodes, touch, rise, thickness, modulus, owner, hung, px, py, axis_y = (
        list(part) for part in zip(*rows, strict=True)
    )
    counts = [len(one) for one in hung]
    rolls = np.array([name == "roll" for body in persons for name in body.heights])
    joints = np.zeros((first, first))
    for body, at in zip(persons, offsets, strict=True):
        many = len(body.heights)
        joints[at : at + many, at : at + many] = body.joints
    bodies = Bodies(
        nodes=np.array(nodes, dtype=np.uint32),
        touch=np.array(touch),
        rise=np.array(rise),
        thickness=np.array(thickness),
        modulus=np.array(modulus) / 1000,
        starts=np.concatenate([[0], np.cumsum(counts)]).astype(np.uint32),
        heights=np.array([k for one in hung for k, _ in one], dtype=np.uint32),
        shares=np.array([share for one in hung for _, share in one]),
        weight=np.concatenate([body.weight for body in persons]),
        joints=joints,
    )
    called, middles = tuple(f"{body.called}, {body.posture}" for body in persons), tuple(b.middle for b in persons)
    places = np.array(px), np.array(py), np.array(axis_y)
    return OnMesh(bodies, np.array(owner), *places, tuple(offsets), rolls, called, middles)


Row = tuple[int, float, float, float, float, int, list[tuple[int, float]], float, float, float]


def _rows(
    body: Body, owner: int, first: int, x: Array, y: Array, area: Array, mesh: LyingMesh, steps: Array
) -> list[Row]:
    """One row for each cell a body lies over."""
    shape = (len(steps) ** 2, *x.shape)
    # of the lowest rod at each sample: which one, its rise, how far along its axis, its tissue
    lowest, least = np.full(shape, -1, dtype=np.int8), np.full(shape, np.inf)
    along, soft = np.zeros(shape), np.ones(shape)
    for r, rod in enumerate(body.rods):
        left, head, right, foot = (
            min(rod.outline[0]),
            min(rod.outline[1]),
            max(rod.outline[0]),
            max(rod.outline[1]),
        )
        half = mesh.cell / 2
        columns = np.flatnonzero((mesh.x > left - half) & (mesh.x < right + half))
        rows = np.flatnonzero((mesh.y > head - half) & (mesh.y < foot + half))
        if not len(columns) or not len(rows):
            continue
        part = np.s_[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
        for i, (sx, sy) in enumerate((sx, sy) for sy in steps for sx in steps):
            share, rise, thick = rod.over(x[part] + sx, y[part] + sy)
            lower = rise < least[i][part]
            for kept, new in ((least, rise), (along, share), (soft, thick)):
                kept[i][part][lower] = new[lower]
            lowest[i][part][lower] = r
    found: list[Row] = []
    for r, rod in enumerate(body.rods):
        mine = lowest == r
        count = mine.sum(axis=0)
        each = np.maximum(count, 1)
        ts = np.sum(along, axis=0, where=mine) / each
        rises = np.sum(least, axis=0, where=mine) / each
        softs = each / np.sum(1 / soft, axis=0, where=mine, initial=1e-300)  # side by side: their stiffnesses add
        for j, i in np.argwhere(count > 0):
            t = float(ts[j, i])
            hung = [(first + k, share * (1 - t)) for k, share in rod.from_]
            hung += [(first + k, share * t) for k, share in rod.to]
            if rod.roll >= 0:
                hung.append((first + rod.roll, (float(x[j, i]) - rod.middle) / 100))
            found.append(
                (
                    int(mesh.node[j, i]),
                    float(area[j, i]) * float(count[j, i]) / mine.shape[0],
                    float(rises[j, i]),
                    float(softs[j, i]),
                    rod.modulus,
                    owner,
                    [(k, share) for k, share in hung if share != 0.0],
                    float(x[j, i]),
                    float(y[j, i]),
                    rod.start[1] + t * (rod.end[1] - rod.start[1]),
                )
            )
    return found
