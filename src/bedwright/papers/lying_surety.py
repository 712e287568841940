"""How sure the figures of persons lying are, as rows: each with both ends of its interval and what moves it most."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bedwright.mechanics.lain import Lying
from bedwright.mechanics.lying_sure import LyingSure
from bedwright.papers.drawings.words import span
from bedwright.papers.lying_figures import Told, told

HOW = (
    "Intervals: every open figure of the bed's cards, the tissue and the pillow was moved to its limits, each taken as "
    "independent. Tissue and pillow are the same on every bed, so the difference between two beds is surer than either."
)


PLACES = {"mm": 0, "%": 0, "°": 1, "kPa": 2, "m²": 2}
"""Places that a figure of a unit has at the finest, however narrow its interval."""


@dataclass(frozen=True, slots=True)
class Sure:
    """Of one person: least and greatest of each figure, and the open figure that moves it most."""

    low: Mapping[str, float]
    high: Mapping[str, float]
    value: Mapping[str, float]
    most: Mapping[str, str]


def sure_of(*found: LyingSure) -> tuple[Sure, ...]:
    """Person by person, from one reckoning of all or from one of each."""
    return tuple(
        Sure(low, high, value, {figure: one.largest(person, figure) for figure in value})
        for one in found
        for person, (value, low, high) in enumerate(zip(one.value, one.low, one.high, strict=True))
    )


def spans(row: Told, sure: Sequence[Sure]) -> tuple[str, ...]:
    """The row's values, each with its interval where it has one: "5.98 (4.6 to 8.5)"."""
    by = 100.0 if row.unit == "%" else 1.0
    return tuple(
        _span(by * one.value[row.key], by * one.low[row.key], by * one.high[row.key], PLACES[row.unit])
        if row.key in one.value
        else plain
        for plain, one in zip(row.values, sure, strict=True)
    )


def _span(value: float, low: float, high: float, finest: int) -> str:
    """A value and both ends, no finer than its interval, nor than so many places."""
    if high - low > 10.0**-finest:
        return span(value, low, high)
    shown = [f"{one:.{finest}f}" for one in (value, low, high)]
    value_, low_, high_ = (text.lstrip("-") if float(text) == 0 else text for text in shown)
    return f"{value_} ({low_} to {high_})"


def sure_rows(lying: Lying, sure: Sequence[Sure]) -> list[object]:
    """Rows for the sheet: group headings, then word, and for each person figure with interval and what moves it."""
    rows: list[object] = []
    group = ""
    for one in told(lying):
        if not one.key or not any(one.key in person.value for person in sure):
            continue
        if one.group != group:
            group = one.group
            rows.append({"group": group})
        cells: list[object] = [one.word]
        for words, person in zip(spans(one, sure), sure, strict=True):
            has = one.key in person.value
            cells += [{"v": words, "u": one.unit if has else ""}, person.most.get(one.key, "")]
        rows.append(cells)
    return rows
