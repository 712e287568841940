"""Coils that are no cylinders (book `conical-springs`): closed forms of the rate, and the capped integral.

Rates: D1, D2 end diameters; a double cone has the rate of a cone; the parabola by integrating D^3. All at d 2.2 mm,
5 live turns, 130 mm between wire centres, D 75 and 45 mm, G 81 500 MPa, so h = 26 mm.
"""

import math

import pytest

from bedwright.mechanics.coil_force import capped_force
from bedwright.mechanics.coil_rate import plain_rate
from bedwright.mechanics.coil_shape import CoilShape, mass, wire_length
from bedwright.mechanics.coil_stress import fabric_force, flat_stress, plain_stress, surge

G, D_LARGE, D_SMALL, WIRE, TURNS, HEIGHT = 81_500, 75.0, 45.0, 2.2, 5.0, 130.0


def coil(profile: str) -> CoilShape:
    return CoilShape(profile, D_LARGE, TURNS, HEIGHT, WIRE, D_SMALL)


def test_rates() -> None:
    cone = G * WIRE**4 / (2 * TURNS * (D_SMALL + D_LARGE) * (D_SMALL**2 + D_LARGE**2))
    assert plain_rate(coil("cone")) == pytest.approx(cone, rel=1e-10)
    assert plain_rate(coil("cone")) == pytest.approx(0.207972, abs=1e-5)
    assert plain_rate(coil("hourglass-straight")) == pytest.approx(0.207972, abs=1e-5)
    assert plain_rate(coil("hourglass-parabolic")) == pytest.approx(0.265117, abs=1e-5)
    barrel = CoilShape("barrel", D_SMALL, TURNS, HEIGHT, WIRE, D_LARGE)
    assert plain_rate(barrel) == pytest.approx(0.207972, abs=1e-5)


def test_parabola_by_its_polynomial() -> None:
    A = D_LARGE - D_SMALL
    mean = D_SMALL**3 + D_SMALL**2 * A + 3 * D_SMALL * A**2 / 5 + A**3 / 7
    assert plain_rate(coil("hourglass-parabolic")) == pytest.approx(G * WIRE**4 / (8 * TURNS * mean), rel=1e-10)


def test_stress_is_the_same_in_radii() -> None:
    # designerdata.nl prints 16 F r1 / (pi d^3)
    assert plain_stress(10, D_LARGE, WIRE) == pytest.approx(16 * 10 * (D_LARGE / 2) / (math.pi * WIRE**3))


def test_cone_closes_from_its_large_end() -> None:
    cone = coil("cone")
    transition, all_flat = 14.7078, 68.092  # N
    h = HEIGHT / TURNS
    assert G * WIRE**4 * h / (8 * D_LARGE**3) == pytest.approx(transition, abs=1e-3)
    assert capped_force(cone, 70.72) == pytest.approx(transition, abs=1e-3)
    assert capped_force(cone, HEIGHT - 1e-6) == pytest.approx(all_flat, abs=0.02)  # vertical there
    for s, F in ((40, 8.3189), (70, 14.5581), (80, 16.8532), (90, 19.7761), (100, 23.6454), (110, 29.0970)):
        assert capped_force(cone, s) == pytest.approx(F, abs=1e-3)


def test_cone_by_its_closed_form() -> None:
    F, h = 30.0, HEIGHT / TURNS
    closing = (G * WIRE**4 * h / (8 * F)) ** (1 / 3)
    free = TURNS * (closing - D_SMALL) / (D_LARGE - D_SMALL)
    s = h * (TURNS - free) + 2 * F * TURNS * (closing**4 - D_SMALL**4) / (G * WIRE**4 * (D_LARGE - D_SMALL))
    assert capped_force(coil("cone"), s) == pytest.approx(F, rel=1e-3)  # stations, not a formula, find the closing coil


def test_hourglass_closes_from_both_ends() -> None:
    for s, F in ((40, 10.6047), (70, 19.0983), (80, 22.8621), (90, 27.4046), (110, 39.9732), (120, 49.3987)):
        assert capped_force(coil("hourglass-parabolic"), s) == pytest.approx(F, abs=2e-3)


def test_flat_coil_stress() -> None:
    assert flat_stress(coil("cone"), 45) == pytest.approx(732.8, abs=0.1)
    assert flat_stress(coil("cone"), 75) == pytest.approx(263.8, abs=0.1)


def test_wire_and_mass() -> None:
    # geometry, rho 7.85
    parabola = coil("hourglass-parabolic")
    assert (wire_length(parabola), mass(parabola)) == pytest.approx((874.51, 26.096), abs=0.01)
    double = coil("hourglass-straight")
    assert (wire_length(double), mass(double)) == pytest.approx((952.07, 28.410), abs=0.01)
    assert (wire_length(coil("cone")), mass(coil("cone"))) == pytest.approx((951.71, 28.399), abs=0.01)


POCKET = CoilShape("cylinder", 60, 6, 200, 1.9)


def test_pocket_coil() -> None:
    assert (wire_length(POCKET), mass(POCKET)) == pytest.approx((1148.52, 25.563), abs=0.01)
    assert plain_rate(POCKET) == pytest.approx(0.10244, rel=0.001)
    # the short form d/(2 pi n D^2) sqrt(G/(2 rho)) gives 31.90, with true wire 31.65; finite elements 32.09
    assert surge(POCKET) == pytest.approx(31.65, abs=0.01)
    assert surge(POCKET) == pytest.approx(32.09, rel=0.015)


def test_pocket_holds_its_coil_down() -> None:
    k = plain_rate(CoilShape("cylinder", 60, 5, 200, 1.9))
    assert k == pytest.approx(0.12293, abs=1e-5)
    assert fabric_force(k, 200, 160) == pytest.approx(4.917, abs=1e-3)
    for d, rate, held in ((1.4, 0.03624, 1.449), (1.6, 0.06182, 2.473), (2.0, 0.15093, 6.037), (2.2, 0.22097, 8.839)):
        found = plain_rate(CoilShape("cylinder", 60, 5, 200, d))
        assert found == pytest.approx(rate, abs=1e-5)
        assert fabric_force(found, 200, 160) == pytest.approx(held, abs=1e-3)
