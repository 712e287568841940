"""The edge against the centre: what the pad reads at steps from the border, each with its interval."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.papers.drawings.axes import FIGURES, Axes, axes, lines, ruled
from bedwright.papers.drawings.rows import Cell, ruled_rows
from bedwright.papers.drawings.rows import height as rows_height
from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PALE, THIN, Drawing
from bedwright.papers.drawings.words import cut, decimals, finite
from bedwright.papers.typeset import Raw
from bedwright.typed import show


@dataclass(frozen=True, slots=True)
class Reading:
    """What the pad reads at a spot: its value and both ends of the interval, in the unit of the drawing.

    distance: of the pad's middle from the border [mm]; None at the centre of the bed.
    """

    distance: float | None
    value: float
    low: float
    high: float


def edge_profile(
    readings: Sequence[Reading], quantity: str, unit: str, width: float = 84.0, height: float = 78.0
) -> Raw:  # fmt: skip
    """The profile on `width` x `height` of paper [mm], its figures in rows below it.

    readings: at distances and at the centre, in any order, e.g. H as tangent or depth at 340 N, as `quantity` and
    `unit` say. Raises OutsideRange for what is not finite.
    """
    for one in readings:
        where = "the centre" if one.distance is None else f"{one.distance:g} mm"
        finite(**{f"reading at {where}": one.value + one.low + one.high + (one.distance or 0.0)})
    near = sorted((one for one in readings if one.distance is not None), key=lambda one: one.distance or 0.0)
    centre = next((one for one in readings if one.distance is None), None)
    rows = [*near, *([centre] if centre else [])]
    drawing = Drawing(width, height, f"{quantity} from the border inwards, against the centre")
    tall = rows_height(len(rows)) + 1.0
    words = cut(quantity, width - 14, 2.4, 1)[0]
    on = axes(
        (0.0, max((one.distance or 0.0 for one in near), default=0.0) or 200.0),
        (min((one.low for one in rows if one.low < 0), default=0.0), max((one.high for one in rows), default=1.0)),
        left=0.5, right=width - 0.5, top=5.0, bottom=height - tall - 8.5, most_up=5,
        margins=(4.0, 16.0 if centre else 4.0),
    )  # fmt: skip
    ruled(drawing, on, ("middle of the pad from the border", "mm"), (words, unit))
    if centre is not None:
        _centre(drawing, centre, on)
    lines(drawing, on)
    if len(near) > 1:
        drawing.line(*(on.at(one.distance or 0.0, one.value) for one in near), stroke=INDIGO, width=0.45)
    for one in near:
        _interval(drawing, on.across.at(one.distance or 0.0), one, on)
    body = [_cells(one, centre, unit) for one in rows]
    ruled_rows(drawing, ("from the border", "value", "may lie between", "of the centre"), body, height - tall)
    return drawing.svg()


def _centre(drawing: Drawing, centre: Reading, on: Axes) -> None:
    """The centre's own column on the right; its value and interval led across to the others."""
    x = on.right - 6.5
    low, high, middle = on.up.at(centre.low), on.up.at(centre.high), on.up.at(centre.value)
    drawing.box(on.left, high, x - on.left, low - high, fill="hatch band", stroke=PALE, line=THIN)
    drawing.line((on.left, middle), (x, middle), stroke=INK, width=0.3, dash="2.2 0.8")
    for across in (x - 5.9, x - 5.3):
        drawing.line((across, on.up.start + 0.8), (across, on.up.end), stroke=GREY, width=THIN)
    _interval(drawing, x, centre, on)
    drawing.text(x, on.up.start + 3.4, "centre", size=FIGURES, anchor="middle")


def _interval(drawing: Drawing, x: float, one: Reading, on: Axes) -> None:
    low, high = on.up.at(one.low), on.up.at(one.high)
    drawing.line((x, low), (x, high), stroke=INK, width=LINE)
    for y in (low, high):
        drawing.line((x - 0.9, y), (x + 0.9, y), stroke=INK, width=LINE)
    drawing.circles([(x, on.up.at(one.value))], 0.85, fill=INDIGO, width=0)


Cells = tuple[Cell, ...]


def _cells(one: Reading, centre: Reading | None, unit: str) -> Cells:
    half = abs(one.high - one.low) / 2
    places = max(0, decimals(half)) if half > 0 else 2
    where = ("centre", "") if one.distance is None else (show(round(one.distance, 1), 4), "mm")
    share = ""
    if centre is not None and centre.value > 0:
        share = f"{100 * one.value / centre.value:.0f}" if one.value < 10 * centre.value else ">999"
    return (
        where,
        (f"{one.value:.{places}f}", unit),
        (f"{one.low:.{places}f} to {one.high:.{places}f}", unit),
        (share, "%" if share else ""),
    )
