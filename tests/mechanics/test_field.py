"""What the loops of the solver take: tables of laws, areas of a mesh under the pad, the pad's seat."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from bedwright.mechanics.field import LAW_POINTS, LAW_STEP, filling_table, hermite, one_way_table, seat, straight_table
from bedwright.mechanics.kernels import look_up
from bedwright.mechanics.mesh import Mesh, ring_mesh, ring_radii
from bedwright.mechanics.pad import Protocol

Array = NDArray[np.float64]

# rises between the points of a law, from flat to steep
rises = st.lists(st.just(0.0) | st.floats(1e-3, 20), min_size=2, max_size=10)


def read(table: Array, at: Array) -> tuple[Array, Array]:
    """Values and slopes of a table, one look-up each."""
    found = np.array([look_up(table, float(x)) for x in at])
    return found[:, 0], found[:, 1]


@settings(max_examples=80, deadline=None)
@given(rises)
def test_a_table_goes_through_its_values_and_never_falls(rises: list[float]) -> None:
    values = np.cumsum([0.0, *rises])
    table = hermite(values)
    assert table[:, 0] == pytest.approx(values)
    fine = np.linspace(-2, len(values) + 2, 801)
    value, slope = read(table, fine)
    assert np.all(np.diff(value) >= -1e-12 * values[-1])
    assert np.all(slope >= -1e-9 * max(values[-1], 1))
    assert np.all(slope <= 3 * max(rises) * (1 + 1e-9))  # monotone cubics are no steeper than that


@settings(max_examples=80, deadline=None)
@given(rises, st.integers(0, 9))
def test_a_table_has_no_steps_nor_corners(rises: list[float], knot: int) -> None:
    values = np.cumsum([0.0, *rises])
    table, h = hermite(values), 1e-7
    at = min(knot, len(values) - 1)
    (left, here, right), (slope_left, slope, slope_right) = read(table, np.array([at - h, at, at + h]))
    scale = max(values[-1], 1)
    assert left == pytest.approx(here, abs=1e-5 * scale) and right == pytest.approx(here, abs=1e-5 * scale)
    assert slope_left == pytest.approx(slope, abs=1e-4 * scale) and slope_right == pytest.approx(
        slope, abs=1e-4 * scale
    )


@settings(max_examples=50, deadline=None)
@given(rises, st.floats(-3, 15))
def test_slope_is_that_of_the_value(rises: list[float], at: float) -> None:
    table, h = hermite(np.cumsum([0.0, *rises])), 1e-5
    (low, _, high), (_, slope, _) = read(table, np.array([at - h, at, at + h]))
    assert (high - low) / (2 * h) == pytest.approx(slope, abs=1e-3 * max(sum(rises), 1))


def test_beyond_its_ends_a_table_goes_straight_on() -> None:
    table = hermite(np.array([1.0, 2.0, 4.0, 5.0]))
    value, slope = read(table, np.array([-2.0, 0.0, 3.0, 5.0]))
    assert slope[0] == slope[1] == table[0, 1] and slope[2] == slope[3] == table[-1, 1]
    assert value[0] == pytest.approx(1 - 2 * table[0, 1]) and value[3] == pytest.approx(5 + 2 * table[-1, 1])


@st.composite
def laws(draw: st.DrawFn) -> tuple[Array, Array]:
    """Compressions and stresses [kPa] as suppliers print them: rising, unevenly spaced, ending anywhere."""
    count = draw(st.integers(2, 8))
    shares = np.cumsum([0.0, *draw(st.lists(st.floats(0.02, 1), min_size=count, max_size=count))])
    last = draw(st.floats(0.3, 0.97))
    stress = np.cumsum([0.0, *draw(st.lists(st.floats(0.001, 30), min_size=count, max_size=count))])
    return shares / shares[-1] * last, stress


@settings(max_examples=60, deadline=None)
@given(laws())
def test_the_table_of_a_filling_rises_everywhere_and_is_its_law(law: tuple[Array, Array]) -> None:
    compression, stress = law
    table = filling_table(compression, stress)
    assert table.shape == (LAW_POINTS, 2) and pytest.approx(0.97) == (LAW_POINTS - 1) * LAW_STEP
    assert table[0, 0] == 0 and np.all(np.diff(table[:, 0]) > 0) and np.all(table[:, 1] >= 0)
    at = np.linspace(0, compression[-1], 97)
    value, _ = read(table, at / LAW_STEP)
    exact = PchipInterpolator(compression, stress)(at) / 1000
    # between its points, 0.25 % of compression apart, no more than a point's rise away
    assert value == pytest.approx(exact, abs=float(np.max(np.diff(table[:, 0]))))
    fine, slope = read(table, np.linspace(0, 460, 2001))
    assert np.all(np.diff(fine) > 0) and np.all(slope >= 0)
    # pulled apart it does not push
    assert read(table, np.array([-5.0]))[0][0] <= 0


def test_a_filling_past_its_table_goes_on_as_steeply() -> None:
    table = filling_table(np.array([0.0, 0.25, 0.4, 0.65]), np.array([0.0, 1.0, 1.4, 4.0]))
    value, _ = read(table, np.array([0.65, 0.75, 0.85, 1.2]) / LAW_STEP)
    assert value[0] == pytest.approx(0.004)
    assert np.diff(value[:3]) == pytest.approx([value[1] - value[0]] * 2, rel=1e-3)
    assert value[3] > value[2]


def test_straight_and_one_way() -> None:
    at = np.array([-0.3, -1e-3, 0.0, 1e-3, 0.2, 0.97, 1.4])
    value, slope = read(straight_table(0.03), at / LAW_STEP)
    assert value == pytest.approx(0.03 * at) and slope / LAW_STEP == pytest.approx(0.03)
    value, slope = read(one_way_table(0.03), at / LAW_STEP)
    assert value[at > LAW_STEP] == pytest.approx(0.03 * at[at > LAW_STEP])
    assert value[:2] == pytest.approx(0.03e-5 * at[:2])
    fine, steep = read(one_way_table(0.03), np.linspace(-2, 3, 501))
    assert np.all(np.diff(fine) > 0) and np.all(steep > 0)


plans = st.tuples(st.floats(400, 4000), st.floats(400, 4000))
shares = st.sampled_from([0.0, 1.0]) | st.floats(0, 1)


def mesh_of(plan: tuple[float, float], share: tuple[float, float], fineness: float = 1.0) -> Mesh:
    return ring_mesh(*plan, share[0] * plan[0], share[1] * plan[1], fineness=fineness)


@settings(max_examples=40, deadline=None)
@given(plans, st.tuples(shares, shares), st.sampled_from([0.5, 1.0, 1.37]))
def test_a_mesh_covers_the_plan(plan: tuple[float, float], share: tuple[float, float], fineness: float) -> None:
    mesh = mesh_of(plan, share, fineness)
    assert mesh.area.sum() == pytest.approx(plan[0] * plan[1], rel=1e-9)
    assert np.all(mesh.area > 0)
    assert mesh.rim.sum() == pytest.approx(2 * sum(plan), rel=1e-9)
    corners = np.stack([mesh.x, mesh.y], 1)[mesh.triangles]
    a, b = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    assert np.abs(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum() / 2 == pytest.approx(plan[0] * plan[1], rel=1e-9)


@settings(max_examples=15, deadline=None)
@given(plans, st.tuples(shares, shares))
def test_the_membrane_of_a_mesh(plan: tuple[float, float], share: tuple[float, float]) -> None:
    """K is symmetric, feels no shift, and gives any tilt its exact energy."""
    mesh = mesh_of(plan, share)
    K = mesh.matrix
    assert abs(K - K.T).max() <= 1e-9 * abs(K).max()
    assert np.abs(K @ np.ones(len(mesh.x))).max() <= 1e-9 * abs(K).max()
    tilt = 0.3 * mesh.x - 0.1 * mesh.y
    assert tilt @ (K @ tilt) == pytest.approx(0.1 * plan[0] * plan[1], rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(plans, st.tuples(shares, shares))
def test_the_pad_has_its_own_area(plan: tuple[float, float], share: tuple[float, float]) -> None:
    mesh, protocol = mesh_of(plan, share), Protocol()
    face, touch = seat(mesh, protocol)
    x, y, radius = share[0] * plan[0], share[1] * plan[1], protocol.diameter / 2
    # by strips
    turn = (np.arange(20000) + 0.5) / 20000 * np.pi - np.pi / 2
    up, half = radius * np.sin(turn), radius * np.cos(turn)
    across = np.clip(half, None, plan[0] - x) + np.clip(half, None, x)
    on = (y + up > 0) & (y + up < plan[1])
    assert touch.sum() == pytest.approx(float(np.sum(across * half * on) * np.pi / 20000), rel=1e-3)
    assert np.all((touch > 0) == (face < 100))
    assert np.all(face[touch > 0] >= 0)


@pytest.mark.parametrize("fineness", [0.5, 0.7, 1.0, 1.5, 2.0, 3.0])
def test_two_rings_stand_alike_about_the_edge_of_the_pad(fineness: float) -> None:
    radii = ring_radii(177.5, 1500, fineness)
    assert np.all(np.diff(radii) > 0) and radii[-1] >= 1500
    after = int(np.searchsorted(radii, 177.5))
    assert radii[after] + radii[after - 1] == pytest.approx(355)


@settings(max_examples=30, deadline=None)
@given(st.floats(100, 600), st.floats(1.05, 20), st.floats(0, 0.9), st.floats(0, 1), st.floats(0, 1))
def test_mean_rise_lies_between_the_rises_of_its_ends(
    diameter: float, flatter: float, edge: float, one: float, other: float
) -> None:
    protocol = Protocol(diameter=diameter, face_radius=diameter / 2 * flatter, edge_radius=diameter / 2 * edge)
    low, high = sorted((one * diameter / 2, other * diameter / 2))
    assume(high - low > 1e-6)
    mean = protocol.mean_rise(low, high)
    ends = protocol.rise(np.array([low, high]))
    assert ends[0] - 1e-9 <= mean <= ends[1] + 1e-9
