"""The sheet of trust read back: every figure, its interval, inside or outside in words."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from bedwright.errors import OutsideRange
from bedwright.papers.cautions import CERTIFIES_NOTHING
from bedwright.papers.drawings.trust_rows import TrustRow, trust_rows
from bedwright.papers.trust_sheet import draw_trust, trust_sheet


@dataclass
class Row:
    bed: str
    what: str
    unit: str
    predicted: float
    low: float
    high: float
    measured: float
    so_far: int
    size: str = "150x200"
    sample: str = "sample of week 7"

    @property
    def inside(self) -> bool:
        return self.low <= self.measured <= self.high


@dataclass
class Error:
    what: str = "H tangent"
    unit: str = "N/mm"
    count: int = 2
    mean: float = 0.35
    size: float = 0.65


@dataclass
class Compared:
    rows: tuple[Row, ...] = (
        Row("SNIPE", "H tangent", "N/mm", 5.31, 4.5, 6.1, 5.4, 1),
        Row("WREN", "H tangent", "N/mm", 8.4, 7.1, 10.2, 6.1, 1),
        Row("WREN", "height", "mm", 255.0, 248.0, 262.0, 254.0, 2),
    )
    errors: tuple[Error, ...] = (Error(),)
    notes: tuple[str, ...] = ("bed ROBIN, test 1: size is empty",)
    words: str = "2 of 3 figures of 2 tests lie in the predicted interval"


def test_every_row_is_read_back(issue, read) -> None:  # type: ignore[no-untyped-def]
    text = read(trust_sheet(issue, Compared()).data).text
    for words in (
        "2 of 3 figures of 2 tests lie in the predicted interval.", "SNIPE 150x200: sample of week 7", "4.5 to 6.1",
        "248 to 262", "outside", "mean error, H tangent", "+0.35 N/mm, in size 0.65 N/mm, of 2",
        "bed ROBIN, test 1: size is empty", CERTIFIES_NOTHING,
    ):  # fmt: skip
        assert words in text, words


def test_a_works_without_tests_has_a_sheet(issue, read) -> None:  # type: ignore[no-untyped-def]
    nothing = Compared((), (), (), "no sample of height or hardness is on the bed cards: nothing was compared")
    text = read(trust_sheet(issue, nothing).data).text
    assert "nothing was compared" in text and "No sample of height or hardness" in text


def test_the_drawing_says_inside_and_outside() -> None:
    svg = draw_trust(Compared())
    for words in ("1 of 2 inside", "2 of 3 inside", "WREN 150x200, height", "measured, outside"):
        assert words in svg
    assert draw_trust(Compared()) == svg


def test_what_cannot_be_drawn() -> None:
    for row in (TrustRow("a", 5.0, 4.0, float("nan"), 5.0, 1), TrustRow("a", 0.0, 0.0, 1.0, 1.0, 1)):
        with pytest.raises(OutsideRange):
            trust_rows([row])
