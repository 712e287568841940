"""`bedwright learn`: what a maker's own tests of a bed say of what its cards leave open."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING, TypeVar

import click

from bedcli.bed_asked import (
    bed_asked,
    face_asked,
    kept,
    refuse_what_does_not_fit,
    size_or_usual,
    spot_asked,
    works_asked,
)
from bedwright.errors import Fault, FaultsFound, NotReadable

if TYPE_CHECKING:
    from bedcli.learn_told import Asked

T = TypeVar("T")
KINDS = ("pad", "sheet", "string")
NOTHING = "Nothing was learned."


@click.command(name="learn")
@click.argument("works", type=click.Path(path_type=Path))
@click.argument("bed", required=False)
@click.argument("file", type=click.Path(path_type=Path), required=False)
@click.option("--size", help="A size card's code, or the size itself: 150x200 (cm), 1500x2000 (mm), 4'6 x 6'3.")
@click.option("--kind", default="pad", show_default=True, help="What FILE holds: pad, sheet or string.")
@click.option("--strings", type=click.Path(path_type=Path), metavar="FILE", help="Sinks of persons to learn from too.")
@click.option("--ruler", metavar="MM", help="How far a sink may be off, one standard deviation; else 5 mm, plausible.")
@click.option("--person", metavar="WORDS", help='Who lay on the sheet: "man 1755 mm 80 kg".')
@click.option("--posture", help="supine (else) or side, where the file of a sheet does not say.")
@click.option("--pitch", metavar="WORDS", help='Of the sheet\'s cells, along the bed x across: "30 x 23.8 mm".')
@click.option("--unit", help="Of the sheet: kPa, mmHg or raw (counts).")
@click.option("--zero", default="0", help="What an untouched cell of the sheet reads, in its unit.")
@click.option(
    "--spot", metavar="X,Y", help="Where the file does not say: the pad's middle from the head's left corner [mm]."
)
@click.option("--face", default="A", show_default=True, help="Where the file does not say: the face that was up.")
@click.option("--base", "base_words", default="solid", show_default=True, help="What the bed lay on, as for pad-test.")
@click.option(
    "--noise", metavar="WORDS",
    help='How far a reading may be off, one standard deviation: "0.5 mm 1 %". Else a ruler\'s, or what they scatter.',
)  # fmt: skip
@click.option("--trust", is_flag=True, help="WORKS alone: predicted against measured for the tests on its bed cards.")
@click.option("--sheet", type=click.Path(path_type=Path), metavar="FILE", help="With --trust: the sheet, as PDF.")
@click.option("--draw", type=click.Path(path_type=Path), metavar="FOLDER", help="Write the drawing there, as SVG.")
@click.option("--replace", "write_over", is_flag=True, help="Write over a drawing or sheet that is there already.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def learn(
    works: Path,
    bed: str | None,
    file: Path | None,
    size: str | None,
    kind: str,
    strings: Path | None,
    ruler: str | None,
    person: str | None,
    posture: str | None,
    pitch: str | None,
    unit: str | None,
    zero: str,
    spot: str | None,
    face: str,
    base_words: str,
    noise: str | None,
    trust: bool,
    sheet: Path | None,
    draw: Path | None,
    write_over: bool,
    as_json: bool,
) -> None:
    """Learn from the tests of BED in WORKS that FILE holds: one bed, measured at one or more spots.

    FILE is a CSV with depth [mm] and force [N], and where there are several tests their x, y, face and cycle. What the
    cards leave open is fitted within what they say of it; what cannot be told apart is named; a revision of the cards
    is proposed, and nothing is changed. --kind string reads sinks of persons lying instead, --kind sheet sets a
    pressure sheet beside its prediction. How to measure, and what cannot be learned: docs/how/learn.md.
    """
    if write_over and draw is None and sheet is None:
        raise click.UsageError("--replace goes with --draw or --sheet")
    if trust:
        if bed is not None or size is not None or spot is not None or noise is not None:
            raise click.UsageError("--trust is of all beds of WORKS: leave BED, FILE, --size, --spot and --noise out")
        from bedcli.learn_trust import trusted

        trusted(works, draw, sheet, write_over, as_json)
        return
    if sheet is not None:
        raise click.UsageError("--sheet goes with --trust")
    if bed is None or file is None:
        raise click.UsageError("name WORKS, BED and FILE, or ask for WORKS --trust")
    words = {"--person": person, "--posture": posture, "--pitch": pitch, "--unit": unit}
    odd = next((name for name, value in words.items() if value is not None and kind != "sheet"), None)
    if odd is not None:
        raise click.UsageError(f"{odd} goes with --kind sheet")
    question = Question(works, bed, file, size, kind, strings, ruler, spot, face, base_words, noise)
    if kind == "sheet":
        if strings is not None or noise is not None:
            raise click.UsageError("--strings and --noise go with tests that are learned from, not with a sheet")
        _sheet(question, (person, posture, pitch, unit, zero), draw, write_over, as_json)
        return
    from bedcli.learn_told import learn_json, learn_text

    asked = _asked(question, draw, write_over)
    drawn = _drawn(asked, draw)
    if as_json:
        told = {**learn_json(asked), "drawn": drawn}
        click.echo(json.dumps(told, indent=2, sort_keys=True, ensure_ascii=False))
        return
    click.echo(learn_text(asked))
    if drawn:
        click.echo("\nDrawn:\n" + "\n".join(f"  {name}" for name in drawn))


@dataclass(frozen=True, slots=True)
class Question:
    """What was typed, None where it was left out."""

    works: Path
    bed: str
    file: Path
    size: str | None
    kind: str
    strings: Path | None
    ruler: str | None
    spot: str | None
    face: str
    base: str
    noise: str | None


def _asked(question: Question, draw: Path | None, write_over: bool) -> Asked:
    """What was learned. Raises FaultsFound with all that was asked wrongly."""
    from bedcli.learn_files import refuse_taken
    from bedcli.learn_told import Asked
    from bedcli.pad_plain import made_ready
    from bedwright.mechanics.base import base
    from bedwright.mechanics.learn import learn as learned
    from bedwright.mechanics.learn_noise import noise
    from bedwright.mechanics.learn_readings import read_pad_readings
    from bedwright.mechanics.learn_strings import read_strings, ruler

    faults: list[Fault] = []
    file, kind, own = question.file, question.kind, question.strings
    if kind not in KINDS:
        says, how = "is no kind of test known here", f"write {', '.join(KINDS[:-1])} or {KINDS[-1]}"
        faults.append(Fault(says=says, remedy=how, value=kind[:60], field="--kind"))
    found_base = kept(lambda: base(question.base), "--base", faults)
    words, mm = question.noise, question.ruler
    found_noise = None if words is None else kept(lambda: noise(words), "--noise", faults)
    found_ruler = None if mm is None else kept(lambda: ruler(mm), "--ruler", faults)
    pads = () if kind == "string" else kept(lambda: _told(lambda: read_pad_readings(file)), "FILE", faults)
    sunk = kept(lambda: _told(lambda: read_strings(file)), "FILE", faults) if kind == "string" else ()
    if own is not None:
        more = kept(lambda: _told(lambda: read_strings(own)), "--strings", faults)
        sunk = (*(sunk or ()), *(more or ()))
    up = face_asked(question.face, faults)
    works = works_asked(question.works, NOTHING)
    bed = bed_asked(works, question.bed, size_or_usual(works, question.size), faults)
    where = None if bed is None else spot_asked(bed, question.spot, up, faults)
    if faults or bed is None or where is None or found_base is None or pads is None or sunk is None:
        raise FaultsFound(faults)
    refuse_what_does_not_fit(works, bed, NOTHING)
    if draw is not None:
        if not pads:
            raise click.UsageError("--draw shows readings of the pad: --kind string has none")
        refuse_taken(draw, _name(bed.bed.code, bed.size.code), write_over)
    made_ready()
    start = perf_counter()
    answer = kept(
        lambda: learned(
            bed, pads, strings=sunk, spot=where, base=found_base, noise=found_noise, ruler=found_ruler
        ),
        "FILE", faults,
    )  # fmt: skip
    if answer is None:
        raise FaultsFound(faults)
    names = file.name if own is None else f"{file.name} and {own.name}"
    return Asked(works.about.name, bed, names, kind, found_base, answer, perf_counter() - start)


def _sheet(
    question: Question,
    words: tuple[str | None, str | None, str | None, str | None, str],
    draw: Path | None,
    write_over: bool,
    as_json: bool,
) -> None:
    """Tell of a sheet beside its prediction. Raises FaultsFound with all that was asked wrongly."""
    from bedcli.learn_files import refuse_taken
    from bedcli.learn_sheet import (
        SheetAsked,
        SheetWords,
        draw_sheets,
        laid,
        sheet_json,
        sheet_names,
        sheet_text,
        sheets_beside,
    )
    from bedcli.pad_plain import made_ready
    from bedwright.mechanics.base import base
    from bedwright.mechanics.learn_sheet import read_pressure_sheets

    faults: list[Fault] = []
    found_base = kept(lambda: base(question.base), "--base", faults)
    how = laid(SheetWords(*words), faults)
    frames = kept(lambda: _told(lambda: read_pressure_sheets(question.file)), "FILE", faults)
    works = works_asked(question.works, NOTHING)
    bed = bed_asked(works, question.bed, size_or_usual(works, question.size), faults)
    up = face_asked(question.face, faults, bed)
    if faults or bed is None or how is None or frames is None or found_base is None:
        raise FaultsFound(faults)
    refuse_what_does_not_fit(works, bed, NOTHING)
    names = sheet_names(bed, frames)
    for pair in names if draw is not None else ():
        for name in pair:
            refuse_taken(draw or Path(), name, write_over)
    made_ready()
    start = perf_counter()
    answer = kept(lambda: sheets_beside(bed, frames, how, up, found_base), "FILE", faults)
    if answer is None:
        raise FaultsFound(faults)
    asked = SheetAsked(
        works.about.name, bed, question.file.name, how.unit, *answer, seconds=perf_counter() - start
    )  # fmt: skip
    drawn = [] if draw is None else draw_sheets(asked.frames, names, draw)
    if as_json:
        told = {**sheet_json(asked), "drawn": drawn}
        click.echo(json.dumps(told, indent=2, sort_keys=True, ensure_ascii=False))
        return
    click.echo(sheet_text(asked))
    if drawn:
        click.echo("\nDrawn:\n" + "\n".join(f"  {name}" for name in drawn))


def _told(read: Callable[[], T]) -> T:
    """What read gives; a file that cannot be read is a fault among the others."""
    try:
        return read()
    except NotReadable as error:
        raise FaultsFound([Fault(says=str(error))]) from None


def _name(code: str, size: str) -> str:
    from bedwright.papers.figures import file_stem

    return f"learned_{file_stem(code, size)}.svg"


def _drawn(asked: Asked, folder: Path | None) -> list[str]:
    """Path of what was drawn."""
    if folder is None:
        return []
    from bedcli.learn_files import write_drawing
    from bedwright.papers.learned_figures import draw_learned

    name = _name(asked.bed.bed.code, asked.bed.size.code)
    return [write_drawing(folder, name, draw_learned(asked.learned))]
