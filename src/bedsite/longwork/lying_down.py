"""One or two persons lying on a bed as long work: every figure with its interval, drawings, and the caution."""

from __future__ import annotations

from typing import Any

from bedsite.longwork.kinds import LyingOf, Told
from bedsite.longwork.of_a_bed import bed_of, box_words, drawing
from bedwright.errors import NotConverged
from bedwright.mechanics.base import base
from bedwright.mechanics.lain import CAUTION, THRESHOLD
from bedwright.mechanics.lying import Lies, lying
from bedwright.mechanics.lying_sure import lying_sure
from bedwright.mechanics.overlap import overlap_words
from bedwright.mechanics.person import person
from bedwright.papers.drawings.body_on_bed import body_on_bed
from bedwright.papers.drawings.pressure_map import pressure_map
from bedwright.papers.drawings.two_person_section import two_person_section
from bedwright.papers.lying_figures import NO_INTERVAL, marks_of, told, who_lies
from bedwright.papers.lying_surety import HOW, Sure, spans, sure_of


def lying_of(inputs: LyingOf, tell: Told) -> Any:
    """Lay them down as asked. Raises what mechanics.lying does."""
    _, bed = bed_of(inputs)
    on = base(inputs.base)
    lies = tuple(Lies(person(one.person), one.posture) for one in inputs.persons)
    tell(0, 10, "lying down")
    found = lying(bed, lies, face=inputs.face, base=on)
    tell(2, 10, "how sure it is: every open figure at its limits")
    notes, over = [*found.notes], overlap_words(found)
    notes += [over] if over else []
    sure: tuple[Sure, ...] = ()
    try:
        sure = sure_of(lying_sure(bed, lies, face=inputs.face, base=on))
        notes.append(HOW)
    except NotConverged as error:
        notes += [f"no interval: with one of its open figures at its limit {error}", NO_INTERVAL]
    tell(9, 10, "drawing")
    marks = marks_of(lies, bed)
    who = who_lies(found)
    drawings = [drawing("map", f"Pressure on {bed.key}: {'; '.join(who)}", pressure_map(found, 112.0))]
    drawings += [
        drawing(f"side-{index + 1}", f"From the side: {words}", body_on_bed(found, index, marks=marks[index]))
        for index, words in enumerate(who)
    ]
    if len(who) > 1:
        drawings.append(drawing("across", "Both cut across", two_person_section(found)))
    return {
        "bed": inputs.bed,
        "size": inputs.size,
        "asked": box_words(inputs),
        "persons": who,
        "threshold_kpa": THRESHOLD,
        "cell_mm": found.cell,
        "rows": [
            {
                "group": row.group,
                "word": row.word,
                "cells": [_cell(words, row.unit) for words in (spans(row, sure) if sure else row.values)],
                "most": list(dict.fromkeys(one.most[row.key] for one in sure if row.key in one.most)),
            }
            for row in told(found)
        ],
        "notes": notes,
        "caution": CAUTION,
        "drawings": drawings,
    }


def _cell(words: str, unit: str) -> list[str]:
    """A figure and its unit; what is words alone has none."""
    return [words, unit if words[:1].isdigit() or words[:1] in "-<" else ""]
