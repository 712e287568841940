"""What a maker's own pad tests of one bed say of what its cards leave open: `learn(bed, tests) -> Learned`.

One file is one bed: figures differ from bed to bed, and readings of several beds are not laid together here. Nothing is
changed: a revision of the cards is proposed, a person accepts it. Comparison of beds; nothing is certified.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import Fault, FaultsFound, NotConverged, OutsideRange
from bedwright.mechanics.base import SOLID, Base
from bedwright.mechanics.bed_model import BedModel, bed_model
from bedwright.mechanics.learn_figures import Figure, figures
from bedwright.mechanics.learn_fit import Fitted, Read, fitted
from bedwright.mechanics.learn_known import ENDS, HALF, Known, Spread, drawn, known_after, known_before
from bedwright.mechanics.learn_noise import BY_HAND, Noise, roughness, thinned
from bedwright.mechanics.learn_posterior import Along, draws, prior
from bedwright.mechanics.learn_pressed import PAD, Press
from bedwright.mechanics.learn_readings import PadReadings
from bedwright.mechanics.learn_revision import Proposal, Told, proposals
from bedwright.mechanics.learn_told import Apart, Check, apart, check, coil_rate
from bedwright.mechanics.pad import Spot

Array = NDArray[np.float64]
DEEPEST = 0.8  # of the bed's height: a depth beyond is no depth of the pad
ROUGHER = 1.5  # times a ruler's scatter, from which the readings' own is taken
COARSE, LOOSE = 0.5, 1e-5  # fineness and residual of a first fit
MODEL = "learn 1"


@dataclass(frozen=True, slots=True)
class LearnedFigure:
    """An open figure: before and after, 90 of 100 between the ends, in `unit`; left: width after over width before, 1
    for nothing learned; z: standard deviations from what the cards say."""

    name: str
    unit: str
    before: Spread
    after: Spread
    left: float
    z: float


@dataclass(frozen=True, slots=True)
class LearnedTest:
    """One test: called as its file does, spot, face, presses before it; readings that counted, depth [mm], force [N];
    off_before, off_after: readings less prediction [N], root of the mean square, less what zero and scale of the test
    are likely off; zero [mm], scale [share]: those, after. noise: as reckoned with; left_out: readings not counted.
    """

    called: str
    spot: Spot
    presses: int
    depth: Array
    force: Array
    off_before: float
    off_after: float
    zero: float
    scale: float
    noise: Noise
    left_out: int


@dataclass(frozen=True, slots=True)
class Learned:
    """What was learned. rate: of the coils over their card's, before and after; before, after: curve and H at the first
    test's spot; notes: what to know beside it."""

    bed: str
    figures: tuple[LearnedFigure, ...]
    rate_before: Spread
    rate_after: Spread
    before: Known
    after: Known
    tests: tuple[LearnedTest, ...]
    check: Check
    apart: tuple[Apart, ...]
    proposals: tuple[Proposal, ...]
    notes: tuple[str, ...]
    steps: int
    model: str = MODEL


def learn(
    bed: BedAtSize,
    tests: Sequence[PadReadings],
    *,
    spot: Spot | None = None,
    base: Base = SOLID,
    noise: Noise | None = None,
    fineness: float = 1.0,
    tolerance: float = 1e-6,
) -> Learned:
    """What tests of a bed say. spot: where a test does not say its own (else the middle of face A); noise: of the
    readings, else from their scatter, never less than a ruler's.

    Raises FaultsFound for tests that cannot be of this bed; NotKnown, OutsideRange, NotConverged as the pad test does.
    """
    spot = spot or Spot(bed.width / 2, bed.length / 2)
    reads, told, names = _reads(bed, tests, spot, base, noise, fineness, tolerance)
    start = None
    if fineness > COARSE:  # a first fit on a coarser mesh is soon had, and near
        start = fitted(_reads(bed, tests, spot, base, noise, COARSE, LOOSE)[0], len(names)).z
    fit = fitted(reads, len(names), start)
    first, at = reads[0].press, reads[0].at
    by_name = {figure.name: figure for read in reads for figure in read.press.figures}
    found = [by_name[name] for name in names]
    z = draws(fit, found)
    along = Along(found, fit.z).of(z)[:, at]
    outcome = check(fit, names)
    told_apart = apart(fit, names, tuple(name for name in names if by_name[name].acts == "coils"))
    before = known_before(first)
    try:
        after = known_after(first, fit.z[at], along)
    except (NotConverged, OutsideRange):
        if not outcome.outside:
            raise
        after = before  # figures that nothing has; the check says so
    learned = tuple(_figure(one, z[:, k], float(fit.z[k])) for k, one in enumerate(found))
    return Learned(
        bed=bed.key,
        figures=learned,
        rate_before=drawn(coil_rate(first, prior(len(at)))),
        rate_after=drawn(coil_rate(first, z[:, at])),
        before=before,
        after=after,
        tests=_tests(reads, told, fit),
        check=outcome,
        apart=told_apart,
        proposals=() if outcome.outside else _proposals(bed, by_name, learned, told_apart),
        notes=_notes(outcome, reads),
        steps=fit.steps,
    )


def _reads(
    bed: BedAtSize, tests: Sequence[PadReadings], spot: Spot, base: Base, noise: Noise | None, fineness: float,
    tolerance: float,
) -> tuple[list[Read], list[tuple[PadReadings, Spot, int, int]], tuple[str, ...]]:  # fmt: skip
    """What is fitted, what the file said of each test, and the names of all figures."""
    faults: list[Fault] = []
    told = []
    for test in tests:
        where = Spot(
            spot.x if test.x is None else test.x, spot.y if test.y is None else test.y, test.face or spot.face
        )  # fmt: skip
        faults += _faults(bed, test, where)
        presses = 1 if test.cycle is None else min(test.cycle - 1, 1)
        told.append((test, where, presses))
    if not tests:
        faults.append(Fault(says="no test to learn from", remedy="give depth and force of one or more"))
    if faults:
        raise FaultsFound(faults)
    models: dict[tuple[str, int], tuple[BedModel, tuple[Figure, ...]]] = {}
    for _, where, presses in told:
        if (where.face, presses) not in models:
            model = bed_model(bed, where.face, presses)
            models[where.face, presses] = model, figures(model, bed.tolerances, base)
    names = tuple(dict.fromkeys(figure.name for _, found in models.values() for figure in found))
    reads, kept = [], []
    for test, where, presses in told:
        model, found = models[where.face, presses]
        depth, force, left_out = _counted(test)
        press = Press(model, found, where, base, float(depth[-1]), fineness=fineness, tolerance=tolerance)
        at = np.array([names.index(figure.name) for figure in found], dtype=np.int64)
        reads.append(Read(depth, force, press, noise or _noise(test), at))
        kept.append((test, where, presses, left_out))
    return reads, kept, names


def _faults(bed: BedAtSize, test: PadReadings, where: Spot) -> list[Fault]:
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
    count = len(_counted(test)[0])
    if count < 3:
        says = f"{called}{count} readings lie below the first touch and up to {PAD.greatest_force:g} N"
        faults.append(Fault(says=says, remedy="give three or more"))
    return faults


def _counted(test: PadReadings) -> tuple[Array, Array, int]:
    """Depth and force of the readings that count, and how many do not: before the touch, or beyond the test."""
    pairs = [
        (depth, force)
        for depth, force in zip(test.depth, test.force, strict=True)
        if depth > 0 and force <= PAD.greatest_force * 1.05
    ]
    depth, force = thinned([d for d, _ in pairs], [f for _, f in pairs]) if pairs else (np.zeros(0), np.zeros(0))
    return depth, force, len(test.depth) - len(pairs)


def _noise(test: PadReadings) -> Noise:
    """A ruler's, or more where the readings themselves scatter more."""
    depth, force, _ = _counted(test)
    keep = np.concatenate([[True], np.diff(depth) > 1e-6])
    depth, force = depth[keep], force[keep]
    scatter = roughness(depth, force)
    slope = np.gradient(force, depth) if len(depth) > 2 else np.zeros_like(force)
    usual = float(np.median(np.hypot(slope * BY_HAND.depth, force * BY_HAND.share)))
    if not np.isfinite(scatter) or scatter <= ROUGHER * usual:
        return BY_HAND
    more = min(scatter / max(usual, 1e-9), 10.0)
    return Noise(BY_HAND.depth * more, BY_HAND.share, "from the scatter of the readings")


def _figure(figure: Figure, draws_of_it: Array, peak: float) -> LearnedFigure:
    def between(ends: tuple[float, float, float]) -> Spread:
        low, value, high = (figure.value(z) for z in ends)
        return Spread(value, min(low, high), max(low, high))

    low, middle, high = map(float, np.quantile(draws_of_it, (ENDS[0], 0.5, ENDS[1])))
    before, after = between((-HALF, 0.0, HALF)), between((low, middle, high))
    left = (after.high - after.low) / (before.high - before.low)
    return LearnedFigure(figure.name, figure.unit, before, after, left, peak)


def _tests(
    reads: Sequence[Read], told: Sequence[tuple[PadReadings, Spot, int, int]], fit: Fitted
) -> tuple[LearnedTest, ...]:
    found = []
    for read, (test, where, presses, left_out), seen in zip(reads, told, fit.seen, strict=True):
        before = read.press.seen(np.zeros(len(read.at)), by=False)
        off = []
        for one in (before, seen):
            force, slope = one.at(read.depth), one.slope_at(read.depth)
            left = read.force - force
            zero, scale = read.noise.common(force, slope, left)
            off.append(float(np.sqrt(np.mean((left - zero * slope - scale * force) ** 2))))
        found.append(
            LearnedTest(
                test.called, where, presses, read.depth, read.force, off[0], off[1], zero, scale, read.noise, left_out
            )
        )
    return tuple(found)


def _proposals(
    bed: BedAtSize, by_name: dict[str, Figure], learned: Sequence[LearnedFigure], told: Sequence[Apart]
) -> tuple[Proposal, ...]:
    together = {name for one in told if one.how != "stand in" for name in one.names}
    found = []
    for one in learned:
        home, alone = by_name[one.name], one.name not in together
        found.append(Told(one.name, home.card, home.field, home.unit, home.old, one.after, one.left, alone))
    return proposals(bed, found)


def _notes(outcome: Check, reads: Sequence[Read]) -> tuple[str, ...]:
    notes = []
    if outcome.outside:
        notes.append(
            "nothing is proposed, since the cards cannot explain the readings: look for a part that is not the one on "
            "the card, a depth that was not counted from the first touch, a spot or a face that was another"
        )
    notes.append("one bed: a second sample says whether a figure is the card's or this bed's alone")
    notes.append("what the model leaves out is in no interval; nothing is changed, and nothing here is certified")
    if any(one.press.base.form != "solid" for one in reads):
        notes.append("not on a solid base: not to be compared with a report to EN 1957")
    return tuple(dict.fromkeys(notes))


__all__ = ["MODEL", "Learned", "LearnedFigure", "LearnedTest", "learn"]
