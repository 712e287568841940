"""EN 1957 as its explainers give it: pad, hardness H; published results as bands (books en-1957-pad, vlaovic-2024)."""

from __future__ import annotations

import numpy as np
import pytest

from bedwright.errors import OutsideRange
from bedwright.mechanics.hardness import hardness
from bedwright.mechanics.pad import Protocol


def test_pad_cap_and_area() -> None:
    # en-1957-pad: 355 mm, R 800; cap 19.94 mm, 989.8 cm2, 1000 N = 10.10 kPa (arithmetic, book derived)
    pad = Protocol()
    assert pad.cap_height == pytest.approx(19.94, abs=0.01)
    assert pad.area / 100 == pytest.approx(989.8, abs=0.1)
    assert 1000 / pad.area * 1000 == pytest.approx(10.10, abs=0.01)


def test_edge_fillet_touches_sphere_and_side() -> None:
    pad = Protocol()
    joined = 157.5 * 800 / 780
    below, above = pad.rise(np.array([joined - 1e-7, joined + 1e-7]))
    assert below == pytest.approx(above, abs=1e-6)
    slopes = np.diff(pad.rise(np.array([joined - 1e-4, joined, joined + 1e-4]))) / 1e-4
    assert slopes[0] == pytest.approx(slopes[1], rel=1e-3)
    assert np.isinf(pad.rise(np.array([177.6]))[0])


def test_hardness_of_a_straight_curve_is_its_slope_both_ways() -> None:
    depth = np.linspace(0, 100, 41)
    found = hardness(depth, 6 * depth)
    assert found.tangent == pytest.approx(6, abs=1e-9)
    assert found.secant == pytest.approx(6, abs=1e-9)


def test_hardness_of_a_hardening_curve() -> None:
    # F = 0.5 x^1.6: depths 43.604 51.609 58.928, tangent mean 8.4876, secant mean 5.3048 (derived from the definition)
    depth = np.linspace(0, 90, 721)
    found = hardness(depth, 0.5 * depth**1.6)
    assert found.depths == pytest.approx((43.604, 51.609, 58.928), abs=1e-3)
    assert found.tangent == pytest.approx(8.4876, abs=1e-3)
    assert found.secant == pytest.approx(5.3048, abs=1e-3)


def test_a_curve_that_ends_too_low_is_refused_with_its_figures() -> None:
    with pytest.raises(OutsideRange, match=r"ends at 300 N, and H needs 340 N"):
        hardness(np.array([0.0, 50.0]), np.array([0.0, 300.0]))
