"""Paths of a pressed bed: equilibrium after equilibrium, each started from the ones before it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import NotConverged
from bedwright.mechanics.field import room_for
from bedwright.mechanics.kernels import Field, columns, conjugate, equilibrium, fields_factorised, forces, times

Array = NDArray[np.float64]
TOLERANCE, MOST_NEWTON = 1e-6, 60
LEAST_FORCE = 1.0  # [N] by which residuals are measured while the pad hardly touches
TANGENT_FORCING = 1e-4


@dataclass(frozen=True, slots=True)
class Pressed:
    """One equilibrium: depth of the pad [mm], its force [N], residual as a share of it, fields u (N, M), q (slats)."""

    depth: float
    force: float
    residual: float
    u: Array
    q: Array
    newton: int
    conjugate: int


@dataclass(frozen=True, slots=True)
class Tangent:
    """At an equilibrium: slope of the force [N/mm] and how the fields move per mm of depth."""

    slope: float
    du: Array
    dq: Array


class Bench:
    """A bed under the pad: settles it at depths, one after another."""

    def __init__(self, one: Field, tolerance: float = TOLERANCE) -> None:
        self.field = one
        self.tolerance = tolerance
        self._room, self._stiffness = room_for(one)
        shape = one.area.shape[0], one.tension.shape[0]
        self._rest = Pressed(-1.0, 0.0, 0.0, np.zeros(shape), np.zeros(len(one.slat_stiffness)), 0, 0)

    def settled(self, depth: float, start: Pressed | None = None, ahead: Tangent | Pressed | None = None) -> Pressed:
        """Equilibrium at a depth, from a state `start`; ahead: its tangent, or the state before it, to look forward.

        Raises NotConverged, naming depth, residual and what was tried.
        """
        start = start or self._rest
        tried = []
        for how in ("looking ahead", "from the last state", "from the unpressed bed"):
            if how == "from the unpressed bed" and start is self._rest:
                continue
            first = self._rest if how == "from the unpressed bed" else start
            u, q = first.u.copy(), first.q.copy()
            if how == "looking ahead":
                if ahead is None:
                    continue
                step = depth - start.depth
                if isinstance(ahead, Tangent):
                    u += step * ahead.du
                    q += step * ahead.dq
                elif abs(start.depth - ahead.depth) > 1e-9:
                    share = step / (start.depth - ahead.depth)
                    u += share * (start.u - ahead.u)
                    q += share * (start.q - ahead.q)
            force, residual, newton, conjugates, good = equilibrium(
                self.field, u, q, depth, self._stiffness, self._room, LEAST_FORCE, self.tolerance, MOST_NEWTON
            )
            if good:
                return Pressed(depth, force, residual / max(force, LEAST_FORCE), u, q, newton, conjugates)
            tried.append(f"{newton} Newton steps {how}")
            self._room.age[0] = -1
        raise NotConverged(
            f"the bed does not settle with the pad {depth:.4g} mm down; tried {', '.join(tried)}",
            residual=residual / max(force, LEAST_FORCE),
        )

    def tangent(self, state: Pressed, forcing: float = TANGENT_FORCING) -> Tangent:
        """Slope of the force and of the fields over depth, exact to `forcing`."""
        field, room, k = self.field, self._room, self._stiffness
        forces(field, state.u, state.q, state.depth, room.g, room.gq, k, room.top_heads, room.low_heads, room.link)
        columns(field, k, room.pivot, room.lift, room.border, room.own_q)
        fields_factorised(field, k, room)
        touched = (state.depth - field.face - state.u[:, 0] > 0) & (field.touch > 0)
        pull = np.where(touched, field.touch * field.skin, 0.0)
        # Asked is how far the bed lags behind a face that goes down with the pad: against the skin's own stiffness, a
        # thousand times the bed's, a small residual would hide a large error. The slope is the energy of that movement,
        # least at the true one, so what the lag is still wrong by counts squared.
        along, along_q, push, push_q = (np.zeros_like(a) for a in (state.u, state.q, state.u, state.q))
        along[touched, 0] = 1.0
        spare = room.w, room.y, room.top_heads, room.low_heads, room.link
        times(field, k, along, along_q, push, push_q, *spare)
        right, right_q = -push, -push_q
        right[:, 0] += pull
        lag, lag_q = np.zeros_like(state.u), np.zeros_like(state.q)
        conjugate(field, k, room, right, right_q, lag, lag_q, forcing)
        times(field, k, lag, lag_q, push, push_q, *spare)
        slope = np.sum(push * lag) + push_q @ lag_q - np.sum(right * (along + 2 * lag)) - 2 * (right_q @ lag_q)
        return Tangent(float(slope), along + lag, lag_q)

    def unloading(self, deepest: Pressed) -> Bench:
        """The same bed on the way back: every filling remembers how far it was pressed."""
        field = self.field
        below = np.zeros_like(deepest.u)
        below[:, :-1] = deepest.u[:, 1:]
        on = field.slat >= 0
        below[on, -1] = field.slat_shape[on] * deepest.q[field.slat[on]]
        greatest = np.maximum((deepest.u - below) / field.thickness, 0.0).T.copy()
        return Bench(field._replace(greatest=greatest, returning=True), self.tolerance)
