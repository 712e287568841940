"""The caution of persons lying under a drawing: a rule and its words, whole, at a size that can be read."""

from __future__ import annotations

from bedwright.mechanics.lain import CAUTION
from bedwright.papers.drawings.svg import Drawing
from bedwright.papers.letters import wrapped

SIZE = 2.1
_STEP = 2.9
_AIR = 1.8


def room(width: float) -> float:
    """Paper that the caution takes on a drawing of a width [mm]."""
    return _AIR + _STEP * len(_lines(width))


def write(drawing: Drawing) -> None:
    """The caution at the foot of a drawing that has `room` there."""
    lines = _lines(drawing.width)
    top = drawing.height - _STEP * len(lines) - _AIR
    drawing.line((0, top + 0.6), (drawing.width, top + 0.6), width=0.4)
    for index, words in enumerate(lines):
        drawing.text(0.5, top + _AIR + _STEP * (index + 1) - 0.8, words, size=SIZE)


def _lines(width: float) -> tuple[str, ...]:
    return wrapped(CAUTION, width - 1.0, SIZE)
