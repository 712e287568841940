"""Two to four beds side by side as long work: every result with its interval, every difference in words, drawings."""

from __future__ import annotations

from typing import Any

from bedsite.longwork.kinds import OfABed, SideBySideOf, Told
from bedsite.longwork.of_a_bed import bed_of, drawing
from bedwright.errors import Fault, FaultsFound
from bedwright.mechanics.lain import CAUTION
from bedwright.mechanics.lying import Lies, lying
from bedwright.mechanics.person import person
from bedwright.papers.drawings.cross_section import edge_section
from bedwright.papers.drawings.pressure_map import pressure_map
from bedwright.papers.pad_figures import draw_curve
from bedwright.side_by_side import STAR, Beside, Line, figure, side_by_side
from bedwright.works.works import Works

SHARED = "* shows only because both beds share what moves them"


def side_by_side_of(inputs: SideBySideOf, tell: Told) -> Any:
    """Set them side by side. Raises what bedwright.side_by_side does, and FaultsFound for beds that do not fit."""
    works, beds = _beds(inputs)
    lies = [Lies(person(one.person), one.posture) for one in inputs.persons]
    found = side_by_side(works, beds, lies, told=lambda done, of: tell(done, of + 1, "every open figure at its limits"))
    starred = any(one is not None and one.brief.endswith(STAR) for line in found.lines for one in line.differences)
    return {
        "beds": [one.bed.bed.code for one in found.beds],
        "names": [one.bed.bed.name for one in found.beds],
        "size": inputs.size,
        "persons": [f"{one.person.called} {one.posture}" for one in found.persons],
        "lines": [_line(line) for line in found.lines],
        "notes": [*([SHARED] if starred else []), *found.shared, *found.notes],
        "caution": CAUTION if lies else "",
        "drawings": [one for at, beside in enumerate(found.beds) for one in _drawn(beside, at, lies)],
    }


def _beds(inputs: SideBySideOf) -> tuple[Works, list[Any]]:
    beds, faults = [], list[Fault]()
    works: Works | None = None
    for code in inputs.beds:
        one = OfABed(works=inputs.works, revision=inputs.revision, released=inputs.released, bed=code, size=inputs.size)
        try:
            works, bed = bed_of(one)
            beds.append(bed)
        except FaultsFound as error:
            faults += error.faults
    if faults or works is None:
        raise FaultsFound(faults)
    return works, beds


def _line(line: Line) -> dict[str, Any]:
    return {
        "key": line.told.key,
        "group": line.group,
        "word": line.told.word,
        "unit": line.told.unit,
        "values": ["" if one is None else figure(line.told, one) for one in line.results],
        "sure": next((one.sure for one in line.results if one is not None), ""),
        "says": [one.brief for one in line.differences if one is not None],
        "apart": any(one is not None and one.inside is False for one in line.differences),
    }


def _drawn(beside: Beside, at: int, lies: list[Lies]) -> list[dict[str, Any]]:
    bed = beside.bed
    found = [
        drawing(f"edge-{at}", f"Edge of {bed.key}", edge_section(bed)),
        drawing(f"curve-{at}", f"Pad test of {bed.key}, predicted", draw_curve(beside.curve)),
    ]
    if lies:
        shown = pressure_map(lying(bed, lies[:1]), 84.0)
        found.append(drawing(f"map-{at}", f"Pressure of {lies[0].person.called} on {bed.key}", shown))
    return found
