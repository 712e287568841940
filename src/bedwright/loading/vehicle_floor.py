"""Pallets on a vehicle's floor in plain rows, loading metres, and container insides. All sizes in whole mm.

Semi-trailer 13.6 m: 33 Euro or 26 UK pallets (trailer-sizes). Container insides are the least sizes of ISO 668 / 1496
(iso-668, from memory): measure the box that comes.
"""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.errors import OutsideRange

EURO_PALLET = (1200, 800)  # length x width (trailer-sizes)
UK_PALLET = (1200, 1000)
TRAILER_FLOOR = (13_600, 2_400)
LOADING_METRE_WIDTH = 2_400
ROOM_BETWEEN_ROWS = 10  # mm a row (common practice): with no room at all 34 Euro pallets would fill 13.6 m to the mm

# least inside length, width, height (iso-668, from memory)
CONTAINERS: dict[str, tuple[int, int, int]] = {
    "20": (5867, 2330, 2350),
    "40": (11998, 2330, 2350),
    "40 high": (11998, 2330, 2655),
}


@dataclass(frozen=True, slots=True)
class FloorCount:
    """Pallets in rows across the floor: count, length used [mm], rows by way (short side along, long side along).

    used_length: the pallets' own sides, without the room between rows.

    bound: no pattern at all can hold more, by area; where count is less, other patterns were not searched.
    """

    count: int
    used_length: int
    rows_short_along: int
    rows_long_along: int
    bound: int


def pallets_on_floor(floor: tuple[int, int], pallet: tuple[int, int], *, room: int = ROOM_BETWEEN_ROWS) -> FloorCount:
    """Most pallets in full rows, each row one way round, both ways mixed along the floor. Book: trailer-sizes.

    floor and pallet: (length, width) [mm]; room: left beside each row along the floor [mm]. Raises OutsideRange.
    """
    length, width = floor
    long, short = max(pallet), min(pallet)
    if length <= 0 or width <= 0 or short <= 0 or room < 0:
        raise OutsideRange(f"floor {floor}, pallet {pallet} must be whole mm over 0 and room {room} 0 or more")
    best = FloorCount(0, 0, 0, 0, (length * width) // (long * short))
    most_short = length // (short + room) if width >= long else 0
    for rows_short in range(most_short + 1):
        left = length - rows_short * (short + room)
        rows_long = left // (long + room) if width >= short else 0
        count = rows_short * (width // long) + rows_long * (width // short)
        used = rows_short * short + rows_long * long
        if (count, -used) > (best.count, -best.used_length):
            best = FloorCount(count, used, rows_short, rows_long, best.bound)
    return best


def loading_metres(pallet: tuple[int, int], count: int) -> float:
    """Loading metres [m]: floor area over a width of 2.4 m. Euro pallet 0.4, UK pallet 0.5. Book: trailer-sizes."""
    if count < 0 or min(pallet) <= 0:
        raise OutsideRange(f"{count} pallets of {pallet} mm: count 0 or more, sides over 0")
    return count * pallet[0] * pallet[1] / LOADING_METRE_WIDTH / 1000


def container_volume(kind: str) -> float:
    """Least inside volume of a container [m3]. Book: iso-668 (from memory)."""
    if kind not in CONTAINERS:
        raise OutsideRange(f"container {kind!r} is none of {', '.join(CONTAINERS)}")
    length, width, height = CONTAINERS[kind]
    return length * width * height / 1e9
