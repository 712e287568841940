"""From the cards to mechanics: the shape, wire and interval of a coil card, and all the wire it takes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from bedwright.errors import Fault, FaultsFound
from bedwright.mechanics.coil_shape import CoilShape, wire_length
from bedwright.mechanics.wire import elastic, mass_per_metre, tolerance
from bedwright.works.springs import Coil, Wire


@dataclass(frozen=True, slots=True)
class CoilWire:
    """Wire of one coil [mm]: live turns, dead turns (end rings), both knots; and mass of all of it [g]."""

    live: float
    dead: float
    knots: float
    mass: float

    @property
    def length(self) -> float:
        """All wire of one coil [mm]."""
        return self.live + self.dead + self.knots


def shape_of(coil: Coil, wire: Wire) -> CoilShape:
    """The live coil of a card. Raises FaultsFound that names the card."""
    steel = elastic(wire.grade, wire.diameter)
    try:
        return CoilShape(
            profile=coil.profile,
            diameters=coil.diameters,
            end_diameter=coil.end_diameter,
            live_turns=coil.live_turns,
            free_height=coil.free_height,
            wire_diameter=wire.diameter,
            middle_diameter=None if coil.profile in ("cylinder", "table") else coil.middle_diameter,
            youngs_modulus=steel.youngs_modulus,
            shear_modulus=steel.shear_modulus,
        )
    except FaultsFound as error:
        raise FaultsFound(_named(fault, coil) for fault in error.faults) from None


def _named(fault: Fault, coil: Coil) -> Fault:
    return replace(fault, card=coil.called, sheet=Coil.SHEET, column=fault.field)


def wire_of(coil: Coil, wire: Wire) -> CoilWire:
    """All the wire of one coil: live turns true to shape, dead turns at the end diameter, knots.

    A wrap winds the wire once round the end ring: its centre line is a circle of 2 d, so pi x 2 d (derived).
    Dead turns are total less live turns, half at either end (a table's ends may differ), unless the card gives the
    end-ring wire as measured.
    """
    live = wire_length(shape_of(coil, wire))
    if coil.end_ring_wire is not None:
        dead = coil.end_ring_wire
    else:
        dead = (coil.total_turns - coil.live_turns) * math.pi * sum(coil.ends) / 2
    knots = 2 * (coil.knot_wraps * math.pi * 2 * wire.diameter + coil.knot_tail)
    mass = (live + dead + knots) / 1000 * mass_per_metre(wire.diameter)
    return CoilWire(live, dead, knots, mass)


def wire_tolerance(wire: Wire) -> float:
    """Tolerance of the wire's diameter [mm] by its standard."""
    return tolerance(wire.diameter, wire.grade)
