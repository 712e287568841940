"""Bhandari, Design of Machine Elements, example 10.1 (book `bhandari-10`, from its companion result file)."""

import math

import pytest

from bedwright.mechanics.coil_rate import plain_rate
from bedwright.mechanics.coil_shape import CoilShape
from bedwright.mechanics.coil_stress import active_turns, plain_stress, solid_length, wahl


def test_example_10_1() -> None:
    P, way, C, allowed, G = 1250.0, 30.0, 6.0, 0.5 * 1090, 81_370.0
    assert wahl(C) == pytest.approx(1.2525)
    d = math.sqrt(wahl(C) * plain_stress(P, C, 1.0) / allowed)  # 8 P C / (pi d^2)
    assert d == pytest.approx(6.625083, abs=1e-5)
    wire, D = 7.0, 42.0
    one_turn = plain_rate(CoilShape("cylinder", D, 8, 110, wire, None, 206e3, G)) * 8
    turns = math.ceil(one_turn * way / P)
    assert turns == 8
    total = turns + 2
    assert active_turns(total, "squared ground") == turns
    way_of_8 = P / plain_rate(CoilShape("cylinder", D, turns, 110, wire, None, 206e3, G))
    free = solid_length(total, wire, "squared ground") + (total - 1) * 1.0 + way_of_8  # 1 mm gaps
    assert free == pytest.approx(109.337611, abs=1e-5)
    assert free / (total - 1) == pytest.approx(12.148623, abs=1e-5)  # pitch as the book takes it
