"""A maker's readings made ready to be fitted: where each test stood, which readings count, how far each may be off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import Fault, FaultsFound
from bedwright.mechanics.base import Base
from bedwright.mechanics.bed_model import BedModel, bed_model
from bedwright.mechanics.learn_figures import Figure, figures
from bedwright.mechanics.learn_fit import Read
from bedwright.mechanics.learn_noise import BY_HAND, Noise, roughness, thinned
from bedwright.mechanics.learn_pressed import PAD, Press
from bedwright.mechanics.learn_readings import PadReadings
from bedwright.mechanics.learn_strings import StringReadings, sink_noise
from bedwright.mechanics.learn_sunk import SunkPress
from bedwright.mechanics.pad import Spot

Array = NDArray[np.float64]
DEEPEST = 0.8  # of the bed's height: a depth beyond is no depth of the pad
ROUGHER = 1.5  # times a ruler's scatter, from which the readings' own is taken
FEWEST = 3  # readings of a test


@dataclass(frozen=True, slots=True)
class PadTest:
    """A pad test ready to be fitted: as the file has it, where it stood, presses before it, and what counts of it."""

    read: PadReadings
    spot: Spot
    presses: int
    depth: Array
    force: Array
    left_out: int
    noise: Noise


@dataclass(frozen=True, slots=True)
class Prepared:
    """Pad tests and strings of one bed ready to be fitted, with all open figures by name; reads: of both, in order."""

    pads: tuple[PadTest, ...]
    strings: tuple[StringReadings, ...]
    reads: tuple[Read, ...]
    figures: dict[str, Figure]
    first: Press
    at: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Way:
    """How beds are pressed while learning: base, fineness of the mesh, residual asked; noise as given, None for the
    readings' own; ruler [mm]: of strings, None for the plausible one."""

    base: Base
    fineness: float
    tolerance: float
    noise: Noise | None = None
    ruler: float | None = None


def pad_tests(bed: BedAtSize, tests: Sequence[PadReadings], spot: Spot, noise: Noise | None) -> tuple[PadTest, ...]:
    """Tests made ready; spot: where one does not say its own. Raises FaultsFound for what cannot be of this bed."""
    faults: list[Fault] = []
    found = []
    for test in tests:
        where = Spot(
            spot.x if test.x is None else test.x, spot.y if test.y is None else test.y, test.face or spot.face
        )  # fmt: skip
        depth, force, left_out = counted(test)
        faults += _faults(bed, test, where, len(depth))
        presses = 1 if test.cycle is None else min(test.cycle - 1, 1)
        if len(depth) >= FEWEST:
            found.append(PadTest(test, where, presses, depth, force, left_out, noise or _noise(depth, force)))
    if faults:
        raise FaultsFound(faults)
    return tuple(found)


def prepared(
    bed: BedAtSize, pads: Sequence[PadTest], strings: Sequence[StringReadings], spot: Spot, way: Way
) -> Prepared:
    """Presses for every test. The first pad test's spot, else `spot`, is where curve and H are told."""
    models: dict[tuple[str, int], tuple[BedModel, tuple[Figure, ...]]] = {}
    both = len({test.spot.face for test in pads} | ({spot.face} if strings else set())) > 1

    def model_of(face: str, presses: int) -> tuple[BedModel, tuple[Figure, ...]]:
        if (face, presses) not in models:
            model = bed_model(bed, face, presses)
            found = figures(model, bed.tolerances, way.base)
            models[face, presses] = model, tuple(_of_face(one, face) if both else one for one in found)
        return models[face, presses]

    presses = []
    for test in pads:
        model, found = model_of(test.spot.face, test.presses)
        deepest = float(test.depth[-1])
        presses.append(
            Press(model, found, test.spot, way.base, deepest, fineness=way.fineness, tolerance=way.tolerance)
        )  # fmt: skip
    lain = [
        SunkPress(bed, *model_of(spot.face, 1), one.lies, one.parts, way.base) for one in strings
    ]  # fmt: skip
    first = presses[0] if presses else Press(
        *model_of(spot.face, 1), spot, way.base, 50.0, fineness=way.fineness, tolerance=way.tolerance
    )  # fmt: skip
    every = {figure.name: figure for _, found in models.values() for figure in found}
    names = list(every)

    def at(found: Sequence[Figure]) -> NDArray[np.int64]:
        return np.array([names.index(figure.name) for figure in found], dtype=np.int64)

    reads = [
        Read(test.depth, test.force, press, test.noise, at(press.figures))
        for test, press in zip(pads, presses, strict=True)
    ]
    for one, sunk in zip(strings, lain, strict=True):
        values = np.array([value for _, value in one.sink])
        off = sink_noise(one, sunk.unsure(), way.ruler)
        reads.append(Read(np.arange(len(values), dtype=np.float64), values, sunk, off, at(sunk.figures)))
    return Prepared(tuple(pads), tuple(strings), tuple(reads), every, first, at(first.figures))


def _of_face(one: Figure, face: str) -> Figure:
    """A figure of one face alone, named so: two panels are sewn on one after the other, and pull as they come out."""
    return replace(one, name=f"{one.name}, face {face}") if "panel tension" in one.name else one


def counted(test: PadReadings) -> tuple[Array, Array, int]:
    """Depth and force of the readings that count, and how many do not: before the touch, or beyond the test."""
    pairs = [
        (depth, force)
        for depth, force in zip(test.depth, test.force, strict=True)
        if depth > 0 and force <= PAD.greatest_force * 1.05
    ]
    depth, force = thinned([d for d, _ in pairs], [f for _, f in pairs]) if pairs else (np.zeros(0), np.zeros(0))
    return depth, force, len(test.depth) - len(pairs)


def _faults(bed: BedAtSize, test: PadReadings, where: Spot, count: int) -> list[Fault]:
    faults = []
    called = f"test {test.called}: " if test.called else ""
    if not (0 <= where.x <= bed.width and 0 <= where.y <= bed.length):
        says = f"{called}{where.x:g}, {where.y:g} mm is off bed {bed.key}"
        remedy = f"give 0 to {bed.width:g} mm across and 0 to {bed.length:g} mm along, from the head's left corner"
        faults.append(Fault(says=says, remedy=remedy))
    if where.face == "B" and bed.bed.faces == 1:
        faults.append(Fault(says=f"{called}bed {bed.key} has one face", remedy="press face A"))
    if test.depth[-1] > DEEPEST * bed.reckoned_height:
        says = f"{called}a depth of {test.depth[-1]:g} mm on a bed of {bed.reckoned_height:.0f} mm"
        faults.append(Fault(says=says, remedy="give depths from the first touch, in mm"))
    if count < FEWEST:
        says = f"{called}{count} readings lie below the first touch and up to {PAD.greatest_force:g} N"
        faults.append(Fault(says=says, remedy="give three or more"))
    return faults


def _noise(depth: Array, force: Array) -> Noise:
    """A ruler's, or more where the readings themselves scatter more."""
    keep = np.concatenate([[True], np.diff(depth) > 1e-6])
    depth, force = depth[keep], force[keep]
    scatter = roughness(depth, force)
    slope = np.gradient(force, depth) if len(depth) > 2 else np.zeros_like(force)
    usual = float(np.median(np.hypot(slope * BY_HAND.depth, force * BY_HAND.share)))
    if not np.isfinite(scatter) or scatter <= ROUGHER * usual:
        return BY_HAND
    more = min(scatter / max(usual, 1e-9), 10.0)
    return Noise(BY_HAND.depth * more, BY_HAND.share, "from the scatter of the readings")
