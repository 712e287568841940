"""The pad test of plain beds, as properties: any bed meets its exact force, and neither way nor side matters.

The published bed, a family of beds and orders of convergence: tests/worked/test_plain_beds_solver.py.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bedwright.mechanics.closed_forms import reach
from bedwright.mechanics.exact_plain import exact_forces
from bedwright.mechanics.pad import Spot
from bedwright.mechanics.plain_bed import PlainBed, PlainLayer, plain_bed
from bedwright.mechanics.plain_test import plain_pad_test

DEPTHS = (10.0, 20.0, 40.0, 60.0, 80.0)
P1 = "springs 0.25 N/mm square 100 mm, layer 20 kPa 50 mm, tension 300 N/m, 1500x2000"


@settings(max_examples=12, deadline=None)
@given(
    st.floats(0.05, 0.5),
    st.floats(40, 120),
    st.floats(0.7, 1.4),
    st.lists(st.builds(PlainLayer, st.floats(8, 60), st.floats(10, 60)), max_size=3).map(tuple),
    st.just(0.0) | st.floats(20, 600),
)
def test_plain_beds_at_random(
    rate: float, pitch: float, along: float, layers: tuple[PlainLayer, ...], tension: float
) -> None:
    plain = PlainBed(rate, pitch, pitch * along, layers, tension, 1500, 2000)
    assume(plain.foundation < 100e-6)  # the stiffest of trade builds has some 80 kPa/m
    assume(tension == 0 or reach(plain.foundation, tension) < 150)  # else the bed's edges, 750 mm away, are felt
    answer = plain_pad_test(plain, DEPTHS)
    error = np.abs(answer.force / np.array(exact_forces(plain, DEPTHS)) - 1)
    assert 0 <= answer.residual <= 1e-6
    assert error[0] <= 0.02
    assert error[1] <= 0.01
    assert np.all(error[2:] <= 0.005)


def test_the_way_there_does_not_matter() -> None:
    plain = plain_bed("springs 0.1 N/mm square 80 mm, layer 12 kPa 30 mm, layer 40 kPa 20 mm, tension 100 N/m, 150x200")
    down = plain_pad_test(plain, DEPTHS).force
    back = plain_pad_test(plain, DEPTHS[::-1]).force[::-1]
    straight = [plain_pad_test(plain, [depth]).force[0] for depth in DEPTHS]
    assert straight == pytest.approx(down, rel=1e-5)
    assert back == pytest.approx(down, rel=1e-5)


def test_mirrored_spots_read_alike() -> None:
    plain = plain_bed(P1)
    one, *others = (
        plain_pad_test(plain, [20.0, 60.0], spot=Spot(x, y)).force
        for x, y in ((300, 700), (1200, 700), (300, 1300), (1200, 1300))
    )
    for other in others:
        assert other == pytest.approx(one, rel=1e-6)


def test_a_turned_lattice_is_the_same_bed() -> None:
    plain = replace(plain_bed(P1), pitch_across=80.0, pitch_along=125.0)
    turned = replace(plain, pitch_across=125.0, pitch_along=80.0)
    assert plain_pad_test(turned, [40.0]).force == pytest.approx(plain_pad_test(plain, [40.0]).force, rel=1e-9)
