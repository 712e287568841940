"""Code 128: read back by a decoder that is not ours; the fewest symbols."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import NotUnderstood
from bedwright.papers.drawings.code128 import code128, modules, symbols


def picture(text: str) -> np.ndarray:
    """The bars as pixels, three a module, quiet zones of ten modules."""
    line: list[int] = [255] * 30
    for place, width in enumerate(modules(text)):
        line += [0 if place % 2 == 0 else 255] * (3 * int(width))
    return np.tile(np.array([*line, *[255] * 30], dtype=np.uint8), (60, 1))


def decoded(text: str) -> str:
    found = zxingcpp.read_barcodes(picture(text))
    assert len(found) == 1
    assert "128" in str(found[0].format)
    return found[0].text


class TestReadBack:
    TEXTS: ClassVar = [
        "WQ5TGSTGB5-1",
        "W0123456789",
        "0123456789",
        "12345",
        "A1",
        "abc123456XYZ",
        "Bed 150 x 200!",
        "7",
    ]

    @pytest.mark.parametrize("text", TEXTS)
    def test_text_comes_back(self, text: str) -> None:
        assert decoded(text) == text

    def test_control_signs_come_back(self) -> None:
        found = zxingcpp.read_barcodes(picture("AB\tC"))
        assert found[0].bytes == b"AB\tC"

    @settings(max_examples=60, deadline=None)
    @given(st.text(st.characters(min_codepoint=32, max_codepoint=126), min_size=1, max_size=30))
    def test_any_ascii_comes_back(self, text: str) -> None:
        assert zxingcpp.read_barcodes(picture(text))[0].bytes == text.encode()


class TestSymbols:
    def test_check_symbol_is_the_weighted_sum(self) -> None:
        """derived: start B; 104 + 1 x 48 + 2 x 42 + 3 x 42 + 4 x 17 + 5 x 18 + 6 x 19 + 7 x 35 = 879, and that
        mod 103 is 55."""
        assert symbols("PJJ123C") == (104, 48, 42, 42, 17, 18, 19, 35, 55, 106)

    def test_digits_go_two_to_a_symbol(self) -> None:
        assert symbols("123456") == (105, 12, 34, 56, (105 + 12 + 2 * 34 + 3 * 56) % 103, 106)

    @pytest.mark.parametrize(
        ("text", "most"),
        [("AB1234567", 10), ("1234AB", 8), ("12345", 7), ("X12", 6)],
    )
    def test_no_more_symbols_than_need_be(self, text: str, most: int) -> None:
        """Start, data with switches, check, stop, counted by hand: AB in B, 1 in B, switch, 23 45 67 in C."""
        assert len(symbols(text)) <= most

    @settings(max_examples=40, deadline=None)
    @given(st.text("ABa1290 ", min_size=1, max_size=8))
    def test_never_longer_than_plain_set_b(self, text: str) -> None:
        assert len(symbols(text)) <= len(text) + 3

    def test_foreign_sign_is_refused_by_name(self) -> None:
        with pytest.raises(NotUnderstood, match=r"xe9.*plain ASCII"):
            symbols("caf\u00e9")

    @pytest.mark.parametrize("text", ["", "X" * 49])
    def test_empty_and_overlong_are_refused(self, text: str) -> None:
        with pytest.raises(NotUnderstood, match="1 to 48"):
            symbols(text)


def test_svg_has_its_size() -> None:
    svg = code128("W1", 70.0, 12.0)
    assert 'width="70mm" height="12mm" viewBox="0 0 70 12"' in svg
