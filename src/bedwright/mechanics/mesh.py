"""Ring meshes round the pad: triangles that are fine where the pad's edge bends the bed, and coarse far off.

Rings of nodes lie round the spot, two of them as far inside the pad's edge as outside, and are cut at the edges of the
bed. A square grid of the same accuracy needs five times as many nodes, and meets the pad's edge in the wrong places.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_matrix, csr_matrix, diags
from scipy.spatial import Delaunay

from bedwright.mechanics.ordering import ordered

Array = NDArray[np.float64]
Indices = NDArray[np.int32]

AROUND = 32  # nodes on each ring near the pad
INNER_RINGS = 10  # to where the fine rings begin
# Radii of the fine rings, as shares of the pad's radius: 141 to 256 mm for the pad of 355 mm. Pressure and slope change
# most within 30 mm of the pad's edge, on both sides of it. The two rings at the edge are 1 mm apart: a membrane of
# short reach leaves the pad at the inner one, and falls as exp(-distance / reach) from there.
FINE = tuple(
    r / 177.5 for r in (141, 150, 157, 162.5, 167, 170.8, 173.8, 175.8, 177, 178, 181.5, 188, 197, 208, 221, 237, 256)
)
BEGIN_FINE = 130 / 177.5
GROWTH, FARTHEST_STEP = 0.19, 110.0  # of the step between rings beyond; and its greatest [mm] at the pad's edge
NEAREST = 0.35  # that a node lies to the bed's edge, as a share of the step between its ring and the one inside
TIE_BREAK = 1e-5  # turn of every second ring, so that which of two like triangulations is taken is no accident


@dataclass(frozen=True, slots=True, eq=False)  # a mesh is itself alone, so that factors on it can be kept
class Mesh:
    """Triangles over a plan. x, y [mm] and area [mm2] (lumped: a third of each triangle) are (nodes,).

    triangles (triangles, 3); starts, others, couplings, own: the matrix K of the integral of grad u . grad v for
    straight triangles, its off-diagonal in compressed rows, its diagonal in `own` (no unit). Nodes are numbered so that
    a factor L of such a matrix stays sparse: factor_starts, factor_rows are its columns below the diagonal. radius
    [mm]: how far from the spot a node stands for; the polygons of the rings are drawn a little larger, so that each
    encloses the area of its circle. rim [mm]: length of the bed's edge that belongs to a node, 0 inside.
    """

    x: Array
    y: Array
    triangles: Indices
    area: Array
    starts: Indices
    others: Indices
    couplings: Array
    own: Array
    radius: Array
    rim: Array
    factor_starts: Indices
    factor_rows: Indices

    @property
    def matrix(self) -> csc_matrix:
        """K as a sparse matrix."""
        off = csr_matrix((self.couplings, self.others, self.starts), shape=(len(self.x), len(self.x)))
        return csc_matrix(off + diags(self.own))


def ring_radii(pad_radius: float, farthest: float, fineness: float = 1.0) -> Array:
    """Radii of the rings [mm], from the innermost to past `farthest`; fineness 2 halves every step."""
    inner = np.linspace(0, BEGIN_FINE, max(4, round(INNER_RINGS * fineness)) + 1)[1:]
    marks = np.array([BEGIN_FINE, *FINE])
    places = np.linspace(0, len(marks) - 1, max(7, round((len(marks) - 1) * fineness)) + 1)
    edge = np.interp(places, np.arange(len(marks)), marks)[1:]
    outside = int(np.searchsorted(edge, 1.0))
    edge[outside - 1 : outside + 1] = 1 - (gap := (edge[outside] - edge[outside - 1]) / 2), 1 + gap
    found = list(np.concatenate([inner, edge]) * pad_radius)
    step = found[-1] - found[-2]
    while found[-1] < farthest:
        step = min(step * (1 + GROWTH / fineness), FARTHEST_STEP / fineness + 0.06 * found[-1])
        found.append(found[-1] + step)
    return np.array(found)


def ring_mesh(
    width: float, length: float, x: float, y: float, pad_radius: float = 177.5, fineness: float = 1.0
) -> Mesh:
    """Mesh of a bed of width x length [mm] round a spot x, y; fineness 2 halves every step.

    The spot lies on the plan or a little off it; the rings are cut at the plan's edges, which have nodes of their own.
    """
    far = max(float(np.hypot(a - x, b - y)) for a in (0, width) for b in (0, length))
    radii = ring_radii(pad_radius, far, fineness)
    steps = np.diff(np.concatenate([[0.0], radii]))
    margin = NEAREST * float(steps[0])
    parts = [np.array([[x, y]])] if margin < x < width - margin and margin < y < length - margin else []
    stands_for = [np.zeros(len(part)) for part in parts]
    for index, r in enumerate(radii):
        if r > far:
            break
        across = float(steps[min(index + 1, len(steps) - 1)] + steps[index]) * 1.1
        count = max(8, int(np.ceil(2 * np.pi * r / max(across, 16 / fineness))))
        if r < 1.7 * pad_radius:
            count = min(count, round(AROUND * fineness))
        count = 4 * -(-max(count, round(12 * fineness)) // 4)  # so that a mirrored spot has the same rings, mirrored
        angle = (np.arange(count) + (0.5 if index % 2 else 0.0)) * 2 * np.pi / count
        if index % 2:
            angle = angle + TIE_BREAK * np.sin(2 * angle)
        drawn = r * float(np.sqrt((2 * np.pi / count) / np.sin(2 * np.pi / count)))
        ring = np.stack([x + drawn * np.cos(angle), y + drawn * np.sin(angle)], axis=1)
        margin = NEAREST * float(steps[index])
        inside = (ring > margin).all(axis=1) & (ring[:, 0] < width - margin) & (ring[:, 1] < length - margin)
        parts.append(ring[inside])
        stands_for.append(np.full(int(inside.sum()), r))
    rim = _edge_nodes(width, length, x, y, pad_radius, fineness)
    points = np.concatenate([*parts, rim])
    radius = np.concatenate([*stands_for, np.hypot(rim[:, 0] - x, rim[:, 1] - y)])
    mesh = assembled(points, np.asarray(Delaunay(points).simplices, dtype=np.int32), radius, (width, length))
    area = _ring_areas(mesh, radii[radii < 1.5 * pad_radius], (x, y), (width, length), pad_radius)
    return replace(mesh, area=area)


def _ring_areas(
    mesh: Mesh, radii: Array, spot: tuple[float, float], plan: tuple[float, float], pad_radius: float
) -> Array:
    """Areas with every whole ring near the pad given its annulus, half-way to the rings beside it [mm2].

    A third of each triangle would give rings that are close together too much or too little, and so would let the pad
    seem larger or smaller than it is. Where the plan's edge cuts rings under the pad, their nodes have together what of
    the pad is on the plan. What this moves is taken from, or given to, the nodes farther out.
    """
    area = mesh.area.copy()
    room = min(spot[0], spot[1], plan[0] - spot[0], plan[1] - spot[1])
    edges = np.concatenate([[0.0], np.concatenate([[radii[0] / 2], (radii[1:] + radii[:-1]) / 2])])
    whole = [(r, i) for i, r in enumerate(np.concatenate([[0.0], radii[:-1]])) if radii[min(i, len(radii) - 1)] < room]
    near = np.zeros(len(area), dtype=bool)
    inside = 0.0
    for r, i in whole:
        on = np.flatnonzero((np.abs(mesh.radius - r) < 1e-9) & (mesh.rim == 0))
        if len(on):
            area[on] = np.pi * (edges[i + 1] ** 2 - edges[i] ** 2) / len(on)
            near[on] = True
            inside = max(inside, float(edges[i + 1]))
    cut = ~near & (mesh.radius <= pad_radius)
    if cut.any() and inside < pad_radius:
        area[cut] *= (_disc_on_plan(pad_radius, spot, plan) - np.pi * inside**2) / np.sum(area[cut])
        near |= cut
    if near.any() and not near.all():
        area[~near] *= 1 + (np.sum(mesh.area) - np.sum(area)) / np.sum(area[~near])
    return area


def _disc_on_plan(radius: float, spot: tuple[float, float], plan: tuple[float, float]) -> float:
    """Area of a disc round a spot that lies on the plan [mm2], by strips across."""
    ends = np.clip([-spot[1], plan[1] - spot[1]], -radius, radius)
    first, last = np.arcsin(ends / radius)
    turn = np.linspace(float(first), float(last), 2001)
    turn = (turn[1:] + turn[:-1]) / 2
    half = radius * np.cos(turn)
    width = np.minimum(half, plan[0] - spot[0]) + np.minimum(half, spot[0])
    return float(np.sum(np.maximum(width, 0) * half) * (last - first) / 2000)


def _edge_nodes(width: float, length: float, x: float, y: float, pad_radius: float, fineness: float) -> Array:
    """Nodes along the four edges, closer together where the pad is near."""

    def stretch(total: float, beyond: float, off: float) -> Array:
        """Places from where the pad is nearest, up to the corner; `beyond`: how far off the stretch's start it is."""
        places, place = [0.0], 0.0
        while place < total:
            distance = float(np.hypot(place + beyond, off))
            step = float(np.clip(0.16 * distance + 6 / fineness, 12 / fineness, 100 / fineness))
            if distance <= 0.7 * pad_radius:
                step = 24 / fineness
            if abs(distance - pad_radius) < 40:
                step = min(step, 12 / fineness)
            place += step
            places.append(place)
        return np.array(places) * total / places[-1]

    def spaced(total: float, at: float, off: float) -> Array:
        """Places along an edge, outwards from the pad both ways: a mirrored spot has the mirrored mesh."""
        if at < 6 / fineness:
            return stretch(total, max(-at, 0.0), off)
        if total - at < 6 / fineness:
            return total - stretch(total, max(at - total, 0.0), off)[::-1]
        return np.concatenate([at - stretch(at, 0.0, off)[:0:-1], at + stretch(total - at, 0.0, off)])

    found = []
    for edge, off in ((0.0, y), (length, length - y)):
        found += [(place, edge) for place in spaced(width, x, off)]
    for edge, off in ((0.0, x), (width, width - x)):
        found += [(edge, place) for place in spaced(length, y, off)[1:-1]]
    return np.array(found)


def assembled(points: Array, triangles: Indices, radius: Array, plan: tuple[float, float] | None = None) -> Mesh:
    """The mesh of points (nodes, 2) [mm] and triangles (triangles, 3), renumbered to stay sparse; flat ones go.

    radius (nodes,) [mm]. plan (width, length) [mm]: where given, nodes on its edges get their share of its length.
    """
    corner = points[triangles]
    across = corner[:, [1, 2, 0]] - corner[:, [2, 0, 1]]  # the side opposite to each corner
    twice = across[:, 0, 0] * across[:, 1, 1] - across[:, 0, 1] * across[:, 1, 0]
    good = np.abs(twice) > 1e-6
    triangles, across, half = triangles[good], across[good], np.abs(twice[good]) / 2
    stiffness = np.einsum("tia,tja->tij", across, across) / (4 * half[:, None, None])
    count = len(points)
    rows, columns = np.repeat(triangles, 3, axis=1).ravel(), np.tile(triangles, (1, 3)).ravel()
    matrix = csr_matrix((stiffness.ravel(), (rows, columns)), shape=(count, count))
    place, factor_starts, factor_rows = ordered(matrix)
    order = np.argsort(place)
    matrix = matrix[order][:, order].tocsr()
    points, triangles = points[order], place[triangles].astype(np.int32)
    area = np.asarray(np.bincount(triangles.ravel(), np.repeat(half / 3, 3), count), dtype=np.float64)
    own = np.array(matrix.diagonal())
    matrix.setdiag(0)
    matrix.eliminate_zeros()
    matrix.sort_indices()
    return Mesh(
        x=np.ascontiguousarray(points[:, 0]),
        y=np.ascontiguousarray(points[:, 1]),
        triangles=triangles,
        area=area,
        starts=matrix.indptr.astype(np.int32),
        others=matrix.indices.astype(np.int32),
        couplings=matrix.data.copy(),
        own=own,
        radius=radius[order],
        rim=_rim(points, plan) if plan else np.zeros(count),
        factor_starts=factor_starts,
        factor_rows=factor_rows,
    )


def _rim(points: Array, plan: tuple[float, float]) -> Array:
    """Length of the plan's edge nearest to each node on it [mm]."""
    share = np.zeros(len(points))
    for axis, at in ((0, 0.0), (0, plan[0]), (1, 0.0), (1, plan[1])):
        on = np.flatnonzero(np.abs(points[:, axis] - at) < 1e-9)
        on = on[np.argsort(points[on, 1 - axis])]
        gaps = np.diff(points[on, 1 - axis])
        share[on[:-1]] += gaps / 2
        share[on[1:]] += gaps / 2
    return share


__all__ = ["Mesh", "assembled", "ring_mesh", "ring_radii"]
