"""Refusals of film, thread and quilt cut, each with what would do."""

import math

import pytest

from bedwright.bill.film import bag_area, film_mass_per_area, pack_ratio, roll_film_area
from bedwright.bill.quilt_cut import contraction_measured, cut_for_quilting
from bedwright.bill.thread import thread_length, thread_per_seam
from bedwright.errors import NotKnown, OutsideRange


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (lambda: film_mass_per_area(0), "micron 0"),
        (lambda: bag_area(1500, 2000, -280), "height -280"),
        (lambda: bag_area(1500, 2000, 280, -1), "overlap -1"),
        (lambda: pack_ratio((1, 1, 1), (1, 1, 0)), "side_6 0"),
        (lambda: thread_per_seam(999, thickness=0.5, stitches=3), "class 999 is none of 101"),
        (lambda: thread_per_seam(504, thickness=0.5, stitches=3), "give its width"),
        (lambda: thread_per_seam(301, thickness=0.5, stitches=0), "stitches 0"),
        (lambda: thread_length(1, 2.5, 12), "12 % is 0.12"),
        (lambda: cut_for_quilting(1500, 2.5), "2.5 % is 0.025"),
        (lambda: contraction_measured(1000, 1010), "does not stretch"),
    ],
)
def test_refusals(wrong, says: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(OutsideRange, match=says):
        wrong()


def test_an_unmeasured_contraction_says_how_to_measure() -> None:
    with pytest.raises(NotKnown, match="Mark 1000 mm lengthwise"):
        cut_for_quilting(1500, None)


def test_film_round_a_roll() -> None:
    assert roll_film_area(1000 / math.pi, 1500, 2) == pytest.approx(3.0)
