"""The bill of one bed: rows that a person can redo by hand, and the rows' sums.

A row's quantity is what goes in: cut and fed sizes with their allowances, before any scrap. Scrap is added where money
or stock is reckoned, and is named there.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bedwright.design.bed_at_size import BedAtSize

CountedIn = Literal["kg", "m", "m2", "each"]
GROUPS = ("unit", "edge", "build-up", "panels", "border", "closing", "pack")


@dataclass(frozen=True, slots=True)
class BillRow:
    """One material in one place of one bed.

    line: place in the bill, from 1; group: part of the bed; kind and code: its card; pieces: how many are cut or put
    in; cut_width, cut_length: of one piece [mm], None where it is no cut piece; quantity in counted_in; how: the sum in
    words; mass: dry, in the finished bed [kg] (0 for what is packing); regain_mass: water that a natural filling takes
    up at usual humidity [kg]; taken_mass: dry mass of the whole quantity, what is trimmed off included [kg].
    """

    line: int
    group: str
    kind: str
    code: str
    name: str
    what: str
    pieces: int
    cut_width: float | None
    cut_length: float | None
    quantity: float
    counted_in: CountedIn
    how: str
    mass: float
    regain_mass: float
    taken_mass: float


@dataclass(frozen=True, slots=True)
class Operation:
    """One operation on one bed.

    minutes: elapsed, with all its hands at it; 0 in an oven, which has its own time; count of `per`: what the step
    counts here; family, family_value: what must be set up for it; wait_minutes: afterwards, before the next may begin;
    after: positions it waits for; rack_units: oven room; caution: key of the work place's caution, check: kind of check
    card gone through afterwards; "" for none.
    """

    position: int
    operation: str
    stream: str
    work_place: str
    skill: str | None
    hands: int
    minutes: float
    count: float
    per: str
    how: str
    family: str
    family_value: str
    wait_minutes: float
    after: tuple[int, ...]
    piece_paid: bool
    subcontracted: bool
    oven: bool
    rack_units: int
    caution: str
    check: str = ""

    @property
    def labour_minutes(self) -> float:
        """Minutes of people here: elapsed x hands; 0 for what is done outside or by an oven or machine alone."""
        return 0.0 if self.subcontracted or self.oven or self.skill is None else self.minutes * self.hands


@dataclass(frozen=True, slots=True)
class CarbonLine:
    """Carbon of one material: mass taken [kg], factor [kg CO2e/kg], its year and book, product [kg CO2e]."""

    code: str
    factor_code: str
    mass: float
    factor: float
    year: int
    book: str
    carbon: float


@dataclass(frozen=True, slots=True)
class Bill:
    """What one bed takes.

    mass [kg]: finished bed at usual humidity, unpacked; mass_low, mass_high: house tolerance; dry_mass; packed_mass:
    with film and guard; steel_mass: wire, rods, strips and clips of steel made here (steel_unknown: bought units, whose
    steel only the supplier knows); carbon [kg CO2e], cradle to gate of what is taken, without the carbon_unknown codes;
    minutes: labour.
    """

    bed: BedAtSize
    rows: tuple[BillRow, ...]
    operations: tuple[Operation, ...]
    mass: float
    mass_low: float
    mass_high: float
    mass_how: str
    dry_mass: float
    packed_mass: float
    steel_mass: float
    steel_unknown: tuple[str, ...]
    carbon: float
    carbon_unknown: tuple[str, ...]
    carbon_lines: tuple[CarbonLine, ...]
    minutes: float

    @property
    def key(self) -> str:
        """Bed and size in one word."""
        return self.bed.key

    def of_group(self, group: str) -> tuple[BillRow, ...]:
        """Rows of one part of the bed."""
        return tuple(row for row in self.rows if row.group == group)

    def minutes_of(self, skill: str) -> float:
        """Minutes that one bed takes of a skill, all hands counted, outside work left out."""
        return sum(step.labour_minutes for step in self.operations if step.skill == skill)

    def minutes_at(self, work_place: str) -> float:
        """Minutes that one bed holds a work place, ovens and outside work left out."""
        return sum(
            step.minutes
            for step in self.operations
            if step.work_place == work_place and not step.oven and not step.subcontracted
        )


def shown(value: float) -> str:
    """A figure inside a sum in words: at most 6 digits that say something, never in powers of ten."""
    if value == 0:
        return "0"
    size = abs(value)
    places = 0 if size >= 1e5 else 1 if size >= 1e3 else 2 if size >= 10 else 4 if size >= 0.01 else 7
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
