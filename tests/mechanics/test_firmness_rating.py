"""The rating is off until a formula is typed; then it is that formula and nothing else. The table here is made up."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.errors import FaultsFound, OutsideRange
from bedwright.mechanics.firmness_rating import OFF, Term, firmness_rating, work_to

DEPTH = np.linspace(0, 100, 401)
FORCE = 6.0 * DEPTH  # a bed of 6 N/mm
MADE_UP = (Term(9.0), Term(-0.5, power_of_hardness=1.0), Term(0.1, 1.0, -0.5))


def test_off_until_filled() -> None:
    rating = firmness_rating((), 6.0, DEPTH, FORCE)
    assert (rating.value, rating.note) == (None, OFF)
    assert "types" in OFF and "none is invented" in OFF


def test_worked_with_a_made_up_table() -> None:
    # work to 450 N: 450^2 / (2 x 6) = 16,875 N mm = 16.875 J; 9 - 3 + 0.6 / sqrt(16.875)
    assert work_to(DEPTH, FORCE) == pytest.approx(16.875, rel=1e-9)
    rating = firmness_rating(MADE_UP, 6.0, DEPTH, FORCE, which="secant")
    assert rating.value == pytest.approx(6 + 0.6 / 16.875**0.5)
    assert (rating.work, rating.which, rating.hardness) == (pytest.approx(16.875), "secant", 6.0)
    assert "H secant" in rating.note and "no measure of comfort" in rating.note


@pytest.mark.parametrize(("constant", "shown"), [(14.0, 10.0), (-2.0, 1.0)])
def test_clipped_and_said(constant: float, shown: float) -> None:
    rating = firmness_rating((Term(constant),), 6.0, DEPTH, FORCE)
    assert (rating.value, rating.unclipped) == (shown, constant)
    assert f"the formula gave {constant:.3g}, outside the scale: shown as {shown:g}" in rating.note


@given(a=st.floats(-20, 20), h=st.floats(0.5, 20), p=st.floats(-3, 3), w=st.floats(-3, 3))
def test_always_on_the_scale(a: float, h: float, p: float, w: float) -> None:
    rating = firmness_rating((Term(a, p, w),), h, DEPTH, FORCE)
    assert rating.value is not None and 1 <= rating.value <= 10


@given(power=st.floats(1.05, 2.5), scale=st.floats(0.3, 3))
def test_work_of_a_power_curve(power: float, scale: float) -> None:
    # F = c x^p: work to F1 is F1 x1 / (p + 1)
    depth = np.linspace(0, 1, 4001) ** 0.7 * (500 / scale) ** (1 / power)
    reach = (450 / scale) ** (1 / power)
    assert work_to(depth, scale * depth**power) == pytest.approx(450 * reach / (power + 1) / 1000, rel=1e-3)


def test_faults_of_rows_all_at_once() -> None:
    with pytest.raises(FaultsFound) as caught:
        firmness_rating((Term(float("nan")), Term(1.0, 99.0)), 6.0, DEPTH, FORCE)
    assert [fault.field for fault in caught.value.faults] == ["coefficient", "power_of_hardness"]
    assert "of row 2" in str(caught.value)


def test_a_curve_that_does_not_do() -> None:
    with pytest.raises(OutsideRange, match="ends at 60 N, and the work needs 450 N"):
        work_to(DEPTH[:41], FORCE[:41])
    with pytest.raises(OutsideRange, match="does not rise"):
        work_to(DEPTH, FORCE[::-1])
    with pytest.raises(OutsideRange, match="as many of each"):
        work_to(DEPTH, FORCE[:10])
    with pytest.raises(OutsideRange, match="no rating"):
        firmness_rating(MADE_UP, 0.0, DEPTH, FORCE)
