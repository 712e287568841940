"""Lengths of crowns against quadrature of their own curves, and the membrane against its own balance (derived)."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from bedwright.errors import OutsideRange
from bedwright.mechanics import crown

chords, heights = st.floats(300, 2400), st.floats(0, 150)
tensions, foundations = st.floats(1, 2000), st.floats(5, 120)


@given(chord=chords, height=heights)
def test_parabola_is_its_own_integral(chord: float, height: float) -> None:
    found = quad(lambda x: math.hypot(1, 8 * height * x / chord**2), -chord / 2, chord / 2, epsabs=1e-10)[0]
    assert crown.parabola_arc(chord, height) == pytest.approx(found, rel=1e-11)


def test_circle_of_known_angles() -> None:
    # half a circle of radius 500; a sixth of one of radius 1000: chord 1000, height 1000 (1 - cos 30)
    assert crown.circle_arc(1000, 500) == pytest.approx(math.pi * 500)
    assert crown.circle_arc(1000, 1000 * (1 - math.cos(math.pi / 6))) == pytest.approx(1000 * math.pi / 3)


@given(chord=chords, height=heights)
def test_a_way_is_never_shorter_than_straight(chord: float, height: float) -> None:
    straight = 2 * math.hypot(chord / 2, height)
    for arc in (crown.parabola_arc, crown.circle_arc):
        assert arc(chord, height) >= straight * (1 - 1e-12)
    assert crown.parabola_arc(chord, height) == pytest.approx(crown.circle_arc(chord, height), rel=0.1)


def test_flat_crowns_are_alike() -> None:
    # both go to c + 8 h^2/(3 c) (series, derived)
    for arc in (crown.parabola_arc, crown.circle_arc):
        assert arc(1500, 20) - 1500 == pytest.approx(8 * 20**2 / (3 * 1500), rel=2e-3)
        assert arc(1500, 0) == 1500


@given(chord=chords, height=st.floats(1, 150), tension=st.floats(20, 2000), foundation=foundations)
def test_the_membrane_is_in_balance(chord: float, height: float, tension: float, foundation: float) -> None:
    # T u'' = k (u - h), by differences over a hundredth of a reach
    reach = crown.reach_of(tension, foundation)
    step, x = reach / 100, np.linspace(-0.95, 0.95, 9) * chord / 2
    low, here, high = (crown.strip_crown(x + by, chord, height, tension, foundation) for by in (-step, 0, step))
    bent = (low - 2 * here + high) / step**2 * reach**2
    assert bent == pytest.approx(here - height, abs=2e-4 * height)
    rim = crown.strip_crown(np.array([-chord / 2, chord / 2]), chord, height, tension, foundation)
    assert rim == pytest.approx(0, abs=1e-9 * height)


@given(chord=chords, height=heights, tension=tensions, foundation=foundations)
def test_membrane_arc_is_its_own_integral(chord: float, height: float, tension: float, foundation: float) -> None:
    reach, half = crown.reach_of(tension, foundation), chord / 2

    def longer(t: float) -> float:
        ratio = math.exp(-t) * (1 - math.exp(2 * (t - half / reach))) / (1 + math.exp(-2 * half / reach))
        return reach * (math.hypot(1, height / reach * ratio) - 1)

    last = min(half / reach, 40.0)
    found = quad(longer, 0, last, points=[last / 20], epsabs=1e-10, limit=200)[0]
    assert crown.membrane_arc(chord, height, tension, foundation) == pytest.approx(chord + 2 * found, rel=1e-10)


def test_a_wide_bed_in_closed_form() -> None:
    for tension in (1, 10, 30):
        closed = crown.wide_membrane_arc(1500, 30, tension, 30)
        assert crown.membrane_arc(1500, 30, tension, 30) == pytest.approx(closed, rel=1e-12)
    assert crown.membrane_arc(1500, 30, 100, 30) == pytest.approx(crown.wide_membrane_arc(1500, 30, 100, 30), rel=1e-9)


def test_no_tension_goes_straight_up_at_the_rims() -> None:
    assert crown.membrane_arc(1500, 30, 0, 30) == 1560
    assert crown.strip_crown(np.array([0.0, 749.0, 750.0]), 1500, 30, 0, 30).tolist() == [30, 30, 0]
    assert crown.Overheight(30, 30).middle(1500, 0) == 30


@given(chord=chords, height=heights, tension=tensions, foundation=foundations)
def test_more_tension_shortens_the_way(chord: float, height: float, tension: float, foundation: float) -> None:
    arcs = [crown.membrane_arc(chord, height, by * tension, foundation) for by in (0.5, 1, 2)]
    assert chord * (1 - 1e-12) <= arcs[2] <= arcs[1] + 1e-9 <= arcs[0] + 2e-9 <= chord + 2 * height + 3e-9


def test_a_rim_holds_what_a_line_load_does() -> None:
    # strip in tension, derived check of the field's books: T 300 N/m, k 5 kPa/m, 100 N/m sinks 40.825 mm, reach 244.9;
    # a rim that holds fillings 40.825 mm down takes half of such a line on its one side
    assert crown.reach_of(300, 5) == pytest.approx(244.9, abs=0.05)
    assert crown.rim_hold(1e5, 40.825, 300, 5) * 2 == pytest.approx(100, rel=1e-3)
    assert crown.rim_hold(1500, 30, 0, 5) == 0


def test_bad_sizes() -> None:
    with pytest.raises(OutsideRange, match="over a width above 0"):
        crown.parabola_arc(0, 10)
    with pytest.raises(OutsideRange, match="has no reach"):
        crown.reach_of(-1, 30)
