"""Where the coils of a unit stand: square rows in line, or nested rows that sit in each other's gaps.

Across is the width of the bed (x), along its length (y), both from the centre of the unit [mm]. A coil stands in the
plan when its whole pitch cell does: half a pitch, or half a coil, stays clear of each side.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bedwright.errors import OutsideRange

Layout = Literal["square", "nested"]
NESTED_ROW = math.sqrt(3) / 2  # rows of touching circles, as a share of the pitch
MOST_COILS = 20_000
_HAIR = 1e-6  # mm: 1320 of 22 x 60 counts as fitting


@dataclass(frozen=True, slots=True)
class Lattice:
    """Counts and pitches of a unit's plan: rows run across, per_row holds their coil counts from head to foot."""

    layout: Layout
    per_row: tuple[int, ...]
    pitch_across: float
    row_pitch: float
    offset: float  # mm by which every second row is moved along itself

    @property
    def count(self) -> int:
        return sum(self.per_row)

    def positions(self) -> tuple[tuple[float, float], ...]:
        """Coil centres (x across, y along) [mm] from the centre of the unit, row by row from the head (least y).

        The block of all rows is centred in the plan, so that no side has more room than the other.
        """
        rows = len(self.per_row)
        starts = [0.0 if row % 2 == 0 else self.offset for row in range(rows)]
        ends = [start + (count - 1) * self.pitch_across for start, count in zip(starts, self.per_row, strict=True)]
        middle = (min(starts) + max(ends)) / 2
        return tuple(
            (starts[row] + i * self.pitch_across - middle, (row - (rows - 1) / 2) * self.row_pitch)
            for row in range(rows)
            for i in range(self.per_row[row])
        )


def square_lattice(width: float, length: float, pitch_across: float, pitch_along: float) -> Lattice:
    """Coils in line both ways: whole pitches in the plan [mm].

    Geometry. Raises OutsideRange for sizes that hold no coil or more than a bed's worth.
    """
    across, along = _fits(width, pitch_across, "width"), _fits(length, pitch_along, "length")
    _not_too_many(across * along)
    return Lattice("square", (across,) * along, pitch_across, pitch_along, 0.0)


def nested_lattice(width: float, length: float, pitch_across: float, pitch_along: float | None = None) -> Lattice:
    """Every second row moved by half a pitch, rows pitch_along apart [mm].

    Without pitch_along, rows of touching circles: sqrt(3)/2 of the pitch. A row that is moved loses its last coil unless
    half a pitch is left over. Geometry. Raises OutsideRange as the square lattice does.
    """
    row_pitch = pitch_across * NESTED_ROW if pitch_along is None else pitch_along
    full = _fits(width, pitch_across, "width")
    moved = math.floor((width - pitch_across / 2) / pitch_across + _HAIR)
    _fits(length, pitch_across, "length")
    if not (math.isfinite(row_pitch) and row_pitch > 0):
        raise OutsideRange(f"A row pitch of {row_pitch:g} mm places no coil; give a pitch above 0.")
    _not_too_many(full * (length / row_pitch))
    rows = 1 + math.floor((length - pitch_across) / row_pitch + _HAIR)
    per_row = tuple(full if row % 2 == 0 else max(0, moved) for row in range(rows))
    return Lattice("nested", per_row, pitch_across, row_pitch, pitch_across / 2)


def square_count(width: float, length: float, pitch_across: float, pitch_along: float) -> int:
    """Coils in a square lattice of pitches in a plan [mm]. Geometry."""
    return square_lattice(width, length, pitch_across, pitch_along).count


def nested_count(width: float, length: float, pitch_across: float, pitch_along: float | None = None) -> int:
    """Coils in nested rows in a plan [mm]; without pitch_along the rows touch. Geometry."""
    return nested_lattice(width, length, pitch_across, pitch_along).count


def density(layout: Layout, pitch: float) -> float:
    """Coils per square metre of an endless lattice of a pitch [mm]: 1/p^2, nested 2/(sqrt 3 p^2). Geometry."""
    per_mm2 = 1 / pitch**2 if layout == "square" else 2 / (math.sqrt(3) * pitch**2)
    return per_mm2 * 1e6


def _fits(size: float, pitch: float, what: str) -> int:
    if not (math.isfinite(size) and math.isfinite(pitch) and size > 0 and pitch > 0):
        raise OutsideRange(f"A {what} of {size:g} mm with a pitch of {pitch:g} mm places no coil; give both above 0.")
    count = math.floor(size / pitch + _HAIR)
    if count < 1:
        raise OutsideRange(f"A {what} of {size:g} mm holds no coil of pitch {pitch:g} mm; use a smaller pitch.")
    return count


def _not_too_many(count: float) -> None:
    if count > MOST_COILS:
        raise OutsideRange(f"{count:.0f} coils are more than a bed holds; use pitches that give {MOST_COILS} or fewer.")
