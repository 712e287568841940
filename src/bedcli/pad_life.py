"""Settling of a bed and life of its coils as JSON and as lines for people: intervals, what is not known, no years."""

from __future__ import annotations

import textwrap
from typing import Any

from bedcli.coil import cycle_json
from bedwright import typed
from bedwright.mechanics.published_grades import MARK_GRADES
from bedwright.mechanics.roller_life import CoilUnderForce, RollerLife
from bedwright.mechanics.settling import Settling, between

NO_YEARS = "no promise of years"
WIDE = 118
FLAT = {
    True: "may be pressed flat without a set",
    False: "takes a set when pressed flat",
    None: "pressed flat: too close to call",
}


def settling_json(found: Settling | str) -> dict[str, Any]:
    """Loss of height in the middle of the bed; a high end of null is not bounded by anything known."""
    if isinstance(found, str):
        return {"high_mm": None, "low_mm": None, "promise": NO_YEARS, "why_not": found}
    best, worst = found.grades
    return {
        "first": found.first,
        "grades": {"best": best, "book": MARK_GRADES.book, "of": MARK_GRADES.says, "worst": worst},
        "high_mm": found.high,
        "known_high_mm": found.known_high,
        "low_mm": found.low,
        "most_likely_mm": found.value,
        "not_known": list(found.not_known),
        "notes": list(found.notes),
        "parts": [{"high_mm": p.high, "how": p.how, "low_mm": p.low, "name": p.name} for p in found.parts],
        "promise": NO_YEARS,
        "source": found.source,
        "where": "the middle of the bed",
    }


def settling_lines(found: Settling | str) -> list[str]:
    """The same for people, parts in the order in which they settle."""
    if isinstance(found, str):
        return ["", f"Settling, {NO_YEARS}: not known: {found}"]
    best, worst = found.grades
    grade = f"grade {best} (best is 1 of 5)" + (f" to {worst}" if worst != best else "")
    if worst is None:
        grade = f"no grade, since nothing bounds the loss; {best} (best is 1 of 5) or worse"
    lines = ["", f"Settling in the middle, {found.source}, {NO_YEARS}:", f"  {found.told}"]
    for part in found.parts:
        lines += _hung(f"  {part.name:<17}{between(part.low, part.high):<20}", part.how)
    said = (note for note in found.notes if not note.startswith(tuple(f"{part.name}: " for part in found.parts)))
    return [*lines, f"  {grade} of {MARK_GRADES.says} (book {MARK_GRADES.book})", *_notes(said)]


def life_json(found: RollerLife | str | None) -> dict[str, Any] | None:
    """The most pressed coil of each kind, pressed on to the roller's force; None where nobody asked."""
    if found is None or isinstance(found, str):
        return None if found is None else {"coils": [], "promise": NO_YEARS, "why_not": found}
    return {
        "coils": [_coil(coil) for coil in found.coils],
        "contact": "the pad's, not the roller's",
        "depth_mm": found.depth,
        "force_n": found.force,
        "not_under_the_pad": list(found.away),
        "notes": list(found.notes),
        "promise": NO_YEARS,
        "residual": found.residual,
    }


def life_lines(found: RollerLife | str | None) -> list[str]:
    """The same for people."""
    if found is None or isinstance(found, str):
        return [] if found is None else ["", f"Life of the coils, {NO_YEARS}: not known: {found}"]
    lines = ["", f"The most pressed coil of each kind, pad pressed on to {found.force:g} N, {NO_YEARS}:"]
    show = typed.show
    for coil in found.coils:
        cycle, check = coil.check.cycle, coil.check
        stress = f"{show(cycle.low, 2)} to {show(cycle.high, 2)} MPa in its {show(cycle.diameter, 2)} mm turn"
        factors = "it does not move"
        if cycle.amplitude > 0:
            factors = f"Goodman {show(check.goodman.factor, 2)}, Gerber {show(check.gerber.factor, 2)}"
        way = f"{show(coil.least, 2)} to {show(coil.greatest, 2)} mm down"
        lines.append(f"  {coil.code:<12}{way}, {stress}; {factors}; {FLAT[check.flat.may]}")
    return [*lines, *_notes(dict.fromkeys(note for coil in found.coils for note in _of(coil))), *_notes(found.notes)]


def _of(coil: CoilUnderForce) -> list[str]:
    """Notes of a coil under its code; the one that ends every check is said once for all."""
    *own, last = coil.check.notes
    return [*(f"{coil.code}: {note}" for note in own), last]


def _coil(coil: CoilUnderForce) -> dict[str, Any]:
    return {
        **cycle_json(coil.check),
        "coil": coil.code,
        "held_by_pocket_mm": coil.held,
        "may_be_pressed_flat": coil.check.flat.may,
        "notes": list(coil.check.notes),
        "pressed_solid": coil.solid,
        "way_mm": [coil.least, coil.greatest],
    }


def _notes(notes: Any) -> list[str]:
    return [line for note in notes for line in _hung("  - ", note)]


def _hung(head: str, words: str) -> list[str]:
    """Words behind a head, the lines after the first under their beginning."""
    return textwrap.wrap(words, WIDE, initial_indent=head, subsequent_indent=" " * len(head))
