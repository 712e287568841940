"""Carbon of what one bed takes, cradle to gate, from the works' own dated factors. Codes without a factor are named.

Every factor is the user's (carbon-memory where it comes from the starter): it is never guessed here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from bedwright.bill.rows import BillRow, CarbonLine
from bedwright.works.works import Works


def bed_carbon(works: Works, rows: Iterable[BillRow]) -> tuple[tuple[CarbonLine, ...], tuple[str, ...]]:
    """(a line for each material with a factor, codes of materials without one), by code; masses before scrap."""
    masses: dict[str, float] = defaultdict(float)
    for row in rows:
        masses[row.code] += row.taken_mass
    lines, unknown = [], []
    for code in sorted(masses):
        factor_code = getattr(works.stuff(code), "carbon", None)
        factor = works.carbon.get(factor_code) if factor_code else None
        if factor is None:
            unknown.append(code)
            continue
        carbon = masses[code] * factor.factor
        lines.append(CarbonLine(code, factor.code, masses[code], factor.factor, factor.year, factor.book, carbon))
    return tuple(lines), tuple(unknown)
