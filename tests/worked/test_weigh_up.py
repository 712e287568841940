"""What the weigh-up counts with: hypervolume under known fronts, binomial intervals beside a library."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import binomtest

from bedwright.weighing.chances import binomial_interval
from bedwright.weighing.fronts import hypervolume, unbeaten


@pytest.mark.parametrize("count", [50, 400])
def test_a_front_of_a_square_root(count: int) -> None:
    """Front f2 = 1 - sqrt(f1) (book `zdt-2000`, first problem): 2/3 of the unit square is ruled. With points at equal
    steps of f1 the stair below the front is short of that by its steps: exactly the upper sum of the integral."""
    x = np.linspace(0.0, 1.0, count + 1)
    found = hypervolume(np.stack([x, 1 - np.sqrt(x)], axis=1), (1.0, 1.0))
    stair = float(np.sum(np.diff(x) * np.sqrt(x[:-1])))
    assert found == pytest.approx(stair, rel=1e-12)
    assert 2 / 3 - 1.5 / count < found < 2 / 3


def test_a_front_of_an_eighth_of_a_sphere() -> None:
    """Points of the unit sphere's eighth (book `dtlz-2002`, second problem): 1 - pi/6 of the cube is ruled, less what
    the gaps between 21 x 21 points leave."""
    a, b = np.meshgrid(np.linspace(0, np.pi / 2, 21), np.linspace(0, np.pi / 2, 21))
    points = np.stack([np.cos(a) * np.cos(b), np.cos(a) * np.sin(b), np.sin(a)], axis=-1).reshape(-1, 3)
    points = np.clip(points, 0.0, 1.0)
    assert len(unbeaten(points)) > 0.9 * 21 * 20
    found = hypervolume(points, (1.0, 1.0, 1.0))
    assert 1 - np.pi / 6 - 0.07 < found < 1 - np.pi / 6


@pytest.mark.parametrize("hits", [0, 1, 10, 250, 3999, 4000])
def test_binomial_intervals_beside_a_library(hits: int) -> None:
    """Exact intervals of 4,000 draws (book `clopper-pearson`) as scipy's binomial test gives them."""
    beside = binomtest(hits, 4000).proportion_ci(method="exact")
    assert binomial_interval(hits, 4000) == pytest.approx((beside.low, beside.high), abs=1e-12)


def test_a_printed_interval() -> None:
    """10 of 20: 27.2 to 72.8 %; none of 20: 0 to 16.8 %, the table of any handbook (book `clopper-pearson`)."""
    assert binomial_interval(10, 20) == pytest.approx((0.272, 0.728), abs=5e-4)
    assert binomial_interval(0, 20) == pytest.approx((0.0, 0.168), abs=5e-4)
