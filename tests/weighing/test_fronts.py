"""Non-domination, crowding and hypervolume against plain counting."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import OutsideRange
from bedwright.weighing.fronts import beats, crowding, hypervolume, ranks, spread, unbeaten

WHOLE = st.integers(0, 6)


def by_counting(points: np.ndarray, corner: tuple[int, ...]) -> int:
    """Unit boxes below the corner that some point rules; points whole."""
    grid = np.stack(np.meshgrid(*[np.arange(c) for c in corner], indexing="ij"), axis=-1).reshape(-1, len(corner))
    return int(sum(any(np.all(point <= box) for point in points) for box in grid))


@settings(max_examples=60, deadline=None)
@given(st.sampled_from([2, 3, 4]).flatmap(lambda d: st.lists(st.tuples(*[WHOLE] * d), min_size=1, max_size=7)))
def test_hypervolume_counts_the_boxes(rows: list[tuple[int, ...]]) -> None:
    points, corner = np.array(rows), (6,) * len(rows[0])
    assert hypervolume(points, corner) == pytest.approx(by_counting(points, corner), abs=1e-9)


def test_hypervolume_of_ten_thousand_random_points_lies_within_three_spreads() -> None:
    """Points of no round figures, 3 aims: against the share of random places that are ruled (binomial, seeded)."""
    chance = np.random.default_rng(5)
    points, places = chance.random((12, 3)), chance.random((10_000, 3))
    ruled = np.mean([np.any(np.all(points <= place, axis=1)) for place in places])
    exact = hypervolume(points, (1.0, 1.0, 1.0))
    assert abs(exact - ruled) < 3 * np.sqrt(ruled * (1 - ruled) / len(places))
    assert hypervolume(np.zeros((0, 3)), (1.0, 1.0, 1.0)) == 0.0
    with pytest.raises(OutsideRange, match="3 aims and the corner 2"):
        hypervolume(points, (1.0, 1.0))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(WHOLE, WHOLE, WHOLE), min_size=1, max_size=12))
def test_unbeaten_are_those_that_none_beats(rows: list[tuple[int, int, int]]) -> None:
    points = np.array(rows, dtype=float)
    found = unbeaten(points)
    assert {tuple(points[i]) for i in found} == {
        tuple(row) for row in points if not any(beats(other, row) for other in points)
    }
    assert len({tuple(points[i]) for i in found}) == len(found)
    rank = ranks(points)
    assert {i for i, level in enumerate(rank) if level == 0} >= set(found)
    for one, level in zip(points, rank, strict=True):
        if level:
            assert any(beats(other, one) for other, of in zip(points, rank, strict=True) if of == level - 1)


def test_crowding_and_spread_keep_the_ends() -> None:
    points = np.array([[0, 10.0], [1, 9], [1.1, 8.9], [9, 1], [10, 0]])
    crowd = crowding(points)
    assert crowd[0] == crowd[-1] == np.inf
    assert crowd[3] > crowd[2]
    assert spread(points, 3)[:1] == [0] and 4 in spread(points, 3) and len(spread(points, 3)) == 3
    assert spread(points, 9) == [0, 1, 2, 3, 4]
