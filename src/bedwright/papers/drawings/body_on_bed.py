"""A person lying, seen from the side: the body's lower outline on the bed's face, sinks by part, the spine's line.

The outline is that of our own plain body, head at the left; nothing is drawn of it but where it meets the bed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import radians, tan

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import OutsideRange
from bedwright.mechanics.lain import THRESHOLD, Lain, Lying, Slice
from bedwright.papers.drawings import careful
from bedwright.papers.drawings.pressure_map import HUES, posture_words
from bedwright.papers.drawings.svg import (
    GREY,
    INDIGO,
    INK,
    PALE,
    PAPER,
    THIN,
    Drawing,
    Point,
    scale_of,
    spread,
    text_width,
)
from bedwright.papers.drawings.words import cut, finite
from bedwright.papers.letters import wrapped
from bedwright.papers.typeset import Raw
from bedwright.typed import show

Array = NDArray[np.float64]
SCALES = (5, 6, 7.5, 8, 10, 11, 12.5, 15, 17.5, 20, 25, 30, 40, 50, 75, 100, 150, 200)
FLESH = 22.0
"""How much of the body above its lower outline is toned [mm of the bed]."""
BELOW = 45.0
"""How much of the bed below its deepest face is drawn [mm of the bed]."""
REACH = 180.0
"""How far either side of a person's middle the lowest line is sought [mm]: the legs lie within, the arms without."""
TIMES = 4.0
"""How much larger heights are drawn than lengths in the strip of the spine."""
WORDS, FINE = 2.5, 2.2
HEAD, LABELS = 5.2, 16.5
"""Paper above the bed for who lies there, and below it for the sinks [mm]."""
BESIDE = 36.0
"""Least paper beside the spine's line for its words; with less they stand below it [mm]."""


@dataclass(frozen=True, slots=True)
class Marks:
    """Where things lie of one person. places: along the bed from its head's edge each part of `sink` [mm]; standing:
    the standing spine's own line at each of the spine's points, in their order, height over any level [mm]."""

    places: Mapping[str, float]
    standing: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class View:
    """Bed mm to paper mm: `place` across the paper from x0 on, heights up from y0 on, which is at height `z0`."""

    x0: float
    y0: float
    scale: float
    z0: float = 0.0
    times: float = 1.0

    def at(self, place: float, z: float) -> Point:
        return self.x0 + place / self.scale, self.y0 - (z - self.z0) * self.times / self.scale

    def through(self, places: Array, heights: Array) -> list[Point]:
        return [self.at(float(a), float(b)) for a, b in zip(places, heights, strict=True)]


def body_on_bed(
    lying: Lying, which: int = 0, width: float = 180.0, marks: Marks | None = None, *,
    caution: bool = True,
) -> Raw:  # fmt: skip
    """Person `which` of those lying, on `width` of paper [mm]; the height follows what is drawn.

    marks: where its parts lie, to point at them; without, the sinks stand in their order and the spine is held against
    a straight line. Raises OutsideRange for heights that are not finite, or where no cut runs along them.
    """
    one = lying.persons[which]
    slice_ = lowest_line(lying, which, _along(lying, which))
    marks = marks or Marks({})
    _checked(one, slice_, marks)
    scale = scale_of(lying.length, width - 1.0, SCALES)
    high, low = _extent(one, slice_)
    main = (high - low) / scale
    strip = _strip_of(one, marks, scale, width)
    top = HEAD + main + LABELS
    tall = top + strip.tall + 1.0 + (careful.room(width) if caution else 0.0)
    drawing = Drawing(width, tall, f"{one.called} {posture_words(one.posture)} on {lying.bed}, seen from the side")
    view = View(0.5, HEAD + main, scale, low)
    titled(
        drawing,
        f"{one.called}, {posture_words(one.posture)}",
        f"head at the left, 1 : {scale:g}; lowest line under the body; dashed: the face untouched",
    )
    faces(drawing, view, slice_, low)
    toned(drawing, view, slice_)
    _spine_on(drawing, view, one, slice_)
    _sinks(drawing, view, one, slice_, marks.places, HEAD + main)
    _spine_strip(drawing, one, marks, strip, top, scale)
    if caution:
        careful.write(drawing)
    return drawing.svg()


def lowest_line(lying: Lying, which: int, slice_: Slice) -> Slice:
    """The cut along a person's middle, with the face's deepest place within REACH of it in place of the middle's, so
    that legs beside the middle are in it and arms are not; where a cell there is touched the body lies on that face.

    Without a face over the whole plan, the cut as it is.
    """
    outline = lying.persons[which].outline
    if lying.face_down.shape != lying.pressure.shape or not outline:
        return slice_
    near = _near(lying, outline) & (np.abs(lying.x - slice_.at) <= REACH)[None, :]
    down = np.max(np.where(near, lying.face_down, -np.inf), axis=1)
    lies = np.isfinite(down)
    middle = np.interp(slice_.place, lying.y, np.arange(len(lying.y))).round().astype(int)  # rows of the cut
    face = np.where(lies[middle], slice_.untouched - np.where(lies, down, 0.0)[middle], slice_.face)
    face = np.minimum(face, slice_.face)
    touched = np.any(near & (lying.pressure > THRESHOLD), axis=1)[middle]
    body = np.where(touched, face, np.maximum(slice_.body, face))
    return Slice(slice_.way, slice_.at, slice_.place, slice_.untouched, face, np.where(lies[middle], body, np.nan))


def _near(lying: Lying, outline: Sequence[tuple[Array, Array]]) -> NDArray[np.bool_]:
    """Cells of the plan between the leftmost and the rightmost of a body in their row."""
    left, right = np.full(len(lying.y), np.inf), np.full(len(lying.y), -np.inf)
    for xs, ys in outline:
        rows = (lying.y >= np.min(ys) - lying.cell / 2) & (lying.y <= np.max(ys) + lying.cell / 2)
        left[rows] = np.minimum(left[rows], np.min(xs))
        right[rows] = np.maximum(right[rows], np.max(xs))
    return np.asarray((lying.x[None, :] >= left[:, None]) & (lying.x[None, :] <= right[:, None]))


def runs(values: Array) -> list[slice]:
    """Stretches without a gap of an array in which gaps are no numbers."""
    known = np.concatenate([[False], np.isfinite(values), [False]])
    ends = np.flatnonzero(known[1:] != known[:-1])
    return [slice(int(a), int(b)) for a, b in zip(ends[::2], ends[1::2], strict=True)]


def dimension(drawing: Drawing, start: Point, end: Point) -> None:
    """An upright line with a stroke at each end, to say how deep."""
    drawing.line(start, end, stroke=INK, width=0.3)
    for x, y in (start, end):
        drawing.line((x - 0.8, y), (x + 0.8, y), stroke=INK, width=0.3)


def titled(drawing: Drawing, title: str, lighter: str) -> None:
    """A drawing's title with lighter words behind it, both in one line; what is too long ends in dots."""
    behind = cut(lighter, 0.6 * drawing.width, FINE, 1)[0]
    room = drawing.width - text_width(behind, FINE) - 4.0
    words = cut(title, room / 1.08, 2.7, 1)[0]
    drawing.text(0.5, 2.9, words, size=2.7, weight=600, fill=INDIGO)
    drawing.text(1.08 * text_width(words, 2.7) + 3.0, 2.9, behind, size=FINE, fill=GREY)


def toned(drawing: Drawing, view: View, slice_: Slice, up: float = FLESH) -> None:
    """The body above its lower outline: a tone, and the outline, pressed in where soft tissue or a pillow gives way."""
    for run in runs(slice_.body):
        places, body = slice_.place[run], np.maximum(slice_.body[run], slice_.face[run])
        outline = view.through(places, body)
        above = view.through(places, body + up)
        drawing.shape([*outline, *above[::-1]], fill=HUES[1], stroke=HUES[1], width=THIN)
        drawing.line(*outline, stroke=INDIGO, width=0.45)


def faces(drawing: Drawing, view: View, slice_: Slice, low: float) -> None:
    """The bed below its face, and the face untouched where it lay before."""
    face = view.through(slice_.place, slice_.face)
    ends = view.at(float(slice_.place[-1]), low), view.at(float(slice_.place[0]), low)
    drawing.shape([*face, *ends], fill="hatch zone 5", stroke=PALE, width=THIN)
    drawing.line(*face, stroke=INK, width=0.4)
    drawing.line(*view.through(slice_.place, slice_.untouched), stroke=GREY, width=0.18, dash="1.6 0.8")


def _along(lying: Lying, which: int) -> Slice:
    found = [one for one in lying.slices if one.way == "along"]
    if which >= len(found):
        raise OutsideRange(f"no cut runs along person {which + 1} of {len(lying.persons)}")
    return found[which]


def _checked(one: Lain, slice_: Slice, marks: Marks) -> None:
    spine = one.spine
    if len(spine.along) != len(spine.height) or len(spine.along) < 2:
        raise OutsideRange("a spine needs two points or more, each with its height")
    if len(marks.standing) not in (0, len(spine.along)):
        raise OutsideRange("the standing spine's line needs a height at each of the spine's points")
    finite(
        **{f"sink of the {name}": value for name, value in one.sink.items()},
        face=float(np.sum(slice_.face)), untouched=float(np.sum(slice_.untouched)),
        spine=float(np.sum(spine.along) + np.sum(spine.height)), standing=sum(marks.standing),
        angle=spine.angle, departure=spine.departure,
    )  # fmt: skip


def _extent(one: Lain, slice_: Slice) -> tuple[float, float]:
    """Greatest and least height drawn [mm above the base]."""
    top = float(np.max(slice_.untouched)) + max(0.0, float(np.max(one.spine.height)))
    body = slice_.body[np.isfinite(slice_.body)]
    top = max([top, float(np.max(slice_.face)), *(body + FLESH)])
    return top + 6.0, min(float(np.min(slice_.face)), *slice_.untouched) - BELOW


def _spine_on(drawing: Drawing, view: View, one: Lain, slice_: Slice) -> None:
    """The spine where it lies over the bed, as points on a line."""
    face = np.interp(one.spine.along, slice_.place, slice_.untouched)
    points = view.through(one.spine.along, face + one.spine.height)
    drawing.line(*points, stroke=INK, width=0.25)
    drawing.circles(points, 0.5, fill=PAPER, stroke=INK, width=0.2)


def _sinks(
    drawing: Drawing, view: View, one: Lain, slice_: Slice, places: Mapping[str, float], top: float
) -> None:  # fmt: skip
    """Each part's sink under the bed, with a line up to where it lies."""
    names = sorted(one.sink, key=lambda name: places.get(name, 0.0)) if places else list(one.sink)
    if not names:
        return
    figures = [show(one.sink[name], 3, interval=1.0) for name in names]
    wide = [
        max(text_width(name, WORDS), text_width(f"{words} mm", WORDS)) * 1.06 + 1.6
        for name, words in zip(names, figures, strict=True)
    ]
    last = view.at(float(slice_.place[-1]), 0)[0]
    even = np.linspace(0.3 + wide[0] / 2, last - wide[-1] / 2, len(names))
    wished = [view.at(places[n], 0)[0] if n in places else float(e) for n, e in zip(names, even, strict=True)]
    for name, words, x in zip(names, figures, spread(wished, wide, 0.3, drawing.width), strict=True):
        if name in places:
            untouched = float(np.interp(places[name], slice_.place, slice_.untouched))
            start, end = view.at(places[name], untouched), view.at(places[name], untouched - one.sink[name])
            foot = end[0], max(top, start[1], end[1])
            drawing.line(end, foot, (x, top + 3.4), stroke=GREY, width=THIN)
            dimension(drawing, start, end)
        drawing.text(x, top + 5.9, name, size=WORDS, anchor="middle", fill=GREY, halo=True)
        drawing.text(x, top + 9.0, words, size=WORDS, anchor="middle", weight=600, unit="mm")
    drawing.text(0.5, top + 12.2, "sink below the untouched face", size=FINE, fill=GREY)


@dataclass(frozen=True, slots=True)
class _Strip:
    """Paper for the spine's line and its words [mm]: height of the line and of both, and the lines of words from x
    on."""

    line: float
    tall: float
    x: float
    words: tuple[tuple[str, bool], ...]


def _strip_of(one: Lain, marks: Marks, scale: float, width: float) -> _Strip:
    spine = one.spine
    line = float(max(np.ptp(spine.height), np.ptp(_on_line(one, marks)))) * TIMES / scale + 3.0
    x = 0.5 + float(np.max(spine.along)) / scale + 4.0
    beside = width - x >= BESIDE
    words = _spine_words(one, bool(np.ptp(_standing(one, marks)) > 0.5), width - x if beside else width - 1.0)
    tall = 3.2 * len(words) + 1.0
    return _Strip(line, max(line, tall) if beside else line + tall, x if beside else 0.5, words)


def _standing(one: Lain, marks: Marks) -> Array:
    return np.array(marks.standing) if marks.standing else np.zeros(len(one.spine.along))


def _on_line(one: Lain, marks: Marks) -> Array:
    """The standing spine's own line laid along the line of least squares, which goes through the middle of what the
    lying spine differs by, at its angle."""
    slope = -tan(radians(one.spine.angle))  # along runs from the head, and head high is positive
    own = _standing(one, marks)
    tilt = slope * (one.spine.along - np.mean(one.spine.along))
    return np.asarray(own + np.mean(one.spine.height - own) + tilt)


def _spine_strip(
    drawing: Drawing, one: Lain, marks: Marks, strip: _Strip, top: float, scale: float
) -> None:  # fmt: skip
    """The spine's points, heights drawn larger, against the line that its departure is read from."""
    spine, on_line = one.spine, _on_line(one, marks)
    low = float(min(np.min(spine.height), np.min(on_line)))
    beside = strip.x > 0.5
    base = top + (strip.tall + strip.line) / 2 if beside else top + strip.line
    view = View(0.5, base - 1.5, scale, low, TIMES)
    points, line = view.through(spine.along, spine.height), view.through(spine.along, on_line)
    for at, to in zip(points, line, strict=True):
        drawing.line(at, to, stroke=PALE, width=THIN)
    drawing.line(*line, stroke=INK, width=0.25, dash="1.6 0.8")
    drawing.line(*points, stroke=INDIGO, width=0.45)
    drawing.circles(points, 0.55, fill=PAPER, stroke=INDIGO, width=0.25)
    y = top + (strip.tall - 3.2 * len(strip.words)) / 2 + 2.4 if beside else top + strip.line + 2.4
    for words, light in strip.words:
        size, weight, fill = (FINE, 400, GREY) if light else (WORDS, 600, INK)
        drawing.text(strip.x, y, words, size=size, weight=weight, fill=fill)
        y += 3.2


def _spine_words(one: Lain, curved: bool, width: float) -> tuple[tuple[str, bool], ...]:
    """What is said of the spine beside its line: (words, whether lighter)."""
    spine = one.spine
    ends = "level" if abs(spine.angle) < 0.05 else "head higher" if spine.angle > 0 else "head lower"
    departure = show(spine.departure, 3, interval=1.0)
    said = [(f"spine {abs(spine.angle):.1f}°, {ends}; largest departure {departure} mm", False)]
    said += [(words, False) for words in back_words(one)]
    line = (
        "the standing spine's own shape laid along its line of least squares" if curved else "its line of least squares"
    )
    said.append((f"dashed: {line}; heights are drawn {TIMES:g} times as large", True))
    return tuple(
        (line, light)
        for words, light in said
        for line in wrapped(words, width / 1.08, FINE if light else WORDS)
    )  # fmt: skip


def back_words(one: Lain) -> list[str]:
    """What is said of the small of the back: how far it lies over the line from blades to buttocks, and its gap."""
    if one.lumbar_gap is None:
        return []
    found = [f"small of the back {show(one.lumbar_gap, 3, interval=1.0)} mm over the line from blades to buttocks"]
    if one.clearance is not None:
        touches = one.clearance < 0.5
        found.append(
            "it touches the bed" if touches else f"largest gap there {show(one.clearance, 3, interval=1.0)} mm"
        )
    return found
