"""What moves H: a ruled list with a bar for each open figure, the largest first."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Protocol

from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PALE, PAPER, THIN, Drawing, text_width
from bedwright.papers.drawings.words import cut, finite
from bedwright.papers.letters import wrapped
from bedwright.papers.typeset import Raw

SIZE = 2.4
_LINE = SIZE * 1.2
_AIR = 1.7
_HEAD = 7.0
MOST_LINES = 3
"""Lines that a long name may take; what is longer is cut and ends in dots."""


class Move(Protocol):
    """An open figure, and how far H goes when it goes to its limit: half widths of tangent and secant [N/mm]."""

    @property
    def name(self) -> str: ...
    @property
    def tangent(self) -> float: ...
    @property
    def secant(self) -> float: ...


def moves_drawing(moves: Sequence[Move], tangent: float, secant: float, width: float = 84.0, most: int = 8) -> Raw:
    """The list on `width` of paper [mm]; its height follows its rows.

    moves: open figures, in any order; tangent, secant: H [N/mm], for the share beside each figure; most: rows drawn.
    The full bar is the tangent's, the open bar below it the secant's.
    Raises OutsideRange for what is not finite.
    """
    finite(tangent=tangent, secant=secant, **{f"move of {m.name}": m.tangent + m.secant for m in moves})
    ordered = sorted(moves, key=lambda move: (-abs(move.tangent), -abs(move.secant), move.name))
    rows, rest = ordered[:most], ordered[most:]
    if not rows:
        return _nothing_open(width)
    figures = _figures(ordered, tangent, secant)
    number, share = (max(text_width(one[at], SIZE) for one in figures) for at in (0, 1))
    number = max(number, text_width("N/mm", SIZE * 0.8))
    right = width - 0.5
    ends = (right - share - 2.5, right)
    name_width = 0.34 * width
    bars = (name_width + 2.0, ends[0] - number - 2.5)
    longest = max(abs(value) for move in rows for value in (move.tangent, move.secant)) or 1.0
    names = [cut(move.name, name_width - 1, SIZE, MOST_LINES) for move in rows]
    heights = [max(len(lines), 2) * _LINE + _AIR for lines in names]
    drawing = Drawing(width, _HEAD + sum(heights) + 5.4 + (3.6 if rest else 0.0), "What moves H, largest first")
    _head(drawing, ends, bars[0])
    y = _HEAD
    for index, (move, lines, tall) in enumerate(zip(rows, names, heights, strict=True)):
        _name(drawing, y, lines, tall)
        for at, value in enumerate((move.tangent, move.secant)):
            base = y + _AIR / 2 + (at + 0.78) * _LINE
            _bar(drawing, bars[0], base - 0.85, abs(value) / longest * (bars[1] - bars[0]), open_=at == 1)
            _pair(drawing, figures[2 * index + at], ends, base, SIZE, GREY if at else INK)
        y += tall
    drawing.line((0, y), (width, y), stroke=INDIGO, width=THIN)
    drawing.line((bars[0], _HEAD - 1.0), (bars[0], y), width=LINE)
    if rest:
        y += 3.6
        drawing.text(0.5, y, f"and {len(rest)} smaller, each at most", size=2.2, fill=GREY)
        _pair(drawing, figures[2 * len(rows)], ends, y, 2.2, GREY)
    _key(drawing, y + 4.4)
    return drawing.svg()


def _nothing_open(width: float) -> Raw:
    words = wrapped("No figure on the cards is left open.", width - 1, SIZE)
    drawing = Drawing(width, len(words) * _LINE + 1.5, "What moves H")
    for index, line in enumerate(words):
        drawing.text(0.5, (index + 1) * _LINE, line, size=SIZE)
    return drawing.svg()


def _figures(moves: Sequence[Move], tangent: float, secant: float) -> list[tuple[str, str]]:
    """(N/mm, share of H [%]) of each tangent and secant in turn, each column with one number of decimals."""
    pairs = [(abs(v), w) for move in moves for v, w in ((move.tangent, tangent), (move.secant, secant))]
    shares = [100 * value / whole if whole > 0 else math.inf for value, whole in pairs]
    return list(zip(_column([value for value, _ in pairs]), _column(shares, finest=1), strict=True))


def _column(values: Sequence[float], finest: int = 4) -> list[str]:
    """Numbers under each other: decimals for two or three figures of the largest; what is less is said so.

    A share of nothing has no figure.
    """
    largest = max((value for value in values if math.isfinite(value)), default=0.0)
    figures = 2 if largest >= 1 else 1
    decimals = min(finest, max(0, figures - math.floor(math.log10(largest)))) if largest > 0 else 0
    return [_cell(value, decimals, 10.0**-decimals, 999.0 if finest == 1 else math.inf) for value in values]


def _cell(value: float, decimals: int, last: float, most: float) -> str:
    """One number of a column; less than its last place, and more than `most`, are said as such."""
    if not math.isfinite(value):
        return ""
    if value > most:
        return f">{most:.0f}"
    return f"<{last:.{decimals}f}" if 0 < value < last / 2 else f"{value:.{decimals}f}"


def _bar(drawing: Drawing, x: float, middle: float, long: float, *, open_: bool) -> None:
    thick = 1.3 if open_ else 2.0
    fill, line = (PAPER, LINE * 0.8) if open_ else (INDIGO, THIN)
    drawing.box(x, middle - thick / 2, long, thick, fill=fill, stroke=INDIGO, line=line)


def _pair(
    drawing: Drawing, words: tuple[str, str], ends: tuple[float, float], y: float, size: float, fill: str
) -> None:  # fmt: skip
    for one, x in zip(words, ends, strict=True):
        drawing.text(x, y, one, size=size, anchor="end", fill=fill)


def _head(drawing: Drawing, ends: tuple[float, float], bars: float) -> None:
    drawing.text(0.5, 3.6, "goes to its limit", size=2.2, weight=600, fill=INDIGO)
    room = ends[0] - text_width("N/mm", SIZE * 0.8) - 1.0 - bars
    words = next((one for one in ("moves H by ±", "H ±") if 1.06 * text_width(one, 2.2) <= room), "")
    drawing.text(bars, 3.6, words, size=2.2, weight=600, fill=INDIGO)
    _pair(drawing, ("N/mm", "%"), ends, 3.6, SIZE * 0.8, GREY)
    for y in (_HEAD - 1.8, _HEAD - 1.0):
        drawing.line((0, y), (drawing.width, y), stroke=INDIGO, width=THIN)


def _name(drawing: Drawing, y: float, lines: Sequence[str], tall: float) -> None:
    if y > _HEAD:
        drawing.line((0, y), (drawing.width, y), stroke=PALE, width=THIN)
    start = y + (tall - len(lines) * _LINE) / 2 + 0.78 * _LINE
    for index, line in enumerate(lines):
        drawing.text(0.5, start + index * _LINE, line, size=SIZE, weight=500)


def _key(drawing: Drawing, y: float) -> None:
    _bar(drawing, 0.5, y - 0.75, 4, open_=False)
    drawing.text(5.5, y, "H as tangent", size=2.2, fill=GREY)
    x = 5.5 + text_width("H as tangent", 2.2) + 4
    _bar(drawing, x, y - 0.75, 4, open_=True)
    drawing.text(x + 5, y, "H as secant", size=2.2, fill=GREY)
