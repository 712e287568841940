"""From an equilibrium to what is told of it: maps, areas, shares, sinks, spine, slices."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.bed_model import BedModel
from bedwright.mechanics.body import Body, G, Hung, OnMesh
from bedwright.mechanics.body_loops import SOFT
from bedwright.mechanics.lain import PARTS, SHOWN_ABOVE, THRESHOLD, Lain, Lying, Slice, Spine
from bedwright.mechanics.lying_bench import Rested
from bedwright.mechanics.lying_mesh import LyingMesh

Array = NDArray[np.float64]
KPA_PER_MMHG = 0.1333224
NEAR_A_MARK = 45.0  # [mm] within which the deepest place of the face counts
BLADE, SMALL, BUTTOCK = 0.78, 0.62, 0.53  # shares of stature above the sole


def lying_from(
    bed: str, model: BedModel, mesh: LyingMesh, bodies: Sequence[Body], on: OnMesh, found: Rested, untouched: Array,
    base: str, name: str, notes: tuple[str, ...],
) -> Lying:  # fmt: skip
    """Everything told of persons at rest. untouched (nodes,): how far the face lies down without them [mm]."""
    force, reach = contact_forces(on, found)
    area = mesh.mesh.area[mesh.node]
    per_node = np.bincount(on.bodies.nodes, force, len(mesh.mesh.x))[mesh.node]
    pressure = per_node / area * 1000
    down = found.u[:, 0] - untouched
    lain = tuple(_lain(index, body, mesh, on, found, force, down, area) for index, body in enumerate(bodies))
    slices = [_along(model, body, index, mesh, on, reach, found, untouched) for index, body in enumerate(bodies)]
    hips = float(np.mean([next(m[2] for m in body.marks if m[0] == "hip") for body in bodies]))
    slices.append(_across(model, hips, mesh, on, reach, found, untouched))
    return Lying(
        bed=bed, width=model.width, length=model.length, persons=lain, x=mesh.x, y=mesh.y, cell=mesh.cell,
        pressure=pressure, face_down=down[mesh.node], slices=tuple(slices), residual=found.residual,
        newton=found.newton, nodes=len(mesh.mesh.x), base=base, face=model.face, model=name, notes=notes,
    )  # fmt: skip


def contact_forces(on: OnMesh, found: Rested) -> tuple[Array, Array]:
    """Force of every contact [N], and how far the body's surface lies down there [mm]."""
    bodies = on.bodies
    counts = np.asarray(np.diff(bodies.starts.astype(np.int64)), dtype=np.int64)
    row = np.repeat(np.arange(len(bodies.nodes)), counts)
    reach = np.bincount(row, bodies.shares * found.w[bodies.heights], len(bodies.nodes)) - bodies.rise
    e = np.maximum((reach - found.u[bodies.nodes, 0]) / bodies.thickness, 0.0)
    soft = np.minimum(e, SOFT)
    stress = bodies.modulus * (soft / (1 - soft) + (e - soft) / (1 - SOFT) ** 2)
    return stress * bodies.touch, reach


def height_of(found: Rested, offset: int, hung: Hung) -> float:
    """How far down what hangs so lies [mm]."""
    return float(sum(share * found.w[offset + k] for k, share in hung))


def _lain(
    index: int, body: Body, mesh: LyingMesh, on: OnMesh, found: Rested, force: Array, down: Array, area: Array
) -> Lain:
    mine = on.owner == index
    offset = on.offsets[index]
    f, y = force[mine], on.y[mine]
    per_node = np.bincount(on.bodies.nodes[mine], f, len(mesh.mesh.x))[mesh.node]
    p = per_node / area * 1000
    touched = p > THRESHOLD
    held, whole = float(per_node[touched].sum()), float(area[touched].sum())
    cells = p[touched] if touched.any() else np.zeros(1)
    weight, carried = body.mass * G, float(f.sum())
    ends = np.array([-np.inf, *body.bounds, np.inf])
    share = {
        part: float(f[(y >= a) & (y < b)].sum() / weight) for part, a, b in zip(PARTS, ends, ends[1:], strict=False)
    }
    above = tuple(float(area[p > mmhg * KPA_PER_MMHG].sum() / whole) if whole else 0.0 for mmhg in SHOWN_ABOVE)
    middles = sum(mass * at for mass, _, at in body.masses) * G
    moment = abs(float(f @ on.axis_y[mine]) - middles) / (weight * body.stature)
    gap, clearance = _small_of_the_back(body, mesh, on, found, index) if body.posture == "supine" else (None, None)
    return Lain(
        called=body.called, posture=body.posture, contact_area=whole * 1e-6, mean=held / whole * 1000 if whole else 0.0,
        p95=float(np.percentile(cells, 95)), p99=float(np.percentile(cells, 99)), weight=weight, carried=carried,
        share=share, sink=_sinks(body, mesh, down), spine=_spine(body, found, offset), lumbar_gap=gap, above=above,
        force_error=abs(carried - weight) / weight, moment_error=moment,
        roll=float(np.degrees(np.arctan(found.w[offset + body.heights.index("roll")] / 100))),
        outline=tuple(rod.outline for rod in body.rods), clearance=clearance,
    )  # fmt: skip


def _sinks(body: Body, mesh: LyingMesh, down: Array) -> dict[str, float]:
    """How far the face has gone down at each mark, where it is deepest [mm]; of two knees or heels, the deeper."""
    x, y = mesh.mesh.x, mesh.mesh.y
    found: dict[str, float] = {}
    for name, mx, my, *_ in body.marks:
        near = np.hypot(x - mx, y - my) <= max(NEAR_A_MARK, 1.5 * mesh.cell)
        found[name] = float(np.max(down[near], initial=found.get(name, 0.0)))
    return found


def _spine(body: Body, found: Rested, offset: int) -> Spine:
    points = sorted(body.spine, key=lambda one: -one[1])
    along = np.array([y for _, y, _, _ in points])
    hangs = np.array([height_of(found, offset, hung) for _, _, hung, _ in points])
    rise = np.array([rise for *_, rise in points])
    slope, level = np.polyfit(along, -hangs, 1)
    off = (-hangs - slope * along - level) / np.hypot(1, slope)
    return Spine(
        along=along, height=rise - hangs, angle=float(np.degrees(np.arctan(-slope))),
        departure=float(np.max(np.abs(off))), rms=float(np.sqrt(np.mean(off**2))),
    )  # fmt: skip


def _small_of_the_back(body: Body, mesh: LyingMesh, on: OnMesh, found: Rested, index: int) -> tuple[float, float]:
    """How far the small of the back lies above the line from blades to buttocks, and its largest gap to the bed, mm."""
    mine = (on.owner == index) & (np.abs(on.x - body.middle) <= mesh.cell)
    top = body.bounds[2] - 0.65 * body.stature
    _, reach = contact_forces(on, found)
    y, surface, face = on.y[mine], reach[mine], found.u[on.bodies.nodes[mine], 0]
    skin = np.minimum(surface, face)  # where it is pressed it lies on the bed

    def depth(share: float) -> float:
        at = top + body.stature * (1 - share)
        near = np.abs(y - at) <= 1.01 * mesh.cell
        return float(np.max(skin[near])) if near.any() else 0.0

    blade, small, buttock = depth(BLADE), depth(SMALL), depth(BUTTOCK)
    line = blade + (buttock - blade) * (BLADE - SMALL) / (BLADE - BUTTOCK)
    share = 1 - (y - top) / body.stature
    between = (share > BUTTOCK) & (share < BLADE)
    gap = float(np.max(face[between] - surface[between], initial=0.0))
    return line - small, gap


def _surface(mesh: LyingMesh, on: OnMesh, reach: Array) -> Array:
    """Lowest body surface over each cell [mm down], nan where no body is."""
    found = np.full(len(mesh.mesh.x), -np.inf)
    np.maximum.at(found, on.bodies.nodes, reach)
    return np.where(np.isfinite(found), found, np.nan)[mesh.node]


def _along(
    model: BedModel, body: Body, index: int, mesh: LyingMesh, on: OnMesh, reach: Array, found: Rested, untouched: Array
) -> Slice:
    mine = np.where(on.owner == index, reach, -np.inf)
    column = int(np.argmin(np.abs(mesh.x - body.middle)))
    surface = _surface(mesh, on, mine)[:, column]
    node, top = mesh.node[:, column], model.untufted
    return Slice("along", float(mesh.x[column]), mesh.y, top - untouched[node], top - found.u[node, 0], top - surface)


def _across(
    model: BedModel, at: float, mesh: LyingMesh, on: OnMesh, reach: Array, found: Rested, untouched: Array
) -> Slice:
    row = int(np.argmin(np.abs(mesh.y - at)))
    surface = _surface(mesh, on, reach)[row]
    node, top = mesh.node[row], model.untufted
    return Slice("across", float(mesh.y[row]), mesh.x, top - untouched[node], top - found.u[node, 0], top - surface)
