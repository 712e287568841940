"""A pad test handed to its drawings: the curve, what moves H, the bed cut through the spot; nothing worked out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize, UnitAtSize
from bedwright.mechanics.hardness import Hardness
from bedwright.mechanics.pad import Spot
from bedwright.papers.drawings.bed_section import Fill, Heights, Section, bed_section
from bedwright.papers.drawings.edge_profile import Reading
from bedwright.papers.drawings.moves import Move, moves_drawing
from bedwright.papers.drawings.pad_curve import PadCurve, pad_curve
from bedwright.papers.drawings.section_parts import StandingCoil, bands
from bedwright.papers.drawings.svg import Point
from bedwright.papers.typeset import Raw
from bedwright.works.materials import Filling

Array = NDArray[np.float64]
READ_AT = (210.0, 275.0, 340.0)
"""Forces [N] at which EN 1957 reads the slope (en-1957-pad)."""
TUFT_HEAD = 15.0
"""How near to the cut a tuft is drawn in it [mm]: its button or felt reaches so far."""


class Tested(Protocol):
    """What the drawings take of a pad test, as mechanics gives it: forces [N], depths [mm], H [N/mm]."""

    @property
    def depth(self) -> Array: ...
    @property
    def force(self) -> Array: ...
    @property
    def depth_back(self) -> Array: ...
    @property
    def force_back(self) -> Array: ...
    @property
    def force_low(self) -> Array: ...
    @property
    def force_high(self) -> Array: ...
    @property
    def hardness(self) -> Hardness: ...
    @property
    def low(self) -> float: ...
    @property
    def high(self) -> float: ...
    @property
    def secant_low(self) -> float: ...
    @property
    def secant_high(self) -> float: ...
    @property
    def moves(self) -> Sequence[Move]: ...
    @property
    def heights(self) -> Heights: ...
    @property
    def section(self) -> Section: ...
    @property
    def closing_from(self) -> float: ...
    @property
    def spot(self) -> Spot: ...


def curve_of(test: Tested, measured: Sequence[Point] = (), measured_by: str = "measured") -> PadCurve:
    """The test as the curve is drawn; measured: (depth [mm], force [N]) of a real bed over it, and whose."""
    depths = test.hardness.depths
    return PadCurve(
        down=_points(test.depth, test.force),
        tangent=(test.hardness.tangent, test.low, test.high),
        secant=(test.hardness.secant, test.secant_low, test.secant_high),
        read_at=tuple(zip(depths, READ_AT, strict=True)),
        back=_points(test.depth_back, test.force_back),
        band=tuple(
            (float(depth), float(low), float(high))
            for depth, low, high in zip(test.depth, test.force_low, test.force_high, strict=True)
        ),
        measured=tuple(measured),
        measured_by=measured_by,
        closes_from=test.closing_from if np.isfinite(test.closing_from) else None,
    )


def _points(depth: Array, force: Array) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in zip(depth, force, strict=True))


def draw_curve(test: Tested, width: float = 84.0, height: float = 80.0, measured: Sequence[Point] = ()) -> Raw:
    """The pad test's curve; measured: (depth [mm], force [N]) of a real bed over it."""
    return pad_curve(curve_of(test, measured), width, height)


def draw_moves(test: Tested, width: float = 84.0, most: int = 8) -> Raw:
    """What moves H."""
    return moves_drawing(test.moves, test.hardness.tangent, test.hardness.secant, width, most)


def draw_section(test: Tested, bed: BedAtSize, width: float = 180.0, reach: float | None = 450.0) -> Raw:
    """The bed cut across through the spot."""
    spot = test.spot
    fills = section_fills(bed, spot, len(test.section.names))
    tufts = [x for x, y in bed.tufts.places if abs(y - spot.y) <= TUFT_HEAD] if bed.tufts is not None else []
    return bed_section(test.section, test.heights, spot.x, fills, tufts, width=width, reach=reach)


def readings(spots: Sequence[tuple[float | None, Tested]]) -> tuple[Reading, ...]:
    """H as tangent at each distance from the border [mm], None for the centre, for the drawing of the edge."""
    return tuple(Reading(distance, test.hardness.tangent, test.low, test.high) for distance, test in spots)


def section_fills(bed: BedAtSize, spot: Spot, interfaces: int) -> tuple[Fill, ...]:
    """What lies below each interface of a section, from the face that is up; below the last one lies the base.

    Panels without fillings have no interface of their own. What lies under the unit is one fill where the mechanics
    presses it together with the coils' feet.
    """
    parts = [band for band in bands(bed) if not _thin(bed, band.words)]
    if spot.face == "B":
        parts = parts[::-1]
    found = [
        Fill(
            band.words, band.lighter, band.hatch,
            () if band.unit is None else _coils(bed, band.unit, spot.y),
            _rails(bed) if band.unit is bed.unit else (),
        )
        for band in parts
    ]  # fmt: skip
    above = found[: interfaces - 1]
    under = parts[interfaces - 1 :]
    if under:
        whole = sum(band.top - band.bottom for band in under)
        plies = tuple(((band.top - band.bottom) / whole, band.hatch) for band in under)
        words = "under the unit: " + ", ".join(" ".join(band.words.split()) for band in under)
        above.append(Fill(words, "pressed with the coils' feet", plies=plies))
    return tuple(above)


def _thin(bed: BedAtSize, words: str) -> bool:
    """Whether a band is cloth alone, which mechanics takes as a tension and not as a layer."""
    if words.startswith("base cloth"):
        return True
    return any(
        words.startswith(f"panel {panel.face} ") and not any(isinstance(ply, Filling) for ply in panel.plies)
        for panel in bed.panels
    )


def _coils(bed: BedAtSize, unit: UnitAtSize, y: float) -> tuple[StandingCoil, ...]:
    """The coils of the row that is nearest to the cut; where several stand in a place, those nearest in it."""
    standing = unit.standing()
    if not standing:
        return ()
    cut, left = y - (bed.length - unit.length) / 2, (bed.width - unit.width) / 2
    row = min(standing, key=lambda one: (abs(one.y - cut), one.y)).row
    nearest = {
        column: min((one.y for one in standing if (one.row, one.column) == (row, column)), key=lambda at: abs(at - cut))
        for column in range(len(unit.place_coils[row]))
    }
    by_code = {group.coil.code: group for group in unit.groups}
    return tuple(
        StandingCoil(
            x=left + one.x, bottom=0.0, height=unit.height, coil=by_code[one.coil].coil,
            wire=by_code[one.coil].wire.diameter, pocketed=unit.card.construction == "pocket", stiff=one.stiff,
            pitch=one.across,
        )
        for one in standing
        if one.row == row and one.y == nearest[one.column]
    )  # fmt: skip


def _rails(bed: BedAtSize) -> tuple[tuple[float, float, str], ...]:
    edge = bed.edge
    if edge is None or edge.rail is None:
        return ()
    wide, inner = edge.card.rail_width or 0.0, (bed.width - bed.unit.space_width) / 2
    return (
        (inner - wide, inner, edge.rail.family),
        (bed.width - inner, bed.width - inner + wide, edge.rail.family),
    )
