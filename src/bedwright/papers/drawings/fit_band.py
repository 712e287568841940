"""What was learnt from tests: the predicted curve with its 90 % band before and after, and the points measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from bedwright.papers.drawings.axes import Axes, axes, lines, ruled
from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PALE, PAPER, THIN, Drawing, Point
from bedwright.papers.drawings.words import cut, finite
from bedwright.papers.typeset import Raw

KEY = 2.2
STEP = 3.6
MARK = 5.0
AFTER = "#cbc1e7"
Row = tuple[float, float, float, float]
"""A place along the axis, the least, the predicted and the greatest value there."""


@dataclass(frozen=True, slots=True)
class Fit:
    """A prediction before and after learning: rows rising along the axis across; measured: points by series, each
    series with its words; across, up: (word, unit) of both axes; share: of the band, as words."""

    before: tuple[Row, ...]
    after: tuple[Row, ...] = ()
    measured: tuple[tuple[str, tuple[Point, ...]], ...] = ()
    across: tuple[str, str] = ("depth of the pad", "mm")
    up: tuple[str, str] = ("force", "N")
    share: str = "90 %"


def fit_band(fit: Fit, width: float = 84.0, height: float = 80.0) -> Raw:
    """The curves on `width` x `height` of paper [mm], their key below. Raises OutsideRange for what is not finite."""
    rows = (*fit.before, *fit.after)
    points = [point for _, series in fit.measured for point in series]
    finite(**{f"row {index + 1}": sum(row) for index, row in enumerate(rows)})
    finite(**{f"measured point {index + 1}": x + y for index, (x, y) in enumerate(points)})
    keys = _keys(fit, width - 1.0)
    drawing = Drawing(width, height, f"{fit.up[0]} over {fit.across[0]}: predicted before and after learning, measured")
    xs = [row[0] for row in rows] + [x for x, _ in points]
    ys = [value for row in rows for value in row[1:]] + [y for _, y in points]
    on = axes(
        (min(xs, default=0.0), max(xs, default=1.0)), (min([0.0, *ys]), max(ys, default=1.0)), left=0.5,
        right=width - 2.5, top=5.0, bottom=height - 9.5 - STEP * len(keys),
    )  # fmt: skip
    _band(drawing, fit.before, on, "hatch band", PALE)
    _band(drawing, fit.after, on, AFTER, INDIGO)
    ruled(drawing, on, fit.across, fit.up)
    for rows_, dash in ((fit.before, "1.5 0.8"), (fit.after, "")):
        if rows_:
            drawing.line(*(on.at(x, y) for x, _, y, _ in rows_), stroke=INK if dash else INDIGO,
                         width=0.3 if dash else 0.6, dash=dash)  # fmt: skip
    for index, (_, series) in enumerate(fit.measured):
        _points(drawing, [on.at(*point) for point in series], index)
    lines(drawing, on)
    for index, (mark, words) in enumerate(keys):
        _key(drawing, mark, words, height - 1.2 - STEP * (len(keys) - 1 - index))
    return drawing.svg()


def inside(rows: Sequence[Row], points: Sequence[Point]) -> int:
    """How many points lie inside a band, between its rows; those beyond its ends do not."""
    return sum(1 for point in points if _in_band(rows, point))


def _in_band(rows: Sequence[Row], point: Point) -> bool:
    for (x0, low0, _, high0), (x1, low1, _, high1) in pairwise(rows):
        if x0 <= point[0] <= x1 and x1 > x0:
            share = (point[0] - x0) / (x1 - x0)
            return low0 + share * (low1 - low0) <= point[1] <= high0 + share * (high1 - high0)
    return False


def _band(drawing: Drawing, rows: Sequence[Row], on: Axes, fill: str, stroke: str) -> None:
    if rows:
        low = [on.at(x, least) for x, least, _, _ in rows]
        high = [on.at(x, greatest) for x, _, _, greatest in rows]
        drawing.shape([*low, *high[::-1]], fill=fill, stroke=stroke, width=THIN)


def _points(drawing: Drawing, places: Sequence[Point], series: int) -> None:
    """Points of a series: rings, crosses, squares in turn."""
    kind = series % 3
    if kind == 0:
        drawing.circles(places, 0.6, fill=PAPER, stroke=INK, width=LINE)
        return
    for x, y in places:
        if kind == 1:
            drawing.line((x - 0.6, y - 0.6), (x + 0.6, y + 0.6))
            drawing.line((x - 0.6, y + 0.6), (x + 0.6, y - 0.6))
        else:
            drawing.box(x - 0.55, y - 0.55, 1.1, 1.1, fill=PAPER, line=LINE)


def _keys(fit: Fit, width: float) -> list[tuple[str, str]]:
    """(mark, words) of each line of the key: what each band says, and how many points lie in it."""
    points = [point for _, series in fit.measured for point in series]
    found = []
    for mark, rows in (("before", fit.before), ("after", fit.after)):
        if rows:
            held = f", {inside(rows, points)} of {len(points)} points inside" if points else ""
            found.append((mark, f"{mark} learning, with {fit.share} band{held}"))
    found += [(str(index), words) for index, (words, _) in enumerate(fit.measured)]
    return [(mark, cut(words, width - MARK - 1.5, KEY, 1)[0]) for mark, words in found]


def _key(drawing: Drawing, mark: str, words: str, y: float) -> None:
    x, middle = 0.5, y - 0.75
    ends = (x, middle), (x + MARK - 0.6, middle)
    if mark == "before":
        drawing.box(x, middle - 1.2, MARK - 0.6, 2.4, fill="hatch band", stroke=PALE, line=THIN)
        drawing.line(*ends, stroke=INK, width=0.3, dash="1.5 0.8")
    elif mark == "after":
        drawing.box(x, middle - 1.2, MARK - 0.6, 2.4, fill=AFTER, stroke=INDIGO, line=THIN)
        drawing.line(*ends, stroke=INDIGO, width=0.6)
    else:
        _points(drawing, [(x + 1, middle), (x + 3.2, middle)], int(mark))
    drawing.text(x + MARK + 0.5, y, words, size=KEY, fill=GREY)
