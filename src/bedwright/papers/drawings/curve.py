"""The pad test's curve: force over depth, the three forces where H is read, and the band that the cards leave open."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PALE, THIN, Drawing, Point
from bedwright.papers.typeset import Raw
from bedwright.typed import show

READ_AT = (210.0, 275.0, 340.0)
"""Forces [N] at which EN 1957 reads the slope of the curve (en-1957)."""
TOP_FORCE = 500.0
"""Highest force that is drawn [N]."""


@dataclass(frozen=True, slots=True)
class PadCurve:
    """Points (depth [mm], force [N]) of the loading branch; low, high: H at the two ends of the band over H itself."""

    points: tuple[tuple[float, float], ...]
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class _Axes:
    """Where depth [mm] and force [N] lie on the paper [mm]."""

    left: float
    right: float
    top: float
    bottom: float
    deepest: float

    def at(self, depth: float, force: float) -> Point:
        x = self.left + depth / self.deepest * (self.right - self.left)
        return x, self.bottom - force / TOP_FORCE * (self.bottom - self.top)


def curve_drawing(curve: PadCurve, width: float = 84.0, height: float = 56.0) -> Raw:
    """The curve on `width` x `height` of paper [mm]."""
    drawing = Drawing(width, height, "Pad test: force over depth")
    seen = [point for point in curve.points if point[1] <= TOP_FORCE] or list(curve.points[:2])
    widest = max(point[0] for point in seen) / min(1.0, max(curve.low, 0.5))
    step = next((step for step in (5, 10, 20, 25, 50, 100, 200) if widest / step <= 6), 400)
    marks = math.ceil(widest / step)
    axes = _Axes(11.0, width - 3.0, 4.0, height - 9.0, float(marks * step))
    _grid(drawing, axes, marks, step)
    _band(drawing, seen, curve, axes)
    drawing.line(*(axes.at(*point) for point in seen), stroke=INDIGO, width=0.5)
    for force in READ_AT:
        _read_at(drawing, seen, force, axes)
    drawing.line(axes.at(0, 0), axes.at(axes.deepest, 0), width=LINE)
    drawing.line(axes.at(0, 0), axes.at(0, TOP_FORCE), width=LINE)
    drawing.text(axes.right - 6, height - 1.2, "depth under the pad", size=2.4, anchor="end", unit="mm")
    drawing.text(0.5, 2.4, "force", size=2.4, unit="N")
    return drawing.svg()


def _grid(drawing: Drawing, axes: _Axes, marks: int, step: int) -> None:
    for force in range(0, int(TOP_FORCE) + 1, 100):
        x, y = axes.at(0, force)
        drawing.line((x - 1, y), (axes.right, y), stroke=PALE, width=THIN)
        drawing.text(x - 1.6, y + 0.8, f"{force}", size=2.2, anchor="end", fill=GREY)
    for mark in range(marks + 1):
        x, y = axes.at(mark * step, 0)
        drawing.line((x, y), (x, y + 1), stroke=GREY, width=THIN)
        drawing.text(x, y + 3.4, f"{mark * step}", size=2.2, anchor="middle", fill=GREY)


def _band(drawing: Drawing, seen: Sequence[Point], curve: PadCurve, axes: _Axes) -> None:
    """The same curve read softer and firmer by the interval of H: depth goes with one over H."""
    soft = [axes.at(min(depth / max(curve.low, 0.5), axes.deepest), force) for depth, force in seen]
    firm = [axes.at(depth / curve.high, force) for depth, force in seen]
    drawing.shape([*soft, *firm[::-1]], fill="hatch band", stroke=PALE, width=THIN)


def depth_at(points: Sequence[Point], force: float) -> float | None:
    """Depth [mm] at a force [N] on straight lines between the points; None beyond them."""
    for (d0, f0), (d1, f1) in pairwise(points):
        if f0 <= force <= f1 and f1 > f0:
            return d0 + (d1 - d0) * (force - f0) / (f1 - f0)
    return None


def _read_at(drawing: Drawing, seen: Sequence[Point], force: float, axes: _Axes) -> None:
    depth = depth_at(seen, force)
    if depth is None:
        return
    x, y = axes.at(depth, force)
    zero = axes.at(0, force)
    drawing.line(zero, (x, y), stroke=INK, width=THIN, dash="0.8 0.6")
    drawing.circles([(x, y)], 0.7, fill=INK, width=0)
    drawing.text(zero[0] + 1.2, y - 0.7, f"{force:.0f}", size=2.2, unit="N", halo=True)
    drawing.text(x + 1.6, y + 1.6, show(depth, 3), size=2.2, unit="mm", halo=True)
