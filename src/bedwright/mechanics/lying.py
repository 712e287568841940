"""Persons lying on a bed: `lying(bed, persons) -> Lying`, the same bed that the pad test presses.

Bodies are chains of rods with soft tissue (body.py, supine.py, side.py); the heights of their joints are sought with
the fields of the bed, so weight, pressure and moments balance to the residual that is said. A comparison of beds;
no medical claim.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import isfinite
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import Fault, FaultsFound, NotConverged, OutsideRange
from bedwright.mechanics.base import SOLID, Base
from bedwright.mechanics.bed_field import Layout, Placed, bed_field, place, samples_of
from bedwright.mechanics.bed_model import BedModel, bed_model
from bedwright.mechanics.body import Body, G, OnMesh, on_mesh
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.lain import Lying
from bedwright.mechanics.lain_from import lying_from
from bedwright.mechanics.lying_bench import TOLERANCE, Rested, rested
from bedwright.mechanics.lying_mesh import LyingMesh, lying_mesh
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.person import Person
from bedwright.mechanics.posture import FLESH, PILLOWS, Flesh, Pillow, Posture
from bedwright.mechanics.side import Facing, UpperLeg, on_the_side
from bedwright.mechanics.solver import Bench
from bedwright.mechanics.supine import supine
from bedwright.typed import show

Array = NDArray[np.float64]
MODEL = "persons 1"
"""Name and version of the model behind the door; part of what a kept result is keyed by."""
CELL = 20.0  # [mm]
MARGIN = 45.0  # of fine cells round a body [mm]
HEAD_ROOM, LEAST_ROOM = 100.0, 20.0  # from the head's edge to the vertex [mm]
CLOSEST = 0.7  # of the trunks' half breadths together, between two persons' middles
CELLS = (10.0, 60.0)
TOLERANCES = (1e-12, 0.1)
TURNED = 10.0  # [degrees] from where on it is noted that heights go with a small angle
LEANS, FALLS = 25.0, 50.0
"""How far aside of its weight a bed carries a body on its side [mm], the rest being held by its own muscles: from where
on that is noted, and from where on, at an edge, nobody lies so (plausible, no source)."""
UNTOUCHED = 1e-5  # residual of the bed that nobody lies on
Edge = Literal["left", "right"]


@dataclass(frozen=True, slots=True)
class Lies:
    """A person as it lies. x [mm]: middle of the trunk across the bed; None: alone in the middle, two at the quarters.

    facing: on the side, to the bed's left or right edge, seen from the foot; upper_leg: where it lies then.
    """

    person: Person
    posture: Posture = "supine"
    x: float | None = None
    facing: Facing = "right"
    pillow: Pillow | None = None
    upper_leg: UpperLeg = "on the bed"


@dataclass(frozen=True, slots=True, eq=False)
class Bedded:
    """Persons over a bed's mesh, and the bed placed under it: what does not change with the bed's figures."""

    mesh: LyingMesh
    bodies: tuple[Body, ...]
    on: OnMesh
    placed: Placed


def lying(
    bed: BedAtSize,
    persons: Sequence[Lies],
    *,
    face: str = "A",
    base: Base = SOLID,
    model: BedModel | None = None,
    cell: float = CELL,
    tolerance: float = TOLERANCE,
    flesh: Flesh = FLESH,
    start: Rested | None = None,
    to_edge: Edge | None = None,
) -> Lying:
    """One or two persons at rest on a bed, its face up, on a base.

    model: one moved on purpose (or settled), in place of the bed's own. cell [mm]: of the map. flesh: another set of
    tissue and joints. to_edge: the map reaches to that edge of the bed. Raises FaultsFound for persons that cannot lie
    so, OutsideRange for a tolerance that is none, NotKnown for a filling without figures, NotConverged with the
    residual.
    """
    if not TOLERANCES[0] <= tolerance <= TOLERANCES[1]:
        raise OutsideRange(f"a tolerance of {tolerance:g} of the weight; give {TOLERANCES[0]:g} to {TOLERANCES[1]:g}")
    model = model or bed_model(bed, face)
    bedded = bedded_on(bed, persons, model, base, cell, flesh, to_edge)
    one = bed_field(model, bedded.placed)
    found = rested(one, bedded.on, tolerance, start)
    notes = *_leaning(bed, bedded, found, flesh), *_notes(bed, model, base, persons, bedded.bodies, cell)
    return told_of(bed, model, bedded, found, untouched_face(model, one), notes)


def untouched_face(model: BedModel, one: Field) -> Array:
    """How far tufts hold the face down before anybody lies there (nodes,) [mm]."""
    if model.tufts is None:
        return np.zeros(len(one.area))
    return Bench(one, UNTOUCHED).settled(-1e6).u[:, 0]


def told_of(
    bed: BedAtSize,
    model: BedModel,
    bedded: Bedded,
    found: Rested,
    untouched: Array,
    notes: tuple[str, ...] = (),
) -> Lying:
    """Everything told of persons at rest; untouched (nodes,): how far the face lies down without them [mm]."""
    words = bedded.placed.base.words()
    return lying_from(bed.key, model, bedded.mesh, bedded.bodies, bedded.on, found, untouched, words, MODEL, notes)


def bedded_on(
    bed: BedAtSize, persons: Sequence[Lies], model: BedModel, base: Base, cell: float = CELL, flesh: Flesh = FLESH,
    to_edge: Edge | None = None,
) -> Bedded:  # fmt: skip
    """Persons over a mesh of a bed. Raises FaultsFound with all that is wrong."""
    lie = _where(bed, persons, model, cell)
    mesh, bodies, on = _over(bed.width, bed.length, lie, cell, flesh, to_edge)
    spot = Spot(bed.width / 2, bed.length / 2, model.face)
    corners, shares, area, at = samples_of(model, mesh.mesh, spot)
    nodes = len(mesh.mesh.x)
    out, none = np.full(nodes, 1e9), np.zeros(nodes)
    where = Layout(spot, Protocol(), mesh.mesh, corners, shares, area, at, out, none)
    return Bedded(mesh, bodies, on, place(model, where, base))


@lru_cache(maxsize=8)
def _over(
    width: float, length: float, lie: tuple[Lies, ...], cell: float, flesh: Flesh, to_edge: Edge | None
) -> tuple[LyingMesh, tuple[Body, ...], OnMesh]:
    """The mesh of a plan under persons, and what of them lies over each cell."""
    bodies = tuple(body_of(one, length, flesh) for one in lie)
    windows = np.array([body.window for body in bodies])
    left, head = windows[:, :2].min(axis=0) - MARGIN
    right, foot = windows[:, 2:].max(axis=0) + MARGIN
    left, right = (0.0 if to_edge == "left" else left), (width if to_edge == "right" else right)
    ends = [cell * np.floor(v / cell) for v in (left, head)] + [cell * np.ceil(v / cell) for v in (right, foot)]
    mesh = lying_mesh(width, length, *(float(v) for v in ends), cell)
    return mesh, bodies, on_mesh(bodies, mesh)


def body_of(one: Lies, length: float, flesh: Flesh = FLESH) -> Body:
    """A person as it lies on a bed of a length [mm]."""
    pillow = one.pillow or PILLOWS[one.posture]
    top = max(LEAST_ROOM, min(HEAD_ROOM, (length - one.person.stature) / 2))
    x = one.x or 0.0
    if one.posture == "supine":
        return supine(one.person, pillow, flesh, x, top)
    return on_the_side(one.person, pillow, flesh, x, top, one.facing, one.upper_leg)


def _where(bed: BedAtSize, persons: Sequence[Lies], model: BedModel, cell: float) -> tuple[Lies, ...]:
    """The persons with their places. Raises FaultsFound."""
    faults = []

    def fault(says: str, remedy: str, field: str, value: object = None) -> None:
        shown = "" if value is None else str(value)
        faults.append(Fault(says=says, remedy=remedy, card=f"bed {bed.key}", field=field, value=shown))

    if not 1 <= len(persons) <= 2:
        fault(f"{len(persons)} persons cannot be laid", "give one or two", "persons")
    if not CELLS[0] <= cell <= CELLS[1]:
        fault(f"a cell of {_shown(cell)} mm", f"use {CELLS[0]:g} to {CELLS[1]:g} mm", "cell", cell)
    if model.face not in ("A", "B") or (model.face == "B" and bed.bed.faces == 1):
        remedy = "give A or B" if bed.bed.faces == 2 else "a one-sided bed has face A only"
        fault(f"nobody can lie on face {model.face}", remedy, "face")
    if (model.width, model.length) != (bed.width, bed.length):
        size = f"{_shown(model.width)} x {_shown(model.length)} mm"
        fault(f"the model is of a bed of {size}", "give the model of this bed", "model", size)
    places = [0.5] if len(persons) == 1 else [0.25, 0.75]
    found = [replace(one, x=bed.width * p) if one.x is None else one for one, p in zip(persons, places, strict=False)]
    for one in found:
        x = one.x or 0.0
        for field, value, known in (
            ("posture", one.posture, get_args(Posture)),
            ("facing", one.facing, get_args(Facing)),
            ("upper leg", one.upper_leg, get_args(UpperLeg)),
        ):
            if value not in known:
                fault(f"no {field} is called so", f"write {' or '.join(known)}", field, value)
        if not 0 <= x <= bed.width:
            fault(
                f"{one.person.called} lies off the bed at {_shown(x)} mm", f"give 0 to {_shown(bed.width)} mm", "x", x
            )
        if one.person.stature > bed.length + 100:
            fault(
                f"{one.person.called} is longer than the bed of {show(bed.length, 4)} mm", "take a longer bed", "person"
            )
        if one.pillow is not None and not (1 <= one.pillow.height <= 300 and 0.5 <= one.pillow.stiffness <= 100):
            fault("such a pillow is none", "give 1 to 300 mm and 0.5 to 100 kPa", "pillow", one.pillow)
    if len(found) == 2 and not faults:
        apart = abs((found[0].x or 0.0) - (found[1].x or 0.0))
        least = CLOSEST * sum(one.person.size("bideltoid_breadth") / 2 for one in found)
        if apart < least:
            fault(
                f"{show(apart, 3)} mm between two persons' middles", f"leave at least {show(least, 3)} mm", "x", apart
            )
    if faults:
        raise FaultsFound(faults)
    return tuple(found)


def _leaning(bed: BedAtSize, bedded: Bedded, found: Rested, flesh: Flesh) -> list[str]:
    """Notes on who is kept on the side by itself more than by the bed. Raises NotConverged for who would roll off."""
    notes = []
    for body, offset in zip(bedded.bodies, bedded.on.offsets, strict=True):
        turn = float(found.w[offset + body.heights.index("roll")]) / 100
        angle = float(np.degrees(np.arctan(abs(turn))))
        if angle > TURNED:
            notes.append(
                f"{body.called}: turned by {angle:.0f} degrees, where angles no longer count as small: roughly"
            )
        if body.posture != "side":
            continue
        moment = flesh.hold * turn  # [N m]
        aside, (left, _, right, _) = abs(moment) * 1000 / (body.mass * G), body.window
        over, way = (right > bed.width, "right") if moment > 0 else (left < 0, "left")
        who = f"{body.called}, on the side at x = {show(body.middle, 4)} mm"
        if over and aside > FALLS:
            raise NotConverged(
                f"{who}, does not stay there: rolls off the bed over its {way} edge (the bed carries it {aside:.0f} mm "
                "aside of its weight, more than muscles and limbs hold); lay them nearer to the middle",
                residual=found.residual,
            )
        if aside > LEANS:
            notes.append(
                f"{who}: leans to the {way}, the bed carries it {aside:.0f} mm aside of its weight, and muscles and "
                "limbs would have to hold the rest: nearer to the middle of the bed they have less to hold"
            )
    return notes


def _shown(value: float) -> str:
    return show(value, 4) if isfinite(value) else str(value)


def _notes(
    bed: BedAtSize, model: BedModel, base: Base, persons: Sequence[Lies], bodies: Sequence[Body], cell: float
) -> tuple[str, ...]:
    notes: list[str] = []
    if cell > min(model.main.pitch):
        notes.append(
            f"cells of {show(cell, 3)} mm are wider than the coils stand apart, {show(min(model.main.pitch), 3)} mm: "
            "single sinks, and steps between zipped beds, want smaller cells"
        )
    for one, body in zip(persons, bodies, strict=True):
        pillow = one.pillow or PILLOWS[one.posture]
        notes.append(
            f"{one.person.called}: pillow of {show(pillow.height, 3)} mm, {show(pillow.stiffness, 2)} kPa"
            + ("" if one.pillow else " (plausible; give your own)")
        )
        notes += list(one.person.notes)
        left, head, right, foot = body.window
        if left < 0 or right > bed.width or foot > bed.length or head < 0:
            notes.append(
                f"{one.person.called}: parts of the body reach over the bed's edge and are carried by the rest"
            )
        beyond = [m[0] for m in body.marks if not (0 <= m[1] <= bed.width and 0 <= m[2] <= bed.length)]
        if beyond:
            places = " and ".join(dict.fromkeys(beyond))
            notes.append(f"{one.person.called}: {places} lies off the bed; the sink told there is the edge's, or 0")
        if one.posture == "side":
            notes.append("on the side, muscles and limbs keep the trunk from rolling; that moment is not the bed's")
    for figure in (model.tension, model.main.tie, model.main.ring):
        if not figure.known:
            notes.append(figure.told)
    warm = sorted({ply.name for ply in model.fillings.values() if ply.warm})
    if warm:
        notes.append(f"goes soft when warm: {', '.join(warm)}; the figures hold at the supplier's temperature only")
    if base.form != "solid":
        notes.append(f"on {base.words()}")
    notes.append("reckoned, not measured: stiffness of tissue is known within a factor of five; compare beds only")
    return tuple(dict.fromkeys(notes))


__all__ = [
    "CELL",
    "MODEL",
    "Bedded",
    "Lies",
    "Lying",
    "Pillow",
    "bedded_on",
    "body_of",
    "lying",
    "told_of",
    "untouched_face",
]
