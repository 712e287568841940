import dataclasses

import pytest

from bedwright.mechanics.coil_rate import free_end_rate, plain_rate, rate, rate_interval
from bedwright.mechanics.coil_shape import CoilShape

PARABOLA = CoilShape("hourglass-parabolic", 75, 5, 130, 2.2, 45)


def test_free_ends_are_softer_than_held_ones() -> None:
    for profile, end, middle in (("cylinder", 60, None), ("cone", 75, 45), ("barrel", 50, 75)):
        shape = CoilShape(profile, end, 5, 130, 2.2, middle)
        assert free_end_rate(shape) < rate(shape)


def test_many_flat_turns_of_a_large_index_meet_the_plain_rate() -> None:
    # pitch, tilt and curvature all fade: C 250, 20 turns, pitch angle 0.3 degrees
    assert rate(CoilShape("cylinder", 250, 20, 80, 1.0)) == pytest.approx(
        plain_rate(CoilShape("cylinder", 250, 20, 80, 1.0)), rel=1e-3
    )


def test_a_coil_turned_upside_down_has_the_same_rate() -> None:
    up = CoilShape("table", 60, 4.5, 130, 2.0, diameters=(45, 60, 75))
    down = CoilShape("table", 60, 4.5, 130, 2.0, diameters=(75, 60, 45))
    assert rate(up) == pytest.approx(rate(down), rel=1e-9)


def test_a_table_of_two_diameters_is_a_cone() -> None:
    table = CoilShape("table", 60, 5, 130, 2.2, diameters=(75, 45))
    assert rate(table) == pytest.approx(rate(CoilShape("cone", 75, 5, 130, 2.2, 45)), rel=1e-9)


def test_small_index_gains_from_curvature() -> None:
    # finite elements: 14.5642 N/mm where straight-bar strains alone give 14.280 (book fe-coils, C = 6)
    assert rate(CoilShape("cylinder", 12, 6.5, 30, 2.0)) == pytest.approx(14.5642, rel=0.001)


def test_interval_by_hand() -> None:
    found = rate_interval(PARABOLA)
    assert found.low < found.rate < found.high
    assert found.wire_tolerance == 0.025
    assert found.from_wire / found.rate == pytest.approx(4 * 0.025 / 2.2, rel=0.01)
    assert found.from_turns / found.rate == pytest.approx(0.25 / 5, rel=0.01)
    assert found.from_diameter / found.rate == pytest.approx(0.03, rel=0.01)
    squares = found.from_wire**2 + found.from_turns**2 + found.from_diameter**2
    assert ((found.high - found.low) / 2) ** 2 == pytest.approx(squares)


def test_rate_follows_the_steel() -> None:
    softer = dataclasses.replace(PARABOLA, youngs_modulus=103_000, shear_modulus=40_750)
    assert rate(softer) == pytest.approx(rate(PARABOLA) / 2, rel=1e-9)
