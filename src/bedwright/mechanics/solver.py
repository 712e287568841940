"""Paths of a pressed bed: equilibrium after equilibrium, each started from the ones before it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import NotConverged
from bedwright.mechanics.kernels import Field, forces, times
from bedwright.mechanics.laid import Laid, laid_out, room_for
from bedwright.mechanics.newton import conjugate, equilibrium
from bedwright.mechanics.preparing import prepared
from bedwright.words import counted

Array = NDArray[np.float64]
TOLERANCE, MOST_NEWTON = 1e-6, 60
# Skins of the pad, as shares of its own: the whole one; and, where that fails, softer ones first, each from the one
# before. The softer the skin, the less the loops lose themselves among sets of nodes in contact.
WHOLE, SOFTER = (1.0,), (1e-3, 1e-2, 1e-1, 1.0)
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

    def __init__(self, one: Field, tolerance: float = TOLERANCE, laid: Laid | None = None) -> None:
        """laid: the field laid out already."""
        self.field = one
        self.tolerance = tolerance
        self._laid = laid or laid_out(one)
        self._room = room_for(self._laid)
        shape = one.area.shape[0], one.tension.shape[0]
        self._rest = Pressed(-1.0, 0.0, 0.0, np.zeros(shape), np.zeros(len(one.slat_stiffness)), 0, 0)

    def settled(self, depth: float, start: Pressed | None = None, ahead: Tangent | Pressed | None = None) -> Pressed:
        """Equilibrium at a depth, from a state `start`; ahead: its tangent, or the state before it, to look forward.

        Raises NotConverged, naming depth, residual and what was tried.
        """
        start = start or self._rest
        tried = []
        for how, first, skins in (
            ("looking ahead", start, WHOLE),
            ("from the last state", start, WHOLE),
            ("from the unpressed bed through softer skins", self._rest, SOFTER),
        ):
            u, q = first.u.T.copy(order="C"), first.q.copy()
            if how == "looking ahead":
                if ahead is None:
                    continue
                step = depth - start.depth
                if isinstance(ahead, Tangent):
                    u += step * ahead.du.T
                    q += step * ahead.dq
                elif abs(start.depth - ahead.depth) > 1e-9:
                    share = step / (start.depth - ahead.depth)
                    u += share * (start.u - ahead.u).T
                    q += share * (start.q - ahead.q)
            newton = conjugates = 0
            for share in skins:
                laid = self._laid if share == 1 else self._laid._replace(skin=self._laid.skin * share)
                force, residual, steps, inner, good = equilibrium(
                    laid, self._room, u, q, depth, LEAST_FORCE, self.tolerance, MOST_NEWTON
                )
                newton, conjugates = newton + steps, conjugates + inner
                if not good or share != 1:
                    self._room.state[0] = 0  # the factors do not fit what comes next
            if good:
                return Pressed(depth, force, residual / max(force, LEAST_FORCE), u.T, q, newton, conjugates)
            tried.append(f"{counted(newton, 'Newton step')} {how}")
        raise NotConverged(
            f"the bed does not settle with the pad {depth:.4g} mm down; tried {', '.join(tried)}",
            residual=residual / max(force, LEAST_FORCE),
        )

    def tangent(self, state: Pressed, forcing: float = TANGENT_FORCING) -> Tangent:
        """Slope of the force and of the fields over depth, exact to `forcing`."""
        laid, room = self._laid, self._room
        u = state.u.T.copy(order="C")
        forces(laid, u, state.q, state.depth, room)
        prepared(laid, room)
        touched = (state.depth - laid.face - u[0] > 0) & (laid.touch > 0)
        pull = np.where(touched, laid.touch * laid.skin, 0.0)
        # Asked is how far the bed lags behind a face that goes down with the pad: against the skin's own stiffness, a
        # thousand times the bed's, a small residual would hide a large error. The slope is the energy of that movement,
        # least at the true one, so what the lag is still wrong by counts squared.
        along, along_q, push, push_q = (np.zeros_like(a) for a in (u, state.q, u, state.q))
        along[0, touched] = 1.0
        times(laid, room, along, along_q, push, push_q)
        right, right_q = -push, -push_q
        right[0] += pull
        lag, lag_q = np.zeros_like(u), np.zeros_like(state.q)
        room.r[:], room.rq[:] = right, right_q
        conjugate(laid, room, lag, lag_q, forcing * float(np.sqrt(np.sum(right**2) + np.sum(right_q**2))))
        room.state[0] = 0
        times(laid, room, lag, lag_q, push, push_q)
        slope = np.sum(push * lag) + push_q @ lag_q - np.sum(right * (along + 2 * lag)) - 2 * (right_q @ lag_q)
        return Tangent(float(slope), (along + lag).T, lag_q)

    def imbalance(self, state: Pressed) -> Array:
        """Forces of everything in the bed, out of balance with the pad, at fields that are held: u (N, M), then q."""
        room = self._room
        forces(self._laid, state.u.T.copy(order="C"), state.q, state.depth, room)
        return np.concatenate([room.g.T.ravel(), room.gq])

    def unloading(self, deepest: Pressed) -> Bench:
        """The same bed on the way back: every filling remembers how far it was pressed."""
        field = self.field
        below = np.zeros_like(deepest.u)
        below[:, :-1] = deepest.u[:, 1:]
        on = field.slat >= 0
        below[on, -1] = field.slat_shape[on] * deepest.q[field.slat[on]]
        greatest = np.maximum((deepest.u - below) / field.thickness, 0.0).T.copy()
        laid = self._laid._replace(greatest=greatest, returning=True)
        return Bench(field._replace(greatest=greatest, returning=True), self.tolerance, laid)
