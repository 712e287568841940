"""What the finished bed weighs: dry, at usual humidity, packed, and within which house tolerance.

Natural fillings follow the air: dry mass m is m (1 + regain) (derived from the meaning of regain). What is trimmed off
a quilted panel is taken but not weighed: panels count at trimmed size, everything else at cut size.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bedwright.bill.rows import BillRow, shown
from bedwright.errors import OutsideRange
from bedwright.works.materials import NATURAL, Filling
from bedwright.works.works import Works


@dataclass(frozen=True, slots=True)
class BedMass:
    """Masses of one bed [kg]: dry, at usual humidity (and its interval), packed; steel made here, steel not known."""

    dry: float
    mass: float
    low: float
    high: float
    how: str
    packed: float
    steel: float
    steel_unknown: tuple[str, ...]


def moist_mass(dry: float, regain_percent: float) -> float:
    """Mass at a regain [% of dry mass], unit of `dry`. Book: derived. Raises OutsideRange."""
    if not (dry >= 0 and 0 <= regain_percent <= 100):
        raise OutsideRange(f"dry mass {dry} must be 0 or more and regain {regain_percent} 0 to 100 %")
    return dry * (1 + regain_percent / 100)


def bed_mass(works: Works, rows: Iterable[BillRow]) -> BedMass:
    """Masses of a bed from its rows. The tolerance is the house's for natural fillings where there is one."""
    found = tuple(rows)
    dry = sum(row.mass for row in found)
    mass = dry + sum(row.regain_mass for row in found)
    natural = any(_is_natural(works, row) for row in found)
    rule = "tolerance_mass_natural" if natural else "tolerance_mass_synthetic"
    share = works.rule(rule) / 100
    low, high = mass * (1 - share), mass * (1 + share)
    how = f"{shown(mass)} kg, house tolerance {shown(share * 100)} % ({'natural' if natural else 'synthetic'} fillings)"
    if dry < low:
        low, how = dry, f"{how}; low end at bone dry"
    packing = sum(row.taken_mass for row in found if row.group == "pack")
    return BedMass(
        dry=dry,
        mass=mass,
        low=low,
        high=high,
        how=how,
        packed=mass + packing,
        steel=sum(row.mass for row in found if is_steel(works, row)),
        steel_unknown=tuple(sorted({row.code for row in found if row.kind == "unit"})),
    )


def is_steel(works: Works, row: BillRow) -> bool:
    """Whether a row is steel made up here: wire, and clips."""
    return row.kind == "wire" or (row.kind == "trim" and works.trims[row.code].use == "clip")


def _is_natural(works: Works, row: BillRow) -> bool:
    card = works.fillings.get(row.code) if row.kind == "filling" else None
    return isinstance(card, Filling) and card.family in NATURAL
