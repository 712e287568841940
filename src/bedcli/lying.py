"""`bedwright lying`: pressure, sinks and spine of one or two persons on a bed of a works; for comparing beds only."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bedcli.bed_asked import bed_asked, face_asked, kept, refuse_what_does_not_fit, usual_size, works_asked
from bedwright import typed
from bedwright.errors import Fault, FaultsFound

if TYPE_CHECKING:
    from bedcli.lying_asked import Question, Words

NOTHING = "Nobody lay down."


@click.command(name="lying")
@click.argument("works", type=click.Path(path_type=Path))
@click.argument("bed")
@click.option(
    "--size",
    help="A size card's code, or the size itself: 150x200 (cm), 1500x2000 (mm), 4'6 x 6'3; else nearest 150x200.",
)
@click.option("--person", metavar="WORDS", help='Who lies: "man 1755 mm 80 kg", "woman 163 cm 62 kg".')
@click.option("--posture", help="supine (else) or side.")
@click.option("--facing", help="On the side: facing the left or the right edge, seen from the foot.")
@click.option("--upper-leg", "upper_leg", help='On the side: "on the bed" (else) or "on the other leg".')
@click.option("--pillow", metavar="WORDS", help='Height and stiffness, as "100 mm 5 kPa"; else a plausible one.')
@click.option(
    "--place", metavar="X", help="Middle of the trunk across the bed [mm]; else the middle, two the quarters."
)
@click.option("--with", "with_person", metavar="WORDS", help="A second person.")
@click.option("--with-posture", "with_posture", help="How the second person lies; and so on.")
@click.option("--with-facing", "with_facing", hidden=True)
@click.option("--with-upper-leg", "with_upper_leg", hidden=True)
@click.option("--with-pillow", "with_pillow", metavar="WORDS", hidden=True)
@click.option("--with-place", "with_place", metavar="X", hidden=True)
@click.option("--zip-link", "zip_link", is_flag=True, help="With two: two of BED side by side, zipped, one for each.")
@click.option("--turn", is_flag=True, help="With two: what moves of one when the other turns; two solves more.")
@click.option("--face", default="A", show_default=True, help="The face that is up: A or B.")
@click.option(
    "--base", "base_words", default="solid", show_default=True,
    help='"solid", "slats 65 mm gap 55 mm bend 12 N/mm" or "sprung 40 kPa/m".',
)  # fmt: skip
@click.option("--cell", default="20 mm", show_default=True, help="Side of the cells that pressures are means over.")
@click.option(
    "--settled", default="0", metavar="PERCENT", help="A bed that has settled: share of their set that fillings lost."
)
@click.option("--quick", is_flag=True, help="Leave the intervals out, which take some ten times as long.")
@click.option("--draw", type=click.Path(path_type=Path), metavar="FOLDER", help="Write the drawings there, as SVG.")
@click.option("--sheet", type=click.Path(path_type=Path), metavar="FILE", help="Write the sheet there, as PDF.")
@click.option("--replace", "write_over", is_flag=True, help="Write over drawings and a sheet that are there already.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def lying(
    works: Path,
    bed: str,
    size: str | None,
    person: str | None,
    posture: str | None,
    facing: str | None,
    upper_leg: str | None,
    pillow: str | None,
    place: str | None,
    with_person: str | None,
    with_posture: str | None,
    with_facing: str | None,
    with_upper_leg: str | None,
    with_pillow: str | None,
    with_place: str | None,
    zip_link: bool,
    turn: bool,
    face: str,
    base_words: str,
    cell: str,
    settled: str,
    quick: bool,
    draw: Path | None,
    sheet: Path | None,
    write_over: bool,
    as_json: bool,
) -> None:
    """Lay one or two persons on BED in WORKS: pressure, touched area, sinks, shares of the weight, spine.

    The figures compare beds with each other, for the same person, posture, threshold and cell; they are reckoned from
    the cards, nothing is measured, and no medical claim is made. Adults only. What each option of the first person
    says, the same with --with- before it says of the second. How to read it all: docs/how/lying.md.
    """
    if person is None:
        raise click.UsageError('--person is missing: say who lies, as --person "man 1755 mm 80 kg"')
    second = {"posture": with_posture, "facing": with_facing, "upper-leg": with_upper_leg, "pillow": with_pillow,
              "place": with_place}  # fmt: skip
    alone = next((name for name, value in second.items() if value is not None), None)
    if with_person is None and alone is not None:
        raise click.UsageError(f"--with-{alone} goes with --with, which says who the second person is")
    if with_person is None and turn:
        raise click.UsageError("--turn goes with --with: one turns, the other is moved")
    if zip_link and (with_person is None or turn):
        raise click.UsageError("--zip-link goes with --with, and not with --turn: on two beds nobody moves the other")
    if write_over and draw is None and sheet is None:
        raise click.UsageError("--replace goes with --draw or --sheet")
    from bedcli.lying_asked import Words
    from bedcli.lying_draw import draw as write_drawings
    from bedcli.lying_draw import print_sheet
    from bedcli.lying_rest import answered
    from bedcli.lying_told import lying_json, lying_text

    who = [Words(person, posture, facing, pillow, upper_leg, place)]
    if with_person is not None:
        who.append(Words(with_person, with_posture, with_facing, with_pillow, with_upper_leg, with_place, "with-"))
    question = _asked(works, bed, size, who, face, base_words, cell, settled, draw, sheet, write_over)
    found = answered(question, quick=quick, turn=turn, linked=zip_link)
    drawn = write_drawings(found, draw) if draw is not None else []
    printed = print_sheet(found, sheet) if sheet is not None else None
    if as_json:
        told = {**lying_json(found), "drawn": drawn, "sheet": printed}
        click.echo(json.dumps(told, indent=2, sort_keys=True, ensure_ascii=False))
        return
    click.echo(lying_text(found))
    if drawn:
        click.echo("\nDrawn:\n" + "\n".join(f"  {name}" for name in drawn))
    if printed:
        click.echo(f"\nSheet:\n  {printed}")


def _asked(
    path: Path,
    code: str,
    size: str | None,
    who: list[Words],
    face: str,
    base_words: str,
    cell: str,
    settled: str,
    draw: Path | None,
    sheet: Path | None,
    write_over: bool,
) -> Question:
    """What is to be brought to rest. Raises FaultsFound with all that was asked wrongly."""
    from bedcli.lying_asked import Question, lies, percent
    from bedcli.lying_draw import refuse_taken
    from bedwright.mechanics.base import base

    faults: list[Fault] = []
    found_base = kept(lambda: base(base_words), "--base", faults)
    side = kept(lambda: typed.length_mm(cell, bare="mm"), "--cell", faults)
    lost = kept(lambda: percent(settled), "--settled", faults)
    known = [lies(one, faults) for one in who]
    works = works_asked(path, NOTHING)
    taken = usual_size(works) if size is None else None
    bed = bed_asked(works, code, taken or size, faults)
    up = face_asked(face, faults, bed)
    persons = tuple(one for one in known if one is not None)
    if faults or bed is None or found_base is None or side is None or lost is None or len(persons) < len(who):
        raise FaultsFound(faults)
    refuse_what_does_not_fit(works, bed, NOTHING)
    refuse_taken(draw, sheet, bed, persons, write_over)
    said = f"no size was named: taken {bed.size.code}; name another with --size"
    return Question(works, bed, persons, up, found_base, side, lost, (said,) if taken else ())
