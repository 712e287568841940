"""An outline of shapes taken together, and a picture inside a drawing, as they come out on paper."""

from __future__ import annotations

from datetime import date

import numpy as np
import pypdfium2
import pytest

from bedwright.papers.drawings.png import png
from bedwright.papers.drawings.svg import SEAM, Drawing
from bedwright.papers.typeset import Raw, typeset

SQUARES = [
    [(10.0, 10.0), (40.0, 10.0), (40.0, 40.0), (10.0, 40.0)],
    [(30.0, 20.0), (60.0, 20.0), (60.0, 50.0), (30.0, 50.0)],
]


def on_paper(svg: Raw) -> np.ndarray:  # type: ignore[type-arg]
    """The drawing as a sheet prints it (its first drawing's place), in grey, 10 points a millimetre of the drawing."""
    issue = {"works": "w", "revision": "1", "content": "c", "as_of": "d", "version": "v", "draft": True}
    data = {
        "issue": issue, "name": "n", "lines": [], "facts": [], "map": svg, "map_alt": "a", "headings": ["", "x"],
        "rows": [], "drawn": [], "turned": [], "sure": [], "sure_headings": [], "notes": [],
        "cautions": [], "certifies": "",
    }  # fmt: skip
    pdf = typeset("lying_sheet", data, title="t", as_of=date(2026, 1, 1)).pdf
    document = pypdfium2.PdfDocument(pdf)
    scale = 10 * 25.4 / 72
    page = np.asarray(document[0].render(scale=scale).to_pil().convert("L"))
    document.close()
    left, top = (210 - 14 - 104) * 10, 13 * 10  # where the sheet puts its map, which is 104 mm wide
    return page[top : top + 1040, left : left + 1040]


@pytest.fixture(scope="module")
def paper() -> np.ndarray:  # type: ignore[type-arg]
    drawing = Drawing(104, 104, "two squares over a picture")
    steps = np.array([[1, 0], [0, 2]], dtype=np.uint8)
    drawing.picture(70, 60, 20, 20, png(np.repeat(np.repeat(steps, 8, 0), 8, 1), ["#ffffff", "#808080", "#202020"]))
    drawing.outline(SQUARES, width=0.6)
    drawing.outline([[(10, 70), (30, 70), (30, 90), (10, 90)], [(30.1, 70), (50, 70), (50, 90), (30.1, 90)]], width=0.6)
    return on_paper(drawing.svg())


def dark(paper: np.ndarray, x: float, y: float) -> bool:  # type: ignore[type-arg]
    """Whether ink lies within half a millimetre of a place [mm]."""
    near = paper[int(10 * y) - 6 : int(10 * y) + 7, int(10 * x) - 6 : int(10 * x) + 7]
    return bool(near.min() < 120)


def test_a_line_runs_round_both_and_not_between_them(paper) -> None:  # type: ignore[no-untyped-def]
    for x, y in ((10, 25), (20, 10), (40, 15), (20, 40), (45, 20), (60, 35), (45, 50), (30, 45)):
        assert dark(paper, x, y), (x, y)
    for x, y in ((40, 30), (35, 40), (30, 30), (35, 20), (35, 30), (20, 25), (50, 35)):
        assert not dark(paper, x, y), (x, y)


def test_shapes_that_only_just_meet_are_one(paper) -> None:  # type: ignore[no-untyped-def]
    assert not dark(paper, 30, 80)
    for x, y in ((10, 80), (50, 80), (30, 70), (30, 90)):
        assert dark(paper, x, y), (x, y)


def test_the_line_lies_outside_the_shapes(paper) -> None:  # type: ignore[no-untyped-def]
    row = paper[250, 50:250]  # across the left side at y = 25
    ink = 5 + np.flatnonzero(row < 120) / 10
    assert ink.min() == pytest.approx(10 - SEAM - 0.6, abs=0.16)  # a point of the picture is a tenth
    assert ink.max() == pytest.approx(10 - SEAM, abs=0.16)  # a point of the picture is a tenth


def test_the_picture_stands_in_its_place(paper) -> None:  # type: ignore[no-untyped-def]
    for x, y, grey in ((75, 65, 128), (85, 65, 255), (75, 75, 255), (85, 75, 32), (92, 65, 255), (75, 58, 255)):
        assert paper[10 * y, 10 * x] == pytest.approx(grey, abs=3), (x, y)


def test_same_shapes_are_masked_once() -> None:
    drawing = Drawing(100, 100, "t")
    drawing.outline(SQUARES, stroke="#ffffff", width=1.0)
    drawing.outline(SQUARES)
    drawing.outline([SQUARES[0]])
    drawing.outline([])
    svg = drawing.svg()
    assert svg.count("<mask ") == 2
    assert svg.count('mask="url(#m-0)"') == 2
    assert svg.count('mask="url(#m-1)"') == 1
