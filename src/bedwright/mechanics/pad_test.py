"""The predicted pad test of a bed: `pad_test(bed, spot, protocol) -> Curve`, with residual and interval.

The first model behind this door is the flat foundation (foundation.py): coils and layers in series under each point of
the pad. It knows nothing of ticking tension or of spreading sideways, so it reads soft. The interval of H therefore
holds two things: what the cards leave open (wire, turns, diameter, filling tolerances), both ways; and, upwards only,
what this model leaves out. Where the coils close before the last force of H is reached, H is said not to be the unit's.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import NotConverged, OutsideRange
from bedwright.mechanics.bed_model import BedModel, bed_model, foundations, places_under
from bedwright.mechanics.card_coil import wire_tolerance
from bedwright.mechanics.coil_shape import CoilShape
from bedwright.mechanics.foundation import Foundation
from bedwright.mechanics.hardness import Hardness, hardness
from bedwright.mechanics.pad import PadGrid, Protocol, Spot, pad_grid
from bedwright.works.materials import Filling

Array = NDArray[np.float64]
MODEL = "flat foundation 1"
"""Name and version of the model behind the door; part of what a kept result is keyed by."""
DEPTHS = 27
LEFT_OUT = 1.22 * 1.17 - 1
"""How much higher than this model H may lie, as a share: a trial of a fuller model put ticking at up to 22 % of H and
lacing at up to 17 % (derived from that trial's sensitivities; no bed was measured)."""


@dataclass(frozen=True, slots=True)
class Tolerances:
    """What the cards leave open: live turns [turns], coil diameter [share]; wire and fillings bring their own."""

    turns: float = 0.25
    diameter: float = 0.01


@dataclass(frozen=True, slots=True)
class Curve:
    """A predicted pad test, loading branch (this model returns on the same path: no loss, not measured).

    depth [mm], force [N]: shape (points,). hardness; low, high: interval of its tangent [N/mm], secant_low and
    secant_high the same of its secant: cards both ways, and upwards what the model leaves out. moves: what, and how far
    the tangent goes when it goes to its limit [N/mm]. closing_from, solid_from: force [N] at which the main coil first
    touches, and is solid. residual: largest relative change of the force when the pad's grid is halved.
    """

    depth: Array
    force: Array
    hardness: Hardness
    low: float
    high: float
    secant_low: float
    secant_high: float
    moves: tuple[tuple[str, float], ...]
    closing_from: float
    solid_from: float
    residual: float
    model: str
    notes: tuple[str, ...]
    last_force: float

    @property
    def closes(self) -> bool:
        """Whether coils close before the last force of H: then H is a stop's as much as the unit's."""
        return self.closing_from < self.last_force


def centre(bed: BedAtSize, face: str = "A") -> Spot:
    """The middle of the bed."""
    return Spot(bed.width / 2, bed.length / 2, face)


def pad_test(
    bed: BedAtSize,
    spot: Spot | None = None,
    protocol: Protocol | None = None,
    tolerances: Tolerances | None = None,
) -> Curve:
    """The curve of the pad at a spot of a bed that lies on a solid base.

    Raises NotKnown for a filling without figures, OutsideRange for a spot off the bed or a bed too soft to carry the
    test, NotConverged when the pad's grid has not settled.
    """
    protocol = protocol or Protocol()
    spot = spot or centre(bed)
    tolerances = tolerances or Tolerances()
    if not (0 <= spot.x <= bed.width and 0 <= spot.y <= bed.length):
        raise OutsideRange(
            f"spot {spot.x:g}, {spot.y:g} mm is off bed {bed.key}; give 0-{bed.width:g} across, 0-{bed.length:g} along"
        )
    model = bed_model(bed)
    grid = pad_grid(protocol)
    places = places_under(bed, spot, grid)
    depth, force, closing, solid = _curve(model, grid, places, protocol)
    value = hardness(depth, force, protocol.slope_forces)
    moves = _moves(bed, model, lambda changed: _curve(changed, grid, places, protocol), protocol, tolerances, value)
    tangent, secant = (float(np.sqrt(sum(move[at] ** 2 for _, move in moves))) for at in (0, 1))
    return Curve(
        depth=depth,
        force=force,
        hardness=value,
        low=max(0.0, value.tangent - tangent),
        high=(value.tangent + tangent) * (1 + LEFT_OUT),
        secant_low=max(0.0, value.secant - secant),
        secant_high=(value.secant + secant) * (1 + LEFT_OUT),
        moves=tuple(sorted(((name, move[0]) for name, move in moves), key=lambda move: -abs(move[1]))),
        closing_from=closing,
        solid_from=solid,
        residual=_residual(bed, spot, model, protocol, depth, force),
        model=MODEL,
        notes=_notes(bed, closing, protocol),
        last_force=protocol.slope_forces[-1],
    )


def _force(found: dict[int, Foundation], grid: PadGrid, places: Array, depth: float) -> float:
    total = 0.0
    for index, one in found.items():
        here = places == index
        if np.any(here):
            # kPa x mm2 is mN: the thousandth makes it N
            total += float(np.sum(one.pressures(depth - grid.rise[here]) * grid.area[here])) / 1000
    return total


def _curve(model: BedModel, grid: PadGrid, places: Array, protocol: Protocol) -> tuple[Array, Array, float, float]:
    """Depth and force of the loading branch; forces [N] at which the first coil touches and is solid."""
    found = foundations(model)
    deepest = 5.0
    while _force(found, grid, places, deepest) < protocol.greatest_force:
        deepest *= 1.25
        if deepest > 800:
            raise OutsideRange(f"the bed does not carry {protocol.greatest_force:g} N under the pad at this spot")
    low = deepest / 1.25
    for _ in range(40):
        middle = (low + deepest) / 2
        if _force(found, grid, places, middle) < protocol.greatest_force:
            low = middle
        else:
            deepest = middle
    depth = np.linspace(0.0, deepest, 2 * DEPTHS - 1)
    force = np.array([_force(found, grid, places, float(d)) for d in depth])
    used = [index for index in found if np.any(places == index)]
    closing, solid = (
        _force_at(depth, force, min((getattr(found[index], name) for index in used), default=float("inf")))
        for name in ("closing_from", "solid_from")
    )
    return depth, force, closing, solid


def _force_at(depth: Array, force: Array, at: float) -> float:
    """Force [N] at a depth [mm] under the pad's lowest point; infinite where the test does not reach it."""
    return float(np.interp(at, depth, force)) if at <= depth[-1] else float("inf")


def _moves(
    bed: BedAtSize,
    model: BedModel,
    curve: Callable[[BedModel], tuple[Array, Array, float, float]],
    protocol: Protocol,
    open_figures: Tolerances,
    base: Hardness,
) -> list[tuple[str, tuple[float, float]]]:
    """How far H (tangent, secant) goes when each open figure goes to its limit [N/mm]: the larger of both ways.

    One card moves once, in all its layers together.
    """
    wires = {group.coil.code: wire_tolerance(group.wire) for group in bed.unit.groups}
    changes: list[tuple[str, Callable[[float], BedModel]]] = [
        (
            "wire diameter",
            lambda sign: _coils(model, lambda s, code: replace(s, wire_diameter=s.wire_diameter + sign * wires[code])),
        ),
        (
            "live turns",
            lambda sign: _coils(model, lambda s, _: replace(s, live_turns=s.live_turns + sign * open_figures.turns)),
        ),
        ("coil diameter", lambda sign: _coils(model, lambda s, _: _wider(s, 1 + sign * open_figures.diameter))),
    ]
    codes = dict.fromkeys(layer.code for layer in model.layers)
    changes += [(f"filling {code}", partial(_filling, model, code)) for code in codes]
    moves = []
    for name, change in changes:
        ends = []
        for sign in (-1.0, 1.0):
            depth, force, *_ = curve(change(sign))
            ends.append(hardness(depth, force, protocol.slope_forces))
        tangent = max((end.tangent - base.tangent for end in ends), key=abs)
        secant = max((end.secant - base.secant for end in ends), key=abs)
        moves.append((name, (tangent, secant)))
    return moves


def _coils(model: BedModel, change: Callable[[CoilShape, str], CoilShape]) -> BedModel:
    return replace(
        model,
        coils={code: (replace(b[0], shape=change(b[0].shape, code)), *b[1:]) for code, b in model.coils.items()},
    )


def _filling(model: BedModel, code: str, sign: float) -> BedModel:
    layers = [
        replace(layer, law=layer.law.scaled(1 + sign * layer.tolerance)) if layer.code == code else layer
        for layer in model.layers
    ]
    return replace(model, layers=tuple(layers))


def _wider(shape: CoilShape, by: float) -> CoilShape:
    middle = None if shape.middle_diameter is None else shape.middle_diameter * by
    return replace(shape, end_diameter=shape.end_diameter * by, middle_diameter=middle)


def _residual(bed: BedAtSize, spot: Spot, model: BedModel, protocol: Protocol, depth: Array, force: Array) -> float:
    coarse = pad_grid(protocol, rings=60, sectors=48)
    found = foundations(model)
    places = places_under(bed, spot, coarse)
    scale = float(force[-1])
    worst = max(
        abs(_force(found, coarse, places, float(d)) - float(f)) / scale
        for d, f in zip(depth[1::8], force[1::8], strict=True)
    )
    if worst > 0.02:
        raise NotConverged(f"the pad's grid has not settled on bed {bed.key}", residual=worst)
    return worst


def _notes(bed: BedAtSize, closing: float, protocol: Protocol) -> tuple[str, ...]:
    notes = [
        "flat foundation: no ticking tension, no spreading sideways, no lacing or glue between coils: reads soft",
        "the interval holds wire, turns, diameter and fillings both ways, and upwards what the model leaves out",
        "both faces read alike in this model; the base is solid; no loss on the way back",
    ]
    if closing < protocol.slope_forces[-1]:
        notes.insert(
            0,
            f"coils close from {closing:.0f} N on: H is the stop's as much as the unit's and proves nothing",
        )
    if bed.mini_count:
        notes.append("mini coils that are solid stand as a stiff stop, not as a prediction")
    if bed.tufts is not None:
        notes.append("tufts and their valleys are not in this model")
    if any(layer.part.goes_soft_warm for layer in bed.layers if isinstance(layer.part, Filling)):
        notes.append("a filling goes soft when warm: the figure holds at the supplier's temperature only")
    return tuple(notes)


__all__ = ["MODEL", "Curve", "Protocol", "Spot", "Tolerances", "centre", "pad_test"]
