"""The pad test's curve: down and back, the three forces, the band that is left open, H as tangent and as secant."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from bedwright.papers.drawings.axes import Axes, axes, lines, ruled
from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PALE, PAPER, THIN, Drawing, Point, text_width
from bedwright.papers.drawings.words import cut, decimals, finite, span
from bedwright.papers.typeset import Raw
from bedwright.typed import show

KEY = 2.2
_STEP = 3.6
_MARK = 5.0
Spread = tuple[float, float, float]
"""A value and both ends of its interval; of a band: depth [mm], least and greatest force [N]."""


@dataclass(frozen=True, slots=True)
class PadCurve:
    """A pad test as it is drawn. Points are (depth [mm], force [N]).

    down, back: the two branches; band: (depth [mm], least, greatest force [N]) going down; tangent, secant: H [N/mm]
    with its interval; read_at: the points at the forces where H is read; measured: points of a real test over it, and
    by whom; closes_from: force [N] at which the first coil closes, None where none does on the way.
    """

    down: tuple[Point, ...]
    tangent: Spread
    secant: Spread
    read_at: tuple[Point, ...]
    back: tuple[Point, ...] = ()
    band: tuple[Spread, ...] = ()
    measured: tuple[Point, ...] = ()
    measured_by: str = "measured"
    closes_from: float | None = None


def pad_curve(curve: PadCurve, width: float = 84.0, height: float = 80.0) -> Raw:
    """The curve on `width` x `height` of paper [mm], its key below it. Raises OutsideRange for what is not finite."""
    points = (*curve.down, *curve.back, *curve.measured, *((x, high) for x, _, high in curve.band))
    finite(**{f"point {index + 1}": x + y for index, (x, y) in enumerate((*points, *curve.read_at))})
    keys = [row for group in _keys(curve, width - 1) for row in _rows(group, width - 1)]
    drawing = Drawing(width, height, "Pad test: force over the depth of the pad, going down and coming back")
    drawn = (*curve.down, *curve.back, *curve.measured)
    deepest, highest = (max((point[at] for point in drawn), default=1.0) for at in (0, 1))
    bottom = height - 9.5 - _STEP * len(keys)
    # a press that ends a hair above a round force needs no mark more
    on = axes((0.0, deepest), (0.0, 0.99 * highest), left=0.5, right=width - 2.5, top=5.0, bottom=bottom)
    ruled(drawing, on, ("depth of the pad", "mm"), ("force", "N"))
    _band(drawing, curve.band, on)
    for depth, force in curve.read_at:
        x, y = on.at(depth, force)
        drawing.line((on.across.start, y), (x, y), (x, on.up.start), stroke=INK, width=THIN, dash="0.8 0.6")
    if curve.back:
        drawing.line(*(on.at(*point) for point in curve.back), stroke=INDIGO, width=0.4, dash="1.5 0.8")
    drawing.line(*(on.at(*point) for point in curve.down), stroke=INDIGO, width=0.6)
    _slopes(drawing, curve, on)
    drawing.circles([on.at(*point) for point in curve.measured], 0.6, fill=PAPER, stroke=INK, width=LINE)
    drawing.circles([on.at(*point) for point in curve.read_at], 0.75, fill=INK, width=0)
    _figures(drawing, curve, on)
    _closing(drawing, curve.closes_from, on)
    lines(drawing, on)
    for index, row in enumerate(keys):
        _key_row(drawing, row, height - 1.2 - _STEP * (len(keys) - 1 - index))
    return drawing.svg()


def _band(drawing: Drawing, band: Sequence[Spread], on: Axes) -> None:
    if band:
        low = _cut_off([(depth, least) for depth, least, _ in band], on.up.high)
        high = _cut_off([(depth, greatest) for depth, _, greatest in band], on.up.high)
        drawing.shape([on.at(*point) for point in (*low, *high[::-1])], fill="hatch band", stroke=PALE, width=THIN)


def _cut_off(points: Sequence[Point], top: float) -> list[Point]:
    """The line with a point where it goes through the top, so that what is held there above leaves no false corner."""
    out = list(points[:1])
    for (d0, f0), (d1, f1) in pairwise(points):
        if min(f0, f1) < top < max(f0, f1):
            out.append((d0 + (d1 - d0) * (top - f0) / (f1 - f0), top))
        out.append((d1, f1))
    return out


def _figures(drawing: Drawing, curve: PadCurve, on: Axes) -> None:
    """The force of each reading on the line that leads to it, and its depth upright on the line that leads down."""
    places = [on.at(*point) for point in curve.read_at]
    depths = [_depth_words(depth, force, curve.band) for depth, force in curve.read_at]
    fits = all(
        text_width(words + "  mm", 2.1) <= on.up.start - y - 2.0 for words, (_, y) in zip(depths, places, strict=True)
    )
    for (x, y), words, (_, force) in zip(places, depths, curve.read_at, strict=True):
        drawing.text(on.across.start + 0.8, y - 0.5, show(force, 4), size=2.1, unit="N", halo=True)
        drawing.text(x - 0.5, on.up.start - 0.8, words, size=2.1, turn=-90, unit="mm" if fits else "", halo=True)


def _depth_words(depth: float, force: float, band: Sequence[Spread]) -> str:
    """A depth [mm], never finer than the band is wide there."""
    soft, firm = (at_force([(row[0], row[side]) for row in band], force) for side in (1, 2))
    if soft is None or firm is None or soft <= firm:
        return show(depth, 3)
    return f"{depth:.{min(1, max(0, decimals((soft - firm) / 2)))}f}"


def at_force(points: Sequence[Point], force: float) -> float | None:
    """Depth [mm] where a line through points first reaches a force [N]; None beyond them."""
    for (d0, f0), (d1, f1) in pairwise(points):
        if f0 <= force <= f1 and f1 > f0:
            return d0 + (d1 - d0) * (force - f0) / (f1 - f0)
    return None


def _slopes(drawing: Drawing, curve: PadCurve, on: Axes) -> None:
    """H as two slopes at the middle point: the tangent through it, the secant from nothing."""
    if not curve.read_at:
        return
    depth, force = sorted(curve.read_at)[len(curve.read_at) // 2]
    ends = [_clipped(depth, force, curve.tangent[0], force + share * on.up.high, on) for share in (-0.2, 0.3)]
    drawing.line(*(on.at(*end) for end in ends), stroke=INK, width=0.3)
    drawing.line(
        on.at(0, 0), on.at(*_clipped(0, 0, curve.secant[0], force * 1.12, on)), stroke=INK, width=0.3, dash="0.2 0.9"
    )


def _clipped(depth: float, force: float, slope: float, to: float, on: Axes) -> Point:
    """The point of a line of a slope [N/mm] at the force `to` [N], or where the line leaves the axes."""
    if slope <= 0:
        return depth, force
    to = min(on.up.high, max(0.0, to))
    x = min(on.across.high, max(0.0, depth + (to - force) / slope))
    return x, force + (x - depth) * slope


def _closing(drawing: Drawing, force: float | None, on: Axes) -> None:
    if force is None or not 0 < force < on.up.high:
        return
    y = on.up.at(force)
    drawing.line((on.across.start, y), (on.across.end, y), stroke=INK, width=0.3, dash="2.2 0.8")
    words = f"coils close from {show(force, 2)}"
    base = y - 0.7 if y - 3.0 > on.up.end else y + 2.2  # under its line where there is no room over it
    drawing.text(on.across.start + 0.8, base, words, size=2.1, weight=600, unit="N", halo=True)


Key = tuple[str, str, str]


def _keys(curve: PadCurve, width: float) -> list[list[Key]]:
    """(mark, words, unit) of each line of the key: first H both ways, then the lines."""
    hardness = [
        ("tangent", f"H as tangent {span(*curve.tangent)}", "N/mm"),
        ("secant", f"H as secant {span(*curve.secant)}", "N/mm"),
    ]
    kinds = [("down", "going down", "")]
    kinds += [("back", "coming back", "")] if curve.back else []
    kinds += [("band", "where the force may lie", "")] if curve.band else []
    kinds += [("measured", curve.measured_by, "")] if curve.measured else []
    room = width - _MARK - 1.5
    return [
        [(mark, cut(words, room - (7 if unit else 0), KEY, 1)[0], unit) for mark, words, unit in group]
        for group in (hardness, kinds)
    ]


def _rows(keys: Sequence[Key], width: float) -> list[list[tuple[Key, float]]]:
    """Keys in rows, each with its place across [mm]; a row takes what goes into it."""
    rows: list[list[tuple[Key, float]]] = []
    x = width
    for key in keys:
        long = _MARK + 1 + text_width(key[1], KEY) + (text_width(key[2], KEY) + 1 if key[2] else 0.0) + 3.0
        if x + long > width + 3.0 or not rows:
            rows.append([])
            x = 0.0
        rows[-1].append((key, x))
        x += long
    return rows


def _key_row(drawing: Drawing, row: Sequence[tuple[Key, float]], y: float) -> None:
    for (mark, words, unit), place in row:
        x, middle = place + 0.5, y - 0.75
        ends = (x, middle), (x + _MARK - 0.6, middle)
        if mark == "down":
            drawing.line(*ends, stroke=INDIGO, width=0.6)
        elif mark == "back":
            drawing.line(*ends, stroke=INDIGO, width=0.4, dash="1.5 0.8")
        elif mark == "band":
            drawing.box(x, middle - 1, _MARK - 0.6, 2, fill="hatch band", stroke=PALE, line=THIN)
        elif mark == "measured":
            drawing.circles([(x + 1, middle), (x + 3.2, middle)], 0.6, fill=PAPER, stroke=INK, width=LINE)
        else:
            drawing.line(*ends, stroke=INK, width=0.3, dash="0.2 0.9" if mark == "secant" else "")
            if mark == "tangent":
                drawing.circles([((ends[0][0] + ends[1][0]) / 2, middle)], 0.6, fill=INK, width=0)
        drawing.text(x + _MARK + 0.5, y, words, size=KEY, unit=unit, fill=INK if unit else GREY)
