"""A weigh-up of a brief as long work: builds pressed one after another, the best set solved in full, its scatter.

It tells amounts of money: its page is for those who deal in them.
"""

from __future__ import annotations

from typing import Any

from bedsite.longwork.kinds import Told, WeighUpOf
from bedsite.longwork.reckon import works_asked
from bedwright.mechanics.lain import CAUTION
from bedwright.papers.drawings.words import span
from bedwright.typed import show
from bedwright.weigh_up import AIMS, Question, best_set, brief_question, search
from bedwright.weighing.best import Member
from bedwright.weighing.drawn import draw_best_set
from bedwright.weighing.search import Tried

PREDICTED = "Predicted from the cards, not measured: make and press a sample before a figure is promised."
NO_ANSWER = "No build answers the brief: shown is the one that misses it least."
NO_INTERVAL = "Pressures and spines have no interval here; set beds side by side to be told each with its own."
FULL_SHARE = 5
"""Presses of a search that one build solved in full is told as, for the bar alone."""


def weigh_up_of(inputs: WeighUpOf, tell: Told) -> Any:
    """Search and tell the best set. Raises what bedwright.weigh_up does; cancelled between two builds."""
    asking = brief_question(works_asked(inputs), inputs.brief)
    whole = inputs.work * FULL_SHARE // 4 + 1

    def pressed(done: int, of: int, answers: int) -> None:
        tell(done, whole, f"{done} of {of} builds pressed, {answers} answer the brief")

    def solved(done: int, of: int) -> None:
        tell(inputs.work + (whole - inputs.work) * done // (of + 1), whole, f"{done} of {of} builds solved in full")

    found = search(asking, inputs.work, inputs.seed, told=pressed)
    best = best_set(asking, found, inputs.seed, told=solved)
    ask = asking.ask
    members = [_member(asking, one) for one in best.members]
    shared = [says for says in members[0]["says"] if all(says in one["says"] for one in members)]
    for one in members:
        one["says"] = [says for says in one["says"] if says not in shared]
    return {
        "brief": ask.brief.code,
        "size": asking.spaces[0].size,
        "work": inputs.work,
        "seed": inputs.seed,
        "aims": [AIMS[aim][0] for aim in ask.aims],
        "currency": asking.works.about.currency,
        "persons": [one.called for one in ask.persons],
        "facts": [
            ["from", ", ".join(f"{space.bed} ({len(space.knobs)} knobs)" for space in asking.spaces)],
            ["aims", "; ".join(AIMS[aim][0] for aim in ask.aims)],
            ["pressed", f"{len(found.tried) + found.failed} builds, seed {inputs.seed}; {found.stopped}"],
            ["answer the brief", f"{len(found.answers)}, as screened on the coarse mesh"],
            ["refused unpressed", f"{sum(found.refused.values())} proposals"],
        ],
        "members": members,
        "own": None if best.own is None else _figures(asking, best.own),
        "own_bed": ask.brief.bed or "",
        "own_says": best.own_says or (best.own.facts.refused if best.own is not None else ""),
        "no_answer": NO_ANSWER if any(one.one.off > 0 for one in best.members) else "",
        "notes": [
            PREDICTED,
            *(f"Of every build: {says}." for says in shared),
            f"Screened H was at most {100 * best.apart:.1f} % off the full one in this set.",
            *([f"{best.left} builds more of the best set lie between those shown."] if best.left else []),
            *([f"{best.dropped} were dropped once solved in full."] if best.dropped else []),
            *([NO_INTERVAL] if ask.persons else []),
        ],
        "caution": CAUTION if ask.persons else "",
        "scatter": str(draw_best_set(asking, found, best)) if len(ask.aims) > 1 else "",
    }


def _member(asking: Question, one: Member) -> dict[str, Any]:
    chances: tuple[str, ...] = ()
    if one.chance is not None and one.chance_made is not None:
        chances = (f"beds outside the band: {one.chance.words()}; by making alone {one.chance_made.words()}",)
    return {
        "code": one.build.code,
        "changes": list(one.build.changes) or ["the bed as it is"],
        "figures": _figures(asking, one.one),
        "says": [*one.says, *one.notes, *chances],
    }


def _figures(asking: Question, one: Tried) -> list[str]:
    """H, height, mass, springs, steel, carbon, cost, then P99 of the person where it is worst, where persons are."""
    facts, sure = one.facts, one.behaviour.sure
    h = show(one.behaviour.h, 3) if sure is None else span(one.behaviour.h, sure.low, sure.high)
    found = [
        h,
        f"{facts.height:.0f}",
        span(facts.mass, facts.mass_low, facts.mass_high),
        str(facts.springs),
        show(facts.steel, 3),
        show(facts.carbon, 3),
        f"{facts.cost:.2f}",
    ]
    persons = one.behaviour.persons
    if asking.ask.persons:
        found.append(show(max(lain.p99 for lain in persons.values()), 3) if persons else "not known")
    return found
