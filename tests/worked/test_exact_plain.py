"""The exact plain bed (book plain-bed) against its published figures and against a radial sum that shares no code."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.linalg import solve_banded

from bedwright.errors import OutsideRange
from bedwright.mechanics.closed_forms import flat_punch, sphere_on_columns
from bedwright.mechanics.exact_plain import exact_forces, exact_press, face
from bedwright.mechanics.hardness import hardness
from bedwright.mechanics.pad import Protocol
from bedwright.mechanics.plain_bed import PlainBed, plain_bed

Array = NDArray[np.float64]
DEPTHS = (10, 20, 40, 60, 80)
# words; series stiffness [kPa/m]; force [N] and contact radius [mm] at the five depths
PUBLISHED = {
    "P1": (
        "springs 0.25 N/mm square 100 mm, layer 20 kPa 50 mm, tension 300 N/m, 1500x2000",
        23.5294,
        (16.5466, 47.4289, 144.5835, 256.3094, 370.6132),
        (74.551, 115.589, 162.702, 166.210, 168.903),
    ),
    "P4": (
        "springs 0.08 N/mm square 50 mm, layer 25 kPa 30 mm, 900x1900",
        30.8166,
        (7.7128, 30.3104, 89.9893, 150.9938, 211.9983),
        (126.095, 169.410, 177.500, 177.500, 177.500),
    ),
}


@pytest.mark.parametrize("name", sorted(PUBLISHED))
def test_published_forces(name: str) -> None:
    text, stiffness, forces, radii = PUBLISHED[name]
    plain = plain_bed(text)
    assert plain.foundation * 1e6 == pytest.approx(stiffness, abs=1e-4)
    found = [exact_press(plain, depth) for depth in DEPTHS]
    # asked 1e-6; four decimals are printed
    assert [press.force for press in found] == pytest.approx(forces, rel=1e-6, abs=5.1e-5)
    assert [press.contact_radius for press in found] == pytest.approx(radii, abs=5.1e-4)


def radial_force(plain: PlainBed, protocol: Protocol, depth: float, step: float = 0.1) -> float:
    """Force by linear elements along a radius; no Bessel function, no condition on slopes."""
    k, T = plain.foundation, plain.tension / 1000
    outer = protocol.diameter / 2
    far = outer + 14 * math.sqrt(T / k)
    r = np.concatenate([np.linspace(0, outer, round(outer / step) + 1), np.linspace(outer, far, 6001)[1:]])
    h, middle = np.diff(r), (r[1:] + r[:-1]) / 2
    link = T * middle / h
    # consistent mass of an element whose weight is r
    mass = np.zeros((3, len(r)))
    mass[1, :-1] += h * (4 * r[:-1] + h) / 12
    mass[1, 1:] += h * (4 * r[:-1] + 3 * h) / 12
    off = h * (2 * r[:-1] + h) / 12
    stiff = np.zeros((3, len(r)))
    stiff[1, :-1] += link
    stiff[1, 1:] += link
    matrix = stiff[1] + k * mass[1], -link + k * off
    target = np.where(r <= outer + 1e-9, depth - protocol.rise(r), -np.inf)

    def pushed(last: int) -> Array:
        """Force of the pad on each node over 2 pi, where it holds the nodes up to this one."""
        held = np.arange(len(r)) <= last
        banded = np.array([np.zeros(len(r)), np.where(held, 1, matrix[0]), np.zeros(len(r))])
        banded[0, 1:] = np.where(held[:-1], 0, matrix[1])
        banded[2, :-1] = np.where(held[1:], 0, matrix[1])
        w = solve_banded((1, 1), banded, np.where(held, target, 0))
        push = matrix[0] * w
        push[:-1] += matrix[1] * w[1:]
        push[1:] += matrix[1] * w[:-1]
        return np.where(held, push, 0)

    # the contact is a disc: the widest on whose rim the pad does not pull
    low, high = 0, int(np.sum(target > 0))
    while high - low > 1:
        middle_one = (low + high) // 2
        if pushed(middle_one)[middle_one] >= 0:
            low = middle_one
        else:
            high = middle_one
    return float(2 * math.pi * pushed(low).sum())


@pytest.mark.parametrize(
    ("protocol", "tension"),
    [
        (Protocol(), 300.0),
        (Protocol(), 20.0),
        (Protocol(), 3000.0),
        (replace(Protocol(), diameter=203.0, face_radius=400.0, edge_radius=10.0), 300.0),
        (replace(Protocol(), face_radius=200.0, edge_radius=50.0), 300.0),
        (replace(Protocol(), edge_radius=0.0), 300.0),
    ],
)
@pytest.mark.parametrize("depth", [3.0, 20.0, 80.0])
def test_against_a_radial_sum(protocol: Protocol, tension: float, depth: float) -> None:
    plain = replace(plain_bed(PUBLISHED["P1"][0]), tension=tension)
    assert exact_press(plain, depth, protocol).force == pytest.approx(radial_force(plain, protocol, depth), rel=5e-6)


def test_a_small_depth_without_tension_is_a_sphere() -> None:
    plain = plain_bed(PUBLISHED["P4"][0])
    for depth in (0.01, 1.0, 10.0):
        sphere = sphere_on_columns(plain.foundation, 800, depth)
        assert exact_press(plain, depth).force == pytest.approx(sphere.force, rel=1e-12)
        assert exact_press(plain, depth).contact_radius == pytest.approx(sphere.half_width, rel=1e-9)


def test_a_flat_sharp_pad_is_a_flat_punch() -> None:
    plain = plain_bed(PUBLISHED["P1"][0])
    flat = Protocol(face_radius=1e12, edge_radius=0.0)
    press = exact_press(plain, 20, flat)
    assert press.contact_radius == 177.5
    assert press.force == pytest.approx(flat_punch(plain.foundation, 300, 177.5, 20), rel=1e-9)


def test_a_flat_board_reads_the_tangent_of_the_pad_and_a_higher_secant() -> None:
    # docs/how/pad-test.md says so of a board with the pad's edge
    depths = np.linspace(0.5, 120, 100)
    for text in (PUBLISHED["P1"][0], "springs 0.1 N/mm square 55 mm, layer 20 kPa 50 mm, tension 100 N/m, 1500x2000"):
        pad, board = (
            hardness(depths, np.array(exact_forces(plain_bed(text), depths.tolist(), protocol)))
            for protocol in (Protocol(), Protocol(face_radius=1e9))
        )
        assert board.tangent == pytest.approx(pad.tangent, rel=0.01)
        assert 1.15 < board.secant / pad.secant < 1.35


def test_little_tension_comes_to_none() -> None:
    plain = plain_bed(PUBLISHED["P1"][0])
    none = exact_press(replace(plain, tension=0.0), 40).force
    assert exact_press(replace(plain, tension=1e-9), 40).force == pytest.approx(none, rel=1e-5)
    assert exact_press(replace(plain, tension=1.0), 40).force > none


@settings(max_examples=100)
@given(st.floats(0.0, 3000.0), st.floats(0.001, 5.0), st.floats(0.5, 100.0))
def test_deeper_and_tighter_is_harder(tension: float, rate: float, depth: float) -> None:
    plain = replace(plain_bed(PUBLISHED["P1"][0]), tension=tension, stiffness=rate)
    shallow, deep = exact_forces(plain, (depth, depth * 1.1))
    assert 0 < shallow < deep
    assert exact_press(replace(plain, tension=tension * 1.1 + 1), depth).force > shallow
    assert exact_press(plain, 0).force == 0


@settings(max_examples=60)
@given(st.floats(50.0, 500.0), st.floats(1.02, 10.0), st.floats(0.0, 0.9))
def test_the_face_is_that_of_the_protocol(diameter: float, flatter: float, edge: float) -> None:
    protocol = Protocol(diameter=diameter, face_radius=diameter / 2 * flatter, edge_radius=diameter / 2 * edge)
    pad = face(protocol)
    r = np.linspace(0, diameter / 2, 41)
    assert [pad.rise(float(x)) for x in r] == pytest.approx(list(protocol.rise(r)), rel=1e-6, abs=1e-6)


@pytest.mark.parametrize(
    "protocol",
    [
        Protocol(edge_radius=-1.0),
        Protocol(edge_radius=180.0),
        Protocol(face_radius=170.0),
        Protocol(face_radius=math.inf),
    ],
)
def test_a_pad_without_form(protocol: Protocol) -> None:
    with pytest.raises(OutsideRange, match="has no form"):
        exact_press(plain_bed(PUBLISHED["P1"][0]), 20, protocol)


def test_what_it_does_not_know() -> None:
    with pytest.raises(OutsideRange, match="is no depth"):
        exact_press(plain_bed(PUBLISHED["P1"][0]), -1)
    with pytest.raises(OutsideRange, match="a layer with nu bends"):
        exact_press(plain_bed(PUBLISHED["P1"][0].replace("50 mm", "50 mm nu 0.3")), 10)
