"""How much of what is put in is lost, by the house's rates, for money and for stock alike.

A house rate is a share of what goes in ("scrap on input"): 4 % lost means 100 in for 96 out. Thread has its waste in
the stitch formula already, and counted pieces that are put in whole (units) have none.
"""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.bill.rows import BillRow
from bedwright.works.works import Works


@dataclass(frozen=True, slots=True)
class Scrap:
    """Share lost of what is put in (0.04 for 4 %) and the house rule it comes from; rule "" where there is none."""

    share: float
    rule: str

    @property
    def says(self) -> str:
        return f"{self.rule} {self.share * 100:.6g} % of what is put in" if self.rule else "no scrap"


def house_scrap(works: Works, row: BillRow) -> Scrap:
    """The house rate for a row of a bill."""
    rule = _rule(works, row)
    return Scrap(works.rule(rule) / 100 if rule else 0.0, rule)


def _rule(works: Works, row: BillRow) -> str:
    if row.kind == "unit":
        return ""
    if row.kind == "wire":
        return "scrap_wire"
    if row.kind == "trim" and works.trims[row.code].use == "thread":
        return ""
    if row.group in ("panels", "border") and row.kind in ("cloth", "filling"):
        return "scrap_quilting"
    if row.kind == "filling":
        return "scrap_foam"
    return "scrap_trim"
