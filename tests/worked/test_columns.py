"""Bodies, membranes, beams and plates on columns: forms against the figures worked out elsewhere (books derived,
hetenyi-1946). Lengths mm, forces N; stiffness of columns in N/mm3, where 1e-6 is 1 kPa/m; pressures in MPa."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from bedwright.errors import OutsideRange
from bedwright.mechanics import closed_forms as forms


def test_sphere_as_a_paraboloid() -> None:
    # R 150 mm, 200 kPa/m, 200 N: d 46.066, a 117.56, p0 9.2132 kPa, twice the mean; 400 kPa/m, 100 N: d 23.033
    found = forms.paraboloid_on_columns(200e-6, 150, 46.066)
    assert found.force == pytest.approx(200, rel=1e-4)
    assert found.half_width == pytest.approx(117.56, abs=0.01)
    assert found.peak * 1000 == pytest.approx(9.2132, abs=1e-4)
    assert found.force / (math.pi * found.half_width**2) == pytest.approx(found.peak / 2)
    assert forms.paraboloid_on_columns(400e-6, 150, 23.033).force == pytest.approx(100, rel=1e-4)


def test_true_sphere() -> None:
    # the same with the exact cap: d 48.786, a 110.71, p0 9.7573; 400 kPa/m, 100 N: 23.664
    found = forms.sphere_on_columns(200e-6, 150, 48.786)
    assert found.force == pytest.approx(200, rel=1e-4)
    assert found.half_width == pytest.approx(110.71, abs=0.01)
    assert found.peak * 1000 == pytest.approx(9.7573, abs=1e-4)
    assert forms.sphere_on_columns(400e-6, 150, 23.664).force == pytest.approx(100, rel=1e-4)


@given(st.floats(1, 149))
def test_sphere_by_adding_up_its_columns(depth: float) -> None:
    found = forms.sphere_on_columns(200e-6, 150, depth)
    added, _ = quad(lambda r: (depth - 150 + math.sqrt(150**2 - r**2)) * 2 * math.pi * r, 0, found.half_width)
    assert found.force == pytest.approx(200e-6 * added, rel=1e-6)


def test_ellipsoid_and_cylinder() -> None:
    # R 120 and 400, 60 kPa/m, 250 N: d 77.805, p0 4.668 kPa, longer half axis 249.5; R 120, 80 kPa/m, 400 N/m: d 38.840
    ellipsoid = forms.ellipsoid_on_columns(60e-6, (120, 400), 77.805)
    assert ellipsoid.force == pytest.approx(250, rel=1e-4)
    assert ellipsoid.peak * 1000 == pytest.approx(4.668, abs=1e-3)
    assert ellipsoid.half_width == pytest.approx(249.5, abs=0.1)
    cylinder = forms.cylinder_on_columns(80e-6, 120, 38.840)
    assert cylinder.force == pytest.approx(0.4, rel=1e-4)
    assert (cylinder.half_width, cylinder.peak * 1000) == pytest.approx((96.55, 3.107), rel=1e-3)


def test_membrane_under_a_disc() -> None:
    # q 4 kPa, a 100 mm, T 300 N/m, 60 kPa/m: l 70.7, w0 37.044; columns alone 66.667
    assert forms.reach(60e-6, 300) == pytest.approx(70.7, abs=0.02)
    assert forms.membrane_under_disc(60e-6, 300, 100, 0.004) == pytest.approx(37.044, abs=1e-3)
    assert forms.membrane_under_disc(60e-6, 1e-3, 100, 0.004) == pytest.approx(66.667, abs=1e-3)


def test_flat_punch() -> None:
    # 230.863 N; its inputs are not printed beside it: these, those of the disc with the pad's radius, give it
    assert forms.flat_punch(60e-6, 300, 177.5, 20) == pytest.approx(230.863, abs=1e-3)


@pytest.mark.parametrize("tension", [30.0, 300.0, 3000.0])
def test_flat_punch_against_a_radial_sum(tension: float) -> None:
    # finite differences outside the punch, second order: T (w'' + w'/r) = k w, w = d at R, nothing far away
    k, radius, depth, T = 60e-6, 177.5, 20.0, tension / 1000
    step = forms.reach(k, tension) / 200
    r = radius + step * np.arange(6001)
    lower, upper = T / step**2 - T / (2 * step * r), T / step**2 + T / (2 * step * r)
    w = np.zeros_like(r)
    w[0] = depth
    # Thomas' elimination
    middle = np.full_like(r, -2 * T / step**2 - k)
    right = np.zeros_like(r)
    right[1] = -lower[1] * depth
    for i in range(2, len(r) - 1):
        factor = lower[i] / middle[i - 1]
        middle[i] -= factor * upper[i - 1]
        right[i] -= factor * right[i - 1]
    for i in range(len(r) - 2, 0, -1):
        w[i] = (right[i] - upper[i] * w[i + 1]) / middle[i]
    outside = np.trapezoid(k * w * 2 * math.pi * r, r)
    assert forms.flat_punch(k, tension, radius, depth) == pytest.approx(
        math.pi * radius**2 * k * depth + outside, rel=1e-4
    )


def test_beam_on_columns() -> None:
    # EI 12 N m2, 5000 N/m2, 100 N: 3.194716 /m, w0 31.947, M0 7.8254 N m, first zero 737.5, w(1/lambda) 16.240
    beam = forms.Beam(12e6, 5000e-6)
    assert beam.decay * 1000 == pytest.approx(3.194716, abs=1e-6)
    assert beam.deflection(100) == pytest.approx(31.947, abs=1e-3)
    assert beam.moment(100) / 1000 == pytest.approx(7.8254, abs=1e-4)
    assert beam.deflection(100, 737.5) == pytest.approx(0, abs=1e-3)
    assert beam.deflection(100, 1 / beam.decay) == pytest.approx(16.240, abs=1e-3)
    assert beam.end_deflection(100) == pytest.approx(127.79, abs=0.01)


def test_strip_and_plate() -> None:
    # strip: T 300 N/m, 5000 N/m2, 100 N for 1 m: 40.825 mm; plate: D 5 N m, 60 kPa/m, 100 N: 22.822, at l 14.383
    assert forms.strip_under_line(5e-6, 300, 0.1) == pytest.approx(40.825, abs=1e-3)
    assert forms.plate_under_point(60e-6, 5000, 100) == pytest.approx(22.822, abs=1e-3)
    length = (5000 / 60e-6) ** 0.25
    assert forms.plate_under_point(60e-6, 5000, 100, length) == pytest.approx(14.383, abs=1e-3)


def test_columns_in_series() -> None:
    assert forms.series(400, 4000 / 3, 60) == pytest.approx(50.209, abs=1e-3)


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.nan, math.inf])
def test_what_must_be_positive(wrong: float) -> None:
    for asked in (
        lambda: forms.sphere_on_columns(wrong, 150, 10),
        lambda: forms.flat_punch(60e-6, wrong, 177.5, 20),
        lambda: forms.membrane_under_disc(60e-6, 300, wrong, 0.004),
        lambda: forms.Beam(wrong, 1.0).decay,
        lambda: forms.series(1.0, wrong),
    ):
        with pytest.raises(OutsideRange, match="positive and finite"):
            asked()
    with pytest.raises(OutsideRange, match="past its widest"):
        forms.sphere_on_columns(1e-6, 100, 101)
