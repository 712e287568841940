"""`bedwright pad-test`: what the pad of EN 1957 would read on a bed of a works, or on a plain bed said in one line."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING

import click

from bedcli.bed_asked import bed_asked, face_asked, kept, refuse_what_does_not_fit, spot_asked, works_asked
from bedwright import typed
from bedwright.errors import BedwrightError, Fault, FaultsFound, NotUnderstood

if TYPE_CHECKING:
    from bedcli.pad_sheet import BedTest, EdgeSpot
    from bedwright.design.bed_at_size import BedAtSize
    from bedwright.mechanics.base import Base
    from bedwright.mechanics.edge_sit import EdgeSit
    from bedwright.mechanics.pad_test import Curve, Spot
    from bedwright.mechanics.roller_life import RollerLife
    from bedwright.mechanics.settling import Settling

FROM_BORDER = (0.0, 50.0, 100.0, 200.0)
"""Distances [mm] of the pad's middle from the border of the long side, with --edge."""
MOST_CYCLES = 1000
MOST_DEPTHS = 200
DEEPEST = 400.0  # mm
LONGEST_LIST = 4000  # characters
NOTHING = "Nothing was pressed."


@click.command(name="pad-test")
@click.argument("works", type=click.Path(path_type=Path), required=False)
@click.argument("bed", required=False)
@click.option("--size", help="A size card's code, or the size itself: 150x200 (cm), 1500x2000 (mm), 4'6 x 6'3.")
@click.option(
    "--spot", metavar="X,Y", help="Middle of the pad from the head's left corner [mm]; else the bed's middle."
)
@click.option("--face", default="A", show_default=True, help="The face that is up: A or B.")
@click.option(
    "--base", "base_words", default="solid", show_default=True,
    help='"solid", "slats 65 mm gap 55 mm bend 12 N/mm" or "sprung 40 kPa/m".',
)  # fmt: skip
@click.option("--cycles", default="1", help="Presses before the one that is read (conditioning); 0 for a new bed.")
@click.option("--edge", is_flag=True, help="Press 0, 50, 100, 200 mm from the long side's border too, and sit on it.")
@click.option(
    "--measured", type=click.Path(path_type=Path), metavar="FILE",
    help="Your own test as CSV, depth [mm] and force [N] going down, to set beside it.",
)  # fmt: skip
@click.option("--life", is_flag=True, help="Also check each kind of coil under the roller's 1400 N: another press.")
@click.option("--draw", type=click.Path(path_type=Path), metavar="FOLDER", help="Write the drawings there, as SVG.")
@click.option("--replace", "write_over", is_flag=True, help="With --draw: write over drawings that are there already.")
@click.option("--plain", metavar="WORDS", help="A plain bed instead of WORKS BED: see docs/how/pad-test.md.")
@click.option("--depths", default="", metavar="LIST", help="With --plain: depths as 10,20,40 [mm].")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def pad_test(
    works: Path | None,
    bed: str | None,
    size: str | None,
    spot: str | None,
    face: str,
    base_words: str,
    cycles: str,
    edge: bool,
    measured: Path | None,
    life: bool,
    draw: Path | None,
    write_over: bool,
    plain: str | None,
    depths: str,
    as_json: bool,
) -> None:
    """Predict the pad test of BED in WORKS: force over depth, hardness H, how sure that is, and settling.

    H is the mean slope at 210, 275 and 340 N, as tangent and as secant; both are always named, since the two differ.
    A test to EN 1957 lies on a solid base. The figures are predicted from the cards; nothing here is measured, and
    nothing is certified. How to read them, and how to measure what the cards leave open: docs/how/pad-test.md.
    """
    if plain is not None:
        if works is not None or size is not None or spot is not None:
            raise click.UsageError("--plain says the whole bed: leave WORKS, BED, --size and --spot out")
        if life or draw is not None:
            raise click.UsageError("--life and --draw need a bed of a works: a plain bed has no coils")
        _plain(plain, depths, as_json)
        return
    if works is None or bed is None:
        raise click.UsageError("name WORKS and BED, or say a plain bed with --plain")
    if depths:
        raise click.UsageError("--depths goes with --plain; the test of a bed goes by force, to 1000 N")
    if write_over and draw is None:
        raise click.UsageError("--replace goes with --draw")
    from bedcli.pad_sheet import bed_json, bed_text

    test = _tested(works, bed, size, spot, face, base_words, cycles, edge, measured, life, draw, write_over)
    drawn = _drawn(test, draw)
    if as_json:
        told = {**bed_json(test), "drawn": drawn}
        click.echo(json.dumps(told, indent=2, sort_keys=True, ensure_ascii=False))
        return
    click.echo(bed_text(test))
    if drawn:
        click.echo("\nDrawn:\n" + "\n".join(f"  {name}" for name in drawn))


def _plain(words: str, depths: str, as_json: bool) -> None:
    from bedcli.pad_plain import made_ready, plain_json, plain_text
    from bedwright.mechanics.plain_bed import plain_bed
    from bedwright.mechanics.plain_test import plain_pad_test

    faults: list[Fault] = []
    found = kept(lambda: plain_bed(words), "", faults)
    asked = _depths(depths, faults)
    if faults or found is None:
        raise FaultsFound(faults)
    made_ready()
    start = perf_counter()
    order = sorted(set(asked))  # deeper and deeper, as the solver goes
    answer = plain_pad_test(found, order)
    at = [order.index(depth) for depth in asked]
    answer = replace(answer, depth=answer.depth[at], force=answer.force[at])
    seconds = perf_counter() - start
    if as_json:
        click.echo(json.dumps(plain_json(found, answer, seconds), indent=2, sort_keys=True))
    else:
        click.echo(plain_text(found, answer))


def _depths(text: str, faults: list[Fault]) -> list[float]:
    """The depths of --depths, in the order typed; one fault for each that does not do."""
    if len(text) > LONGEST_LIST or text.count(",") >= MOST_DEPTHS:
        faults.append(Fault(says=f"more than {MOST_DEPTHS} depths", remedy="ask for fewer", field="--depths"))
        return []
    found = []
    for part in text.split(",") if text.strip() else ("10", "20", "40", "60", "80"):
        depth = kept(lambda part=part: typed.length_mm(part, bare="mm"), "--depths", faults)  # type: ignore[misc]
        if depth is not None and not 0 < depth <= DEEPEST:
            says = f"a depth of {depth:g} mm is outside 0 to {DEEPEST:g} mm"
            faults.append(Fault(says=says, remedy="give depths above 0", field="--depths"))
        elif depth is not None:
            found.append(depth)
    return found


def _tested(
    path: Path,
    code: str,
    size: str | None,
    spot: str | None,
    face: str,
    base_words: str,
    cycles: str,
    edge: bool,
    measured: Path | None,
    life: bool,
    draw: Path | None,
    write_over: bool,
) -> BedTest:
    """The bed of the works, pressed as asked. Raises FaultsFound with all that was asked wrongly."""
    from bedcli.pad_draw import refuse_taken
    from bedcli.pad_measured import read_measured
    from bedcli.pad_plain import made_ready
    from bedcli.pad_sheet import BedTest, EdgeSpot
    from bedwright.mechanics.base import base

    faults: list[Fault] = []
    found_base = kept(lambda: base(base_words), "--base", faults)
    presses, up = _cycles(cycles, faults), face_asked(face, faults)
    pressed = None if measured is None else kept(lambda: read_measured(measured), "--measured", faults)
    works = works_asked(path, NOTHING)
    bed = bed_asked(works, code, size, faults)
    where = None if bed is None else spot_asked(bed, spot, up, faults)
    if faults or bed is None or where is None or found_base is None:
        raise FaultsFound(faults)
    refuse_what_does_not_fit(works, bed, NOTHING)
    if draw is not None:
        refuse_taken(draw, bed, edge=edge, replace=write_over)
    made_ready()
    start = perf_counter()
    curve = _curve(bed, where, found_base, presses)
    seconds = perf_counter() - start
    spots: list[EdgeSpot] = []
    for distance in FROM_BORDER if edge else ():
        there = replace(where, x=distance, y=bed.length / 2)
        try:
            spots.append(EdgeSpot(distance, _curve(bed, there, found_base, presses)))
        except BedwrightError as error:
            spots.append(EdgeSpot(distance, str(error)))
    return BedTest(
        works=works.about.name,
        bed=bed,
        spot=where,
        base=found_base,
        cycles=presses,
        curve=curve,
        edge=tuple(spots),
        sat=_sat(bed, where.face, found_base) if edge else None,
        measured=pressed,
        seconds=seconds,
        settling=_settling(bed),
        life=_life(bed, where, found_base, presses) if life else None,
    )


def _curve(bed: BedAtSize, spot: Spot, base: Base, cycles: int) -> Curve:
    from bedwright.mechanics.pad_test import pad_test

    return pad_test(bed, spot, base=base, presses=cycles)


def _sat(bed: BedAtSize, face: str, base: Base) -> EdgeSit | str:
    from bedwright.mechanics.edge_sit import edge_sit

    try:
        return edge_sit(bed, face, base=base)
    except BedwrightError as error:
        return str(error)


def _settling(bed: BedAtSize) -> Settling | str:
    from bedwright.mechanics.card_ties import bed_settling

    try:
        return bed_settling(bed)
    except BedwrightError as error:
        return str(error)


def _life(bed: BedAtSize, spot: Spot, base: Base, cycles: int) -> RollerLife | str:
    from bedwright.mechanics.roller_life import roller_life

    try:
        return roller_life(bed, spot, base=base, presses=cycles)
    except BedwrightError as error:
        return str(error)


def _drawn(test: BedTest, folder: Path | None) -> list[str]:
    """Paths of what was drawn."""
    if folder is None:
        return []
    from bedcli.pad_draw import draw

    return [str(folder / name) for name in draw(test, folder)]


def _cycles(text: str, faults: list[Fault]) -> int:
    try:
        value = typed.number(text)
    except NotUnderstood as error:
        faults.append(replace(error.fault, field="--cycles"))
        return 0
    if not (0 <= value <= MOST_CYCLES and value == int(value)):
        says = f"is no whole number from 0 to {MOST_CYCLES}"
        faults.append(Fault(says=says, remedy="give how often it was pressed before", value=text, field="--cycles"))
        return 0
    return int(value)
