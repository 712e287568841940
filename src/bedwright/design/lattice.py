"""Coils on a lattice: how many go into a plan, and where they stand.

Derived geometry: n coils at pitch p whose heads measure h take (n - 1) p + h. Square rows, or nested rows moved by
half a pitch and set sqrt(3)/2 of a pitch apart (density 2/sqrt(3) = 1.1547 of the square one at equal pitch).
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Lattice:
    """Coils in rows across the bed; rows follow each other along it, the first at the head.

    row_counts: coils of each row. pitch_across, pitch_along [mm]: between coils of a row, between rows.
    head [mm]: outer size of one coil. nested: every second row is moved by half a pitch across.
    """

    row_counts: tuple[int, ...]
    pitch_across: float
    pitch_along: float
    head: float
    nested: bool

    @property
    def count(self) -> int:
        """All coils."""
        return sum(self.row_counts)

    @property
    def across(self) -> int:
        """Coils of the first row."""
        return self.row_counts[0] if self.row_counts else 0

    @property
    def along(self) -> int:
        """Rows."""
        return len(self.row_counts)

    @property
    def width(self) -> float:
        """Outer width [mm]."""
        if not self.row_counts:
            return 0.0
        whole = (self.across - 1) * self.pitch_across + self.head
        moved = self.nested and self.along > 1 and self.row_counts[1] == self.across
        return whole + (self.pitch_across / 2 if moved else 0.0)

    @property
    def length(self) -> float:
        """Outer length [mm]."""
        return (self.along - 1) * self.pitch_along + self.head if self.row_counts else 0.0

    def row_start(self, row: int) -> float:
        """x of the first coil of a row (0-based), from the left outer edge [mm]."""
        return self.head / 2 + (self.pitch_across / 2 if self.nested and row % 2 else 0.0)

    def positions(self) -> tuple[tuple[float, float, int], ...]:
        """(x, y, row) of every coil centre [mm], from the outer corner at the head end, rows in order."""
        return tuple(
            (self.row_start(row) + i * self.pitch_across, self.head / 2 + row * self.pitch_along, row)
            for row, count in enumerate(self.row_counts)
            for i in range(count)
        )

    def gaps(self) -> tuple[tuple[float, float], ...]:
        """(x, y) of the middle of every gap between coils of two rows [mm]: where a needle passes."""
        found = []
        for row in range(self.along - 1):
            y = self.head / 2 + (row + 0.5) * self.pitch_along
            if self.nested:
                # three coils touch: between two of this row and one of the next
                y_gap = self.head / 2 + row * self.pitch_along + self.pitch_along / 3
                found += [
                    (self.row_start(row) + (i + 0.5) * self.pitch_across, y_gap)
                    for i in range(self.row_counts[row] - 1)
                ]
            else:
                found += [(self.head / 2 + (i + 0.5) * self.pitch_across, y) for i in range(self.row_counts[row] - 1)]
        return tuple(found)


def _fits(space: float, pitch: float, head: float) -> int:
    """How many heads at a pitch go into a space; a hair of rounding is forgiven."""
    if head > space + 1e-9:
        return 0
    return math.floor((space - head) / pitch + 1 + 1e-9)


def square(width: float, length: float, pitch_across: float, pitch_along: float, head: float | None = None) -> Lattice:
    """A square lattice in width x length [mm]; head [mm] defaults to the pitch (pockets that touch)."""
    across = _fits(width, pitch_across, pitch_across if head is None else head)
    along = _fits(length, pitch_along, pitch_along if head is None else head)
    rows = (across,) * along if across else ()
    return Lattice(rows, pitch_across, pitch_along, min(pitch_across, pitch_along) if head is None else head, False)


def nested(width: float, length: float, pitch: float, head: float | None = None) -> Lattice:
    """Nested rows in width x length [mm] at one pitch [mm]; rows stand sqrt(3)/2 of the pitch apart.

    Every second row is moved by half a pitch and holds as many coils as its own room allows.
    """
    size = pitch if head is None else head
    along_pitch = pitch * math.sqrt(3) / 2
    rows = _fits(length, along_pitch, size)
    first = _fits(width, pitch, size)
    second = _fits(width - pitch / 2, pitch, size)
    counts = tuple(first if row % 2 == 0 else second for row in range(rows)) if first else ()
    return Lattice(counts, pitch, along_pitch, size, True)


def square_count(width: float, length: float, pitch_across: float, pitch_along: float) -> int:
    """Whole coils of a square lattice whose heads touch [each]; sizes in mm."""
    across = _fits(width, pitch_across, pitch_across)
    along = _fits(length, pitch_along, pitch_along)
    return across * along


def nested_count(width: float, length: float, pitch: float) -> int:
    """Whole coils of nested rows whose heads touch [each]; sizes in mm."""
    return nested(width, length, pitch).count


def density(pitch_across: float, pitch_along: float) -> float:
    """Coils of one square metre of an endless lattice [1/m2]; for nested rows pitch_along is the row distance."""
    return 1e6 / (pitch_across * pitch_along)
