"""Predicted against measured: a ruled row for each figure, its interval as a bar, what was measured as a ring on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.papers.drawings.axes import FIGURES, axis
from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PALE, PAPER, THIN, Drawing, text_width
from bedwright.papers.drawings.words import cut, finite
from bedwright.papers.typeset import Raw

ROW, HEAD, FOOT, SIZE = 5.2, 6.4, 12.4, 2.4
NAMES = 0.36
"""Share of the width that the names take."""


@dataclass(frozen=True, slots=True)
class TrustRow:
    """A figure: its words; predicted with both ends and measured, in one unit; so_far: how many lie inside up to it."""

    words: str
    predicted: float
    low: float
    high: float
    measured: float
    so_far: int

    @property
    def inside(self) -> bool:
        return self.low <= self.measured <= self.high


def trust_rows(rows: Sequence[TrustRow], width: float = 180.0) -> Raw:
    """The rows on `width` of paper [mm], as shares of what was predicted; the height follows them.

    Raises OutsideRange for what is not finite, and where nothing above nought was predicted.
    """
    finite(**{f"row {n}": one.predicted + one.low + one.high + one.measured for n, one in enumerate(rows, 1)})
    finite(**{f"row {n}": 1 / one.predicted if one.predicted > 0 else float("inf") for n, one in enumerate(rows, 1)})
    drawing = Drawing(width, HEAD + ROW * max(len(rows), 1) + FOOT, "Predicted against measured, each figure a row")
    if not rows:
        drawing.text(0.5, HEAD, "No sample of height or hardness is on the bed cards.", size=SIZE)
        return drawing.svg()
    shares = [[100 * (end / one.predicted - 1) for end in (one.low, one.high, one.measured)] for one in rows]
    last = f"{len(rows)} of {len(rows)} inside"
    left = NAMES * width + 2.0
    right = width - text_width(last, SIZE) - 4.0
    on = axis(min(0.0, *(min(one) for one in shares)), max(0.0, *(max(one) for one in shares)), left, right)
    bottom = HEAD + ROW * len(rows)
    drawing.text(0.5, 3.4, "sample", size=2.2, weight=600, fill=INDIGO)
    drawing.text(left, 3.4, "measured, and where it was predicted to lie", size=2.2, weight=600, fill=INDIGO)
    drawing.text(width - 0.5, 3.4, "so far", size=2.2, weight=600, fill=INDIGO, anchor="end")
    for y in (HEAD - 1.8, HEAD - 1.0):
        drawing.line((0, y), (width, y), stroke=INDIGO, width=THIN)
    for mark in on.marks:
        drawing.line((on.at(mark), HEAD), (on.at(mark), bottom), stroke=PALE, width=THIN)
    for index, (one, (low, high, measured)) in enumerate(zip(rows, shares, strict=True)):
        y = HEAD + ROW * (index + 0.5)
        _row(drawing, one, y, (on.at(low), on.at(high), on.at(measured)), index + 1)
    drawing.line((on.at(0.0), HEAD), (on.at(0.0), bottom), stroke=INK, width=LINE)
    for mark, words in zip(on.marks, on.words, strict=True):
        sign = "+" if mark > 0 else ""
        drawing.text(on.at(mark), bottom + 3.4, sign + words, size=FIGURES, anchor="middle", fill=GREY)
    drawing.text(right, bottom + 7.0, "measured less predicted, of the predicted", size=2.2, unit="%", anchor="end")
    _key(drawing, bottom + 11.0)
    return drawing.svg()


def _row(drawing: Drawing, one: TrustRow, y: float, at: tuple[float, float, float], count: int) -> None:
    low, high, measured = at
    width = drawing.width
    words = cut(one.words, NAMES * width - 1.0, SIZE, 1)[0]
    drawing.text(0.5, y + 0.85, words, size=SIZE, weight=500 if one.inside else 700)
    drawing.box(low, y - 1.1, high - low, 2.2, fill="hatch band", stroke=INDIGO, line=THIN)
    drawing.circles([(measured, y)], 0.95, fill=PAPER if one.inside else INK, stroke=INK, width=LINE)
    told = f"{one.so_far} of {count} inside"
    drawing.text(width - 0.5, y + 0.85, told, size=SIZE, anchor="end", weight=400 if one.inside else 700)
    drawing.line((0, y + ROW / 2), (width, y + ROW / 2), stroke=PALE, width=THIN)


def _key(drawing: Drawing, y: float) -> None:
    drawing.box(0.5, y - 1.7, 4.4, 1.9, fill="hatch band", stroke=INDIGO, line=THIN)
    drawing.text(6.0, y, "predicted interval", size=2.2, fill=GREY)
    x = 6.0 + text_width("predicted interval", 2.2) + 4.0
    for fill, words in ((PAPER, "measured, inside"), (INK, "measured, outside: name in heavy letters")):
        drawing.circles([(x + 1.0, y - 0.75)], 0.95, fill=fill, stroke=INK, width=LINE)
        drawing.text(x + 3.2, y, words, size=2.2, fill=GREY)
        x += 3.2 + text_width(words, 2.2) + 4.0
