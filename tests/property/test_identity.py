"""Canonical bytes are a fixed point, and any one wrong digit of a GS1 number is caught."""

import json

from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.identity import canonical, fold, gs1_check_digit

plain = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**60), 2**60)
    | st.floats(allow_nan=False, allow_infinity=False)
    # lone surrogates have no UTF-8 form
    | st.text(st.characters(exclude_categories=["Cs"]), max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text(st.characters(exclude_categories=["Cs"]), max_size=5), inner, max_size=4)
    ),
    max_leaves=12,
)


@settings(max_examples=200)
@given(plain)
def test_reading_and_writing_again_changes_nothing(data: object) -> None:
    once = canonical(data)
    assert canonical(json.loads(once)) == once


@settings(max_examples=100)
@given(st.text(max_size=24))
def test_folding_is_done_once(code: str) -> None:
    assert fold(fold(code)) == fold(code)


@settings(max_examples=200)
@given(st.text("0123456789", min_size=2, max_size=17), st.data())
def test_one_wrong_digit_is_caught(digits: str, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(digits) - 1))
    other = data.draw(st.sampled_from([d for d in "0123456789" if d != digits[place]]))
    wrong = digits[:place] + other + digits[place + 1 :]
    assert gs1_check_digit(wrong) != gs1_check_digit(digits)
