"""A few ruled rows of figures on a drawing: headings over a pair of rules, every number with its unit lighter."""

from __future__ import annotations

from collections.abc import Sequence

from bedwright.papers.drawings.svg import INDIGO, INK, PALE, SMALLEST, THIN, Drawing, text_width

Cell = tuple[str, str]
"""What stands in a cell: the words or the number, and its unit."""
SIZE = 2.3
ROW = 3.9
_HEAD = 5.1
_APART = 1.5


def height(rows: int) -> float:
    """Height of so many rows with their heading [mm]."""
    return _HEAD + ROW * rows


def ruled_rows(
    drawing: Drawing, heads: Sequence[str], body: Sequence[Sequence[Cell]], y: float, first: str = "end"
) -> None:  # fmt: skip
    """Rows over the whole width from y [mm] down; columns stand to the right, the first as `first` says.

    Letters are set smaller, down to what can be read, where the columns would not go side by side.
    """
    table = [[(words, "") for words in heads], *body]
    lefts, rights, size = _columns(table, drawing.width)
    for index, cells in enumerate(table):
        base = y + 2.4 if index == 0 else y + _HEAD - 2.3 + ROW * index
        weight, fill, small = (600, INDIGO, 0.92) if index == 0 else (400, INK, 1.0)
        for column, (words, unit) in enumerate(cells):
            anchor = first if column == 0 else "end"
            x = lefts[0] if anchor == "start" else rights[column]
            drawing.text(x, base, words, size=size * small, anchor=anchor, weight=weight, fill=fill, unit=unit)
        if index > 0:
            drawing.line((0, base + 1.0), (drawing.width, base + 1.0), stroke=PALE, width=THIN)
    for line in (y + 3.4, y + 4.1):
        drawing.line((0, line), (drawing.width, line), stroke=INDIGO, width=THIN)


def _columns(table: Sequence[Sequence[Cell]], width: float) -> tuple[list[float], list[float], float]:
    """Left and right ends of the columns [mm], spare width shared out between them; and the size of letters."""
    size = SIZE
    while True:
        wide = [
            max(
                text_width(words, size) * 1.03 + (text_width(unit, size) + 0.3 * size if unit else 0.0)
                for words, unit in column
            )
            for column in zip(*table, strict=True)
        ]
        spare = width - 1.0 - sum(wide)
        gaps = max(len(wide) - 1, 1)
        if spare >= gaps * _APART or size <= SMALLEST:
            break
        size -= 0.1
    apart = max(spare, 0.0) / gaps
    lefts = [0.5 + sum(wide[:index]) + apart * index for index in range(len(wide))]
    return lefts, [left + one for left, one in zip(lefts, wide, strict=True)], size
