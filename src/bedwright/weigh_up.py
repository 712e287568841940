"""The door of the weigh-up: a question from a brief, the search, the best set. Nothing in a room imports it.

question = brief_question(works, "BRIEF-1")
found = search(question, work=200, seed=1)
best = best_set(question, found, seed=1)
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from bedwright.errors import BedwrightError, Fault, FaultsFound
from bedwright.weighing.asked import AIMS, Asked, asked
from bedwright.weighing.behaviour import COARSE, FULL, How
from bedwright.weighing.best import BestSet, Member, best_set, drafts
from bedwright.weighing.search import Searched, Serial, Workers, search
from bedwright.weighing.space import Space, Value, space_of
from bedwright.weighing.state import State, state_of
from bedwright.weighing.task import Question, weigh
from bedwright.works.trading import MAY_VARY, Brief
from bedwright.works.works import Works


def brief_question(
    works: Works,
    brief: str,
    *,
    aims: Sequence[str] = (),
    beds: Sequence[str] = (),
    only: Mapping[str, Sequence[Value]] | None = None,
    day: date | None = None,
) -> Question:
    """The question of a brief of the works.

    beds: to start from; empty takes the brief's own, or every bed with as many faces as asked. only: knobs to vary and
    their values, all others stay. Raises FaultsFound with all that is wrong: no such brief or bed, parts that are not
    there, persons out of scope, nothing to aim at.
    """
    card = works.briefs.get(brief)
    if card is None:
        raise FaultsFound([Fault("is no brief of this works", f"there are {_listed(works)}", value=brief[:60])])
    faults: list[Fault] = []
    ask: Asked | None = None
    try:
        ask = asked(card, aims)
    except FaultsFound as error:
        faults += error.faults
    faults += _parts(works, card)
    codes = list(beds) or ([card.bed] if card.bed is not None else _starts(works, card))
    strange = [code for code in codes if code not in works.beds]
    faults += [
        Fault("is no bed of this works", f"there are {', '.join(one.code for one in works.beds)}", value=code[:60])
        for code in strange
    ]
    if not codes:
        faults.append(Fault("no bed of this works has the faces asked", "name one with --bed", card=card.called))
    if faults or ask is None:
        raise FaultsFound(faults)
    spaces = tuple(space_of(works, works.beds[code], works.sizes[card.size], card.listed_parts) for code in codes)
    if only is not None:
        spaces = tuple(space.only(only) for space in spaces)
    return Question(works, ask, spaces, day or works.about.as_of)


def _listed(works: Works) -> str:
    return ", ".join(one.code for one in works.briefs) or "none on its cards"


def _parts(works: Works, card: Brief) -> list[Fault]:
    return [
        Fault(
            f"allows {code!r}, and the works has no {', '.join(MAY_VARY[:-1])} or {MAY_VARY[-1]} of that code",
            "name parts of the works, parted by ;", card=card.called, field="allowed_parts", value=code,
        )
        for code in card.listed_parts
        if works.find(code, MAY_VARY) is None
    ]  # fmt: skip


def _starts(works: Works, card: Brief) -> list[str]:
    """Beds to start from where the brief names none: those with its faces that can be made at its size."""
    found = []
    for bed in works.beds:
        if card.faces is None or bed.faces == card.faces:
            try:
                space_of(works, bed, works.sizes[card.size])
            except BedwrightError:
                continue
            found.append(bed.code)
    return found


__all__ = [
    "AIMS", "COARSE", "FULL", "Asked", "BestSet", "How", "Member", "Question", "Searched", "Serial", "Space", "State",
    "Value", "Workers", "best_set", "brief_question", "drafts", "search", "space_of", "state_of", "weigh",
]  # fmt: skip
