"""The sheet of persons lying: pressure, sinks, shares and spine on one bed, drawn and told; for comparing beds only."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from bedwright.design.bed_at_size import BedAtSize
from bedwright.mechanics.lain import THRESHOLD, Lying
from bedwright.mechanics.turned import Turned
from bedwright.papers.cautions import CERTIFIES_NOTHING, cautions
from bedwright.papers.drawings.body_on_bed import Marks, body_on_bed
from bedwright.papers.drawings.pressure_map import pressure_map
from bedwright.papers.drawings.two_person_section import two_person_section
from bedwright.papers.figures import Issue, Paper, file_stem, size_words
from bedwright.papers.lying_figures import NO_INTERVAL, told, turning_words, who_lies
from bedwright.papers.lying_surety import HOW, Sure, sure_rows
from bedwright.papers.typeset import Raw, typeset
from bedwright.typed import show

KEYS = ("lying", "infants")


def lying_sheet(
    issue: Issue,
    bed: BedAtSize,
    lying: Lying,
    *,
    marks: Sequence[Marks] = (),
    gap: tuple[float, float] | None = None,
    joint: float | None = None,
    turned: Sequence[Turned] = (),
    sure: Sequence[Sure] = (),
    more: Sequence[str] = (),
) -> Paper:
    """The sheet of one or two persons on a bed at size, A4, 2 to 3 pages.

    marks: of each person, where its parts lie, to point at them; gap: between the halves of a linked bed, joint: where
    two linked beds meet [mm from the left]; turned: what the turning of one does to the other; sure: of each person,
    how sure its figures are; more: sentences to add to the notes. Raises NotPrinted.
    """
    drawn: list[dict[str, Raw | str]] = [
        {
            "svg": body_on_bed(lying, index, 180.0, marks[index] if index < len(marks) else None, caution=False),
            "alt": f"{one.called} on {bed.key} from the side: sinks by part, line of the spine",
        }
        for index, one in enumerate(lying.persons)
    ]
    cut = two_person_section(lying, 180.0, gap, joint, caution=False)
    drawn.append({"svg": cut, "alt": f"{bed.key} cut across at the hips with those who lie there"})
    rows: list[object] = []
    for group, found in groupby(told(lying), key=lambda one: one.group):
        rows.append({"group": group})
        rows += [[one.word, *one.figures()] for one in found]
    data = {
        "issue": issue.plain(),
        "name": bed.bed.name or bed.bed.code,
        "lines": [
            f"{bed.bed.code}, size {bed.size.code}",
            size_words(bed.width, bed.length, bed.height),
            *(["two of it side by side, zip-linked"] if joint is not None else []),
            *who_lies(lying),
        ],
        "facts": _facts(lying),
        "map": pressure_map(lying, 104.0, joint),
        "map_alt": f"Pressure map of {bed.key}, in steps from {THRESHOLD:g} kPa, with the bodies' outlines",
        "headings": ["", *(_heading(lying, index) for index in range(len(lying.persons)))],
        "rows": rows,
        "drawn": drawn,
        "turned": [turning_words(one) for one in turned],
        "sure": sure_rows(lying, sure) if sure else [],
        "sure_headings": _sure_headings(lying),
        "notes": [HOW if sure else NO_INTERVAL, *more, *lying.notes, _sums(lying)],
        "cautions": [one.plain() for one in cautions(KEYS)],
        "certifies": CERTIFIES_NOTHING,
    }
    printed = typeset("lying_sheet", data, title=f"Persons lying on {bed.key}", as_of=issue.as_of)
    return Paper(f"lying_{file_stem(bed.bed.code, bed.size.code)}.pdf", printed.pdf, printed.written_out)


def _facts(lying: Lying) -> list[list[object]]:
    return [
        ["base", lying.base],
        ["face up", lying.face],
        ["touched from more than", {"v": f"{THRESHOLD:g}", "u": "kPa"}],
        ["cells of", {"v": show(lying.cell, 3), "u": "mm"}],
    ]


def _heading(lying: Lying, index: int) -> str:
    return str(index + 1) if len(lying.persons) > 1 else "figure"


def _sure_headings(lying: Lying) -> list[str]:
    found = ["figure"]
    for index in range(len(lying.persons)):
        found += [str(index + 1) if len(lying.persons) > 1 else "with interval", "moved most by"]
    return found


def _sums(lying: Lying) -> str:
    left = show(100 * lying.residual, 1)
    return (
        f"Left unbalanced in the bed: {left} % of the weight. Model: {lying.model}; {lying.nodes} points of the plan."
    )
