"""Beds side by side as JSON, as a sheet for people at the terminal, and as the printed sheet."""

from __future__ import annotations

import textwrap
from typing import Any

from bedcli.pad_plain import six_figures
from bedwright import __version__
from bedwright.mechanics.lain import CAUTION
from bedwright.mechanics.lying import lying
from bedwright.papers.drawings.pressure_map import pressure_map
from bedwright.papers.figures import Issue, Paper, size_words
from bedwright.papers.pad_figures import draw_curve
from bedwright.papers.side_by_side_sheet import Column, Row, side_by_side_sheet
from bedwright.papers.typeset import Raw
from bedwright.side_by_side import STAR, Beside, Difference, Line, Result, SideBySide, figure
from bedwright.works.works import Works

WIDE = 100
MAP_CELL = 20.0


def side_json(found: SideBySide, seconds: float) -> dict[str, Any]:
    """All lines as plain data, floats with six figures; seconds apart, all else is the same every time."""
    told = {
        "beds": [one.bed.bed.code for one in found.beds],
        "lines": [_line(line) for line in found.lines],
        "notes": _notes(found),
        "persons": [f"{who.person.called} {who.posture}" for who in found.persons],
        "seconds": seconds,
        "shared": list(found.shared),
        "size": found.beds[0].bed.size.code,
        "version": __version__,
        "works_revision": found.beds[0].bed.works_revision,
    }
    rounded = six_figures(told)
    assert isinstance(rounded, dict)
    return rounded


def _line(line: Line) -> dict[str, Any]:
    return {
        "differences": [_difference(one) for one in line.differences],
        "group": line.group,
        "key": line.told.key,
        "results": [_result(one) for one in line.results],
        "unit": line.told.unit,
        "word": line.told.word,
    }


def _result(one: Result | None) -> dict[str, Any] | None:
    return None if one is None else {"interval": _ends(one.low, one.high), "sure": one.sure, "value": one.value}


def _difference(one: Difference | None) -> dict[str, Any] | None:
    if one is None:
        return None
    apart = None if one.apart is None else [one.value + one.apart[0], one.value + one.apart[1]]
    return {
        "inside_the_noise": one.inside, "interval": _ends(one.low, one.high), "interval_if_nothing_were_shared": apart,
        "says": one.says, "value": one.value,
    }  # fmt: skip


def _ends(low: float | None, high: float | None) -> list[float] | None:
    return None if low is None or high is None else [low, high]


def side_text(found: SideBySide) -> str:
    """The sheet at the terminal: figures in columns, differences below each."""
    codes = [one.bed.bed.code for one in found.beds]
    first = found.beds[0].bed
    lines = [f"size {size_words(first.width, first.length)}; against {codes[0]}", ""]
    group = ""
    for line in found.lines:
        if line.group != group:
            group = line.group
            lines += ["", group[:1].upper() + group[1:]] if lines[-1] else [group[:1].upper() + group[1:]]
        unit = f", {line.told.unit}" if line.told.unit else ""
        lines.append(f"  {line.told.word}{unit}")
        lines += [
            f"    {code:<14}{figure(line.told, result)}"
            for code, result in zip(codes, line.results, strict=True)
            if result is not None
        ]
        for difference in line.differences:
            if difference is not None:
                lines += textwrap.wrap(f"    - {difference.says}", WIDE, subsequent_indent="      ")
    lines.append("")
    for note in (*found.shared, *_notes(found)):
        lines += textwrap.wrap(f"- {note}", WIDE, subsequent_indent="  ")
    return "\n".join(lines)


def _notes(found: SideBySide) -> list[str]:
    return [*found.notes, *([CAUTION] if found.persons else [])]


def printed(works: Works, found: SideBySide) -> Paper:
    """The sheet across, with drawings. Raises NotPrinted."""
    about = works.about
    issue = Issue(about.name, about.revision, works.content(), about.as_of, __version__)
    rows = [
        Row(
            line.group,
            line.told.word + (f", {line.told.unit}" if line.told.unit else ""),
            tuple("" if one is None else figure(line.told, one) for one in line.results),
            tuple(one.brief for one in line.differences if one is not None),
            all(one is None or one.inside is not False for one in line.differences),
        )
        for line in found.lines
    ]
    notes = [*found.shared, *found.notes]
    if any(one is not None and one.brief.endswith(STAR) for line in found.lines for one in line.differences):
        notes.insert(0, "* shows only because both beds share what moves them")
    return side_by_side_sheet(
        issue, [_column(found, one) for one in found.beds], rows, notes, persons=bool(found.persons)
    )


def _column(found: SideBySide, one: Beside) -> Column:
    bed = one.bed
    drawings: list[tuple[Raw, str]] = [(draw_curve(one.curve, 84.0, 72.0), f"Pad test of {bed.key}, predicted")]
    if found.persons:
        who = found.persons[0]
        shown = pressure_map(lying(bed, [who], cell=MAP_CELL), 72.0, caution=False)
        drawings.append((shown, f"Pressure of {who.person.called} on {bed.key}"))
    return Column(
        bed.bed.code,
        bed.bed.name or bed.bed.code,
        (f"{bed.bed.code}, {size_words(bed.width, bed.length, bed.height)}",),
        tuple(drawings),
    )
