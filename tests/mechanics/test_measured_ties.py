"""Ties from readings: a lattice solved densely with its edges, read to a ruler's half millimetre, and turned back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from bedwright.errors import FaultsFound
from bedwright.mechanics.measured_ties import lattice_sinking, measured_ties

READ = [(0, 0), (1, 0), (2, 0), (3, 0), (0, 1), (0, 2), (1, 1)]


def sunk(load: float, rate: float, tie: float, bending: float, coils: int = 31) -> NDArray[np.float64]:
    """The middle coil of a unit loaded: a dense matrix, coil by coil, with real edges."""
    index = np.arange(coils * coils).reshape(coils, coils)
    matrix = rate * np.eye(coils * coils)
    for pairs in (zip(index[1:].ravel(), index[:-1].ravel(), strict=True),
                  zip(index[:, 1:].ravel(), index[:, :-1].ravel(), strict=True)):  # fmt: skip
        for a, b in pairs:
            matrix[np.ix_([a, b], [a, b])] += tie * np.array([[1, -1], [-1, 1]])
    for i in range(1, coils - 1):
        for j in range(coils):
            three = [index[i - 1, j], index[i, j], index[i + 1, j]]
            matrix[np.ix_(three, three)] += bending * np.outer([1, -2, 1], [1, -2, 1])
    force = np.zeros(coils * coils)
    middle = coils // 2
    force[index[middle, middle]] = load
    return np.linalg.solve(matrix, force).reshape(coils, coils)[middle:, middle:]


@pytest.mark.parametrize(("rate", "tie", "bending"), [(0.25, 0.5, 0.2), (0.25, 0.5, 0.0), (0.1, 0.05, 0.0)])
def test_a_lattice_read_and_turned_back(rate: float, tie: float, bending: float) -> None:
    exact = sunk(40, rate, tie, bending)
    assert lattice_sinking(40, rate, tie, bending)[:8, :8] == pytest.approx(exact[:8, :8], abs=1e-4)
    found = measured_ties(40, {place: float(exact[place]) for place in READ}, rings_bend=bending > 0)
    assert (found.rate, found.tie, found.bending) == pytest.approx((rate, tie, bending), rel=1e-3)
    assert found.worst < 0.01
    ruler = {place: round(2 * float(exact[place])) / 2 for place in READ}
    found = measured_ties(40, ruler, rings_bend=bending > 0)
    assert abs(found.rate - rate) <= 2 * found.rate_half
    assert abs(found.tie - tie) <= 2 * found.tie_half
    assert abs(found.bending - bending) <= 2 * found.bending_half


@settings(max_examples=40, deadline=None)
@given(st.floats(0.03, 0.6), st.floats(0.02, 2.0), st.floats(10.0, 60.0))
def test_all_sinking_carries_the_load(rate: float, tie: float, load: float) -> None:
    down = lattice_sinking(load, rate, tie, 0.0)
    whole = np.concatenate([down[:0:-1], down[:-1]])  # a lattice that repeats: the farthest line counts once
    whole = np.concatenate([whole[:, :0:-1], whole[:, :-1]], axis=1)
    assert rate * whole.sum() == pytest.approx(load, rel=1e-9)
    assert np.all(np.diff(down[:, 0]) <= 1e-9)


def test_a_finer_reading_is_surer() -> None:
    exact = sunk(40, 0.25, 0.5, 0.0)
    read = {place: float(exact[place]) for place in READ}
    ruler, gauge = measured_ties(40, read), measured_ties(40, read, error=0.05)
    assert gauge.tie_half == pytest.approx(ruler.tie_half / 10, rel=1e-3)


@pytest.mark.parametrize(
    ("load", "sinking", "says"),
    [
        (0.0, {(0, 0): 20.0, (1, 0): 8.0, (0, 1): 8.0}, "a load of 0 N"),
        (40.0, {(0, 0): 20.0, (1, 0): 8.0}, "no reading of (0, 1)"),
        (40.0, {(0, 0): 20.0, (1, 0): 21.0, (0, 1): 8.0}, "a neighbour sinks as far"),
        (40.0, {(0, 0): -20.0, (1, 0): -21.0, (0, 1): -30.0}, "coil (0, 0) sinks -20 mm"),
        (40.0, {(0, 0): 20.0, (1, 0): float("nan"), (0, 1): 8.0, (9, 0): 0.0}, "more than 8 away"),
    ],
)
def test_readings_that_cannot_be(load: float, sinking: dict[tuple[int, int], float], says: str) -> None:
    with pytest.raises(FaultsFound) as caught:
        measured_ties(load, sinking)
    assert says in str(caught.value)
    with pytest.raises(FaultsFound, match=r"no reading of \(2, 0\)"):
        measured_ties(40.0, {(0, 0): 20.0, (1, 0): 8.0, (0, 1): 8.0}, rings_bend=True)
    with pytest.raises(FaultsFound, match="a reading error of 0 mm"):
        measured_ties(40.0, {(0, 0): 20.0, (1, 0): 8.0, (0, 1): 8.0}, error=0.0)
