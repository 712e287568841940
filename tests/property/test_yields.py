"""Whatever is started by the serial sum yields at least what was asked, and one piece fewer would not do."""

import math
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.cost.yields import serial_yield


@settings(max_examples=150)
@given(st.integers(1, 5000), st.lists(st.integers(1, 1000), min_size=1, max_size=5))
def test_enough_and_not_one_too_many(good: int, per_mille: list[int]) -> None:
    result = serial_yield(good, [p / 1000 for p in per_mille])
    wanted = [*result.pieces_in[1:], good]
    for pieces, out, p in zip(result.pieces_in, wanted, per_mille, strict=True):
        assert math.floor(pieces * Fraction(p, 1000)) >= out
        assert (pieces - 1) * Fraction(p, 1000) < out
    assert result.pieces_in[0] >= result.start * (1 - 1e-12)
