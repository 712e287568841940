"""The side view of one coil as a line: true profile, true turns, drawn on paper scale."""

from __future__ import annotations

import math
from functools import lru_cache

from bedwright.works.springs import Coil

Point = tuple[float, float]


def diameter_at(coil: Coil, share: float) -> float:
    """Mean diameter [mm] at a share 0 (bottom) to 1 (top) of the height; for drawing, not for reckoning.

    A cone stands on its large end. Hourglass-parabolic follows a parabola, the others straight lines;
    a table goes straight from diameter to diameter.
    """
    end = coil.end_diameter
    if coil.diameters:
        place = share * (len(coil.diameters) - 1)
        below = min(int(place), len(coil.diameters) - 2)
        return coil.diameters[below] + (coil.diameters[below + 1] - coil.diameters[below]) * (place - below)
    middle = coil.middle_diameter if coil.middle_diameter is not None else end
    away = abs(2 * share - 1)
    if coil.profile == "cone":
        return end + (middle - end) * share
    if coil.profile == "hourglass-parabolic":
        return middle + (end - middle) * away**2
    return middle + (end - middle) * away


@lru_cache(maxsize=256)
def side_view(coil: Coil, height: float, steps: int = 10) -> tuple[Point, ...]:
    """Points (x from the axis, z from the bottom) [mm] of a coil standing `height` high, end rings flat.

    A wire that winds round an axis is seen from the side as a cosine whose width is the diameter there. The dead turns
    lie in the two end rings, so the live turns fill the height.
    """
    turns = max(1, round(coil.live_turns * 2) / 2)
    half, top = diameter_at(coil, 0.0) / 2, diameter_at(coil, 1.0) / 2
    points = [(-half, 0.0), (half, 0.0)]
    count = int(turns * steps)
    for index in range(1, count):
        share = index / count
        points.append((diameter_at(coil, share) / 2 * math.cos(2 * math.pi * turns * share), share * height))
    last = math.cos(2 * math.pi * turns)
    sign = 1.0 if last >= 0 else -1.0
    return (*points, (sign * top, height), (-sign * top, height))
