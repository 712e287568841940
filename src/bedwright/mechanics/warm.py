"""Turns the loops of mechanics into machine code once, so that nobody waits: `python -m bedwright.mechanics.warm`.

`make setup` runs it. What is compiled is kept beside the modules, for this machine and these versions.
"""

from __future__ import annotations

import sys

from bedwright.mechanics.coil_force import force_curve
from bedwright.mechanics.coil_shape import CoilShape
from bedwright.mechanics.compiled import drop_stale
from bedwright.mechanics.lying import Lies, body_of
from bedwright.mechanics.pad import Spot
from bedwright.mechanics.person import Person
from bedwright.mechanics.plain_bed import PlainBed, PlainLayer
from bedwright.mechanics.plain_lying import plain_lying
from bedwright.mechanics.plain_test import plain_field
from bedwright.mechanics.solver import Bench

SMALLEST = PlainBed(0.25, 100.0, 100.0, (PlainLayer(20.0, 30.0, 0.0),), 100.0, 900.0, 1900.0)


def warm() -> None:
    """One press, one tangent, one way back, one coil and one person."""
    bench = Bench(plain_field(SMALLEST, Spot(450.0, 950.0), fineness=0.5))
    state = bench.settled(5.0)
    bench.tangent(state)
    bench.unloading(state).settled(4.0, state)
    plain_lying(SMALLEST, [body_of(Lies(Person("man", 1755.0, 80.0), x=450.0), 1900.0)], 40.0)
    force_curve(CoilShape("hourglass-parabolic", 75.0, 4.0, 130.0, 2.2, 45.0))


if __name__ == "__main__":
    drop_stale()
    sys.stderr.write("turning the sums of mechanics into machine code, half a minute or so, once\n")
    warm()
