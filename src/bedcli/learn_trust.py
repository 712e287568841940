"""`bedwright learn WORKS --trust`: predicted against measured for the last tests on the bed cards of a works."""

from __future__ import annotations

import json
import textwrap
from pathlib import Path
from typing import Any

import click

from bedcli.bed_asked import works_asked
from bedcli.learn_files import refuse_sheet, refuse_taken, write_drawing, write_whole
from bedcli.pad_plain import made_ready, six_figures
from bedwright import __version__, typed
from bedwright.errors import NotReadable
from bedwright.mechanics.learn_trust import Error, Trust, Trusted, trust
from bedwright.papers.figures import Issue
from bedwright.papers.trust_sheet import draw_trust, trust_sheet
from bedwright.works.works import Works

NOTHING = "Nothing was compared."
DRAWING = "trust.svg"
WIDE = 118


def trusted(path: Path, draw: Path | None, sheet: Path | None, write_over: bool, as_json: bool) -> None:
    """Compare, tell, and write what was asked for."""
    works = works_asked(path, NOTHING)
    if draw is not None:
        refuse_taken(draw, DRAWING, write_over)
    if sheet is not None:
        refuse_sheet(sheet, write_over)
    made_ready()
    found = trust(works)
    drawn = [write_drawing(draw, DRAWING, draw_trust(found))] if draw is not None else []
    printed = _printed(works, found, sheet) if sheet is not None else None
    if as_json:
        told = {**trust_json(works, found), "drawn": drawn, "sheet": printed}
        click.echo(json.dumps(told, indent=2, sort_keys=True, ensure_ascii=False))
        return
    click.echo(trust_text(works, found))
    for name in (*drawn, *([printed] if printed else [])):
        click.echo(f"Written:  {name}")


def _printed(works: Works, found: Trust, sheet: Path) -> str:
    about = works.about
    paper = trust_sheet(Issue(about.name, about.revision, works.content(), about.as_of, __version__), found)
    try:
        return write_whole(sheet, paper.data)
    except OSError as error:
        raise NotReadable(f"{sheet} cannot be written: {error.strerror}; name another file for --sheet") from None


def trust_json(works: Works, found: Trust) -> dict[str, Any]:
    """The comparison as plain data, floats with six figures."""
    told = {
        "errors": [
            {"count": one.count, "mean": one.mean, "mean_size": one.size, "unit": one.unit, "what": one.what}
            for one in found.errors
        ],
        "inside": found.inside,
        "notes": list(found.notes),
        "of": len(found.rows),
        "rows": [
            {
                "bed": one.bed, "high": one.high, "inside": one.inside, "inside_so_far": one.so_far, "low": one.low,
                "measured": one.measured, "predicted": one.predicted, "sample": one.sample, "size": one.size,
                "unit": one.unit, "what": one.what,
            }
            for one in found.rows
        ],
        "samples": found.samples,
        "version": __version__,
        "words": found.words,
        "works": works.about.name,
        "works_revision": works.about.revision,
    }  # fmt: skip
    rounded = six_figures(told)
    assert isinstance(rounded, dict)
    return rounded


def trust_text(works: Works, found: Trust) -> str:
    """The same for people."""
    lines = [f"{works.about.name}: predicted against measured", *textwrap.wrap(found.words, WIDE)]
    if found.rows:
        lines += ["", f"{'bed':<24}{'figure':<12}{'predicted':>12}{'low to high':>20}{'measured':>12}   so far"]
        lines += [_row(one, count) for count, one in enumerate(found.rows, 1)]
        lines += ["", *(_error(one) for one in found.errors)]
    return "\n".join([*lines, "", *(f"- {note}" for note in found.notes)])


def _row(one: Trusted, count: int) -> str:
    half = max(0.0, min(one.high - one.predicted, one.predicted - one.low))
    value, low, high = (typed.show(number, 4, interval=half) for number in (one.predicted, one.low, one.high))
    words = "" if one.inside else "  OUTSIDE"
    name = f"{one.bed} {one.size}"[:23]
    return (
        f"{name:<24}{one.what:<12}{value:>12}{f'{low} to {high}':>20}{typed.show(one.measured, 4):>12}"
        f"   {one.so_far} of {count} inside{words}"
    )


def _error(one: Error) -> str:
    sign = "+" if one.mean > 0 else ""
    size = f"in size {typed.show(one.size, 2)} {one.unit}, of {one.count}"
    return f"measured less predicted, {one.what}: mean {sign}{typed.show(one.mean, 2)} {one.unit}, {size}"
