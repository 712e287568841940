"""A quilted ply starts with the step its threads hold, never falls, and threads never push."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.errors import FaultsFound
from bedwright.mechanics.quilted_ply import quilted_ply

E = np.linspace(0, 0.9, 181)
P = 1.6 * (1 - np.exp(-12 * E / 1.6)) + 0.5 * (E / (1 - E)) ** 3  # a soft foam, made up


def test_the_step_by_hand() -> None:
    ply = quilted_ply(E, 10 * E, 30.0, 24.0, thread_way=0.0)
    # 1 - 24/30 = 0.2 held; 2 kPa; half of the quilted 24 mm is 12 mm: 0.2 + 12/30 = 0.6 of the free ply
    assert (ply.held, ply.step) == (pytest.approx(0.2), pytest.approx(2.0))
    assert ply.stress[0] == pytest.approx(2.0)
    assert ply.stresses(np.array([0.5])) == pytest.approx(6.0)
    assert ply.compression[-1] == pytest.approx((0.9 - 0.2) * 30 / 24)


def test_not_held_it_is_the_free_law() -> None:
    ply = quilted_ply(E, P, 30.0, 30.0)
    assert ply.step == 0
    assert ply.stresses(E) == pytest.approx(P, rel=1e-9)


def test_a_thread_that_gives_ends_on_the_sharp_law() -> None:
    soft, sharp = (quilted_ply(E, P, 30.0, 24.0, thread_way=way) for way in (0.4, 0.0))
    assert soft.stress[0] == 0 and soft.thread[0] == pytest.approx(soft.step)
    late = np.linspace(8 * 0.4 / 24, 0.7, 20)
    assert soft.stresses(late) == pytest.approx(sharp.stresses(late), rel=2e-3)


@given(
    free=st.floats(5, 80),
    share=st.floats(0.15, 1),
    way=st.floats(0, 3),
    stresses=st.lists(st.floats(0, 20), min_size=3, max_size=8),
)
def test_never_falls_and_threads_never_push(free: float, share: float, way: float, stresses: list[float]) -> None:
    e = np.linspace(0, 0.9, len(stresses) + 1)
    p = np.concatenate([[0.0], np.cumsum(stresses)])
    ply = quilted_ply(e, p, free, free * share, thread_way=way)
    assert np.all(np.diff(ply.compression) > 0) and np.all(np.diff(ply.stress) >= 0)
    assert np.all(ply.thread >= 0) and np.all(ply.thread <= ply.step)
    assert np.all(ply.stress >= 0)
    # filling = outside + threads, at every point
    filling = np.interp(ply.held + ply.compression * share, e, p)
    if way > 1e-6 * free:  # else the step is sharp: its first point has it all
        assert ply.stress + ply.thread == pytest.approx(filling, abs=1e-9 * (1 + p[-1]))


def test_quilting_stiffens_the_start() -> None:
    """Tighter quilting never lowers the stress at the same way down."""
    ways = np.linspace(0.5, 10, 20)
    found = [quilted_ply(E, P, 30.0, t1).stresses(ways / t1) for t1 in (30.0, 26.0, 22.0)]
    assert np.all(found[1] >= found[0]) and np.all(found[2] >= found[1])


def test_faults_all_at_once() -> None:
    with pytest.raises(FaultsFound) as caught:
        quilted_ply(E, -P, 30.0, 33.0, thread_way=-1.0)
    assert [fault.field for fault in caught.value.faults] == ["stress", "quilted_thickness", "thread_way"]
    with pytest.raises(FaultsFound, match="presses the ply beyond its law"):
        quilted_ply(E, P, 30.0, 2.0)
