"""Thread by stitch class. Book: thread-formulas (published examples); mattress sizes derived."""

import pytest

from bedwright.bill.thread import MEASURED_401, STITCHES, thread_length, thread_per_seam


def test_published_examples() -> None:
    assert thread_per_seam(101, thickness=0.005, stitches=9).per_seam == pytest.approx(3.09, abs=1e-12)
    assert thread_per_seam(301, thickness=0.01, stitches=10).per_seam == pytest.approx(2.2, abs=1e-12)


def test_measured_chain_stitch() -> None:
    # 100 cm of 401: 1.3 needle and 4.1 looper, then 15 % waste
    assert thread_length(100, sum(MEASURED_401), 0) == pytest.approx(540, abs=1e-9)
    assert thread_length(100, sum(MEASURED_401), 0.15) == pytest.approx(621, abs=1e-9)


def test_through_a_mattress_edge() -> None:
    # derived: 8 mm of plies, 2 stitches a cm
    assert thread_per_seam(301, thickness=0.8, stitches=2).per_seam == pytest.approx(5.2)
    assert thread_per_seam(401, thickness=0.8, stitches=2).per_seam == pytest.approx(7.2)


@pytest.mark.parametrize(
    ("number", "by_hand"),
    [
        # T 0.5 cm, W 0.6 cm, S 3 a cm
        (406, 7 + 6 * 1.1),
        (504, 12 * 1.1 + 5),
        (514, 5 + 6 * (1.5 + 1.2)),
        (516, 9 + 6 * (1.2 + 1.5)),
        (602, 8 + 3 * (3.0 + 2.0)),
        (605, 10 + 6 * (1.2 + 1.5)),
        (607, 12 + 12 * (0.6 + 1.0)),
    ],
)
def test_the_other_formulas_as_printed(number: int, by_hand: float) -> None:
    assert thread_per_seam(number, thickness=0.5, stitches=3, width=0.6).per_seam == pytest.approx(by_hand)


def test_both_published_conflicts_are_named() -> None:
    assert [number for number, stitch in STITCHES.items() if stitch.rival] == [401, 504]
    overlock = thread_per_seam(504, thickness=0.5, stitches=3, width=0.6)
    assert overlock.rival == pytest.approx(overlock.per_seam - 2)
    assert "3 where this formula has 5" in overlock.rival_says
    assert thread_per_seam(401, thickness=0.8, stitches=2).rival == pytest.approx(5.4)
