"""The solver on plain beds of any kind that can be typed: it settles or says why not, and keeps what must hold.

Mirrored spots have mirrored meshes: forces alike to 1e-9. A bed turned by a quarter: to 2e-5 (rings part in fours, so
their triangles along diagonals may be cut the other way).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from bedwright.errors import NotConverged
from bedwright.mechanics import solver
from bedwright.mechanics.energy import compressions, table_value
from bedwright.mechanics.pad import Spot
from bedwright.mechanics.plain_bed import LIMITS, PlainBed, PlainLayer, plain_bed
from bedwright.mechanics.plain_test import plain_field, plain_pad_test
from bedwright.mechanics.solver import Bench, Pressed

Array = NDArray[np.float64]
P1 = plain_bed("springs 0.25 N/mm square 100 mm, layer 20 kPa 50 mm, tension 300 N/m, 1500x2000")
SETTLED = 2e-6  # [share of the force, of 1 N at least] two answers may differ by: each is settled to 1e-6


def spread(what: str, high: float | None = None) -> st.SearchStrategy[float]:
    """Numbers of every size within what can be typed."""
    low, most, _ = LIMITS[what]
    return st.floats(np.log(max(low, 0.01)), np.log(high or most)).map(lambda x: float(np.exp(x)))


# Columns from a hundredth of a kPa to 100 MPa, layers that bend to 3 MPa. Stiffer ones can be typed: where one is a
# thousand million times as stiff as its support, rounding leaves more than a millionth of the force, and a board that
# bends on next to no springs takes minutes on fine meshes; NotConverged is then a right answer.
thickness = st.floats(0.5, 300.0)
columns = st.builds(PlainLayer, spread("modulus", 1e5), thickness)
bending = st.builds(PlainLayer, spread("modulus", 3e3), thickness, st.floats(0, 0.45))
tensions = st.just(0.0) | spread("tension")


@st.composite
def beds(draw: st.DrawFn, layer: st.SearchStrategy[PlainLayer] = columns) -> PlainBed:
    width, length = draw(spread("side")), draw(spread("side"))
    pitch = draw(st.floats(*LIMITS["pitch"][:2])), draw(st.floats(*LIMITS["pitch"][:2]))
    layers = tuple(draw(st.lists(layer, max_size=4)))
    rate = draw(st.floats(-4, 2)) if layers else draw(st.floats(-3, 2))
    return PlainBed(float(10**rate), *pitch, layers, draw(tensions), max(width, 400.0), max(length, 400.0))


@st.composite
def spots(draw: st.DrawFn) -> tuple[float, float]:
    """Places as shares of width and length; corners and edges often."""
    share = st.sampled_from([0.0, 1.0, 0.5]) | st.floats(0, 1)
    return draw(share), draw(share)


def at(plain: PlainBed, spot: tuple[float, float]) -> Spot:
    return Spot(spot[0] * plain.width, spot[1] * plain.length)


def no_less(after: Array, before: Array) -> None:
    assert np.all(after >= before - SETTLED * np.maximum(before, 1.0)), (before, after)


depths = st.lists(st.floats(0.05, 150), min_size=2, max_size=4, unique_by=lambda d: round(d, 2)).map(sorted)


@settings(max_examples=25, deadline=None)
@given(beds(columns | bending), spots(), depths)
def test_any_bed_anywhere_settles_and_rises(plain: PlainBed, spot: tuple[float, float], depths: list[float]) -> None:
    answer = plain_pad_test(plain, depths, at(plain, spot))
    assert np.all(np.isfinite(answer.force)) and 0 <= answer.residual <= 1e-6
    assert answer.force[0] >= 0
    no_less(answer.force[1:], answer.force[:-1])


@pytest.mark.full
@settings(max_examples=150, deadline=None)
@given(beds(columns | bending), spots(), depths)
def test_many_beds_anywhere(plain: PlainBed, spot: tuple[float, float], depths: list[float]) -> None:
    answer = plain_pad_test(plain, depths, at(plain, spot))
    assert np.all(np.isfinite(answer.force)) and 0 <= answer.residual <= 1e-6
    no_less(answer.force[1:], answer.force[:-1])
    # the same wherever one comes from
    for depth, force in zip(depths, answer.force, strict=True):
        assert plain_pad_test(plain, [depth], at(plain, spot)).force[0] == pytest.approx(force, rel=1e-5, abs=1e-5)


@settings(max_examples=20, deadline=None)
@given(beds(), spots(), st.floats(0.1, 120), st.floats(1.01, 4))
def test_whatever_stiffens_is_no_softer(plain: PlainBed, spot: tuple[float, float], depth: float, by: float) -> None:
    """Columns and a membrane. (A thinner layer that bends is softer: its bending falls with the cube.)"""
    place, whole = at(plain, spot), [depth / 3, depth]
    before = plain_pad_test(plain, whole, place).force
    stiffer = [
        replace(plain, tension=plain.tension * by + 0.1),
        replace(plain, stiffness=plain.stiffness * by),
        replace(plain, pitch_along=plain.pitch_along / by),
    ]
    for n, layer in enumerate(plain.layers):
        for new in (replace(layer, modulus_kpa=layer.modulus_kpa * by), replace(layer, thickness=layer.thickness / by)):
            stiffer.append(replace(plain, layers=(*plain.layers[:n], new, *plain.layers[n + 1 :])))
    for one in stiffer:
        no_less(plain_pad_test(one, whole, place).force, before)


@pytest.mark.parametrize(
    "words",
    [
        "springs 0.11 N/mm square 97 mm, tension 0.085 N/m, 789x2349",  # hardly any membrane
        "springs 0.00047 N/mm square 107 mm, layer 0.07 kPa 8 mm, layer 0.07 kPa 2 mm, tension 0.18 N/m, 3650x2170",
        "springs 0.002 N/mm 27 x 143 mm, layer 21 kPa 23 mm nu 0.39, 1157x857",  # bends where hardly anything carries
        "springs 12 N/mm 112 x 90 mm, layer 0.1 kPa 28 mm nu 0.1, layer 3700 kPa 2 mm nu 0.2, 471 mm x 412 mm",
        "springs 0.004 N/mm square 123 mm, tension 0.012 N/m, 1527x591",
    ],
)
@pytest.mark.parametrize("depths", [(0.14, 0.53, 1.25, 18, 44), (20,), (0.1, 120)])
def test_beds_that_once_did_not_settle(words: str, depths: tuple[float, ...]) -> None:
    plain = plain_bed(words)
    for x, y in ((0.15, 0.95), (0.0, 0.0)):
        answer = plain_pad_test(plain, depths, Spot(x * plain.width, y * plain.length))
        assert answer.residual <= 1e-6
        no_less(answer.force[1:], answer.force[:-1])


@pytest.mark.parametrize(
    ("x", "y"), [(300, 700), (150, 60), (0, 0), (10, 1000), (1490, 3), (750, 200), (743.21, 1987.6)]
)
def test_a_mirrored_spot_reads_the_same(x: float, y: float) -> None:
    mirrored = [(x, y), (1500 - x, y), (x, 2000 - y), (1500 - x, 2000 - y)]
    one, *others = (plain_pad_test(P1, (10, 40, 80), Spot(a, b)).force for a, b in mirrored)
    for other in others:
        assert other == pytest.approx(one, rel=1e-8)
    turned = replace(P1, width=2000.0, length=1500.0)
    assert plain_pad_test(turned, (10, 40, 80), Spot(y, x)).force == pytest.approx(one, rel=3e-5)


@pytest.mark.parametrize(("x", "y"), [(750, 1000), (0, 400), (1500, 2000)])
@pytest.mark.parametrize("nu", ["", " nu 0.25"])
def test_what_the_pad_presses_the_ground_carries(x: float, y: float, nu: str) -> None:
    plain = plain_bed(
        f"springs 0.2 N/mm square 70 mm, layer 15 kPa 40 mm{nu}, layer 40 kPa 20 mm, tension 150 N/m, 150x200"
    )
    bench = Bench(plain_field(plain, Spot(x, y)))
    last: Pressed | None = None
    for depth in (5.0, 30.0, 90.0):
        last = bench.settled(depth, last)
        pressed = compressions(bench.field, last.u, last.q)
        for gap in range(len(plain.layers), -1, -1):
            carried = bench.field.cover[gap] * table_value(bench.field.law[gap], pressed[gap] / bench.field.law_step)
            # of the layers too: nothing but columns goes from one interface to the next
            assert carried.sum() == pytest.approx(last.force, rel=1e-6 if not nu else 2e-6)


def test_not_settled_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solver, "MOST_NEWTON", 1)
    bench = Bench(plain_field(P1, Spot(750, 1000)), tolerance=1e-30)
    with pytest.raises(NotConverged) as caught:
        bench.settled(35.5)
    text = str(caught.value)
    assert "the pad 35.5 mm down" in text
    assert "tried 1 Newton step from the last state, 4 Newton steps from the unpressed bed through softer skins" in text
    assert caught.value.residual > 0
    assert f"residual {caught.value.residual:.3g}" in text


def test_looking_ahead_is_named_too(monkeypatch: pytest.MonkeyPatch) -> None:
    bench = Bench(plain_field(P1, Spot(750, 1000)))
    one = bench.settled(10.0)
    two = bench.settled(12.0, one)
    monkeypatch.setattr(solver, "MOST_NEWTON", 1)
    bench.tolerance = 1e-30
    with pytest.raises(NotConverged, match="1 Newton step looking ahead, 1 Newton step from the last state"):
        bench.settled(60.0, two, one)
    monkeypatch.undo()
    # and the bench is as good as new
    bench.tolerance = 1e-6
    assert bench.settled(60.0, two, one).force == pytest.approx(plain_pad_test(P1, [60.0]).force[0], rel=2e-6)


def test_a_layer_that_bends_between_columns_bends() -> None:
    def force(*nus: str) -> Array:
        layers = zip(("20 kPa 40 mm", "40 kPa 30 mm", "30 kPa 30 mm"), nus, strict=True)
        words = ", ".join(f"layer {layer} {nu}" for layer, nu in layers)
        plain = plain_bed(f"springs 0.1 N/mm square 60 mm, {words}, tension 50 N/m, 1500x2000")
        return plain_pad_test(plain, (20, 60)).force

    none, middle, lower, both = (
        force("", "", ""),
        force("", "nu 0", ""),
        force("", "", "nu 0"),
        force("", "nu 0", "nu 0"),
    )
    assert np.all(middle > 1.01 * none) and np.all(lower > 1.01 * none)
    # glued to its neighbour a layer bends more stiffly than on its own
    assert np.all(both - none > 1.2 * ((middle - none) + (lower - none)))
