"""Persons brought to rest on a bed: the fields of the bed and the heights of the bodies, in one equilibrium.

Where Newton's steps lose their way, two things help. Slats push and do not pull: they are made soft first, then harder.
A person on the back at an edge may have no place to rest: it is then turned slowly, held by a spring that is moved
after it, so that it comes to rest if any place holds it, and else is seen to roll off.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import NotConverged
from bedwright.mechanics.body import OnMesh
from bedwright.mechanics.body_loops import Bodies, bodies_conjugate, bodies_prepared, bodies_settle, body_room
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.laid import laid_out, room_for
from bedwright.typed import show
from bedwright.words import counted

Array = NDArray[np.float64]
State = tuple[Array, Array, Array]
"""Fields u (M, N) and q (S,), heights w (K,)."""
TOLERANCE, MOST_NEWTON = 1e-6, 80
START = 70.0  # how deep bodies start [mm]: at first touch nothing would hold their joints apart
STARTS = (START, 25.0, 150.0)  # the others where that fails
SOFTER_SLATS = (1e-3, 3e-2)
"""How hard slats are first, as shares of their own: which of them touch is then nearly known."""
ROUGHLY = 1e-2  # residual, as a share of the weight, of what is only a way to the answer
MOST_TURNED = 30.0  # [degrees] heights go with a small angle; whoever is turned so far lies no more
MIDDLE = 0.1  # of the bed's width either way of its middle: there is no place better
HELD = 2.0  # times what weight turns a body with: the spring that holds it while it is turned slowly
MOST_TURNS, FEW_NEWTON = 40, 30
MOST_AHEAD = 32.0  # times as far as it went before
TURNING, ASIDE = 1e-3, 2.0  # residual while turned slowly; push [mm at 100 mm] to one that stands on a knife's edge


@dataclass(frozen=True, slots=True)
class Rested:
    """An equilibrium: what the bed carries [N], residual as a share of the weight, fields u (N, M), q (slats),
    heights w (K,) [mm] down; steps taken, those on the way included."""

    carried: float
    residual: float
    u: Array
    q: Array
    w: Array
    newton: int
    conjugate: int


def rested(one: Field, on: OnMesh, tolerance: float = TOLERANCE, start: Rested | None = None) -> Rested:
    """Bodies at rest on a bed. Raises NotConverged with the residual and what was tried, or who rolls off where."""
    bench, tried = _Bench(one, on), []
    if start is not None:
        state = start.u.T.copy(order="C"), start.q.copy(), start.w.copy()
        if bench.settled(state, tolerance) and bench.stays():
            return bench.told(state)
        tried.append("from the state given")
    least = np.inf
    for depth in STARTS:
        state = bench.afresh(depth)
        bench.softly(state)
        if bench.settled(state, tolerance) and bench.stays():
            return bench.told(state)
        least = min(least, bench.residual)
        tried.append(f"from {show(depth)} mm down")
        if depth == START and bench.tips.any():
            state = bench.afresh(depth)
            if bench.turned(state, tolerance):
                return bench.told(state)
            tried.append("turned slowly")
    raise NotConverged(
        f"the persons do not come to rest on the bed ({', '.join(tried)}; {counted(bench.newton, 'Newton step')}): "
        "move them, or look whether bed and base carry them at all",
        residual=least,
    )


class _Bench:
    """A bed with bodies over it, and what has been done there so far."""

    def __init__(self, one: Field, on: OnMesh) -> None:
        self.on, self.field = on, one
        self.laid = laid_out(one)
        self.room = room_for(self.laid)
        self.body = body_room(on.bodies, len(one.tension), len(one.area))
        self.weight = float(np.sum(on.bodies.weight))
        self.tips = _tips(on.bodies.joints, on.rolls)
        self.newton, self.conjugate = 0, 0
        self.carried, self.residual = 0.0, np.inf

    def afresh(self, depth: float) -> State:
        """A bed that nothing has pressed, bodies `depth` mm down."""
        one = self.field
        fields = np.zeros((len(one.tension), len(one.area))), np.zeros(len(one.slat_stiffness))
        return *fields, np.where(self.on.rolls, 0.0, depth)

    def settled(
        self, state: State, tolerance: float, bodies: Bodies | None = None, most: int = MOST_NEWTON, slats: float = 1.0
    ) -> bool:
        """Brings a state to rest, in place: on slats of a share of their hardness; says whether it did."""
        laid, self.body.state[0] = self.laid, 0
        if slats != 1.0:
            law = self.field.law.copy()
            law[-1] *= slats
            laid = laid_out(self.field._replace(law=law))
        self.carried, residual, newton, conjugate, good = bodies_settle(
            laid, self.room, bodies or self.on.bodies, self.body, *state, self.weight, tolerance, most
        )
        self.residual = residual / self.weight
        self.newton, self.conjugate = self.newton + newton, self.conjugate + conjugate
        return bool(good)

    def softly(self, state: State, bodies: Bodies | None = None) -> None:
        """Brings a state nearly to rest on softer slats first, where there are any."""
        if len(self.field.slat_stiffness):
            for share in SOFTER_SLATS:
                self.settled(state, ROUGHLY, bodies, slats=share)

    def stays(self) -> bool:
        """Whether bodies just settled stay so when they are turned a little: a balance may be one on a knife's edge."""
        bodies, body, room = self.on.bodies, self.body, self.room
        if body.state[0] == 0 and self.tips.any():
            bodies_prepared(self.laid, room, bodies, body)
        x, xq, xw = np.empty_like(room.r), np.empty_like(room.rq), np.empty_like(body.r)
        for roll in np.flatnonzero(self.tips):
            room.r[:], room.rq[:], body.r[:] = 0.0, 0.0, 0.0
            body.r[roll] = 1.0
            self.conjugate += bodies_conjugate(self.laid, room, bodies, body, x, xq, xw, ROUGHLY)
            if xw[roll] <= 0.0:  # pushed to the left it would go to the right
                return False
        return True

    def turned(self, state: State, tolerance: float) -> bool:
        """Bodies held against rolling by springs that are moved after them, until they rest without.

        Every step lowers the energy, as a body does that turns slowly. Raises NotConverged for one that goes on.
        """
        bodies, w = self.on.bodies, state[2]
        hold, centre, before, ahead = HELD * self.tips, np.zeros(len(w)), np.inf, 1.0
        joints = bodies.joints + np.diag(hold)
        for turn in range(MOST_TURNS):
            held = bodies._replace(joints=joints, weight=bodies.weight + hold * centre)
            if turn == 0:
                self.softly(state, held)
            if not self.settled(state, TURNING, held):
                return False
            self._still_lie(w)
            step = np.where(hold > 0, w - centre, 0.0)
            went = float(np.max(np.abs(step)))
            if went < before:
                free = state[0].copy(), state[1].copy(), w.copy()
                if self.settled(free, tolerance, most=FEW_NEWTON):
                    if self.stays():
                        for part, found in zip(state, free, strict=True):
                            part[:] = found
                        return True
                    step[hold > 0] += ASIDE
            ahead = min(2 * ahead, MOST_AHEAD) if went >= before else 1.0  # on and on: the spring goes farther ahead
            before = went
            centre = np.where(hold > 0, w + ahead * step, 0.0)
        return False

    def told(self, state: State) -> Rested:
        """An equilibrium. Raises NotConverged where a body is turned so far that it lies no more."""
        u, q, w = state
        self._still_lie(w)
        return Rested(self.carried, self.residual, u.T, q, w, self.newton, self.conjugate)

    def _still_lie(self, w: Array) -> None:
        angle = np.degrees(np.arctan(np.where(self.on.rolls, w, 0.0) / 100))
        worst = int(np.argmax(np.abs(angle)))
        if abs(angle[worst]) <= MOST_TURNED:
            return
        who = int(np.searchsorted(self.on.offsets, worst, side="right")) - 1
        place = self.on.middles[who]
        way, there = ("right", max(self.on.middles)) if angle[worst] > 0 else ("left", min(self.on.middles))
        if there == place:
            where, remedy = f"off the bed over its {way} edge", "lay them nearer to the middle"
            if abs(place / float(np.max(self.field.x)) - 0.5) < MIDDLE:
                remedy = "bed and base are too soft to hold them even there"
        else:
            where, remedy = "over to the other person", "lay them farther apart"
        raise NotConverged(
            f"{self.on.called[who]} at x = {show(place, 4)} mm, does not stay there: rolls {where} (no balance up to a "
            f"turn of {MOST_TURNED:g} degrees); {remedy}",
            residual=self.residual,
        )


def _tips(joints: Array, rolls: NDArray[np.bool_]) -> Array:
    """What weight turns each body with, once it is turned [N/mm], (K,): its roll's own stiffness where that is less
    than nothing, all other heights free to follow."""
    found, rest = np.zeros(len(joints)), ~rolls
    if rolls.any():
        off = joints[np.ix_(rolls, rest)]
        alone = joints[np.ix_(rolls, rolls)] - off @ np.linalg.pinv(joints[np.ix_(rest, rest)], hermitian=True) @ off.T
        found[rolls] = np.maximum(-np.diag(alone), 0.0)
    return found
