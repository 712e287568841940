"""Every error that bedwright raises on purpose, and the fault that all of them carry.

    BedwrightError
    ├── FaultsFound        one or more faults in what somebody typed; all of them, gathered
    │   └── CardRefused    the same, for one card made in code
    ├── NotUnderstood      a text that somebody typed and that cannot be read as what was wanted
    ├── NotReadable        a file that cannot be taken in at all (no workbook, encrypted, too large, newer)
    ├── OutsideRange       a formula asked beyond the range its book states
    ├── NotConverged       a sum that did not settle; says where and by how much
    ├── NoPlan             no plan exists, or none was found; says which limit stands in the way
    ├── NotPrinted         a paper that could not be set; says what stood in the way
    └── NotKnown           a figure that only the maker's own measurement can give, and that is empty

A fault names the place, echoes the value and says what would do.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong, where it is, what stands there and what would do.

    sheet, row (1-based, as the spreadsheet counts) and column (its heading) place it in a workbook; card is
    `kind code` and field the card's field. Empty or 0 where a part does not apply.
    """

    says: str
    remedy: str = ""
    value: str = ""
    sheet: str = ""
    row: int = 0
    column: str = ""
    cell: str = ""
    card: str = ""
    field: str = ""
    grave: bool = True

    def place(self) -> str:
        parts = []
        if self.sheet:
            where = f"sheet {self.sheet}"
            if self.row:
                where += f", row {self.row}"
            if self.column:
                where += f", column {self.column}"
            if self.cell:
                where += f" ({self.cell})"
            parts.append(where)
        if self.card:
            parts.append(self.card)
        if self.field and self.field != self.column:
            parts.append(self.field)
        return ", ".join(parts)

    def __str__(self) -> str:
        place = self.place()
        text = f"{place}: {self.says}" if place else self.says
        if self.value != "" and not re.search(rf"(?<![\w.]){re.escape(self.value)}(?![\w.])", self.says):
            text += f" (found {self.value!r})"
        if self.remedy:
            text += f"; {self.remedy}"
        return text


class BedwrightError(Exception):
    """The root: catch this to catch whatever bedwright refuses."""


class FaultsFound(BedwrightError):
    """One or more faults, all gathered before refusing."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class CardRefused(FaultsFound):
    """A card made in code whose fields do not hold."""


class NotUnderstood(BedwrightError, ValueError):
    """A typed text that cannot be read. Carries the fault, so that a form or workbook can place it."""

    def __init__(self, value: str, says: str, remedy: str) -> None:
        self.fault = Fault(says=says, remedy=remedy, value=value)
        super().__init__(str(self.fault))


class NotReadable(BedwrightError):
    """A file that cannot be taken in at all; one sentence says why and what would do."""


class OutsideRange(BedwrightError, ValueError):
    """A formula was asked beyond the range that its book states."""


class NotConverged(BedwrightError):
    """A sum did not settle. Carries where, the residual and what was tried."""

    def __init__(self, says: str, *, residual: float) -> None:
        self.residual = residual
        super().__init__(f"{says} (residual {residual:.3g})")


class NoPlan(BedwrightError):
    """No plan: the limit in the way is named."""


class NotPrinted(BedwrightError):
    """A paper could not be set as it should be; says what stood in the way."""


class NotKnown(BedwrightError):
    """A figure that only the maker's own measurement gives is empty; says how to measure it."""
