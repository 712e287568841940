"""Cuts to scale: a lay of panels on the roll, and a sheet cut into pieces, each with its words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.papers.drawings.svg import GREY, INDIGO, LINE, Drawing, text_width
from bedwright.papers.typeset import Raw

SCALES = (10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500)


@dataclass(frozen=True, slots=True)
class CutPiece:
    """A piece where it lies [mm]: x along the roll or sheet, y from its edge; words: for whom; turned: a quarter."""

    x: float
    y: float
    along: float
    across: float
    words: str
    turned: bool = False


def lay_drawing(
    length: float, width: float, usable: float, pieces: Sequence[CutPiece], paper: float = 180.0, tallest: float = 120.0
) -> Raw:
    """Pieces on a roll or sheet of length x width [mm], of which `usable` [mm] across may be used.

    A long lay is folded into strips one below another, so that its pieces stay large enough to read.
    """
    scale = next((s for s in SCALES if (-(-length // ((paper - 12) * s))) * (width / s + 7) <= tallest), max(SCALES))
    strip = (paper - 12) * scale
    count = max(1, int(-(-length // strip)))
    tall = width / scale
    drawing = Drawing(paper, count * (tall + 7) + 4, f"Cuts, 1 to {scale:g}")
    for index in range(count):
        first, y0 = index * strip, 4 + index * (tall + 7)
        last = min(length, first + strip)
        _strip(drawing, pieces, first, last, y0, width, usable, scale)
    words = f"1 : {scale:g}"
    drawing.text(paper - 2, 2.4, words, size=2.4, anchor="end", fill=GREY)
    return drawing.svg()


def _strip(
    drawing: Drawing, pieces: Sequence[CutPiece], first: float, last: float, y0: float, width: float, usable: float,
    scale: float,
) -> None:  # fmt: skip
    x0 = 8.0
    drawing.box(x0, y0, (last - first) / scale, width / scale, fill="hatch band", line=LINE)
    edge = (width - usable) / 2 / scale
    for piece in pieces:
        left, right = max(piece.x, first), min(piece.x + piece.along, last)
        if right <= left:
            continue
        x, y = x0 + (left - first) / scale, y0 + edge + piece.y / scale
        wide, tall = (right - left) / scale, piece.across / scale
        drawing.box(x, y, wide, tall, fill="#ffffff", line=LINE)
        _words(drawing, piece, x, y, wide, tall)
    for at in (first, last):
        x = x0 + (at - first) / scale
        drawing.text(x, y0 + width / scale + 3, f"{at / 1000:.2f}", size=2.2, anchor="middle", unit="m", fill=INDIGO)


def _words(drawing: Drawing, piece: CutPiece, x: float, y: float, wide: float, tall: float) -> None:
    lines = [piece.words + (" turned" if piece.turned else ""), f"{piece.along:g} × {piece.across:g}"]
    longest = max(text_width(line, 1.0) for line in lines)
    size = min(2.8, (wide - 1) / longest, (tall - 0.6) / 2.6)
    if size < 1.3:
        upright = min(2.8, (tall - 1) / longest, (wide - 0.6) / 2.6)
        if upright >= 1.3:
            for index, line in enumerate(lines):
                middle = x + wide / 2 + (index - 0.15) * upright * 1.2
                drawing.text(middle, y + tall / 2, line, size=upright, anchor="middle", turn=-90)
        return
    for index, line in enumerate(lines):
        drawing.text(x + wide / 2, y + tall / 2 + (index - 0.15) * size * 1.2, line, size=size, anchor="middle",
                     weight=400 if index else 500)  # fmt: skip
