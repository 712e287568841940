"""The predicted pad test of a bed: `pad_test(bed, spot, protocol) -> Curve`, going down and coming back, with interval.

Interface fields over the whole plan, coils at their places under heads of their own area, a skin that is touched from
one side only, fillings that bend as a stack, a panel in tension, tufts that pull and never push (bed_field, kernels).
Every point is an equilibrium to a residual that is said; one that cannot be had is an error.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize, HouseTolerances
from bedwright.errors import Fault, FaultsFound
from bedwright.mechanics.base import SOLID, Base
from bedwright.mechanics.bed_field import bed_field, layout, place
from bedwright.mechanics.bed_model import BedModel, bed_model
from bedwright.mechanics.bed_section import Section, section_of
from bedwright.mechanics.coil_travel import CoilTravel, coil_travel
from bedwright.mechanics.hardness import Hardness, hardness
from bedwright.mechanics.intervals import Intervals, Move, intervals
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.pad_path import Path, press
from bedwright.mechanics.solver import TOLERANCE

Array = NDArray[np.float64]
MODEL = "interface fields 1"
"""Name and version of the model behind the door; part of what a kept result is keyed by."""


@dataclass(frozen=True, slots=True)
class Heights:
    """Heights above the base at the spot [mm]: parts as built in; crown once tufted; under the pad at a force [N]."""

    untufted: float
    tufted: float
    under_pad: float
    at_force: float


@dataclass(frozen=True, slots=True)
class Curve:
    """A predicted pad test.

    depth [mm], force [N] going down, from the first touch; depth_back, force_back coming back; force_low, force_high:
    band of the way down. hardness: H, tangent and secant; low, high and secant_low, secant_high: their intervals
    [N/mm]. moves: what each open figure does to them, largest first. height_half: half width of the tufted height [mm].
    closing_from, solid_from: force [N] at which a coil first touches, and is solid. residual: worst of all points, as a
    share of the force. greatest_compression: of a coil, at the greatest force [mm].
    """

    depth: Array
    force: Array
    depth_back: Array
    force_back: Array
    force_low: Array
    force_high: Array
    hardness: Hardness
    low: float
    high: float
    secant_low: float
    secant_high: float
    moves: tuple[Move, ...]
    heights: Heights
    height_half: float
    section: Section
    residual: float
    newton: int
    nodes: int
    closing_from: float
    solid_from: float
    greatest_compression: float
    spot: Spot
    base: str
    model: str
    notes: tuple[str, ...]
    last_force: float

    @property
    def closes(self) -> bool:
        """Whether coils close before the last force of H: then H is a stop's as much as the unit's."""
        return self.closing_from < self.last_force

    @property
    def work_lost(self) -> float:
        """Share of the work going down that does not come back."""
        down = float(np.trapezoid(self.force, self.depth))
        back = -float(np.trapezoid(self.force_back, self.depth_back))
        return 1 - back / down if len(self.depth_back) > 1 and down > 0 else 0.0


def centre(bed: BedAtSize, face: str = "A") -> Spot:
    """The middle of the bed."""
    return Spot(bed.width / 2, bed.length / 2, face)


def pad_test(
    bed: BedAtSize,
    spot: Spot | None = None,
    protocol: Protocol | None = None,
    tolerances: HouseTolerances | None = None,
    *,
    base: Base = SOLID,
    presses: int = 1,
    model: BedModel | None = None,
    fineness: float = 1.0,
    tolerance: float = TOLERANCE,
) -> Curve:
    """The curve of the pad at a spot of a bed on a base; spot.face is up.

    tolerances: in place of the house's own. presses: how often it was pressed before (suppliers' figures are of foam
    that was). model: one moved on purpose, in place of the bed's own. tolerance: residual asked, as a share of force.
    Raises NotKnown for a filling without figures, FaultsFound for a spot off the bed or a face it does not have,
    OutsideRange for a bed too soft to carry the test, NotConverged with depth, residual and what was tried.
    """
    protocol = protocol or Protocol()
    spot = spot or centre(bed)
    _check(bed, spot)
    model = model or bed_model(bed, spot.face, presses)
    where = layout(model, spot, protocol, fineness)
    placed = place(model, where, base)
    one = bed_field(model, placed)
    path = press(one, protocol.greatest_force, protocol.slope_forces, tolerance)
    value = hardness(path.depth, path.force, protocol.slope_forces, smooth=True)
    sure = intervals(model, placed, one, path, value, protocol.slope_forces, tolerances or bed.tolerances)
    travel = coil_travel(model, placed, path)
    section = section_of(model, placed, path, protocol)
    lowest = float(np.min(where.face[where.touch > 0]))
    return _curve(bed, spot, protocol, base, model, where.nodes, lowest, path, value, sure, travel, section)


def _curve(
    bed: BedAtSize,
    spot: Spot,
    protocol: Protocol,
    base: Base,
    model: BedModel,
    nodes: int,
    lowest: float,
    path: Path,
    value: Hardness,
    sure: Intervals,
    travel: CoilTravel,
    section: Section,
) -> Curve:
    states = (*path.down, *path.back)
    at = protocol.slope_forces[-1]
    drop = max(0.0, path.touch - lowest)
    tufted = model.untufted - drop
    return Curve(
        depth=path.depth,
        force=path.force,
        depth_back=np.array([s.depth - path.touch for s in path.back]),
        force_back=np.array([s.force for s in path.back]),
        force_low=sure.force_low,
        force_high=sure.force_high,
        hardness=value,
        low=sure.low,
        high=sure.high,
        secant_low=sure.secant_low,
        secant_high=sure.secant_high,
        moves=sure.moves,
        heights=Heights(model.untufted, tufted, tufted - value.depths[-1], at),
        height_half=sure.height,
        section=section,
        residual=max(s.residual for s in states),
        newton=sum(s.newton for s in states),
        nodes=nodes,
        closing_from=travel.closing_from,
        solid_from=travel.solid_from,
        greatest_compression=travel.greatest,
        spot=spot,
        base=base.words(),
        model=MODEL,
        notes=_notes(bed, model, base, travel, at),
        last_force=at,
    )


def _check(bed: BedAtSize, spot: Spot) -> None:
    faults = []
    if not (0 <= spot.x <= bed.width and 0 <= spot.y <= bed.length):
        faults.append(
            Fault(
                says=f"the pad stands off the bed at {spot.x:g}, {spot.y:g} mm",
                remedy=f"give 0 to {bed.width:g} mm across and 0 to {bed.length:g} mm along from the head's corner",
                card=f"bed {bed.key}",
                field="spot",
            )
        )
    if spot.face not in ("A", "B") or (spot.face == "B" and bed.bed.faces == 1):
        remedy = "give A or B" if bed.bed.faces == 2 else "a one-sided bed has face A only"
        says = f"face {spot.face} cannot be pressed"
        faults.append(Fault(says=says, remedy=remedy, card=f"bed {bed.key}", field="face"))
    if faults:
        raise FaultsFound(faults)


def _notes(bed: BedAtSize, model: BedModel, base: Base, travel: CoilTravel, last: float) -> tuple[str, ...]:
    notes = []
    if travel.closing_from < last:
        notes.append(
            f"coils close from {travel.closing_from:.0f} N on: H is the stop's as much as the unit's and proves nothing"
        )
    below = (model.lower_tension,) if base.form != "solid" else ()
    for figure in (model.tension, *below, model.main.tie, model.main.ring):
        if not figure.known:
            notes.append(figure.told)
    if model.rim.value == 0:
        notes.append(
            f"{model.rim.card}: standing_stiffness is empty, so the border carries nothing and edges read soft"
        )
    warm = sorted({ply.name for ply in model.fillings.values() if ply.warm})
    if warm:
        notes.append(f"goes soft when warm: {', '.join(warm)}; the figures hold at the supplier's temperature only")
    unknown = sorted({ply.name for ply in model.fillings.values() if ply.back is None})
    if unknown:
        notes.append(f"no way back is known of {', '.join(unknown)}: comes back as it went down, so no loss is shown")
    if base.form != "solid":
        notes.append("EN 1957 tests on a solid base: figures on another base are not compared with a report's")
    notes.append("predicted, not measured: press a sample before you promise a figure; nothing here is certified")
    return tuple(notes)


__all__ = [
    "MODEL", "Curve", "Heights", "Move", "Protocol", "Section", "Spot", "centre", "pad_test",
]  # fmt: skip
