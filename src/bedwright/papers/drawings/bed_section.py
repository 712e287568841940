"""The bed cut across through the spot of a pad test, three times to one scale: unloaded, tufted, under the pad."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import OutsideRange
from bedwright.mechanics.pad import Protocol as PadProtocol
from bedwright.papers.drawings.coil_outline import side_view
from bedwright.papers.drawings.section_parts import StandingCoil
from bedwright.papers.drawings.svg import (
    GREY,
    INDIGO,
    INK,
    LINE,
    PAPER,
    SMALLEST,
    THIN,
    Drawing,
    Point,
    labels,
    scale_of,
    text_width,
)
from bedwright.papers.drawings.words import cut, finite
from bedwright.papers.typeset import Raw
from bedwright.typed import show

Array = NDArray[np.float64]
SCALES = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 7.5, 8, 10, 12.5, 15, 20, 25, 30, 40, 50)
LEFT, SIDE = 8.5, 47.0
"""Paper left of the views, for the heights, and right of them, for the names of the layers [mm]."""
PAD_BODY = 26.0
"""How much of the pad above its edge is drawn [mm of the bed]."""
TITLE = 5.2
"""Paper above each view for its title [mm]."""


class Section(Protocol):
    """A cut across the bed: x (points,) from its left edge, heights above the base (interfaces, points), all [mm].

    names: of the interfaces, from the upper face downwards; in `under_pad` the pad's lowest point stands at pad_low
    [mm] under a force [N].
    """

    @property
    def x(self) -> Array: ...
    @property
    def names(self) -> tuple[str, ...]: ...
    @property
    def unloaded(self) -> Array: ...
    @property
    def tufted(self) -> Array: ...
    @property
    def under_pad(self) -> Array: ...
    @property
    def force(self) -> float: ...
    @property
    def pad_low(self) -> float: ...


class Heights(Protocol):
    """Heights of the upper face above the base at the spot [mm]; the last one under `at_force` [N]."""

    @property
    def untufted(self) -> float: ...
    @property
    def tufted(self) -> float: ...
    @property
    def under_pad(self) -> float: ...
    @property
    def at_force(self) -> float: ...


@dataclass(frozen=True, slots=True)
class Fill:
    """What lies below an interface: its name, a lighter word, its hatch, or coils that stand there.

    beside: (from, to [mm], hatch) of what stands beside the coils, such as a rail; plies: (share of its thickness,
    hatch) of what it is made of, from above.
    """

    words: str
    lighter: str = ""
    hatch: str = ""
    coils: tuple[StandingCoil, ...] = ()
    beside: tuple[tuple[float, float, str], ...] = ()
    plies: tuple[tuple[float, str], ...] = ()


@dataclass(frozen=True, slots=True)
class _View:
    """Bed mm to paper mm of one of the three; `first`, `last`: what is shown of the width [mm]."""

    x0: float
    base: float
    scale: float
    first: float
    last: float

    def at(self, x: float, z: float) -> Point:
        return self.x0 + (x - self.first) / self.scale, self.base - z / self.scale

    @property
    def right(self) -> float:
        return self.at(self.last, 0.0)[0]


def bed_section(
    section: Section, heights: Heights, spot: float, fills: Sequence[Fill] = (), tufts: Sequence[float] = (),
    pad: PadProtocol | None = None, width: float = 180.0, reach: float | None = 450.0,
) -> Raw:  # fmt: skip
    """Three views below each other on `width` of paper [mm]; the height follows the bed.

    spot: x of the pad's axis [mm]; fills: what lies below each interface, the last one's down to the base; tufts: x of
    those in the cut [mm]; reach: how far either side of the spot is shown [mm], None for the whole width. Raises
    OutsideRange for heights that are not finite or not of one shape.
    """
    x, states = _arrays(section, heights)
    pad = pad or PadProtocol()
    first, last = float(x[0]), float(x[-1])
    if reach is not None:
        first, last = max(first, spot - reach), min(last, spot + reach)
    first, last = min(first, spot - pad.diameter / 2 - 8), max(last, spot + pad.diameter / 2 + 8)
    scale = scale_of(last - first, width - LEFT - SIDE, SCALES)
    tall = max(float(np.max(state)) for state in states) / scale
    rim = float(pad.rise(np.array([pad.diameter / 2]))[0]) + PAD_BODY
    room = max(0.0, (section.pad_low + rim) / scale + 6.0 - tall)
    named = (
        ("unloaded", "before it is tufted" if tufts else "", heights.untufted),
        ("tufted", "" if tufts else "no tuft in the cut", heights.tufted),
        ("under the pad", f"pressed with {section.force:.0f} N", heights.under_pad),
    )
    drawing = Drawing(
        width, 3 * (tall + TITLE + 3.5) + room + 3.0, f"Bed cut through the spot three times, 1 to {scale:g}"
    )
    y = 0.0
    for index, (state, (words, lighter, height)) in enumerate(zip(states, named, strict=True)):
        drawing.text(0.5, y + 2.6, words, size=2.6, weight=600, fill=INDIGO)
        drawing.text(1.06 * text_width(words, 2.6) + 3.0, y + 2.6, lighter, size=2.3, fill=GREY)
        view = _View(LEFT, y + TITLE + (room if index == 2 else 0.0) + tall, scale, first, last)
        _stack(drawing, view, x, state, fills)
        if index == 2:
            drawing.line(*_along(view, x, states[1][0]), stroke=GREY, width=THIN, dash="1.6 0.8")
        if index > 0:
            _tufts(drawing, view, x, state, tufts)
        _ends(drawing, view, x, state)
        if index == 2:
            _pad(drawing, view, pad, spot, section)
        _height(drawing, view, spot, height, section.pad_low if index == 2 else float(np.interp(spot, x, state[0])))
        if index == 0:
            _names(drawing, view, x, state, section.names, fills, (0.3, drawing.height - 4.0))
        y = view.base + 3.5
    drawing.text(0.5, y + 2.0, f"1 : {scale:g}, all three views", size=2.3, fill=GREY)
    return drawing.svg()


def _arrays(section: Section, heights: Heights) -> tuple[Array, tuple[Array, Array, Array]]:
    """x (points,) and the three fields (interfaces, points), all finite, or OutsideRange."""
    finite(
        height_untufted=heights.untufted, height_tufted=heights.tufted, height_under_pad=heights.under_pad,
        force=section.force, pad_low=section.pad_low,
    )  # fmt: skip
    x = np.asarray(section.x, dtype=np.float64)
    states = tuple(np.asarray(one, dtype=np.float64) for one in (section.unloaded, section.tufted, section.under_pad))
    shape = (len(section.names), len(x))
    for name, one in zip(("unloaded", "tufted", "under the pad"), states, strict=True):
        if one.shape != shape:
            raise OutsideRange(f"the section {name} has the shape {one.shape}, and names and x ask for {shape}")
        if not np.all(np.isfinite(one)):
            raise OutsideRange(f"the section {name} has heights that are not finite; it cannot be drawn")
    if len(x) < 2 or not np.all(np.diff(x) > 0):
        raise OutsideRange("x of a section must rise from point to point")
    return x, (states[0], states[1], states[2])


def _along(view: _View, x: Array, z: Array) -> list[Point]:
    """The line of one interface on the paper, cut at the ends of the view."""
    start, end = max(view.first, float(x[0])), min(view.last, float(x[-1]))
    places = np.concatenate([[start], x[(x > start) & (x < end)], [end]])
    return [view.at(float(a), float(b)) for a, b in zip(places, np.interp(places, x, z), strict=True)]


def _stack(drawing: Drawing, view: _View, x: Array, state: Array, fills: Sequence[Fill]) -> None:
    """Hatches and coils between the interfaces, then the interfaces; the two faces heavier."""
    edges = [*state, np.zeros_like(x)]
    for upper, lower, fill in zip(edges, edges[1:], fills, strict=False):
        whole = ((view.first, view.last, fill.hatch),) if fill.hatch else ()
        for start, end, hatch in (*whole, *fill.beside):
            part = _View(view.x0, view.base, view.scale, max(start, view.first), min(end, view.last))
            if part.first < part.last:
                part = replace(part, x0=view.at(part.first, 0.0)[0])
                outline = _along(part, x, upper) + _along(part, x, np.minimum(lower, upper))[::-1]
                drawing.shape(outline, fill=f"hatch {hatch}", width=0 if hatch == fill.hatch else LINE * 0.8)
        for coil in fill.coils:
            _coil(drawing, view, coil, x, lower, upper)
        _plies(drawing, view, x, upper, lower, fill)
    for index, z in enumerate(state):
        drawing.line(*_along(view, x, z), width=0.45 if index == 0 else LINE * 0.8)
    drawing.line(view.at(view.first, 0.0), view.at(view.last, 0.0), width=0.45)


def _plies(drawing: Drawing, view: _View, x: Array, upper: Array, lower: Array, fill: Fill) -> None:
    """The parts of one fill between its interfaces, each by its share."""
    done = 0.0
    for share, hatch in fill.plies:
        top, bottom = (upper + (lower - upper) * part for part in (done, done + share))
        outline = _along(view, x, top) + _along(view, x, bottom)[::-1]
        drawing.shape(outline, fill=f"hatch {hatch}" if hatch else "none", width=THIN)
        done += share


def _coil(drawing: Drawing, view: _View, coil: StandingCoil, x: Array, lower: Array, upper: Array) -> None:
    """A coil between what lies below and above it; the turns are drawn even, how they close is the coil's drawing."""
    half = coil.pitch / 2
    if coil.x - half < view.first - 1e-6 or coil.x + half > view.last + 1e-6:
        return
    if coil.pocketed:
        for side in (coil.x - half, coil.x + half):
            ends = (float(np.interp(side, x, lower)), float(np.interp(side, x, upper)))
            drawing.line(view.at(side, ends[0]), view.at(side, ends[1]), stroke=GREY, width=THIN)
    points = side_view(coil.coil, 1.0, 8 if view.scale > 6 else 16)
    across = np.array([coil.x + place for place, _ in points])
    up = np.array([share for _, share in points])
    bottom, top = np.interp(across, x, lower), np.interp(across, x, upper)
    z = bottom + coil.wire / 2 + up * np.maximum(0.0, top - bottom - coil.wire)
    placed = [view.at(float(a), float(b)) for a, b in zip(across, z, strict=True)]
    drawing.line(*placed, width=max(coil.wire / view.scale, 0.12) * (1.25 if coil.stiff else 1.0))


def _tufts(drawing: Drawing, view: _View, x: Array, state: Array, tufts: Sequence[float]) -> None:
    for place in tufts:
        if view.first < place < view.last:
            top = view.at(place, float(np.interp(place, x, state[0])))
            drawing.line(top, view.at(place, 0.0), stroke=INDIGO, width=0.3)
            wide = max(9 / view.scale, 0.6)
            drawing.line((top[0] - wide, top[1]), (top[0] + wide, top[1]), stroke=INDIGO, width=0.7)


def _ends(drawing: Drawing, view: _View, x: Array, state: Array) -> None:
    """The border where the bed ends, a break where the drawing does."""
    for end, edge, before in ((view.first, float(x[0]), True), (view.last, float(x[-1]), False)):
        inside = view.first - 1e-6 <= edge <= view.last + 1e-6
        place = edge if inside else end
        top, bottom = view.at(place, float(np.interp(place, x, state[0]))), view.at(place, 0.0)
        if inside:
            drawing.line(top, bottom, width=0.45)
        else:
            drawing.break_line(top[0], top[1] - 1.5, bottom[1] + 1.5, before=before)


def _pad(drawing: Drawing, view: _View, pad: PadProtocol, spot: float, section: Section) -> None:
    """The pad's face at its depth, spherical with its rounded edge; its axis, and the force as an arrow on it."""
    radius = pad.diameter / 2
    r = np.concatenate(
        [np.linspace(-radius, -radius + pad.edge_radius, 14), np.linspace(-radius + pad.edge_radius, 0, 24)[1:]]
    )
    r = np.concatenate([r, -r[-2::-1]])
    rise = pad.rise(np.abs(r))
    top = section.pad_low + float(rise[0]) + PAD_BODY
    face = [view.at(spot + float(a), section.pad_low + float(b)) for a, b in zip(r, rise, strict=True)]
    left, right = view.at(spot - radius, top), view.at(spot + radius, top)
    drawing.shape([left, *face, right], fill=PAPER, stroke=INDIGO, width=0.5)
    words = f"pad {show(pad.diameter, 4)}, R {show(pad.face_radius, 4)}, edge R {show(pad.edge_radius, 4)}"
    size = min(2.3, 2.3 * (right[0] - left[0] - 2) / (text_width(words, 2.3) + 4))
    x, y = view.at(spot, top)
    if size >= SMALLEST:
        drawing.text(x, y + PAD_BODY / view.scale * 0.5 + size * 0.36, words, size=size, anchor="middle", unit="mm")
    drawing.line((x, y - 5.5), (x, y - 0.4), stroke=INDIGO, width=0.5)
    drawing.line((x - 1.1, y - 2.2), (x, y - 0.4), (x + 1.1, y - 2.2), stroke=INDIGO, width=0.5)
    drawing.text(x + 2.0, y - 2.6, f"{section.force:.0f}", size=2.4, weight=500, unit="N", halo=True)


def _height(drawing: Drawing, view: _View, spot: float, height: float, stands: float) -> None:
    """The height at the spot [mm] as it was reckoned, led out to the left from where it stands in the drawing."""
    x = view.x0 - 4.0
    level = view.at(spot, stands)
    drawing.line(level, (x - 1.0, level[1]), stroke=INK, width=THIN, dash="0.8 0.6")
    drawing.line((view.x0 - 1.0, view.base), (x - 1.0, view.base), stroke=GREY, width=THIN)
    drawing.circles([level], 0.5, fill=INK, width=0)
    drawing.dimension((x, view.base), (x, level[1]), f"{height:.0f}")


def _names(
    drawing: Drawing, view: _View, x: Array, state: Array, names: Sequence[str], fills: Sequence[Fill],
    box: tuple[float, float],
) -> None:  # fmt: skip
    """The layers named at the right of the first view, or the interfaces where the layers are not given."""
    place = min(view.last, float(x[-1])) - 3.0 * view.scale
    heights = [float(np.interp(place, x, z)) for z in (*state, np.zeros_like(x))]
    if fills:
        marks = [
            (view.at(place, (upper + lower) / 2), fill.words, fill.lighter)
            for upper, lower, fill in zip(heights, heights[1:], fills, strict=False)
        ]
    else:
        marks = [(view.at(place, z), name, "") for z, name in zip(heights, names, strict=False)]
    start = view.right + 7.0
    width = drawing.width - start - 0.5
    # at the least size of letters; what does not go in is cut, so that no label leaves the paper
    lines = max(1, int(((box[1] - box[0]) / max(len(marks), 1) - SMALLEST * 0.5) / (SMALLEST * 1.22)))
    most = max(1, min(3, lines - 1)), min(2, lines - 1)
    short = [
        (
            point,
            " ".join(cut(words, width, 2.3, most[0])),
            " ".join(cut(lighter, width, 2.3, most[1])) if most[1] else "",
        )
        for point, words, lighter in marks
    ]
    labels(drawing, short, x=start, top=box[0], bottom=box[1], width=width, size=2.3)
