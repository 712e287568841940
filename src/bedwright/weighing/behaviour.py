"""How a build behaves: pressed in the middle, near the border where that is asked, and lain on by the persons to suit.

Screened on a coarse mesh, to the force that H needs, without way back and intervals; then solved in full. How far the
two lie apart is measured (measures/weigh_up.py), and said of every member of the best set.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import BedwrightError
from bedwright.mechanics.base import SOLID
from bedwright.mechanics.bed_field import bed_field, layout, place
from bedwright.mechanics.bed_model import BedModel, bed_model
from bedwright.mechanics.coil_travel import coil_travel
from bedwright.mechanics.hardness import hardness
from bedwright.mechanics.intervals import Move
from bedwright.mechanics.lying_bench import Rested
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.pad_path import press
from bedwright.mechanics.pad_test import pad_test
from bedwright.weighing.asked import Asked
from bedwright.weighing.lain_on import Lain, lain_on

BORDER = 200.0
"""Distance [mm] of the pad's middle from the long side's border, where the edge is read."""
PROTOCOL = Protocol()


@dataclass(frozen=True, slots=True)
class How:
    """How finely a build is solved: fineness of the mesh, residual asked as a share of force, greatest force [N]; cell
    [mm] over which pressures of persons are read, and their residual."""

    name: str
    fineness: float
    tolerance: float
    greatest: float
    cell: float
    persons: float


COARSE = How("screened", 0.7, 1e-4, 400.0, 20.0, 1e-3)
FULL = How("full", 1.0, 1e-6, 1000.0, 20.0, 1e-6)


@dataclass(frozen=True, slots=True)
class Sure:
    """How sure a full solution is: interval of H as tangent [N/mm], what moves it, secant with its interval, the worst
    residual as a share of force, whether coils close before H is read, and the test's notes."""

    low: float
    high: float
    secant: float
    secant_low: float
    secant_high: float
    moves: tuple[Move, ...]
    residual: float
    closes: bool
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Behaviour:
    """h: H as tangent in the middle [N/mm]; edge: H near the border as a share of it, None where not asked; persons: by
    name. failed: why it is not known, "" where all is. closes: coils close before H is read, so that it proves nothing.
    sure: of a full solution only."""

    h: float
    edge: float | None = None
    persons: Mapping[str, Lain] = field(default_factory=dict)
    failed: str = ""
    closes: bool = False
    sure: Sure | None = None

    def of(self, aim: str, ask: Asked) -> float:
        """The figure of an aim that needs a press."""
        if aim == "hardness":
            return ask.away(self.h)
        if aim == "edge":
            return max(0.0, 1.0 - (self.edge or 0.0))
        worst = [one.p99 if aim == "pressure" else one.departure for one in self.persons.values()]
        return max(worst)


def behaviour(bed: BedAtSize, ask: Asked, how: How, starts: Mapping[str, Rested] | None = None) -> Behaviour:
    """Press a bed, and lay the persons on it. What cannot be settled is said in `failed`, never raised.

    starts: persons at rest on a bed like it, by name, to begin from.
    """
    sure = None
    try:
        model = bed_model(bed)
        if how.name == FULL.name:
            h, sure = fully(bed, model, how)
            closes = sure.closes
        else:
            h, closes = pressed(model, Spot(bed.width / 2, bed.length / 2), how)
        edge = pressed(model, Spot(BORDER, bed.length / 2), how)[0] / h if ask.edge else None
        persons = {
            one.called: lain_on(bed, one, model, how.cell, how.persons, (starts or {}).get(one.called))
            for one in ask.persons
        }
    except BedwrightError as error:
        return Behaviour(0.0, failed=str(error))
    return Behaviour(h, edge, persons, closes=closes, sure=sure)


def fully(bed: BedAtSize, model: BedModel, how: How) -> tuple[float, Sure]:
    """H with its interval, by the pad test as everybody asks it. Raises OutsideRange, NotConverged, NotKnown."""
    curve = pad_test(bed, model=model, fineness=how.fineness, tolerance=how.tolerance)
    value = curve.hardness
    sure = Sure(
        curve.low, curve.high, value.secant, curve.secant_low, curve.secant_high, curve.moves, curve.residual,
        curve.closes, curve.notes,
    )  # fmt: skip
    return value.tangent, sure


def pressed(model: BedModel, spot: Spot, how: How) -> tuple[float, bool]:
    """H as tangent at a spot [N/mm], and whether coils close before it is read.

    Raises OutsideRange, NotConverged, NotKnown.
    """
    where = layout(model, spot, PROTOCOL, how.fineness)
    placed = place(model, where, SOLID)
    path = press(bed_field(model, placed), how.greatest, PROTOCOL.slope_forces, how.tolerance, back=False)
    h = hardness(path.depth, path.force, PROTOCOL.slope_forces, smooth=True).tangent
    return h, coil_travel(model, placed, path).closing_from < PROTOCOL.slope_forces[-1]
