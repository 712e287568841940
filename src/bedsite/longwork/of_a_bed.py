"""What long works of one bed ask alike: the bed at size as it stood, without a grave fault; a drawing kept as data."""

from __future__ import annotations

from typing import Any

from bedsite.longwork.kinds import LyingOf, OfABed, PadTestOf
from bedsite.longwork.reckon import works_asked
from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.design.fit import fit
from bedwright.errors import FaultsFound, NotReadable
from bedwright.works.works import Works


def bed_of(inputs: OfABed) -> tuple[Works, BedAtSize]:
    """The works as it stood and the bed of it. Raises FaultsFound for parts that do not fit."""
    works = works_asked(inputs)
    if inputs.bed not in works.beds or inputs.size not in works.sizes:
        raise NotReadable(f"the works has no bed {inputs.bed!r} at a size {inputs.size!r}")
    bed = bed_at_size(works, works.beds[inputs.bed], works.sizes[inputs.size])
    grave = [fault for fault in fit(works, bed) if fault.grave]
    if grave:
        raise FaultsFound(grave)
    return works, bed


def drawing(name: str, says: str, svg: str) -> dict[str, Any]:
    """A drawing as answers keep it: the name it is asked by, what it shows in words, its SVG."""
    return {"name": name, "says": says, "svg": str(svg)}


def fact(word: str, value: str, unit: str = "", says: str = "") -> dict[str, str]:
    """A line of an answer: word, figure with its interval, unit, and what people should know of it."""
    return {"word": word, "value": value, "unit": unit, "says": says}


def box_words(inputs: PadTestOf | LyingOf) -> dict[str, str]:
    """The question as the boxes of a bed's sheet say it, so that a job leads back to its sheet."""
    if isinstance(inputs, LyingOf):
        names = (("person", "posture"), ("second", "second_posture"))
        said = {"lie_face": inputs.face, "lie_base": inputs.base}
        for (who, how), one in zip(names, inputs.persons, strict=False):
            said |= {who: one.person, how: one.posture}
        return said
    spot = "" if inputs.spot is None else f"{inputs.spot[0]:g}, {inputs.spot[1]:g}"
    return {"pad_face": inputs.face, "pad_base": inputs.base, "pad_spot": spot, "pad_edge": "1" if inputs.edge else ""}
