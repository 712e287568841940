"""The best set handed to its drawing: over two of its aims, H itself where it is aimed at."""

from __future__ import annotations

from bedwright.papers.drawings.best_set import Member, Shown, best_set
from bedwright.weighing.best import BestSet
from bedwright.weighing.search import Searched, Tried
from bedwright.weighing.task import Question

WORDS = {
    "hardness": ("hardness H, tangent", "N/mm"),
    "cost": ("cost of one", ""),
    "mass": ("mass", "kg"),
    "carbon": ("carbon", "kg CO2e"),
    "edge": ("edge, of H in the middle", "%"),
    "pressure": ("P99 of the pressure", "kPa"),
    "spine": ("departure of the spine", "mm"),
}


def draw_best_set(asking: Question, found: Searched, best: BestSet) -> str:
    """The drawing over the first two aims; the bed of the brief is marked where it was solved."""
    ask = asking.ask
    up, across = ask.aims[0], ask.aims[1]
    members = [
        Member(one.build.code, _figure(asking, one.one, across), _figure(asking, one.one, up)) for one in best.members
    ]
    shown = {(one.one.space, one.one.places) for one in best.members}
    if best.own is not None and (best.own.space, best.own.places) not in shown and best.own.facts.mass:
        own = f"{ask.brief.bed} as it is"
        members.append(Member(own, _figure(asking, best.own, across), _figure(asking, best.own, up), marked=True))
    others = [
        (_figure(asking, one, across), _figure(asking, one, up))
        for one in found.answers
        if (one.space, one.places) not in shown
    ]
    return best_set(members, _axis(asking, across), _axis(asking, up), others)


def _figure(asking: Question, one: Tried, aim: str) -> float:
    """What is drawn of an aim: H itself, the edge as a share, else the aim."""
    if aim == "hardness":
        return one.behaviour.h
    if aim == "edge":
        return 100 * (one.behaviour.edge or 0.0)
    return one.aims[asking.ask.aims.index(aim)]


def _axis(asking: Question, aim: str) -> Shown:
    brief = asking.ask.brief
    word, unit = WORDS[aim]
    if aim == "hardness":
        return Shown(word, unit, "in the band", asking.ask.band)
    most = {
        "cost": None if brief.cost_max is None else float(brief.cost_max),
        "mass": brief.mass_max,
        "carbon": brief.carbon_max,
    }.get(aim)
    if aim == "edge":
        return Shown(word, unit, "more", (brief.edge_least, None))
    return Shown(word, unit or asking.works.about.currency, "less", (None, most))
