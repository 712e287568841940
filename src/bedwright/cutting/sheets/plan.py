"""The answer to a sheet: every sheet with its pieces in place, what stays short, and how good that is."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from bedwright.cutting.plan import Proof, Short
from bedwright.cutting.sheets.problem import SheetProblem


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece on a sheet: corner x (along), y (across) from the sheet's corner, size as it lies."""

    piece: str
    copy: int
    x: int
    y: int
    along: int
    across: int
    turned: bool


@dataclass(frozen=True, slots=True)
class Band:
    """A band from the first cut: where it starts on the parted side, how deep it is, and its pieces in order."""

    start: int
    depth: int
    pieces: tuple[Placed, ...]


@dataclass(frozen=True, slots=True)
class CutSheet:
    """One sheet: first_cut "across" (bands follow each other along the sheet) or "along"."""

    stock: str
    first_cut: str
    bands: tuple[Band, ...]


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """A cut plan. proof.value and proof.bound: square tenths of a millimetre of sheet, edges and waste included."""

    problem: SheetProblem
    sheets: tuple[CutSheet, ...]
    short: tuple[Short, ...]
    proof: Proof
    sheets_bound: int

    @property
    def yield_percent(self) -> float:
        """Area that ends in pieces over area of the sheets taken."""
        cut = sum(p.along * p.across for sheet in self.sheets for band in sheet.bands for p in band.pieces)
        return 100.0 * cut / self.proof.value if self.proof.value else 100.0

    @property
    def sheets_used(self) -> dict[str, int]:
        return dict(sorted(Counter(sheet.stock for sheet in self.sheets).items()))

    def patterns(self) -> tuple[tuple[CutSheet, int], ...]:
        """Sheets that are cut alike (same stock, same sizes in the same places): (first of them, how many)."""
        seen: dict[tuple[object, ...], tuple[CutSheet, int]] = {}
        for sheet in self.sheets:
            places = tuple((p.piece, p.x, p.y, p.turned) for band in sheet.bands for p in band.pieces)
            key = (sheet.stock, sheet.first_cut, places)
            first, times = seen.get(key, (sheet, 0))
            seen[key] = (first, times + 1)
        return tuple(seen.values())
