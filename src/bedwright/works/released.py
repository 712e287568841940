"""What was released of the order book: works orders, runs and serials with ids that outlast any reckoning."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class IssuedRun:
    """A run as released: its id, how many beds, and the serial of each."""

    id: str
    beds: int
    serials: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LineReleased:
    """An order line as released once: bed and size as they stood then, its works order, its runs."""

    order: str
    line: int
    bed: str
    size: str
    works_order: str
    runs: tuple[IssuedRun, ...]

    @property
    def beds(self) -> int:
        """Beds of this release."""
        return sum(run.beds for run in self.runs)
