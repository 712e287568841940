"""The sheet of trust: predicted against measured for the last samples of a works, drawn and told."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from bedwright.papers.cautions import CERTIFIES_NOTHING
from bedwright.papers.drawings.trust_rows import TrustRow, trust_rows
from bedwright.papers.figures import Issue, Paper
from bedwright.papers.typeset import Raw, typeset
from bedwright.typed import show


class Row(Protocol):
    """A figure of one sample, as mechanics compares it; `unit` is that of all its numbers."""

    @property
    def bed(self) -> str: ...
    @property
    def size(self) -> str: ...
    @property
    def sample(self) -> str: ...
    @property
    def what(self) -> str: ...
    @property
    def unit(self) -> str: ...
    @property
    def predicted(self) -> float: ...
    @property
    def low(self) -> float: ...
    @property
    def high(self) -> float: ...
    @property
    def measured(self) -> float: ...
    @property
    def so_far(self) -> int: ...
    @property
    def inside(self) -> bool: ...


class Error(Protocol):
    """Mean error of one quantity in `unit`."""

    @property
    def what(self) -> str: ...
    @property
    def unit(self) -> str: ...
    @property
    def count(self) -> int: ...
    @property
    def mean(self) -> float: ...
    @property
    def size(self) -> float: ...


class Compared(Protocol):
    """What the sheet takes."""

    @property
    def rows(self) -> Sequence[Row]: ...
    @property
    def errors(self) -> Sequence[Error]: ...
    @property
    def notes(self) -> Sequence[str]: ...
    @property
    def words(self) -> str: ...


def draw_trust(trust: Compared, width: float = 180.0) -> Raw:
    """The ruled drawing alone."""
    rows = [
        TrustRow(f"{one.bed} {one.size}, {one.what}", one.predicted, one.low, one.high, one.measured, one.so_far)
        for one in trust.rows
    ]
    return trust_rows(rows, width)


def trust_sheet(issue: Issue, trust: Compared) -> Paper:
    """The sheet, A4. Raises NotPrinted."""
    data = {
        "issue": issue.plain(),
        "name": "Predicted against measured",
        "lines": [issue.works],
        "words": trust.words[:1].upper() + trust.words[1:] + ".",
        "facts": [[f"mean error, {one.what}", _error(one)] for one in trust.errors],
        "drawing": draw_trust(trust),
        "alt": "Each figure a row: its predicted interval as a bar, what was measured as a ring, inside or outside",
        "headings": ["sample", "figure", "predicted", "low to high", "measured", ""],
        "rows": [_row(one) for one in trust.rows],
        "notes": [*trust.notes],
        "certifies": CERTIFIES_NOTHING,
    }
    printed = typeset("trust_sheet", data, title="Predicted against measured", as_of=issue.as_of)
    return Paper("trust.pdf", printed.pdf, printed.written_out)


def _error(one: Error) -> str:
    sign = "+" if one.mean > 0 else ""
    return f"{sign}{show(one.mean, 2)} {one.unit}, in size {show(one.size, 2)} {one.unit}, of {one.count}"


def _row(one: Row) -> list[object]:
    half = max(0.0, min(one.high - one.predicted, one.predicted - one.low))
    value, low, high = (show(number, 4, interval=half) for number in (one.predicted, one.low, one.high))
    return [
        f"{one.bed} {one.size}" + (f": {one.sample}" if one.sample else ""),
        one.what,
        {"v": value, "u": one.unit},
        {"v": f"{low} to {high}", "u": one.unit},
        {"v": show(one.measured, 4), "u": one.unit},
        "inside" if one.inside else {"b": "outside"},
    ]
