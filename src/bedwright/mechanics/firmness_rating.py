"""The firmness rating of EN 1957, only through a formula that the user fills in.

The standard makes a number from 1 (very firm) to 10 (very soft) out of the hardness H and of the curve; that the work
from 0 to 450 N is what it takes of the curve is from memory, and the formula was not found in anything readable (book
`en-1957`). So none is shipped: whoever owns the standard types its terms, and until then there is no rating.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import Fault, FaultsFound, OutsideRange

Array = NDArray[np.float64]

WORK_TO = 450.0
"""Force [N] to which the work is taken (from memory)."""
FIRMEST, SOFTEST = 1.0, 10.0
OFF = (
    "no firmness rating: the formula of EN 1957 was not readable and none is invented; whoever owns the standard types"
    " its terms (coefficient, power of hardness, power of work) in the formula table"
)


@dataclass(frozen=True, slots=True)
class Term:
    """One term: coefficient x H^power_of_hardness x W^power_of_work, H [N/mm], W [J]; both powers 0 for a constant."""

    coefficient: float
    power_of_hardness: float = 0.0
    power_of_work: float = 0.0


@dataclass(frozen=True, slots=True)
class Rating:
    """The rating: value 1 to 10 (None while off), as the formula gave it before clipping, its inputs, and a sentence.

    hardness [N/mm], named tangent or secant in `which`; work [J].
    """

    value: float | None
    unclipped: float | None
    hardness: float | None
    which: str
    work: float | None
    note: str


def work_to(depth: Array, force: Array, force_limit: float = WORK_TO) -> float:
    """Work of the loading branch from 0 to a force [J]: depth [mm] and force [N], shape (points,), both rising.

    Straight between the points (N mm / 1000). Raises OutsideRange when the curve falls or does not reach the force.
    """
    depth, force = np.asarray(depth, dtype=np.float64), np.asarray(force, dtype=np.float64)
    if depth.shape != force.shape or depth.ndim != 1 or len(depth) < 2:
        raise OutsideRange(f"depth {depth.shape} and force {force.shape}: give as many of each, two points or more")
    if np.any(np.diff(depth) <= 0) or np.any(np.diff(force) <= 0):
        raise OutsideRange("the loading curve does not rise at every point; take out doubled or falling points")
    if force[-1] < force_limit:
        raise OutsideRange(f"the curve ends at {force[-1]:.0f} N, and the work needs {force_limit:g} N")
    inside = force < force_limit
    last = float(np.interp(force_limit, force, depth))
    x, F = np.append(depth[inside], last), np.append(force[inside], force_limit)
    return float(np.sum(np.diff(x) * (F[1:] + F[:-1]) / 2)) / 1000


def formula_faults(terms: Sequence[Term]) -> list[Fault]:
    """Faults of a formula table, row by row; an empty table has none, it is off."""
    faults = []
    for row, term in enumerate(terms, 1):
        for field in ("coefficient", "power_of_hardness", "power_of_work"):
            value = getattr(term, field)
            if not np.isfinite(value) or (field != "coefficient" and abs(value) > 20):
                within = "give a number" if field == "coefficient" else "give a number from -20 to 20"
                faults.append(Fault(says=f"{field} {value} of row {row} does not do", remedy=within, field=field))
    return faults


def firmness_rating(
    terms: Sequence[Term], hardness: float, depth: Array, force: Array, *, which: str = "tangent"
) -> Rating:
    """The rating from a filled formula table; None with the sentence why while the table is empty.

    hardness [N/mm] of the loading curve depth [mm], force [N], shape (points,). Clipped to 1 to 10, and then says so.
    Book `en-1957` for scale and inputs. Raises FaultsFound for a bad row, OutsideRange for a curve that does not reach.
    """
    if not terms:
        return Rating(None, None, None, which, None, OFF)
    faults = formula_faults(terms)
    if faults:
        raise FaultsFound(faults)
    if not hardness > 0:
        raise OutsideRange(f"a hardness of {hardness:g} N/mm has no rating; give one above 0")
    work = work_to(depth, force)
    raw = float(sum(t.coefficient * hardness**t.power_of_hardness * work**t.power_of_work for t in terms))
    value = min(max(raw, FIRMEST), SOFTEST)
    note = f"by the formula typed in, from H {which} and the work to {WORK_TO:g} N; no measure of comfort or quality"
    if value != raw:
        note = f"the formula gave {raw:.3g}, outside the scale: shown as {value:g}; check the table; " + note
    return Rating(value, raw, hardness, which, work, note)
