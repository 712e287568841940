"""Persons brought to rest on a bed: the fields of the bed and the heights of the bodies, in one equilibrium."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import NotConverged
from bedwright.mechanics.body import OnMesh
from bedwright.mechanics.body_loops import bodies_settle, body_room
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.laid import laid_out, room_for
from bedwright.words import counted

Array = NDArray[np.float64]
TOLERANCE, MOST_NEWTON = 1e-6, 80
START = 70.0  # how deep bodies start [mm]: at first touch nothing would hold their joints apart


@dataclass(frozen=True, slots=True)
class Rested:
    """An equilibrium: what the bed carries [N], residual as a share of the weight, fields u (N, M), q (slats),
    heights w (K,) [mm] down; force of every contact [N]."""

    carried: float
    residual: float
    u: Array
    q: Array
    w: Array
    newton: int
    conjugate: int


def rested(one: Field, on: OnMesh, tolerance: float = TOLERANCE, start: Rested | None = None) -> Rested:
    """Bodies at rest on a bed. Raises NotConverged with the residual and what was tried."""
    bodies, laid = on.bodies, laid_out(one)
    room = room_for(laid)
    levels, nodes = len(one.tension), len(one.area)
    body = body_room(bodies, levels, nodes)
    weight = float(np.sum(bodies.weight))
    if start is None:
        u, q, w = np.zeros((levels, nodes)), np.zeros(len(one.slat_stiffness)), np.where(on.rolls, 0.0, START)
    else:
        u, q, w = start.u.T.copy(order="C"), start.q.copy(), start.w.copy()
    carried, residual, newton, conjugates, good = bodies_settle(
        laid, room, bodies, body, u, q, w, weight, tolerance, MOST_NEWTON
    )
    if not good:
        raise NotConverged(
            f"the persons do not come to rest on the bed in {counted(newton, 'Newton step')} from {START:g} mm down; "
            "whoever lies at its edge rolls off it",
            residual=residual / weight,
        )
    return Rested(carried, residual / weight, u.T, q, w, newton, conjugates)
