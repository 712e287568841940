"""The pad test's curve: force over depth, the three forces where H is read, and the band that the cards leave open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PALE, THIN, Drawing, Point
from bedwright.papers.typeset import Raw
from bedwright.typed import show

READ_AT = (210.0, 275.0, 340.0)
"""Forces [N] at which EN 1957 reads the slope of the curve (en-1957)."""


@dataclass(frozen=True, slots=True)
class PadCurve:
    """Points (depth [mm], force [N]) of the loading branch; low, high: H at the two ends of the band over H itself.

    hardness [N/mm] and half_width [N/mm] of its interval, as printed beside the curve.
    """

    points: tuple[tuple[float, float], ...]
    low: float
    high: float
    hardness: float
    half_width: float


def curve_drawing(curve: PadCurve, width: float = 84.0, height: float = 56.0) -> Raw:
    """The curve on `width` x `height` of paper [mm]."""
    drawing = Drawing(width, height, "Pad test: force over depth")
    top_force = 500.0
    seen = [point for point in curve.points if point[1] <= top_force] or list(curve.points[:2])
    deepest = max(point[0] for point in seen) / max(min(curve.low, 1.0), 0.5)
    step = next(step for step in (5, 10, 20, 25, 50, 100, 200, 400) if deepest / step <= 6)
    end = step * -(-deepest // step)
    left, right, top, bottom = 11.0, width - 3.0, 4.0, height - 9.0

    def at(depth: float, force: float) -> Point:
        return left + depth / end * (right - left), bottom - force / top_force * (bottom - top)

    for force in range(0, 501, 100):
        x, y = at(0, force)
        drawing.line((x - 1, y), (right, y), stroke=PALE, width=THIN)
        drawing.text(x - 1.6, y + 0.8, f"{force}", size=2.2, anchor="end", fill=GREY)
    depth = 0.0
    while depth <= end + 1e-9:
        x, y = at(depth, 0)
        drawing.line((x, y), (x, y + 1), stroke=GREY, width=THIN)
        drawing.text(x, y + 3.4, f"{depth:g}", size=2.2, anchor="middle", fill=GREY)
        depth += step
    _band(drawing, seen, curve, at)
    drawing.line(*(at(*point) for point in seen), stroke=INDIGO, width=0.5)
    for force in READ_AT:
        _read_at(drawing, seen, force, at)
    drawing.line(at(0, 0), at(end, 0), width=LINE)
    drawing.line(at(0, 0), at(0, top_force), width=LINE)
    drawing.text(right, height - 1.2, "depth under the pad", size=2.4, anchor="end", unit="mm")
    drawing.text(0.5, 2.4, "force", size=2.4, unit="N")
    return drawing.svg()


def _band(drawing: Drawing, seen: Sequence[Point], curve: PadCurve, at) -> None:  # type: ignore[no-untyped-def]
    """The same curve read softer and firmer by the interval of H: depth goes with one over H."""
    soft = [at(depth / max(curve.low, 0.05), force) for depth, force in seen]
    firm = [at(depth / curve.high, force) for depth, force in seen]
    drawing.shape([*soft, *firm[::-1]], fill="hatch band", stroke=PALE, width=THIN)


def depth_at(points: Sequence[Point], force: float) -> float | None:
    """Depth [mm] at a force [N] on straight lines between the points; None beyond them."""
    for (d0, f0), (d1, f1) in zip(points, points[1:], strict=False):
        if f0 <= force <= f1 and f1 > f0:
            return d0 + (d1 - d0) * (force - f0) / (f1 - f0)
    return None


def _read_at(drawing: Drawing, seen: Sequence[Point], force: float, at) -> None:  # type: ignore[no-untyped-def]
    depth = depth_at(seen, force)
    if depth is None:
        return
    x, y = at(depth, force)
    drawing.line(at(0, force), (x, y), stroke=INK, width=THIN, dash="0.8 0.6")
    drawing.circles([(x, y)], 0.7, fill=INK, width=0)
    zero = at(0, force)
    drawing.text(zero[0] + 1.2, y - 0.7, f"{force:.0f}", size=2.2, unit="N", halo=True)
    drawing.text(x + 1.6, y + 1.6, show(depth, 3), size=2.2, unit="mm", halo=True)
