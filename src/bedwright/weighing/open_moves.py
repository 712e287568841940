"""Every open figure of a bed and of who lies on it moved to its limits, and what each result does there, end by end.

Kept by what the figure belongs to: two beds with the same wire share its tolerance, two persons of one kind the same
tissue. So a difference between beds is moved by what they do not share, and by what moves them unlike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from bedwright.design.bed_at_size import BedAtSize, UnitAtSize
from bedwright.mechanics.base import SOLID
from bedwright.mechanics.bed_field import bed_field, layout, place
from bedwright.mechanics.bed_model import BedModel, bed_model
from bedwright.mechanics.hardness import hardness
from bedwright.mechanics.intervals import changes
from bedwright.mechanics.lying import Bedded, Lies, bedded_on, told_of, untouched_face
from bedwright.mechanics.lying_bench import rested
from bedwright.mechanics.lying_sure import LOOSE, PILLOW, THICKEST, THINNEST, TISSUE, figures_of, thinner
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.pad_path import press
from bedwright.mechanics.posture import FLESH, PILLOWS

PROTOCOL = Protocol()
FINENESS, TOLERANCE, GREATEST = 0.7, 1e-5, 400.0
"""Mesh, residual and force of the presses that only serve a change: both ends are taken against the same mesh."""
BORDER = 200.0
HELD = ("contact_area", "mean", "p99", "spine_angle", "spine_departure", "lumbar_gap", "sink_shoulder", "sink_hip")
"""What is set side by side of a person, of all that is told."""
Key = tuple[str, str]
Figures = dict[str, float]


@dataclass(frozen=True, slots=True)
class OpenMove:
    """One open figure: its name, what it belongs to, and what each result changes by at its lower and upper limit."""

    name: str
    of: str
    low: Mapping[str, float]
    high: Mapping[str, float]

    @property
    def key(self) -> Key:
        """The same for the same figure of the same card."""
        return self.name, self.of


def belongs_to(bed: BedAtSize, name: str) -> str:
    """What an open figure belongs to: the cards that two beds must share for it to move both alike."""
    card = bed.unit.card
    if name == "wire diameter":
        return "wire " + ", ".join(sorted({group.wire.code for unit in _units(bed) for group in unit.groups}))
    if name in ("live turns", "coil diameter", "coil height"):
        return "coil " + ", ".join(sorted({group.coil.code for unit in _units(bed) for group in unit.groups}))
    if name == "pocket height":
        return f"unit {card.code}"
    if name.startswith("filling "):  # a draft cut from the same block is the same filling
        return name.split("~", 1)[0]
    if name.endswith("panel tension"):
        plain = (
            f"panel {bed.bed.panel_a}, {bed.bed.panel_b}, fullness {bed.bed.panel_fullness}, tape {bed.bed.tape_pull}"
        )
        return plain if bed.bed.panel_tension is None else f"bed {bed.bed.code}"
    if name == "border":
        return bed.border.card.called
    if name == "lacing":
        return f"lacing {card.lacing} {card.lacing_wire} {card.helix_diameter} {card.helix_pitch}"
    if name in ("end rings", "glue between pockets"):
        return f"unit {card.code.split('~', 1)[0]}"
    return "every bed"


def _units(bed: BedAtSize) -> list[UnitAtSize]:
    return [bed.unit, *(layer.part for layer in bed.layers if isinstance(layer.part, UnitAtSize))]


def open_moves(
    bed: BedAtSize, persons: Sequence[Lies], told: Callable[[], None] | None = None
) -> tuple[Figures, tuple[OpenMove, ...]]:
    """Results of a bed, each under its name, and every open figure's moves of them. Persons lie alone, one by one.

    Names: h_tangent, h_secant [N/mm], edge [share], height [mm]; of persons "0 p99" and so on. told: called after each
    figure. Raises NotKnown, NotConverged, OutsideRange, FaultsFound.
    """
    model = bed_model(bed)
    value = _pressed(bed, model)
    laid = [_Laid(bed, model, who, number) for number, who in enumerate(persons)]
    for one in laid:
        value |= one.value
    moves = []
    for change in changes(model, bed.tolerances):
        name = change.name.split("~", 1)[0]  # a filling cut to another thickness is the same filling
        ends = [_pressed(bed, end) for end in change.ends]
        for one in laid:
            for end, figures in zip(change.ends, ends, strict=True):
                figures |= one.on(end, change.moves_places)
        moves.append(_move(name, belongs_to(bed, change.name), value, ends))
        if told is not None:
            told()
    for one in laid:
        for name, two in one.bodies():
            moves.append(_move(name, one.who.person.called, value, [{**value, **end} for end in two]))
            if told is not None:
                told()
    return value, tuple(moves)


def count_moves(bed: BedAtSize, persons: Sequence[Lies]) -> int:
    """How often `told` will be called."""
    bodily = sum(2 + (who.pillow is None) for who in persons)
    return len(changes(bed_model(bed), bed.tolerances)) + bodily


def _pressed(bed: BedAtSize, model: BedModel) -> Figures:
    """H in the middle, near the border as a share of it, and the tufted height."""
    found = {}
    h = 0.0
    for name, x in (("middle", bed.width / 2), ("border", BORDER)):
        where = layout(model, Spot(x, bed.length / 2), PROTOCOL, FINENESS)
        path = press(
            bed_field(model, place(model, where, SOLID)), GREATEST, PROTOCOL.slope_forces, TOLERANCE, back=False
        )
        value = hardness(path.depth, path.force, PROTOCOL.slope_forces, smooth=True)
        if name == "middle":
            h = value.tangent
            lowest = float(np.min(where.face[where.touch > 0]))
            found = {"h_tangent": h, "h_secant": value.secant}
            found["height"] = model.untufted - max(0.0, path.touch - lowest)
        else:
            found["edge"] = value.tangent / h
    return found


class _Laid:
    """One person laid on a bed, to be laid again where something has moved."""

    def __init__(self, bed: BedAtSize, model: BedModel, who: Lies, number: int) -> None:
        self.bed, self.model, self.who, self.number = bed, model, who, number
        self._bedded = bedded_on(bed, [who], model, SOLID)
        one = bed_field(model, self._bedded.placed)
        self._start = rested(one, self._bedded.on, LOOSE)
        self._untouched = untouched_face(model, one)
        self.value = self._figures(model, self._bedded, self._start)

    def _figures(self, model: BedModel, bedded: Bedded, found: object = None) -> Figures:
        if found is None:
            found = rested(bed_field(model, bedded.placed), bedded.on, LOOSE, self._start)
        lain = told_of(self.bed, model, bedded, found, self._untouched).persons[0]  # type: ignore[arg-type]
        figures = figures_of(lain)
        return {f"{self.number} {name}": figures[name] for name in HELD if name in figures}

    def on(self, model: BedModel, moves_places: bool) -> Figures:
        """The same person on the bed moved."""
        bedded = self._bedded
        if moves_places:
            bedded = replace(bedded, placed=place(model, bedded.placed.where, SOLID))
        return self._figures(model, bedded)

    def bodies(self) -> Iterator[tuple[str, list[Figures]]]:
        """What is open of the body, at both limits."""
        yield "tissue", [self._body(self.who, modulus=by) for by in TISSUE]
        yield "thickness of tissue", [self._body(self.who, thick=by) for by in (THINNEST, THICKEST)]
        if self.who.pillow is None:
            pillow = PILLOWS[self.who.posture]
            ends = [replace(self.who, pillow=replace(pillow, stiffness=pillow.stiffness * by)) for by in PILLOW]
            yield "pillow", [self._body(who) for who in ends]

    def _body(self, who: Lies, modulus: float = 1.0, thick: float = 1.0) -> Figures:
        flesh = (
            thinner(replace(FLESH, modulus=FLESH.modulus * modulus), thick)
            if thick != 1
            else replace(FLESH, modulus=FLESH.modulus * modulus)
        )
        return self._figures(self.model, bedded_on(self.bed, [who], self.model, SOLID, flesh=flesh))


def _move(name: str, of: str, value: Figures, ends: Sequence[Figures]) -> OpenMove:
    low, high = ({key: end[key] - was for key, was in value.items() if key in end} for end in ends)
    return OpenMove(name, of, low, high)


def spread_of(moves: Sequence[OpenMove], result: str) -> tuple[float, float]:
    """How far a result goes down (0 or less) and up when all its open figures move, each by itself: as squares."""
    ends = [(move.low.get(result, 0.0), move.high.get(result, 0.0)) for move in moves]
    return _square(ends)


def spread_of_difference(
    first: Sequence[OpenMove], second: Sequence[OpenMove], result: str, *, apart: bool = False
) -> tuple[float, float]:
    """How far the difference second - first goes down and up: what both share moves both at once.

    apart: as if they shared nothing, to say what sharing takes off.
    """
    ends = []
    one = {move.key: move for move in first}
    two = {move.key: move for move in second}
    for key in dict.fromkeys([*one, *two]):
        a, b = one.get(key), two.get(key)
        before = (0.0, 0.0) if a is None else (a.low.get(result, 0.0), a.high.get(result, 0.0))
        after = (0.0, 0.0) if b is None else (b.low.get(result, 0.0), b.high.get(result, 0.0))
        if apart:
            ends += [after, (-before[0], -before[1])]
        else:
            ends.append((after[0] - before[0], after[1] - before[1]))
    return _square(ends)


def _square(ends: Sequence[tuple[float, float]]) -> tuple[float, float]:
    down = -float(np.sqrt(sum(min(0.0, *end) ** 2 for end in ends)))
    return down, float(np.sqrt(sum(max(0.0, *end) ** 2 for end in ends)))
