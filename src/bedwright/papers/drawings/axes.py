"""Axes of a drawing: even steps in round figures, thin rules across, figures that never run into each other.

A number reaches these axes as it is; only its place on the paper is worked out here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bedwright.errors import OutsideRange
from bedwright.papers.drawings.svg import GREY, INK, LINE, PALE, THIN, Drawing, Point, text_width
from bedwright.typed import show

FIGURES = 2.2
"""Size of the figures at an axis [mm]."""
_ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)
_LEAST = 1e-6  # a span that is nothing in mm, N and N/mm


@dataclass(frozen=True, slots=True)
class Axis:
    """One quantity on the paper: from `low` at paper mm `start` to `high` at `end`, a mark every `step`."""

    low: float
    high: float
    step: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Paper mm of a value; beyond the ends it stays at the end."""
        share = (value - self.low) / (self.high - self.low)
        return self.start + min(1.0, max(0.0, share)) * (self.end - self.start)

    @property
    def marks(self) -> tuple[float, ...]:
        """Values of the marks, rising."""
        first, last = round(self.low / self.step), round(self.high / self.step)
        return tuple(self.step * index for index in range(first, last + 1))

    @property
    def words(self) -> tuple[str, ...]:
        """The figure at each mark."""
        return tuple(show(mark, 6, interval=self.step / 1000) for mark in self.marks)


def axis(low: float, high: float, start: float, end: float, most: int = 6) -> Axis:
    """An axis from round figure to round figure around low to high with at most `most` steps.

    Nothing between low and high is read as the one value and nothing. Raises OutsideRange for what is not finite.
    """
    if not (math.isfinite(low) and math.isfinite(high)):
        raise OutsideRange(f"an axis from {low} to {high} cannot be drawn; leave out what is not known")
    low, high = min(low, high), max(low, high)
    if high - low <= max(1e-9 * max(abs(low), abs(high)), _LEAST):
        low, high = min(low, 0.0), max(high, 0.0)
    if high - low <= _LEAST:
        high = low + 1.0
    step = _step((high - low) / max(most, 1))
    while math.ceil(high / step - 1e-9) - math.floor(low / step + 1e-9) > most:
        step = _step(step * 1.01)
    return Axis(math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step, step, start, end)


def _step(least: float) -> float:
    """The next round step at or above."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(power * one for one in _ROUND if power * one >= least * (1 - 1e-9))


@dataclass(frozen=True, slots=True)
class Axes:
    """Across and up; the figures of `up` stand left of its line, those of `across` below.

    left, right: ends of the rules [mm of paper], as far as or further than the axis across.
    """

    across: Axis
    up: Axis
    left: float
    right: float

    def at(self, x: float, y: float) -> Point:
        """Paper mm of a pair of values."""
        return self.across.at(x), self.up.at(y)


def axes(
    xs: tuple[float, float], ys: tuple[float, float], *, left: float, right: float, top: float, bottom: float,
    most_up: int = 6, margins: tuple[float, float] = (0.0, 0.0),
) -> Axes:  # fmt: skip
    """Axes in a box of paper [mm]; the box gives way on its left to the figures of the axis that goes up.

    xs, ys: least and greatest value; margins: left free at both ends of the axis across, inside the rules. The step
    across grows until its figures stand apart.
    """
    up = axis(*ys, bottom, top, most_up)
    start = left + max(text_width(one, FIGURES) for one in up.words) + 2.0
    most = 7
    while True:
        across = axis(*xs, start + margins[0], right - margins[1], most)
        room = (across.end - across.start) / max(len(across.marks) - 1, 1)
        if most == 1 or all(text_width(one, FIGURES) + 1.6 <= room for one in across.words):
            return Axes(across, up, start, right)
        most -= 1


def ruled(drawing: Drawing, on: Axes, across: tuple[str, str], up: tuple[str, str], size: float = 2.4) -> None:
    """Rules, marks, figures, and what is shown: (word, unit) under the axis across and over the axis up."""
    left, right, bottom = on.left, on.right, on.up.start
    for mark, words in zip(on.up.marks, on.up.words, strict=True):
        y = on.up.at(mark)
        drawing.line((left - 1, y), (right, y), stroke=PALE, width=THIN)
        drawing.text(left - 1.6, y + 0.8, words, size=FIGURES, anchor="end", fill=GREY)
    for mark, words in zip(on.across.marks, on.across.words, strict=True):
        x = on.across.at(mark)
        drawing.line((x, bottom), (x, bottom + 1), stroke=GREY, width=THIN)
        half = text_width(words, FIGURES) / 2
        x = min(x, drawing.width - half - 0.3)
        drawing.text(x, bottom + 3.4, words, size=FIGURES, anchor="middle", fill=GREY)
    drawing.text(right, bottom + 6.9, across[0], size=size, anchor="end", unit=across[1])
    drawing.text(0.5, on.up.end - 1.9, up[0], size=size, unit=up[1])


def lines(drawing: Drawing, on: Axes) -> None:
    """The two axes themselves, over what was drawn."""
    drawing.line((on.left, on.up.start), (on.right, on.up.start), width=LINE, stroke=INK)
    drawing.line((on.left, on.up.start), (on.left, on.up.end), width=LINE, stroke=INK)
