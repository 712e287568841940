"""One coil to scale beside its force curve: free, where the wire first touches, how far it is checked, solid."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from bedwright.mechanics.coil import CoilAnswer
from bedwright.mechanics.coil_force import Curve
from bedwright.mechanics.coil_shape import CoilShape, diameter_at
from bedwright.papers.drawings.axes import Axes, axes, lines, ruled
from bedwright.papers.drawings.rows import Cell, ruled_rows
from bedwright.papers.drawings.rows import height as rows_height
from bedwright.papers.drawings.svg import (
    GREY,
    INDIGO,
    INK,
    LINE,
    PALE,
    PAPER,
    THIN,
    Drawing,
    Point,
    scale_of,
    spread,
    text_width,
)
from bedwright.papers.drawings.words import cut, span
from bedwright.papers.typeset import Raw
from bedwright.typed import show

SCALES = (0.25, 0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12.5, 15, 20, 25)
STEPS = 24
"""Points of each half turn."""


@dataclass(frozen=True, slots=True)
class _Mark:
    """A place on the way: letter, words, compression [mm], force [N], height over the wire [mm]."""

    letter: str
    words: str
    way: float
    force: float
    height: float


def coil_profile(
    answer: CoilAnswer, curve: Curve, hand: str = "right", name: str = "coil", width: float = 112.0,
    height: float = 92.0,
) -> Raw:  # fmt: skip
    """The coil and its curve on `width` x `height` of paper [mm], the marked places in rows below.

    answer, curve: of one shape; hand: right, left, or alternate (then the right one is drawn); name: of the coil.
    """
    marks = _marks(answer, curve)
    drawing = Drawing(width, height, "A coil to scale and its force from free to solid")
    foot = rows_height(len(marks)) + 1.0
    middle = 0.4 * width
    drawing.text(0.5, 2.6, cut(name, middle - 16.0, 2.6, 1)[0], size=2.6, weight=600, fill=INDIGO)
    _standing(drawing, answer.shape, marks, hand, middle - 2.0, height - foot - 2.0)
    _curve(drawing, answer, curve, marks, (middle + 2.0, width - 0.5, height - foot - 9.5))
    places = 1 if marks[-1].force >= 10 else 2
    body: list[list[Cell]] = [
        [
            (f"{one.letter}: {one.words}", ""), (f"{one.way:.1f}", "mm"), (f"{one.force:.{places}f}", "N"),
            (f"{one.height:.1f}", "mm"),
        ]
        for one in marks
    ]  # fmt: skip
    ruled_rows(drawing, ("the way", "compressed by", "force", "high over the wire"), body, height - foot, first="start")
    return drawing.svg()


def _marks(answer: CoilAnswer, curve: Curve) -> list[_Mark]:
    """The marked places in the order of the way; what lies at solid has no mark of its own."""
    solid = answer.longest_way
    checked = answer.checked_to > 0
    found = [("free" if checked else "free; from here on the force is the model's alone", 0.0), ("solid", solid)]
    if answer.closing < solid * (1 - 1e-6):
        found.append(("the wire first touches a seat or its neighbour", answer.closing))
    if checked and answer.checked_to < solid * (1 - 1e-6):
        found.append(("to here finite elements checked the force", answer.checked_to))
    found.sort(key=lambda one: one[1])
    free = answer.shape.free_height + answer.shape.wire_diameter
    points = list(zip(curve.compression.tolist(), curve.force.tolist(), strict=True))
    return [
        _Mark("abcd"[index], words, way, _force_at(points, way), free - way) for index, (words, way) in enumerate(found)
    ]


def _force_at(points: Sequence[Point], way: float) -> float:
    """Force [N] read off the curve at a compression [mm]."""
    place = min(max(bisect_left(points, (way, -np.inf)), 1), len(points) - 1)
    (s0, f0), (s1, f1) = points[place - 1], points[place]
    return f0 + (f1 - f0) * min(1.0, max(0.0, (way - s0) / (s1 - s0)))


def strands(shape: CoilShape, height: float) -> tuple[list[list[Point]], list[list[Point]]]:
    """Half turns of the wire's middle seen from the side, behind and before the axis: (x from it, z) [mm].

    A right-hand coil `height` high from wire centre to wire centre, its turns even in height.
    """
    turns = shape.live_turns
    cuts = [*(index / 2 / turns for index in range(int(2 * turns + 1e-9) + 1)), 1.0]
    behind: list[list[Point]] = []
    before: list[list[Point]] = []
    for index, (low, high) in enumerate(pairwise(cuts)):
        if high - low < 1e-9:
            continue
        place = np.linspace(low, high, STEPS + 1)
        x = diameter_at(shape, place) / 2 * np.cos(2 * np.pi * turns * place)
        (before if index % 2 else behind).append(list(zip(x.tolist(), (place * height).tolist(), strict=True)))
    return behind, before


def _standing(
    drawing: Drawing, shape: CoilShape, marks: Sequence[_Mark], hand: str, right: float, bottom: float
) -> None:  # fmt: skip
    """The free coil over its ground line, its heights led out to the right, its sizes below."""
    wide = shape.largest_diameter + shape.wire_diameter
    tall = shape.free_height + shape.wire_diameter
    room = right - 15.0
    scale = max(scale_of(wide, room, SCALES), scale_of(tall, bottom - 20.0, SCALES))
    axis, base = 3.0 + room / 2, bottom - 11.0
    lead = axis + wide / scale / 2 + 1.5
    drawing.line((axis, base + 1), (axis, base - tall / scale - 1.5), stroke=GREY, width=THIN, dash="2 0.6 0.4 0.6")
    _wire(drawing, shape, hand, (axis, base), scale)
    wished = [base - one.height / scale for one in marks]
    places = spread(wished, [3.6] * len(marks), 4.0, base + 1.0)
    for one, y, place in zip(marks, wished, places, strict=True):
        drawing.line(
            (axis - wide / scale / 2, y), (lead, y), (right - 4.6, place), stroke=INK, width=THIN, dash="0.8 0.6"
        )
        _letter(drawing, one.letter, (right - 2.7, place))
    drawing.line((axis - wide / scale / 2 - 1.5, base), (lead, base), width=0.4)
    end = (shape.diameters[0] if shape.diameters else shape.end_diameter) / scale / 2
    drawing.dimension((axis - end, base + 4.6), (axis + end, base + 4.6), show(2 * end * scale, 4))
    if shape.middle_diameter not in (None, shape.end_diameter) and not shape.diameters:
        _waist(drawing, shape, (axis, base), scale)
    words = f"{shape.profile}, {show(shape.live_turns, 4)} live turns"
    drawing.text(0.5, base + 8.0, words, size=2.2)
    hands = "hands in turn" if hand == "alternate" else f"{hand} hand"
    drawing.text(0.5, base + 11.0, f"wire {show(shape.wire_diameter, 4)}", size=2.2, unit="mm")
    drawing.text(right, 2.6, f"1 : {scale:g}", size=2.2, anchor="end", fill=GREY)
    drawing.text(right, base + 11.0, hands, size=2.2, anchor="end")


def _wire(drawing: Drawing, shape: CoilShape, hand: str, foot: Point, scale: float) -> None:
    """The wire in its true thickness: half turns behind the axis first, those before it over them."""
    side = -1.0 if hand == "left" else 1.0
    thick = max(shape.wire_diameter / scale, 0.25)
    behind, before = strands(shape, shape.free_height)

    def placed(points: Sequence[Point]) -> list[Point]:
        lift = shape.wire_diameter / 2
        return [(foot[0] + side * x / scale, foot[1] - (z + lift) / scale) for x, z in points]

    ends = [float(value) / 2 for value in diameter_at(shape, np.array([0.0, 1.0]))]
    rings = [[(-ends[0], 0.0), (ends[0], 0.0)], [(-ends[1], shape.free_height), (ends[1], shape.free_height)]]
    for strand in behind:
        drawing.line(*placed(strand), stroke=GREY, width=thick * 0.85)
    for strand in (*rings, *before):
        drawing.line(*placed(strand), stroke=PAPER, width=thick + 0.35)
        drawing.line(*placed(strand), stroke=INK, width=thick)


def _waist(drawing: Drawing, shape: CoilShape, foot: Point, scale: float) -> None:
    """The second diameter, at the middle or at the small end."""
    half = shape.waist / scale / 2
    if shape.profile == "cone":
        y = foot[1] - (shape.free_height + shape.wire_diameter) / scale - 2.2
    else:
        y = foot[1] - (shape.free_height / 2 + shape.wire_diameter) / scale
    drawing.dimension((foot[0] - half, y), (foot[0] + half, y), show(shape.waist, 4))


def _curve(
    drawing: Drawing, answer: CoilAnswer, curve: Curve, marks: Sequence[_Mark], box: tuple[float, float, float]
) -> None:  # fmt: skip
    left, right, bottom = box
    points = list(zip(curve.compression.tolist(), curve.force.tolist(), strict=True))
    highest = points[-1][1]
    on = axes(
        (0.0, answer.longest_way), (0.0, highest), left=left, right=right, top=12.0, bottom=bottom, margins=(0.0, 2.0)
    )
    ruled(drawing, on, ("compressed by", "mm"), ("", ""))
    drawing.text(left, 2.6, "force of one coil", size=2.4, unit="N")
    value = span(answer.rate.rate, answer.rate.low, answer.rate.high)
    room = right - left - 6.0 - text_width("N/mm", 2.2)
    words = next((one for one in (f"rate at first {value}", f"rate {value}") if text_width(one, 2.2) <= room), value)
    drawing.line((left, 5.25), (left + 4.4, 5.25), stroke=INK, width=0.3, dash="0.2 0.9")
    drawing.text(left + 5.6, 6.0, words, size=2.2, unit="N/mm")
    checked = next((one for one in marks if one.way == answer.checked_to), None)
    if checked is not None:
        x = on.across.at(checked.way)
        drawing.box(x, on.up.end, on.across.at(answer.longest_way) - x, bottom - on.up.end, fill="hatch band", line=0)
    places = spread([on.across.at(one.way) for one in marks], [3.9] * len(marks), left + 2, right)
    for one, place in zip(marks, places, strict=True):
        x = on.across.at(one.way)
        drawing.line((x, bottom), (x, on.up.end), (place, on.up.end - 1.4), stroke=INK, width=THIN, dash="0.8 0.6")
        _letter(drawing, one.letter, (place, on.up.end - 3.2))
    _rate(drawing, answer, on)
    known = [point for point in points if checked is None or point[0] <= checked.way]
    beyond = [point for point in points if checked is not None and point[0] > checked.way]
    if beyond and checked is not None:
        joint = (checked.way, checked.force)
        known, beyond = [*known, joint], [joint, *beyond]
        drawing.line(*(on.at(*point) for point in beyond), stroke=INDIGO, width=0.4, dash="1.5 0.8")
    drawing.line(*(on.at(*point) for point in known), stroke=INDIGO, width=0.6)
    drawing.circles([on.at(one.way, one.force) for one in marks], 0.75, fill=INK, width=0)
    lines(drawing, on)


def _rate(drawing: Drawing, answer: CoilAnswer, on: Axes) -> None:
    """The slope at the start, carried on as a dotted line, between its limits hatched thin."""
    reach = min(0.8 * on.up.high / answer.rate.high, 0.8 * on.across.high)
    ends = [on.at(reach, rate * reach) for rate in (answer.rate.low, answer.rate.high)]
    drawing.shape([on.at(0, 0), *ends], stroke=PALE, width=THIN)
    drawing.line(on.at(0, 0), on.at(reach, answer.rate.rate * reach), stroke=INK, width=0.3, dash="0.2 0.9")


def _letter(drawing: Drawing, letter: str, middle: Point) -> None:
    drawing.circles([middle], 1.6, fill=PAPER, width=LINE * 0.7)
    drawing.text(middle[0], middle[1] + 0.75, letter, size=2.2, anchor="middle", weight=600)
