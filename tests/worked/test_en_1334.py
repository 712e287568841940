"""Label size against measured size. Books: en-1334; en-16890 only as a refusal, infants being out of scope."""

import pytest

from bedwright.errors import OutsideRange
from bedwright.marks.sizes import cot_size_reading, size_reading


@pytest.mark.parametrize(
    ("measured", "within"), [(1481, True), (1480, True), (1479, False), (1520, True), (1521, False)]
)
def test_length_and_width(measured: float, within: bool) -> None:
    assert size_reading(1500, [measured]).within is within


def test_the_mean_of_several_places_counts() -> None:
    reading = size_reading(1500, [1475, 1485, 1490])
    assert (reading.measured, reading.within, reading.spread) == (pytest.approx(1483.333, abs=1e-3), True, 15)


@pytest.mark.parametrize("measured", [1199, 1225, 1226])
def test_a_cot_mattress_is_refused_whatever_it_measures(measured: float) -> None:
    with pytest.raises(OutsideRange, match=r"infants are out of scope.*\+25/-0 mm"):
        cot_size_reading(1200, measured)
