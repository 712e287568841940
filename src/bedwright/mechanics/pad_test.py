"""The predicted pad test of a bed: `pad_test(bed, spot, protocol) -> Curve`, with residual and interval.

The first model behind this door is the flat foundation (foundation.py): coils and layers in series under each point of
the pad. It knows nothing of ticking tension or of spreading sideways, so it reads soft; a trial on the sister method
put ticking tension alone at 5 to 22 % of H and lacing at up to 17 % (common practice has no measurement of either).
The interval given holds what the cards leave open (wire, turns, diameter, filling tolerances), not that model error.
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


@dataclass(frozen=True, slots=True)
class Tolerances:
    """What the cards leave open: live turns [turns], coil diameter [share]; wire and fillings bring their own."""

    turns: float = 0.25
    diameter: float = 0.01


@dataclass(frozen=True, slots=True)
class Curve:
    """A predicted pad test, loading branch (this model returns on the same path: no loss, not measured).

    depth [mm], force [N]: shape (points,). hardness with its interval (tangent), made of the shares in `moves`:
    what, and how far H goes when it goes to its limit [N/mm]. solid_from: force [N] at which a coil is solid.
    residual: largest relative change of the force when the pad's grid is halved.
    """

    depth: Array
    force: Array
    hardness: Hardness
    low: float
    high: float
    moves: tuple[tuple[str, float], ...]
    solid_from: float
    residual: float
    model: str
    notes: tuple[str, ...]


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
    depth, force, solid = _curve(model, grid, places, protocol)
    value = hardness(depth, force, protocol.slope_forces)
    moves = _moves(bed, model, lambda changed: _curve(changed, grid, places, protocol), protocol, tolerances)
    half = float(np.sqrt(sum(move**2 for _, move in moves)))
    return Curve(
        depth=depth,
        force=force,
        hardness=value,
        low=max(0.0, value.tangent - half),
        high=value.tangent + half,
        moves=tuple(sorted(moves, key=lambda move: -abs(move[1]))),
        solid_from=solid,
        residual=_residual(bed, spot, model, protocol, depth, force),
        model=MODEL,
        notes=_notes(bed),
    )


def _force(found: dict[int, Foundation], grid: PadGrid, places: Array, depth: float) -> float:
    total = 0.0
    for index, one in found.items():
        here = places == index
        if np.any(here):
            # kPa x mm2 is mN: the thousandth makes it N
            total += float(np.sum(one.pressures(depth - grid.rise[here]) * grid.area[here])) / 1000
    return total


def _curve(model: BedModel, grid: PadGrid, places: Array, protocol: Protocol) -> tuple[Array, Array, float]:
    """Depth and force of the loading branch, and the force at which the first coil is solid [N]."""
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
    solid_depth = min(found[index].solid_from for index in used) if used else float("inf")
    solid = float(np.interp(solid_depth, depth, force)) if solid_depth <= deepest else float("inf")
    return depth, force, solid


def _moves(
    bed: BedAtSize,
    model: BedModel,
    curve: Callable[[BedModel], tuple[Array, Array, float]],
    protocol: Protocol,
    open_figures: Tolerances,
) -> list[tuple[str, float]]:
    """How far H (tangent) goes when each open figure goes to its limit [N/mm], half of both ways."""
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
    changes += [(layer.name, partial(_filling, model, index)) for index, layer in enumerate(model.layers)]
    moves = []
    for name, change in changes:
        ends = []
        for sign in (-1.0, 1.0):
            depth, force, _ = curve(change(sign))
            ends.append(hardness(depth, force, protocol.slope_forces).tangent)
        moves.append((name, (ends[1] - ends[0]) / 2))
    return moves


def _coils(model: BedModel, change: Callable[[CoilShape, str], CoilShape]) -> BedModel:
    return replace(
        model,
        coils={code: (replace(b[0], shape=change(b[0].shape, code)), *b[1:]) for code, b in model.coils.items()},
    )


def _filling(model: BedModel, index: int, sign: float) -> BedModel:
    layers = list(model.layers)
    layers[index] = replace(layers[index], law=layers[index].law.scaled(1 + sign * layers[index].tolerance))
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


def _notes(bed: BedAtSize) -> tuple[str, ...]:
    notes = [
        "flat foundation: no ticking tension, no spreading sideways, no lacing or glue between coils: reads soft",
        "the interval holds wire, turns, diameter and filling tolerances, not this model error",
        "both faces read alike in this model; the base is solid; no loss on the way back",
    ]
    if bed.mini_count:
        notes.append("mini coils that are solid stand as a stiff stop, not as a prediction")
    if bed.tufts is not None:
        notes.append("tufts and their valleys are not in this model")
    if any(layer.part.goes_soft_warm for layer in bed.layers if isinstance(layer.part, Filling)):
        notes.append("a filling goes soft when warm: the figure holds at the supplier's temperature only")
    return tuple(notes)


__all__ = ["MODEL", "Curve", "Protocol", "Spot", "Tolerances", "centre", "pad_test"]
