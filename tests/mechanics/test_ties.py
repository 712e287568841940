"""Ties pull only."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.errors import FaultsFound, NotKnown, OutsideRange
from bedwright.mechanics.ties import (
    RimSupport,
    Tie,
    cord_stiffness,
    rim_support,
    side_stitch,
    tie_under_pull,
)

ways = st.lists(st.floats(-200, 400), min_size=2, max_size=10).map(lambda values: np.sort(np.array(values)))


@given(length=st.floats(-50, 300), stiffness=st.floats(1e-3, 1e3), distance=ways)
def test_a_tie_pulls_and_never_pushes(length: float, stiffness: float, distance: np.ndarray) -> None:
    tie = Tie(length, stiffness)
    pull = tie.pull(distance)
    assert np.all(pull >= 0) and np.all(np.diff(pull) >= 0)
    assert np.all(pull[distance <= length] == 0) and np.all(tie.slope(distance)[distance <= length] == 0)


def test_energy_is_the_work_of_the_pull() -> None:
    tie = Tie(200.0, 3.0)
    d = np.linspace(150, 260, 11_001)
    assert np.trapezoid(tie.pull(d), d) == pytest.approx(tie.energy(d)[-1], rel=1e-6)
    assert tie.pull(np.array([210.0])) == pytest.approx(30)
    assert tie.slope(np.array([210.0])) == pytest.approx(3)


def test_a_tie_under_pull_goes_slack() -> None:
    tie = tie_under_pull(40.0, 180.0, 8.0)
    assert tie.pull(np.array([170.0, 175.0, 180.0, 181.0])) == pytest.approx([0, 0, 40, 48])
    with pytest.raises(FaultsFound, match="give 0 or more"):
        tie_under_pull(-1.0, 180.0, 8.0)


def test_cords_and_faults() -> None:
    assert cord_stiffness(20_000, 250) == 80
    with pytest.raises(OutsideRange, match="give both above 0"):
        cord_stiffness(0, 250)
    with pytest.raises(FaultsFound) as caught:
        Tie(float("nan"), 0.0)
    assert [fault.field for fault in caught.value.faults] == ["length", "stiffness"]


@given(standing=st.floats(0, 10), wall=st.floats(0, 500), slack=st.floats(0, 20), down=ways)
def test_a_rim_is_never_helped_down(standing: float, wall: float, slack: float, down: np.ndarray) -> None:
    rim = RimSupport(standing, wall, slack)
    force = rim.force(down)
    assert np.all(np.diff(force) >= 0)
    assert np.all(force[down >= 0] >= 0) and np.all(force[down <= 0] <= 0)
    assert np.all(rim.slope(down) >= 0)


def test_border_from_its_cards() -> None:
    rim = rim_support(0.8, 20_000, 250, stitched=True, slack=2.0)
    assert rim.force(np.array([10.0, 0.0, -1.0, -3.0])) == pytest.approx([8, 0, 0, -80])
    assert rim_support(None, 20_000, 250, stitched=False).standing == 0  # plain cloth folds
    with pytest.raises(NotKnown, match="cut a metre of finished border"):
        rim_support(None, 20_000, 250, stitched=True)
    with pytest.raises(OutsideRange, match="give 0 or more of each"):
        rim_support(-1.0, 20_000, 250, stitched=True)


def test_side_stitch_ties_border_to_coils() -> None:
    tie = side_stitch(3, 2.0, pull=12.0)
    # 12 N/m at rest, 6 N/mm per m more as they come apart, slack 2 mm the other way
    assert tie.pull(np.array([-3.0, -2.0, 0.0, 5.0])) == pytest.approx([0, 0, 12, 42])
    with pytest.raises(FaultsFound, match="give 1 or more"):
        side_stitch(0, 2.0)
