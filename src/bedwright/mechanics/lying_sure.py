"""How sure a lying is: each open figure of bed and body moved to its limits, and what every told figure does then.

Persons are laid again at each limit, from the answer already found: contact comes and goes, so no sensitivity would
hold. Moves are taken as independent and add as squares, each way apart. What a move has in common with another bed's
(the same tissue, the same filling) falls out of the difference of the two: so each move is told by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize, HouseTolerances
from bedwright.mechanics.base import SOLID, Base
from bedwright.mechanics.bed_field import bed_field, place
from bedwright.mechanics.bed_model import BedModel, bed_model
from bedwright.mechanics.intervals import changes
from bedwright.mechanics.lain import Lain
from bedwright.mechanics.lying import CELL, Bedded, Lies, bedded_on, told_of, untouched_face
from bedwright.mechanics.lying_bench import Rested, rested
from bedwright.mechanics.posture import FLESH, PILLOWS, Flesh

LOOSE = 1e-3  # residual, as a share of the weight: figures stay the same to four digits
TISSUE = (0.5, 5.0)
"""Range of the tissue's modulus, as shares of its own: methods differ by more (body page, section 5)."""
THINNEST, THICKEST = 0.7, 1.3  # of tissue (plausible, no source)
PILLOW = (0.5, 2.0)  # of its stiffness, where nobody gave one (plausible)

Array = NDArray[np.float64]
Figures = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class LyingMove:
    """One open figure: how far every told figure of every person goes down (0 or less) and up, by `figures_of`."""

    name: str
    down: tuple[Figures, ...]
    up: tuple[Figures, ...]


@dataclass(frozen=True, slots=True)
class LyingSure:
    """value, low, high: of every figure, by person; moves in the order they were tried; body: names of those that are
    the body's, the same on every bed."""

    value: tuple[Figures, ...]
    low: tuple[Figures, ...]
    high: tuple[Figures, ...]
    moves: tuple[LyingMove, ...]
    body: tuple[str, ...]

    def largest(self, person: int, figure: str) -> str:
        """The open figure that moves one most."""
        return max(self.moves, key=lambda one: one.up[person][figure] - one.down[person][figure]).name


def figures_of(one: Lain) -> dict[str, float]:
    """What is told of a person as single figures: area [m2], pressures [kPa], shares, sinks [mm], spine [deg, mm]."""
    found = {
        "contact_area": one.contact_area, "mean": one.mean, "p95": one.p95, "p99": one.p99,
        "spine_angle": one.spine.angle, "spine_departure": one.spine.departure, "roll": one.roll,
    }  # fmt: skip
    found |= {f"share_{part}": share for part, share in one.share.items()}
    found |= {f"sink_{part}": sink for part, sink in one.sink.items()}
    if one.lumbar_gap is not None:
        found["lumbar_gap"] = one.lumbar_gap
    return found


def lying_sure(
    bed: BedAtSize,
    persons: Sequence[Lies],
    tolerances: HouseTolerances | None = None,
    *,
    face: str = "A",
    base: Base = SOLID,
    model: BedModel | None = None,
    cell: float = CELL,
    flesh: Flesh = FLESH,
) -> LyingSure:
    """Every figure of persons lying, with its interval. Raises as `lying` does."""
    model = model or bed_model(bed, face)
    bedded = bedded_on(bed, persons, model, base, cell, flesh)
    one = bed_field(model, bedded.placed)
    start, untouched = rested(one, bedded.on, LOOSE), untouched_face(model, one)
    value = _figures(bed, model, bedded, start, untouched)
    moves = []
    for name, ends in _bed_ends(bed, model, bedded, tolerances or bed.tolerances, base):
        moves.append(_move(name, value, [_figures(bed, *end, _again(*end, start), untouched) for end in ends]))
    bodily = []
    for name, settings in _body_ends(persons, flesh):
        bodily.append(name)
        found = []
        for lie, tissue in settings:
            moved = bedded_on(bed, lie, model, base, cell, tissue)
            found.append(_figures(bed, model, moved, _again(model, moved, start), untouched))
        moves.append(_move(name, value, found))
    low, high = [], []
    for person, figures in enumerate(value):
        low.append({k: v - _square(m.down[person][k] for m in moves) for k, v in figures.items()})
        high.append({k: v + _square(m.up[person][k] for m in moves) for k, v in figures.items()})
    return LyingSure(value, tuple(low), tuple(high), tuple(moves), tuple(bodily))


def _again(model: BedModel, bedded: Bedded, start: Rested) -> Rested:
    return rested(bed_field(model, bedded.placed), bedded.on, LOOSE, start)


def _bed_ends(
    bed: BedAtSize, model: BedModel, bedded: Bedded, off: HouseTolerances, base: Base
) -> Iterator[tuple[str, list[tuple[BedModel, Bedded]]]]:
    for change in changes(model, off, base):
        ends = []
        for end in change.ends:
            placed = place(end, bedded.placed.where, base) if change.moves_places else bedded.placed
            ends.append((end, replace(bedded, placed=placed)))
        yield change.name, ends


def _body_ends(persons: Sequence[Lies], flesh: Flesh) -> Iterator[tuple[str, list[tuple[Sequence[Lies], Flesh]]]]:
    """Names of what is open of the body, with the persons and tissue at both limits."""
    yield "tissue", [(persons, replace(flesh, modulus=flesh.modulus * by)) for by in TISSUE]
    thin = [thinner(flesh, by) for by in (THINNEST, THICKEST)]
    yield "thickness of tissue", [(persons, one) for one in thin]
    ends: list[tuple[Sequence[Lies], Flesh]] = []
    for by in PILLOW:
        lie = []
        for one in persons:
            pillow = one.pillow or PILLOWS[one.posture]
            lie.append(one if one.pillow else replace(one, pillow=replace(pillow, stiffness=pillow.stiffness * by)))
        ends.append((lie, flesh))
    if any(one.pillow is None for one in persons):
        yield "pillow", ends


def thinner(flesh: Flesh, by: float) -> Flesh:
    """The same with all tissue so many times as thick."""
    thick = {name: by * getattr(flesh, name) for name in ("trunk", "limb", "flank", "bone")}
    return replace(flesh, **thick)


def _figures(bed: BedAtSize, model: BedModel, bedded: Bedded, found: Rested, untouched: Array) -> tuple[Figures, ...]:
    return tuple(figures_of(one) for one in told_of(bed, model, bedded, found, untouched).persons)


def _move(name: str, value: tuple[Figures, ...], ends: list[tuple[Figures, ...]]) -> LyingMove:
    down, up = [], []
    for person, figures in enumerate(value):
        away = {k: [end[person][k] - v for end in ends] for k, v in figures.items()}
        down.append({k: min(0.0, *both) for k, both in away.items()})
        up.append({k: max(0.0, *both) for k, both in away.items()})
    return LyingMove(name, tuple(down), tuple(up))


def _square(values: Iterable[float]) -> float:
    return float(np.sqrt(sum(value**2 for value in values)))
