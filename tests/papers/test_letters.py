"""The font's own tables, against another reader of fonts; what is not there is written out."""

from __future__ import annotations

import pytest
from PIL import ImageFont

from bedwright.papers.letters import font_folder, letters, printable, wrapped


@pytest.mark.parametrize("text", ["Whimbrel", "0123456789", "150 × 200 cm", "Öäü ß é ½ ±"])
def test_width_as_another_reader_has_it(text: str) -> None:
    """Pillow reads the same file; kerning off, so that only the advances are compared."""
    font = ImageFont.truetype(str(font_folder() / "WorkSans[wght].ttf"), 1000, layout_engine=ImageFont.Layout.BASIC)
    # loose by half a unit a letter: Pillow rounds each advance to whole pixels
    assert letters().width(text, 1000) == pytest.approx(font.getlength(text, features=None), abs=2.0 * len(text) + 12)


class TestPrintable:
    def test_usual_text_is_left_alone(self) -> None:
        assert printable("Crème 150 × 200, 5 ½ #*$<x>_\"'") == ("Crème 150 × 200, 5 ½ #*$<x>_\"'", ())

    def test_missing_signs_are_written_by_number_and_named(self) -> None:
        assert printable("a\U0001f600b\u4e2d\u4e2d") == ("a[U+1F600]b[U+4E2D][U+4E2D]", ("U+1F600", "U+4E2D"))

    def test_signs_that_turn_the_line_are_shown(self) -> None:
        assert printable("a\u202eb") == ("a[U+202E]b", ("U+202E",))

    def test_two_ways_of_writing_one_letter_print_alike(self) -> None:
        assert printable("e\u0301") == ("é", ())

    def test_line_ends_become_spaces(self) -> None:
        assert printable("a\nb\tc") == ("a b c", ())


def test_wrapped_lines_fit_and_lose_nothing() -> None:
    text = "quilt the panels and an-overlong-word-that-no-line-can-hold then relax"
    lines = wrapped(text, 20, 2.5)
    assert all(letters().width(line, 2.5) <= 20 for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
