"""The pad test of a bed: times at centre and edge, with intervals, of many builds and many coils; and hexahedra beside.

The bed is the demo's pocket bed with two zones that mirror nothing, and three fillings on each face.
"""

from __future__ import annotations

import resource
import statistics
from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.mechanics.base import SOLID
from bedwright.mechanics.bed_field import bed_field, layout, place
from bedwright.mechanics.bed_model import bed_model
from bedwright.mechanics.hardness import Hardness, hardness
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.pad_path import Path, press
from bedwright.mechanics.pad_test import pad_test
from bedwright.mechanics.plain_bed import PlainBed, PlainLayer
from bedwright.mechanics.plain_test import plain_pad_test
from bedwright.works.beds import BedLayer
from bedwright.works.card import Card
from bedwright.works.springs import UnitZone
from bedwright.works.works import Works
from measures import _lying
from measures._demo import demo, timed
from measures._hexahedra import SolidBed
from measures._published import Figure

TITLE = "pad test of a 150 x 200 cm bed"
PAD = Protocol()
CENTRE, EDGE = Spot(750.0, 1000.0), Spot(200.0, 1000.0)
BED, SIZE, BUILDS = "PLOVER", "150x200", 200
LEAST_WIRE = 0.5  # mm
COUNTS = (300, 1000, 3000, 10000)
PLAIN = PlainBed(
    0.3, 100.0, 100.0, tuple(PlainLayer(E, t, 0.0) for E, t in ((12, 22), (28, 30), (60, 9))), 100.0, 1500.0, 2000.0
)  # fmt: skip
DOWN = [float(depth) for depth in np.linspace(6, 84, 14)]
DEPTHS = [*DOWN, *DOWN[-2::-1]]
COARSEST, REFINED = (6, 3, 5), (9, 5, 8)


def changed(card: Card, **fields: Any) -> Card:
    """A card with some of its fields changed."""
    return type(card).make(**{**{name: getattr(card, name) for name in type(card).model_fields}, **fields})


def zoned(pitch: float = 56.3, firm: float = 1.9) -> BedAtSize:
    """The bed with pocket coils at a pitch [mm] and wire [mm] of the firmer zones; coils scaled with the pitch."""
    found: Works = demo()
    size = pitch / 56.3
    thin = size**1.25  # so that a square metre stays as stiff: d^4 / D^3 over pitch^2
    more = (max(1.8 * thin, LEAST_WIRE) / (1.8 * thin)) ** 4  # turns, where wire is not drawn so thin
    wires = {
        code: changed(found.wires["W18"], code=code, diameter=round(diameter * max(thin, LEAST_WIRE / 1.8), 4))
        for code, diameter in (("Z-SOFT", 1.8), ("Z-FIRM", firm))
    }
    coils = {
        code: changed(
            found.coils["PC-52"], code=code, wire=wire, end_diameter=round(52 * size, 3), live_turns=6 * more,
            total_turns=6 * more + 1,
        )
        for code, wire in (("PC-SOFT", "Z-SOFT"), ("PC-FIRM", "Z-FIRM"))
    }  # fmt: skip
    rows, columns = int(1960 / pitch), int(1460 / pitch)
    zones = (
        UnitZone(position=1, first_row=rows // 3, last_row=rows // 2, coil="PC-FIRM"),
        UnitZone(position=2, last_column=columns // 4, coil="PC-FIRM"),
    )
    unit = changed(
        found.units["POCKET-1000"], code="Z-UNIT", coil="PC-SOFT", pitch_across=pitch, pitch_along=pitch, zones=zones
    )
    layers = tuple(
        BedLayer(face=face, position=at, part=part, glued=at == 1)
        for face in "AB"
        for at, part in enumerate(("INSULATOR", "FELT", "FOAM-SOFT"), start=1)
    )
    bed = changed(found.beds[BED], unit="Z-UNIT", layers=layers)
    cards = [bed if card is found.beds[BED] else card for card in found.all_cards()]
    works = Works.of(found.about, [*cards, *wires.values(), *coils.values(), unit])
    return bed_at_size(works, works.beds[BED], works.sizes[SIZE])


def pressed(bed: BedAtSize, spot: Spot, fineness: float = 1.0) -> tuple[Path, Hardness, int]:
    """The test without its intervals: from the bed's parts to curve and H; and the nodes of the mesh."""
    model = bed_model(bed, spot.face)
    where = layout(model, spot, PAD, fineness)
    path = press(bed_field(model, place(model, where, SOLID)), PAD.greatest_force, PAD.slope_forces, 1e-6)
    return path, hardness(path.depth, path.force, PAD.slope_forces, smooth=True), where.nodes


def seconds(work: Callable[[], object], times: int = 5) -> float:
    """The middle of several runs after one that warms up."""
    work()
    return statistics.median(timed(work)[1] for _ in range(times))


@cache
def plainest() -> BedAtSize:
    return zoned()


def run() -> list[Figure]:
    return [*_one_bed(), *_meshes(), *_builds(), *_coils(), *_lying.rows(), _memory(), *_solids()]


def _one_bed() -> list[Figure]:
    path, found, nodes = pressed(plainest(), CENTRE)
    points = len(path.down) + len(path.back)
    residual = max(state.residual for state in (*path.down, *path.back))
    coils = len(bed_model(plainest()).main.x)
    centre, edge = (seconds(lambda spot=spot: pressed(plainest(), spot)) for spot in (CENTRE, EDGE))  # type: ignore[misc]
    whole = seconds(lambda: pad_test(plainest(), CENTRE), 3)
    return [
        (
            "bed",
            f"{coils} coils, 3 fillings a face, {nodes} nodes; H {found.tangent:.2f} (secant {found.secant:.2f}) N/mm",
        ),
        ("points down and back, worst residual", f"{points}, {residual:.1e} of the force"),
        ("centre, warm", f"{centre:.3f} s"),
        ("edge spot, 200 mm from the side", f"{edge:.3f} s"),
        ("centre with intervals", f"{whole:.3f} s"),
    ]


def _meshes() -> list[Figure]:
    told = []
    for name, spot in (("centre", CENTRE), ("edge spot", EDGE)):
        (one, h, _), (fine, finer, _) = pressed(plainest(), spot), pressed(plainest(), spot, 2.0)
        depths = np.linspace(20, min(one.depth[-1], fine.depth[-1]), 20)
        force = np.interp(depths, fine.depth, fine.force) / np.interp(depths, one.depth, one.force) - 1
        h_change = max(abs(finer.tangent / h.tangent - 1), abs(finer.secant / h.secant - 1))
        told.append(
            (
                f"steps of the mesh halved, {name}",
                f"H {h_change:.2%}, force {np.abs(force).max():.2%} at most from 20 mm down",
            )
        )
    return told


def _builds() -> list[Figure]:
    times = []
    for k in range(BUILDS):
        bed = zoned(firm=1.85 + 0.2 * k / BUILDS)
        times.append(timed(lambda bed=bed: pressed(bed, CENTRE))[1])  # type: ignore[misc]
    first, last = statistics.median(times[:20]), statistics.median(times[-20:])
    return [
        (f"{BUILDS} builds in a row", f"first 20: {first:.3f} s, last 20: {last:.3f} s, slowest {max(times):.3f} s")
    ]


def _coils() -> list[Figure]:
    counts, times, told = [], [], []
    for count in COUNTS:
        pitch = float(np.sqrt(1500 * 2000 / count))
        bed = zoned(pitch)
        fineness = _fine_enough(bed, pitch / 2)
        nodes = pressed(bed, CENTRE, fineness)[2]
        counts.append(len(bed_model(bed).main.x))
        times.append(seconds(lambda bed=bed, f=fineness: pressed(bed, CENTRE, f), 3))  # type: ignore[misc]
        told.append(f"{counts[-1]} coils, {nodes} nodes {times[-1]:.3f} s")
    power = np.log(times[-1] / times[0]) / np.log(counts[-1] / counts[0])
    return [
        ("more coils, nodes under the pad at most half a pitch apart in the mean", "; ".join(told)),
        ("exponent of time over coils", f"{power:.2f}"),
    ]


def _fine_enough(bed: BedAtSize, apart: float) -> float:
    """Fineness of the mesh at which nodes under the pad stand this far apart or nearer, in the mean [mm]."""
    model = bed_model(bed)
    fineness = 1.0
    while (PAD.area / np.count_nonzero(layout(model, CENTRE, PAD, fineness).touch)) ** 0.5 > apart:
        fineness += 0.1
    return fineness


def _memory() -> Figure:
    return "memory at its highest so far", f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB"


def _solids() -> list[Figure]:
    """The plain bed, glued layers; hexahedra on the coarsest mesh within 1 % of its own refinement."""
    ours = seconds(lambda: plain_pad_test(PLAIN, DEPTHS))
    forces = plain_pad_test(PLAIN, DEPTHS).force
    told = [("plain bed of 3 glued layers", f"{len(DEPTHS)} points up and back {ours:.3f} s")]
    for how in ("refactoring", "condensing"):
        solid = SolidBed(PLAIN, COARSEST)
        theirs = getattr(solid, how)(DEPTHS)
        apart = np.abs(forces / theirs - 1).max()
        told.append(
            (
                f"hexahedra, {how}: {solid.unknowns} unknowns, {solid.factorisations} factorisations",
                f"{solid.seconds:.1f} s, {solid.seconds / ours:.0f} times as long; forces within {apart:.1%}",
            )
        )
    few = [20.0, 50.0, 84.0]
    coarse, fine = (SolidBed(PLAIN, mesh).condensing(few) for mesh in (COARSEST, REFINED))
    told.append(("hexahedra against their refinement", f"{np.abs(coarse / fine - 1).max():.1%}"))
    return told
