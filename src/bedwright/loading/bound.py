"""What no load can beat: floor length at departure, by height and by number under stacks.

Any point of the floor carries either one piece on edge or one stack; a stack is no higher than the vehicle and has no
more pieces than the most that any bundle may bear. So a piece on edge needs its whole floor, a lying piece at least
its thickness' share of the height and one share of the tallest stack; floor needed over width is length.
"""

from __future__ import annotations

from collections.abc import Sequence

from bedwright.loading.problem import ON_EDGE, Bundle, Vehicle


def least_length(vehicle: Vehicle, goods: Sequence[tuple[Bundle, int]]) -> int:
    """Millimetres of floor that these goods (bundle, count) need at least; goods that fit no way are not counted."""
    ways = [(fitting(vehicle, bundle), count) for bundle, count in goods if count]
    ways = [(boxes, count) for boxes, count in ways if boxes]
    if not ways:
        return 0
    tallest = max((bundle.stack or 1) for bundle, count in goods if count)
    height, width = vehicle.height, vehicle.width
    by_height = by_number = single = 0
    for boxes, count in ways:
        by_height += count * min(dx * dy * (height if way == ON_EDGE else dz) for way, (dx, dy, dz) in boxes)
        by_number += count * min(dx * dy * (tallest if way == ON_EDGE else 1) for way, (dx, dy, _) in boxes)
        single = max(single, min(dx for _, (dx, _, _) in boxes))
    return max(-(-by_height // (width * height)), -(-by_number // (width * tallest)), single)


def fitting(vehicle: Vehicle, bundle: Bundle) -> list[tuple[str, tuple[int, int, int]]]:
    """(way, box) of every way this bundle may travel in that the empty vehicle has room for."""
    return [
        (way, (dx, dy, dz))
        for way in bundle.ways
        for dx, dy, dz in bundle.boxes(way)
        if dx <= vehicle.length and dy <= vehicle.width and dz <= vehicle.height
    ]
