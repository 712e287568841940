"""The pressure under persons lying, seen from above: one hue in labelled steps, readable in grey; the bed, the bodies.

The steps are the same on every map, so that two maps may be laid side by side.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import OutsideRange
from bedwright.mechanics.lain import THRESHOLD, Lain, Lying
from bedwright.papers.drawings import careful
from bedwright.papers.drawings.png import png
from bedwright.papers.drawings.svg import GREY, INDIGO, INK, PAPER, THIN, Drawing, Point, scale_of
from bedwright.papers.drawings.words import finite
from bedwright.papers.letters import wrapped
from bedwright.papers.typeset import Raw
from bedwright.typed import show

Array = NDArray[np.float64]
STEPS = (THRESHOLD, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 9.0)
"""Pressures [kPa] at which a step begins; the last one has no end."""
HUES = (PAPER, "#e8e3f4", "#cbc1e7", "#aea0db", "#9081cc", "#7264b5", "#53489e", "#322e87", "#141864")
"""Paper below the first step, then one colour a step: one hue, its lightness falling by 11 of 100 each."""
SCALES = (5, 6, 7.5, 8, 10, 12.5, 15, 16, 17.5, 20, 22.5, 25, 27.5, 30, 35, 40, 50, 60, 75, 100, 150, 200, 300)
KEY = 17.0
"""Paper right of the bed for the steps [mm]."""
WORDS, FINE = 2.4, 2.1
POINTS = 6
"""Points of the picture along a cell: enough that a reader that smooths pictures does not wash cells out."""


@dataclass(frozen=True, slots=True)
class _Plan:
    """Bed mm to paper mm, the head's edge up."""

    x0: float
    y0: float
    scale: float

    def at(self, x: float, y: float) -> Point:
        return self.x0 + x / self.scale, self.y0 + y / self.scale


def steps_of(pressure: Array) -> NDArray[np.uint8]:
    """The step of each pressure [kPa]: 0 below the first; one that is the beginning of a step belongs to it, save
    that THRESHOLD itself does not count as touched."""
    found = np.searchsorted(np.array(STEPS), pressure, side="right").astype(np.uint8)
    return np.where(pressure <= THRESHOLD, 0, found).astype(np.uint8)


def pressure_map(lying: Lying, width: float = 84.0, joint: float | None = None, *, caution: bool = True) -> Raw:
    """The map on `width` of paper [mm]; its height follows the bed and its words.

    joint: where two linked beds meet [mm from the left]; caution: written below; only a sheet that bears the same words
    itself may leave it out. Raises OutsideRange for pressures that are not finite, or not one for each middle of a
    cell.
    """
    _checked(lying)
    scale = scale_of(lying.width, width - KEY - 1.0, SCALES)
    plan = _Plan(0.5, 4.2, scale)
    foot = plan.at(0, lying.length)[1]
    told = [line for index, one in enumerate(lying.persons) for line in _told(one, _number(lying, index), width - 1)]
    small = wrapped(_method(lying, scale), width - 1, FINE)
    tall = foot + 3.0 + 3.4 * len(told) + 1.0 + 2.9 * len(small) + (careful.room(width) if caution else 0.4)
    drawing = Drawing(width, tall, f"Pressure map of {lying.bed}: {_persons(lying)}")
    drawing.text(plan.x0, 2.8, "head", size=FINE, fill=GREY)
    drawing.text(plan.at(lying.width, 0)[0], 2.8, f"{show(lying.width)} × {show(lying.length)}", size=FINE,
                 anchor="end", fill=GREY, unit="mm")  # fmt: skip
    _picture(drawing, lying, plan)
    _bodies(drawing, lying, plan)
    if joint is not None:
        drawing.line(plan.at(joint, 0.0), plan.at(joint, lying.length), stroke=INK, width=0.3, dash="1.6 0.8")
    wide, long = lying.width / scale, lying.length / scale
    drawing.box(plan.x0, plan.y0, wide, long, line=0.4, radius=min(1.2, wide / 8))
    _steps(drawing, plan.x0 + wide + 3.0, plan.y0, max(long, 34.0), lying)
    y = foot + 3.0
    for words, strong in told:
        y += 3.4
        drawing.text(0.5, y - 0.6, words, size=WORDS, weight=600 if strong else 400)
    y += 1.0
    for words in small:
        y += 2.9
        drawing.text(0.5, y - 0.8, words, size=FINE, fill=GREY)
    if caution:
        careful.write(drawing)
    return drawing.svg()


def _method(lying: Lying, scale: float) -> str:
    return (
        f"Base {lying.base}, face {lying.face} up, scale 1 : {scale:g}. Cells of {show(lying.cell, 3)} mm; touched: "
        f"more than {THRESHOLD:g} kPa; the figures are over touched cells."
    )


def figures(one: Lain) -> str:
    """Mean, P95, P99 and touched area of a person in one line, each with its unit."""
    return (
        f"mean {show(one.mean, 3)} kPa, P95 {show(one.p95, 3)} kPa, P99 {show(one.p99, 3)} kPa, "
        f"touched {one.contact_area:.2f} m²"
    )


def posture_words(posture: str) -> str:
    """ "on the side" for side, others as they are."""
    return "on the side" if posture == "side" else posture


def _checked(lying: Lying) -> None:
    if lying.pressure.shape != (len(lying.y), len(lying.x)) or min(lying.pressure.shape) < 1:
        raise OutsideRange(
            f"pressures {lying.pressure.shape} do not go with {len(lying.y)} x {len(lying.x)} middles of cells"
        )
    finite(
        greatest_pressure=float(np.max(lying.pressure)), least_pressure=float(np.min(lying.pressure)),
        width=lying.width, length=lying.length, cell=lying.cell,
    )  # fmt: skip
    if not np.all(np.isfinite(lying.pressure)):
        raise OutsideRange("a pressure that is no number cannot be drawn; leave its cell at nothing")


def _picture(drawing: Drawing, lying: Lying, plan: _Plan) -> None:
    """The cells, each at its place: cells may be of unlike size where they end with the bed."""
    columns, rows = _edges(lying.x, lying.cell), _edges(lying.y, lying.cell)
    left, top = plan.at(columns[0], rows[0])
    right, bottom = plan.at(columns[-1], rows[-1])
    steps = np.repeat(np.repeat(steps_of(lying.pressure), POINTS, axis=0), POINTS, axis=1)
    with drawing.within(plan.x0, plan.y0, lying.width / plan.scale, lying.length / plan.scale):
        drawing.picture(left, top, right - left, bottom - top, png(steps, HUES))


def _edges(middles: Array, cell: float) -> tuple[float, float]:
    """Where the first cell begins and the last one ends [mm]."""
    half = (float(middles[-1]) - float(middles[0])) / max(len(middles) - 1, 1) / 2 if len(middles) > 1 else cell / 2
    return float(middles[0]) - half, float(middles[-1]) + half


def _bodies(drawing: Drawing, lying: Lying, plan: _Plan) -> None:
    """Outlines of the parts, and each person's number at the head where there are more than one."""
    with drawing.within(plan.x0, plan.y0, lying.width / plan.scale, lying.length / plan.scale):
        for one in lying.persons:
            parts = [[plan.at(float(a), float(b)) for a, b in zip(x, y, strict=True)] for x, y in one.outline]
            drawing.outline(parts, stroke=PAPER, width=0.4)
            drawing.outline(parts, stroke=INK, width=0.2)
    for index, one in enumerate(lying.persons):
        number = _number(lying, index)
        if number and one.outline:
            crown = min(((float(np.mean(x)), float(np.min(y))) for x, y in one.outline), key=lambda at: at[1])
            at = plan.at(*crown)
            drawing.text(at[0], max(at[1] - 0.8, plan.y0 + 2.6), number, size=WORDS, weight=700, anchor="middle",
                         halo=True)  # fmt: skip


def _steps(drawing: Drawing, x: float, top: float, tall: float, lying: Lying) -> None:
    """The key: a box a step, greatest below, with the pressure at which each begins."""
    drawing.text(x, top + 1.8, "kPa", size=FINE, fill=GREY)
    room = min(6.0, (tall - 12.0) / len(HUES))
    y = top + 3.2
    for index, hue in enumerate(HUES):
        drawing.box(x, y, 4.6, room, fill=hue, stroke=INK, line=THIN)
        if index:
            drawing.line((x + 4.6, y), (x + 5.6, y), stroke=INK, width=THIN)
            drawing.text(x + 6.1, y + 0.75, f"{STEPS[index - 1]:g}", size=FINE)
        y += room
    greatest = float(np.max(lying.pressure))
    drawing.text(x, y + 3.2, "greatest", size=FINE, fill=GREY)
    drawing.text(x, y + 6.0, show(greatest, 3), size=WORDS, weight=600, fill=INDIGO, unit="kPa")


def _told(one: Lain, number: str, width: float) -> list[tuple[str, bool]]:
    """Lines on a person: who, then the figures."""
    who = f"{number and number + ': '}{one.called}, {posture_words(one.posture)}"
    return [(line, True) for line in wrapped(who, width / 1.08, WORDS)] + [
        (line, False) for line in wrapped(figures(one), width, WORDS)
    ]


def _number(lying: Lying, index: int) -> str:
    return str(index + 1) if len(lying.persons) > 1 else ""


def _persons(lying: Lying) -> str:
    return " and ".join(f"{one.called} {posture_words(one.posture)}" for one in lying.persons)
