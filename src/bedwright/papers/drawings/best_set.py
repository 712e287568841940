"""The best set of a weigh-up over two of its results: each member with its name, the others tried, the brief's band."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from bedwright.papers.drawings.axes import Axes, axes, lines, ruled
from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PALE, PAPER, THIN, Drawing, Point, text_width
from bedwright.papers.drawings.words import cut, finite
from bedwright.papers.typeset import Raw
from bedwright.typed import show

SIZE, KEY = 2.3, 2.2
NAME = 34.0
"""Longest name beside its point [mm]."""
MOST = 40
"""Members that are named; those past it are drawn and counted in words."""
_TURNS = tuple(2 * pi * turn / 16 for turn in (0, 1, 15, 2, 14, 4, 12, 3, 13, 8, 7, 9, 6, 10, 5, 11))
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Member:
    """A build of the best set: its name and its two results; marked: one that a person chose to look at."""

    name: str
    across: float
    up: float
    marked: bool = False


@dataclass(frozen=True, slots=True)
class Shown:
    """A result along an axis: its word and unit, which way is better ("less", "more", "in the band"), and the brief's
    band (least, greatest), None where the brief leaves it open on that side."""

    word: str
    unit: str
    better: str = "less"
    band: tuple[float | None, float | None] = (None, None)


def best_set(
    members: Sequence[Member], across: Shown, up: Shown, others: Sequence[Point] = (), width: float = 112.0,
    height: float = 92.0,
) -> Raw:  # fmt: skip
    """The scatter on `width` x `height` of paper [mm]; others: results of builds that were tried and are beaten.

    Same drawing whatever the order of members. Raises OutsideRange for what is not finite.
    """
    finite(**{f"{one.name} across": one.across for one in members}, **{f"{one.name} up": one.up for one in members})
    ends = {f"{one.word} band": e for one in (across, up) for e in one.band if e is not None}
    finite(**ends, **{f"other {index + 1}": x + y for index, (x, y) in enumerate(others)})
    ordered = sorted(members, key=lambda one: (one.across, one.up, one.name))
    keys = _keys(across, up, len(others), max(0, len(ordered) - MOST), width)
    drawing = Drawing(width, height, f"Best set: {up.word} over {across.word}, {len(ordered)} builds")
    on = axes(
        _ends([one.across for one in ordered], [x for x, _ in others], across),
        _ends([one.up for one in ordered], [y for _, y in others], up),
        left=0.5, right=width - 2.5, top=5.4, bottom=height - 9.5 - 3.4 * len(keys), margins=(3.0, 3.0),
    )  # fmt: skip
    _bands(drawing, on, across, up)
    ruled(drawing, on, (_axis_word(across), across.unit), (_axis_word(up), up.unit))
    drawing.circles([on.at(*point) for point in sorted(others)], 0.45, fill=PALE, width=0)
    points = [on.at(one.across, one.up) for one in ordered]
    drawing.circles([p for p, one in zip(points, ordered, strict=True) if not one.marked], 0.9, fill=INDIGO, width=0)
    marked = [p for p, one in zip(points, ordered, strict=True) if one.marked]
    drawing.circles(marked, 1.25, fill=PAPER, stroke=INDIGO, width=0.5)
    drawing.circles(marked, 0.5, fill=INDIGO, width=0)
    _names(drawing, on, ordered, points)
    lines(drawing, on)
    for index, words in enumerate(keys):
        drawing.text(0.5, height - 1.2 - 3.4 * (len(keys) - 1 - index), words, size=KEY, fill=GREY)
    return drawing.svg()


def _axis_word(shown: Shown) -> str:
    way = {"less": ", less is better", "more": ", more is better", "in the band": ", in the band"}
    return cut(shown.word, 48.0, 2.4, 1)[0] + way.get(shown.better, "")


def _ends(values: Sequence[float], others: Sequence[float], shown: Shown) -> tuple[float, float]:
    """Least and greatest of what is drawn, the brief's ends among them."""
    every = [*values, *others, *(end for end in shown.band if end is not None)] or [0.0, 1.0]
    return min(every), max(every)


def _bands(drawing: Drawing, on: Axes, across: Shown, up: Shown) -> None:
    """What lies inside the brief's bands, hatched; its ends as dashed lines with their figures in the key."""
    if across.band == up.band == (None, None):
        return
    left, right = (_end(on.across.at, end, open_) for end, open_ in zip(across.band, (on.left, on.right), strict=True))
    low, high = (_end(on.up.at, end, open_) for end, open_ in zip(up.band, (on.up.start, on.up.end), strict=True))
    if right > left and low > high:
        drawing.box(left, high, right - left, low - high, fill="hatch band", stroke=PALE, line=THIN)
    for end, x in zip(across.band, (left, right), strict=True):
        if end is not None:
            drawing.line((x, on.up.start), (x, on.up.end), stroke=INK, width=LINE, dash="1.6 0.8")
    for end, y in zip(up.band, (low, high), strict=True):
        if end is not None:
            drawing.line((on.left, y), (on.right, y), stroke=INK, width=LINE, dash="1.6 0.8")


def _end(at: Callable[[float], float], end: float | None, open_: float) -> float:
    return open_ if end is None else at(end)


def _names(drawing: Drawing, on: Axes, members: Sequence[Member], points: Sequence[Point]) -> None:
    """Each name as near to its point as it goes without lying on another name or point."""
    taken: list[Box] = [(x - 1.1, y - 1.1, x + 1.1, y + 1.1) for x, y in points]
    field = (on.left + 0.5, on.up.end + 0.3, drawing.width - 0.5, on.up.start - 0.4)
    for member, point in list(zip(members, points, strict=True))[:MOST]:
        words = cut(member.name, NAME, SIZE, 1)[0] or "?"
        weight = 700 if member.marked else 500
        wide = text_width(words, SIZE) * 1.08
        for box, far in _places(point, wide):
            if _inside(box, field) and not any(_touch(box, other) for other in taken):
                taken.append(box)
                if far:
                    end = min(max(point[0], box[0]), box[2]), min(max(point[1], box[1]), box[3])
                    drawing.line(point, end, stroke=GREY, width=THIN)
                drawing.text(box[0] + 0.3, box[3] - 0.55, words, size=SIZE, weight=weight, halo=True)
                break


def _places(point: Point, wide: float) -> Iterator[tuple[Box, bool]]:
    """Boxes for a name round its point, nearest first, and whether a line has to lead there."""
    tall = SIZE * 1.15
    for ring in range(14):
        reach = 1.5 + 2.4 * ring
        for turn in _TURNS:
            x, y = point[0] + reach * cos(turn), point[1] + reach * sin(turn)
            left = x - wide * (1 - cos(turn)) / 2
            top = y - tall * (1 - sin(turn)) / 2
            yield (left, top, left + wide + 0.4, top + tall), ring > 0


def _inside(box: Box, field: Box) -> bool:
    return box[0] >= field[0] and box[1] >= field[1] and box[2] <= field[2] and box[3] <= field[3]


def _touch(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _keys(across: Shown, up: Shown, others: int, unnamed: int, width: float) -> list[str]:
    """Lines below: what the marks and the hatch stand for."""
    found = ["full points: the best set, none beaten in every result"]
    if others:
        found[0] += f"; pale: {others} other builds tried"
    bands = [f"{one.word} {_band_words(one)}" for one in (across, up) if one.band != (None, None)]
    if bands:
        found.append("hatched: the brief's band, " + "; ".join(bands))
    if unnamed:
        found.append(f"{unnamed} more of the best set are drawn without their names")
    return [line for words in found for line in cut(words, width - 1.0, KEY, 2)]


def _band_words(shown: Shown) -> str:
    low, high = shown.band
    if low is not None and high is not None:
        return f"{show(low, 4)} to {show(high, 4)} {shown.unit}".strip()
    words = f"at least {show(low, 4)}" if low is not None else f"at most {show(high or 0.0, 4)}"
    return f"{words} {shown.unit}".strip()
