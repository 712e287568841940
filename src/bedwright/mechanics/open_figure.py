"""A figure that the cards may leave open: its value, its range, and whether somebody measured it."""

from __future__ import annotations

from dataclasses import dataclass

UNMEASURED_HIGH = 3.0  # times the plausible value; the low end is nothing


@dataclass(frozen=True, slots=True)
class OpenFigure:
    """A value with its range, in `unit`. known: measured by the maker, or worked out from what was; else plausible
    only, and said so. field, card: where it would stand. solved: its range was worked out with it."""

    name: str
    value: float
    low: float
    high: float
    unit: str
    known: bool
    field: str = ""
    card: str = ""
    solved: bool = False

    @classmethod
    def measured_or(
        cls, name: str, field: str, measured: float | None, plausible: float, unit: str, card: str = ""
    ) -> OpenFigure:
        """The maker's figure, or a plausible one that may be anything from nothing to thrice."""
        if measured is None:
            return cls(name, plausible, 0.0, UNMEASURED_HIGH * plausible, unit, False, field, card)
        return cls(name, measured, measured, measured, unit, True, field, card)

    def nothing(self) -> OpenFigure:
        """The same where there is no such thing in the bed."""
        return OpenFigure(self.name, 0.0, 0.0, 0.0, self.unit, True, self.field, self.card)

    def within(self, tolerance: float) -> OpenFigure:
        """A measured figure with the works' tolerance [share]; one solved or unmeasured keeps its own range."""
        if not self.known or self.solved:
            return self
        away = abs(self.value) * tolerance
        return OpenFigure(
            self.name, self.value, self.value - away, self.value + away, self.unit, True, self.field, self.card
        )

    @property
    def told(self) -> str:
        """A sentence for one that nobody measured, right for one thing (lacing) and for several (end rings)."""
        place = f"{self.card}: " if self.card else ""
        return (
            f"{place}nobody measured {self.name} ({self.field} is empty); reckoned with {self.value:g}, from "
            f"{self.low:g} to {self.high:g} {self.unit}, plausible only"
        )
