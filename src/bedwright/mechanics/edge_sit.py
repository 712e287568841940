"""Somebody who sits on the edge of a bed: how far a round seat sinks there, and how far it rolls off.

A mass of 100 kg on a rigid round seat of 380 mm whose side is flush with the border (common practice, no source; it
is no seat of a standard). The seat may tip: its tilt is the one at which the pressures balance the mass about the
middle of the seat. The tilt towards the border is the roll-off angle; an edge as firm as the middle has none.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import NotConverged, OutsideRange
from bedwright.mechanics.base import SOLID, Base
from bedwright.mechanics.bed_field import bed_field, layout, place
from bedwright.mechanics.bed_model import BedModel, bed_model
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.pad_path import press
from bedwright.mechanics.solver import Bench, Pressed

Array = NDArray[np.float64]
GRAVITY = 9.80665  # [m/s2]
SEAT = Protocol(diameter=380.0, face_radius=20_000.0, edge_radius=20.0, slope_forces=(210.0, 275.0, 340.0))
"""A round seat, all but flat, with a rounded edge."""
MASS = 100.0  # kg
TOLERANCE, MOST_TILTS, SETTLED = 1e-5, 25, 2e-3
STEEPEST, FIRST_TILT = 0.6, 0.03  # [rad]
MOST_DEPTHS, NEAR_WEIGHT = 25, 1e-4


@dataclass(frozen=True, slots=True)
class EdgeSit:
    """mass [kg]; sink of the seat's middle [mm]; roll_off: its tilt towards the border [degrees], under 0 inwards;
    rim: how far the bed's rim goes down beside it [mm]; level_sink: sink of a seat held level [mm]; residual: moment
    left, as a share of weight times the seat's radius."""

    mass: float
    sink: float
    roll_off: float
    rim: float
    level_sink: float
    residual: float
    notes: tuple[str, ...]


def edge_sit(
    bed: BedAtSize, face: str = "A", mass: float = MASS, base: Base = SOLID, model: BedModel | None = None
) -> EdgeSit:
    """A mass [kg] on a seat at mid-length whose side is flush with the left border.

    Raises NotKnown for a filling without figures, OutsideRange for a mass beyond 20 to 300 kg, NotConverged.
    """
    if not 20 <= mass <= 300:
        raise OutsideRange(f"a mass of {mass:g} kg on the edge is outside 20 to 300 kg")
    model = model or bed_model(bed, face)
    weight = mass * GRAVITY
    radius = SEAT.diameter / 2
    spot = Spot(radius, bed.length / 2, face)
    where = layout(model, spot, SEAT)
    one = bed_field(model, place(model, where, base))
    out = spot.x - where.mesh.x  # towards the border
    level = press(one, weight, SEAT.slope_forces, TOLERANCE, back=False)
    state = start = _under(one, weight, level.down[-1], bed.key)
    tilts, moments = [0.0], [_moment(one, start, out) / (weight * radius)]
    tilt = -float(np.sign(moments[0])) * FIRST_TILT
    while abs(moments[-1]) >= SETTLED:
        if len(tilts) > MOST_TILTS:
            raise NotConverged(f"the seat on the edge of bed {bed.key} finds no tilt", residual=abs(moments[-1]))
        tilted = one._replace(face=one.face - np.tan(tilt) * out)
        state = _under(tilted, weight, state, bed.key)
        tilts.append(tilt)
        moments.append(_moment(tilted, state, out) / (weight * radius))
        slope = (moments[-1] - moments[-2]) / (tilts[-1] - tilts[-2])
        step = -moments[-1] / slope if slope > 0 else -float(np.sign(moments[-1])) * FIRST_TILT
        tilt = float(np.clip(tilt + np.clip(step, -0.15, 0.15), -STEEPEST, STEEPEST))
    rim = int(np.argmin(np.hypot(where.mesh.x, where.mesh.y - spot.y)))
    return EdgeSit(
        mass=mass,
        sink=state.depth - level.touch,
        roll_off=float(np.degrees(tilts[-1])),
        rim=float(state.u[rim, 0] - level.rest.u[rim, 0]),
        level_sink=start.depth - level.touch,
        residual=abs(moments[-1]),
        notes=("a rigid seat, no person: what a person feels depends on how they sit",),
    )


def _moment(one: Field, state: Pressed, out: Array) -> float:
    """Moment of the bed's pressures about the middle of the seat [N mm], above 0 where the border holds more."""
    pressed = np.maximum(state.depth - one.face - state.u[:, 0], 0.0)
    return float(np.sum(one.touch * one.skin * pressed * out))


def _under(one: Field, weight: float, start: Pressed, key: str) -> Pressed:
    """The state at which the seat carries the weight, by secants on its depth."""
    bench = Bench(one, TOLERANCE)
    state = bench.settled(start.depth, start)
    slope = 8.0  # [N/mm] to begin with: of an ordinary bed
    for _ in range(MOST_DEPTHS):
        if abs(state.force - weight) <= NEAR_WEIGHT * weight:
            return state
        way = float(np.clip((weight - state.force) / slope, -25.0, 25.0))
        after = bench.settled(state.depth + way, state)
        if abs(after.force - state.force) > 1e-9:
            slope = max((after.force - state.force) / way, 0.2)
        state = after
    raise NotConverged(f"the seat on the edge of bed {key} finds no depth", residual=abs(state.force / weight - 1))
