"""Persons at rest lie where the energy of bed and bodies is least: an energy that shares no line with the loops."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.mechanics.test_lying import MAN, WOMAN, bed

from bedwright.mechanics.base import base
from bedwright.mechanics.bed_field import bed_field
from bedwright.mechanics.bed_model import bed_model
from bedwright.mechanics.body import OnMesh
from bedwright.mechanics.body_energy import whole_energy
from bedwright.mechanics.body_loops import body_forces, body_room
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.laid import laid_out, room_for
from bedwright.mechanics.lying import Lies, bedded_on
from bedwright.mechanics.lying_bench import Rested, rested

Array = NDArray[np.float64]
State = tuple[Array, Array, Array]
SPRING = 30.0  # [N/mm] of what holds a roll: more than its bed does
CASES = {
    "supine on laced coils": ("WHIMBREL", "solid", (Lies(MAN),)),
    "on the side on pockets, cloth that pulls": ("DUNLIN", "solid", (Lies(WOMAN, "side"),)),
    "two on slats": ("TEAL", "slats 65 mm gap 55 mm bend 12 N/mm", (Lies(MAN), Lies(WOMAN, "side", facing="left"))),
    "near the edge, turned": ("PLOVER", "solid", (Lies(MAN, x=170.0),)),
    "tufted, sprung base": ("REDSHANK", "sprung 40 kPa/m", (Lies(WOMAN),)),
}


@lru_cache(maxsize=len(CASES))
def at_rest(case: str) -> tuple[Field, OnMesh, Rested]:
    code, under, persons = CASES[case]
    model = bed_model(bed(code), "A")
    bedded = bedded_on(bed(code), persons, model, base(under), cell=30.0)
    one = bed_field(model, bedded.placed)
    return one, bedded.on, rested(one, bedded.on)


def moves(one: Field, found: Rested, count: int) -> list[State]:
    """Moves of about a millimetre: each node by itself, all smoothly, single heights of a body, slats."""
    rng = np.random.default_rng(11)
    across, along = one.x / one.x.max(), one.y / one.y.max()
    made = []
    for k in range(count):
        if k % 2:
            du = rng.uniform(-1, 1, found.u.shape)
        else:
            a, b = rng.uniform(0, 6, 2)
            wave = np.cos(a * across + rng.uniform(0, 6)) * np.cos(b * along + rng.uniform(0, 6))
            du = wave[:, None] * rng.uniform(-1, 1, found.u.shape[1])
        dw = rng.uniform(-1, 1, len(found.w)) * (rng.uniform(size=len(found.w)) < 0.5)
        made.append((du, rng.uniform(-1, 1, len(found.q)), dw))
    return made


def energy(one: Field, on: OnMesh, at: Rested, by: float, move: State) -> float:
    du, dq, dw = move
    return whole_energy(one, on, at.u + by * du, at.q + by * dq, at.w + by * dw)


@pytest.mark.parametrize("case", CASES)
def test_forces_of_the_loops_are_the_slope_of_the_energy(case: str) -> None:
    # away from rest, where there is something to compare
    one, on, found = at_rest(case)
    du, dq, dw = moves(one, found, 1)[0]
    off = Rested(0.0, 0.0, found.u + 3 * du, found.q + 3 * dq, found.w + 3 * dw, 0, 0)
    laid = laid_out(one)
    room, body = room_for(laid), body_room(on.bodies, len(one.tension), len(one.area))
    body_forces(laid, room, on.bodies, body, off.u.T.copy(order="C"), off.q, off.w)
    h, largest = 1e-3, 0.0
    for move in moves(one, found, 4):
        slope = (energy(one, on, off, h, move) - energy(one, on, off, -h, move)) / (2 * h)
        told = np.sum(room.g.T * move[0]) + np.sum(room.gq * move[1]) + np.sum(body.g * move[2])
        largest = max(largest, abs(told))
        assert slope == pytest.approx(told, rel=1e-4, abs=0.01)
    assert largest > 10.0


@pytest.mark.parametrize("case", CASES)
def test_no_small_move_lowers_the_energy_of_persons_at_rest(case: str) -> None:
    one, on, found = at_rest(case)
    least = energy(one, on, found, 0.0, moves(one, found, 1)[0])
    weight = float(np.sum(on.bodies.weight))
    for move in moves(one, found, 6):
        h = 3e-6  # small, for contact is a kink at every edge of it
        slope = (energy(one, on, found, h, move) - energy(one, on, found, -h, move)) / (2 * h)
        assert abs(slope) < 2e-5 * weight, "N, of the weight, per mm of move"
        for by in (-1.0, -0.05, 0.05, 1.0):
            assert energy(one, on, found, by, move) > least


@pytest.mark.parametrize("case", ["supine on laced coils", "near the edge, turned"])
def test_turning_a_body_lets_the_energy_rise_though_weight_turns_it_on(case: str) -> None:
    # rolls are what weight pulls further once they are there: held one way or the other, the rest found anew
    one, on, found = at_rest(case)
    (roll,) = np.flatnonzero(on.rolls)
    flat = whole_energy(one, on, found.u, found.q, found.w)
    for aside in (-1.0, 1.0):
        hold = np.zeros_like(on.bodies.joints)
        hold[roll, roll] = SPRING
        to = found.w[roll] + aside
        pull = np.zeros_like(on.bodies.weight)
        pull[roll] = SPRING * to
        held = on.bodies._replace(joints=on.bodies.joints + hold, weight=on.bodies.weight + pull)
        moved = rested(one, OnMesh(held, on.owner, on.x, on.y, on.axis_y, on.offsets, on.rolls, on.called, on.middles))
        assert 0.1 < (moved.w[roll] - found.w[roll]) / aside < 1.0
        assert whole_energy(one, on, moved.u, moved.q, moved.w) > flat
