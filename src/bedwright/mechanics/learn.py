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
from bedwright.mechanics.lain import CAUTION
from bedwright.mechanics.learn_figures import Figure
from bedwright.mechanics.learn_fit import Fitted, fitted
from bedwright.mechanics.learn_known import ENDS, HALF, Known, Spread, drawn, known_after, known_before
from bedwright.mechanics.learn_noise import Noise
from bedwright.mechanics.learn_posterior import Along, draws, prior
from bedwright.mechanics.learn_prepared import Prepared, Way, pad_tests, prepared
from bedwright.mechanics.learn_readings import PadReadings
from bedwright.mechanics.learn_revision import Proposal, Told, proposals
from bedwright.mechanics.learn_strings import StringReadings, together
from bedwright.mechanics.learn_told import Apart, Check, apart, check, coil_rate
from bedwright.mechanics.pad import Spot

Array = NDArray[np.float64]
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
class LearnedSinks:
    """One person lying: sinks [mm] of its parts as read, by the cards and learned; off [mm]: one standard deviation of
    each reading, body and ruler together."""

    called: str
    posture: str
    parts: tuple[str, ...]
    measured: tuple[float, ...]
    before: tuple[float, ...]
    after: tuple[float, ...]
    off: tuple[float, ...]
    how: str


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
    sinks: tuple[LearnedSinks, ...]
    check: Check
    apart: tuple[Apart, ...]
    proposals: tuple[Proposal, ...]
    notes: tuple[str, ...]
    steps: int
    model: str = MODEL


def learn(
    bed: BedAtSize,
    tests: Sequence[PadReadings] = (),
    *,
    strings: Sequence[StringReadings] = (),
    spot: Spot | None = None,
    base: Base = SOLID,
    noise: Noise | None = None,
    ruler: float | None = None,
    fineness: float = 1.0,
    tolerance: float = 1e-6,
) -> Learned:
    """What pad tests, and sinks of persons lying, say of a bed.

    spot: where a test does not say its own (else the middle of face A); noise: of the pad's readings, else from their
    scatter, never less than a ruler's; ruler [mm]: of a sink, one standard deviation, else a plausible one.

    Raises FaultsFound for tests that cannot be of this bed; NotKnown, OutsideRange, NotConverged as the pad test does.
    """
    spot = spot or Spot(bed.width / 2, bed.length / 2)
    if not tests and not strings:
        raise FaultsFound([Fault(says="no test to learn from", remedy="give depth and force of one or more")])
    pads, strings = pad_tests(bed, tests, spot, noise), together(strings)
    ready = prepared(bed, pads, strings, spot, Way(base, fineness, tolerance, noise, ruler))
    names, found = tuple(ready.figures), list(ready.figures.values())
    start = None
    if fineness > COARSE and pads:  # a first fit on a coarser mesh is soon had, and near
        coarse = prepared(bed, pads, strings, spot, Way(base, COARSE, LOOSE, noise, ruler))
        start = fitted(coarse.reads, len(names)).z
    fit = fitted(ready.reads, len(names), start)
    first, at = ready.first, ready.at
    z = draws(fit, found)
    along = Along(found, fit.z).of(z)[:, at]
    outcome = check(fit, names)
    told_apart = apart(fit, names, tuple(one.name for one in found if one.acts == "coils"))
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
        tests=_tests(ready, fit),
        sinks=_sinks(ready, fit),
        check=outcome,
        apart=told_apart,
        proposals=() if outcome.outside or not pads else _proposals(bed, ready.figures, learned, told_apart),
        notes=_notes(outcome, base, bool(strings)),
        steps=fit.steps,
    )


def _figure(figure: Figure, draws_of_it: Array, peak: float) -> LearnedFigure:
    def between(ends: tuple[float, float, float]) -> Spread:
        low, value, high = (figure.value(z) for z in ends)
        return Spread(value, min(low, high), max(low, high))

    low, middle, high = map(float, np.quantile(draws_of_it, (ENDS[0], 0.5, ENDS[1])))
    before, after = between((-HALF, 0.0, HALF)), between((low, middle, high))
    left = (after.high - after.low) / (before.high - before.low)
    return LearnedFigure(figure.name, figure.unit, before, after, left, peak)


def _tests(ready: Prepared, fit: Fitted) -> tuple[LearnedTest, ...]:
    found = []
    for test, read, seen in zip(ready.pads, ready.reads, fit.seen, strict=False):  # strings come after
        before = read.press.seen(np.zeros(len(read.at)), by=False)
        off = []
        for one in (before, seen):
            force, slope = one.at(read.depth), one.slope_at(read.depth)
            left = read.force - force
            zero, scale = test.noise.common(force, slope, left)
            off.append(float(np.sqrt(np.mean((left - zero * slope - scale * force) ** 2))))
        found.append(
            LearnedTest(
                test.read.called, test.spot, test.presses, read.depth, read.force, off[0], off[1], zero, scale,
                test.noise, test.left_out,
            )
        )  # fmt: skip
    return tuple(found)


def _sinks(ready: Prepared, fit: Fitted) -> tuple[LearnedSinks, ...]:
    found = []
    skip = len(ready.pads)
    for one, read, seen in zip(ready.strings, ready.reads[skip:], fit.seen[skip:], strict=True):
        before = read.press.seen(np.zeros(len(read.at)), by=False)
        spread = read.noise.spread(read.force, read.force)
        found.append(
            LearnedSinks(
                one.called, one.lies.posture, one.parts, tuple(read.force.tolist()),
                tuple(before.at(read.depth).tolist()), tuple(seen.at(read.depth).tolist()),
                tuple(np.sqrt(np.diag(spread)).tolist()), read.noise.how,
            )
        )  # fmt: skip
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


def _notes(outcome: Check, base: Base, lain: bool) -> tuple[str, ...]:
    notes = []
    if outcome.outside:
        notes.append(
            "nothing is proposed, since the cards cannot explain the readings: look for a part that is not the one on "
            "the card, a depth that was not counted from the first touch, a spot or a face that was another"
        )
    notes.append("one bed: a second sample says whether a figure is the card's or this bed's alone")
    notes.append("what the model leaves out is in no interval; nothing is changed, and nothing here is certified")
    if lain:
        notes.append(
            "the model of bodies was never held against sinks measured on a named bed, for none were found: sinks "
            "alone propose nothing for the cards"
        )
        notes.append(CAUTION)
    if base.form != "solid":
        notes.append("not on a solid base: not to be compared with a report to EN 1957")
    return tuple(notes)


__all__ = ["MODEL", "Learned", "LearnedFigure", "LearnedSinks", "LearnedTest", "learn"]
