"""A figure that the cards may leave open: its value, its range, and whether somebody measured it."""

from __future__ import annotations

from dataclasses import dataclass

UNMEASURED_HIGH = 3.0  # times the plausible value; the low end is nothing


@dataclass(frozen=True, slots=True)
class OpenFigure:
    """A value with its range, in `unit`. known: measured by the maker; else plausible only, and said so."""

    name: str
    value: float
    low: float
    high: float
    unit: str
    known: bool
    field: str = ""

    @classmethod
    def measured_or(
        cls, name: str, field: str, measured: float | None, plausible: float, unit: str, tolerance: float = 0.2
    ) -> OpenFigure:
        """The maker's figure within a tolerance [share], or a plausible one that may be anything from 0 to thrice."""
        if measured is None:
            return cls(name, plausible, 0.0, UNMEASURED_HIGH * plausible, unit, False, field)
        return cls(name, measured, measured * (1 - tolerance), measured * (1 + tolerance), unit, True, field)

    def nothing(self) -> OpenFigure:
        """The same where there is no such thing in the bed."""
        return OpenFigure(self.name, 0.0, 0.0, 0.0, self.unit, True, self.field)

    @property
    def told(self) -> str:
        """A sentence for one that nobody measured."""
        return (
            f"{self.name}: not measured ({self.field} is empty); reckoned with {self.value:g}, from {self.low:g} to "
            f"{self.high:g} {self.unit}, plausible only"
        )
