"""The valley round a tuft: Bessel closed form, a boundary value solver, and tufts in a true square pattern."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_bvp
from scipy.sparse import diags, eye, kron
from scipy.sparse.linalg import spsolve

from bedwright.errors import FaultsFound
from bedwright.mechanics import tuft_valley as room
from bedwright.mechanics.closed_forms import flat_punch
from bedwright.mechanics.tuft_valley import Stack, tuft_valley

STRAIGHT = Stack(np.array([0.0, 100.0]), np.array([0.0, 3.0]))  # 30 kPa/m
x = np.linspace(0, 90, 181)
BENT = Stack(x, 2.0 * (1 - np.exp(-x / 8)) + 0.015 * x + 1e-7 * x**4)  # soft, a plateau, then stiff (made up)


@pytest.mark.parametrize("cell", [60.0, 110.0, 400.0])
@pytest.mark.parametrize("tension", [10.0, 100.0, 400.0])
def test_straight_columns_by_bessel_functions(tension: float, cell: float) -> None:
    found = tuft_valley(STRAIGHT, tension, 30.0, 15.0, cell)
    exact = room.straight_valley(30, tension, 30.0, 15.0, cell, found.radius)
    assert found.depth == pytest.approx(exact, abs=0.01)
    assert found.pull == pytest.approx(room.straight_pull(30, tension, 30.0, 15.0, cell), rel=3e-4)
    assert found.residual < 1e-9


def test_a_lone_tuft_is_a_flat_punch_pulled() -> None:
    # the punch of the closed forms on columns: k in N/mm3
    assert room.straight_pull(30, 100, 30, 15, 2000) == pytest.approx(flat_punch(30e-6, 100, 15, 30), rel=1e-9)


def test_balance_of_the_cell() -> None:
    # the pull is what the whole cell pushes: pressure over the washer and over the ring round it
    found = tuft_valley(BENT, 100.0, 35.0, 15.0, 110.0)
    pressure = BENT.at(found.depth)[0]
    ring = np.trapezoid(2 * math.pi * found.radius * pressure, found.radius) / 1000
    washer = math.pi * 15**2 * float(BENT.at(np.array([35.0]))[0][0]) / 1000
    assert found.pull == pytest.approx(ring + washer, rel=1e-3)


def test_bent_law_by_a_boundary_value_solver() -> None:
    tension, depth, a, b = 100.0, 35.0, 15.0, 110.0

    def balance(r: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack([y[1], np.interp(y[0], BENT.compression, BENT.pressure) / tension - y[1] / r])

    def ends(ya: np.ndarray, yb: np.ndarray) -> np.ndarray:
        return np.array([ya[0] - depth, yb[1]])

    r = np.linspace(a, b, 400)
    solved = solve_bvp(balance, ends, r, np.vstack([depth * np.exp(-(r - a) / 30), np.zeros_like(r)]), tol=1e-6)
    found = tuft_valley(BENT, tension, depth, a, b)
    assert solved.success
    assert found.depth == pytest.approx(solved.sol(found.radius)[0], abs=0.02)


@pytest.mark.parametrize("cell_mm", [160.0, 240.0])
def test_a_round_cell_stands_for_a_square_pattern(cell_mm: float) -> None:
    """Square washers in a square pattern by finite differences: crown within 8 %, pull within 5 % of the round cell."""
    tension, k, depth, step = 100.0, 30.0, 30.0, 2.5
    count = round(cell_mm / step)
    side = diags([1.0, -2.0, 1.0, 1.0, 1.0], [-1, 0, 1, count - 1, 1 - count], shape=(count, count))  # goes round
    one = eye(count)
    matrix = (tension / step**2 * (kron(side, one) + kron(one, side)) - k / 1000 * eye(count**2)).tocsr()
    at = (np.arange(count) - count / 2 + 0.5) * step
    X, Y = np.meshgrid(at, at)
    washer = (np.hypot(X, Y) <= 15).ravel()
    w = np.zeros(count**2)
    w[washer] = depth
    free = ~washer
    w[free] = spsolve(matrix[free][:, free], -matrix[free][:, washer] @ w[washer])
    mean_radius = math.sqrt(washer.sum() * step**2 / math.pi)
    found = tuft_valley(STRAIGHT, tension, depth, mean_radius, room.cell_radius(cell_mm**2))
    face = w.reshape(count, count)
    assert found.crown == pytest.approx(depth - face[0, 0], rel=0.08)  # the corner is the furthest from all tufts
    assert found.pull == pytest.approx(k * w.sum() * step**2 / 1e6, rel=0.05)


@given(
    depth=st.floats(-5, 0) | st.floats(1e-3, 80),
    tension=st.floats(5, 500),
    washer=st.floats(5, 30),
    wider=st.floats(1.5, 12),
)
@settings(deadline=None)
def test_pulls_only_and_the_valley_falls_outwards(depth: float, tension: float, washer: float, wider: float) -> None:
    found = tuft_valley(BENT, tension, depth, washer, washer * wider)
    assert found.pull >= 0 and (found.pull == 0) == (depth <= 0)
    assert np.all(np.diff(found.depth) <= 1e-9) and np.all(found.depth >= -1e-9)
    assert 0 <= found.crown <= max(depth, 0)


def test_deeper_pulls_harder_and_back_again() -> None:
    pulls = [tuft_valley(BENT, 100, depth, 15, 110).pull for depth in (5, 15, 30, 60)]
    assert pulls == sorted(pulls)
    assert room.depth_of_pull(BENT, 100, pulls[2], 15, 110) == pytest.approx(30, abs=1e-6)
    assert room.depth_of_pull(BENT, 100, 0.0, 15, 110) == 0
    with pytest.raises(FaultsFound, match="beyond its law"):
        room.depth_of_pull(STRAIGHT, 100, 1e9, 15, 110)


def test_the_estimate_of_the_radius() -> None:
    # sqrt(T/k) = 57.7 mm; round a small washer the valley is narrower than the strip's, and grows with the root of T
    narrow, wide = (tuft_valley(STRAIGHT, tension, 30, 15, 2000) for tension in (100, 400))
    assert narrow.reach == pytest.approx(57.735, abs=1e-3) and wide.reach == pytest.approx(2 * narrow.reach)
    assert 0.4 * narrow.reach < narrow.valley_radius < narrow.reach
    large = tuft_valley(STRAIGHT, 100, 30, 2000, 6000)  # round a very large one it is the strip's
    assert large.valley_radius == pytest.approx(large.reach, rel=0.05)


def test_crown_between_rows() -> None:
    # far apart all of the depth, close together next to nothing: d (1 - 1/cosh(s/2l)), s = 2 l: 1 - 1/cosh 1
    assert room.crown_between_lines(30, 2 * 57.735, 100, 30) == pytest.approx(30 * (1 - 1 / math.cosh(1)), rel=1e-5)
    assert room.crown_between_lines(30, 1e9, 100, 30) == room.crown_between_lines(30, 200, 0, 30) == 30


def test_faults() -> None:
    with pytest.raises(FaultsFound) as caught:
        tuft_valley(STRAIGHT, 0.0, 30, 15, 10)
    assert [fault.field for fault in caught.value.faults] == ["panel_tension", "washer"]
    with pytest.raises(FaultsFound, match="does not rise from nothing"):
        Stack(np.array([0.0, 10.0]), np.array([1.0, 0.5]))
