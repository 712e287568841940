"""The best set: each member solved in full, what it gains and costs, how often a made bed would miss the band."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass

import numpy as np

from bedwright.errors import Fault, FaultsFound, NotConverged
from bedwright.identity import fold
from bedwright.typed import show
from bedwright.weighing.asked import Asked
from bedwright.weighing.behaviour import FULL, How
from bedwright.weighing.builds import Build, build
from bedwright.weighing.chances import Chance, outside_band
from bedwright.weighing.facts import Facts
from bedwright.weighing.fronts import spread, unbeaten
from bedwright.weighing.search import Searched, Serial, Tried, Workers, tried
from bedwright.weighing.task import Question, known, untold
from bedwright.words import counted
from bedwright.works.card import Card

MOST = 12
"""Members that are solved in full and told, unless more are asked for."""
PLAIN = {
    "hardness": ("nearest to the middle of the band", "H from the middle of the band"),
    "cost": ("cheapest", "cost"),
    "mass": ("lightest", "mass"),
    "carbon": ("least carbon", "carbon"),
    "edge": ("firmest edge", "edge"),
    "pressure": ("least P99", "P99"),
    "spine": ("straightest spine", "departure of the spine"),
}
NO_REPORT = "no fire report covers a draft build: what it must meet, a laboratory tests on the build as made"


@dataclass(frozen=True, slots=True)
class Member:
    """A member of the best set. one: solved in full; screened: H of the search [N/mm]; fits: its reasons to look again
    that are not grave; chance: of a made bed outside the band, with all that is open, and by making alone; says: what
    it gains and costs, sentence by sentence."""

    build: Build
    one: Tried
    screened: Tried
    notes: tuple[str, ...]
    chance: Chance | None
    chance_made: Chance | None
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BestSet:
    """Members in the order of the first aim; own: the bed that the brief names, solved in full, None where there is
    none or it does not settle, and own_says why; left: of the set that was not told; dropped: beaten once solved in
    full; apart: largest share by which a screened H was off."""

    members: tuple[Member, ...]
    own: Tried | None
    own_says: str
    left: int
    dropped: int
    apart: float
    failed: tuple[str, ...]


def best_set(
    asking: Question,
    found: Searched,
    seed: int,
    *,
    workers: Workers | None = None,
    most: int = MOST,
    told: Callable[[int, int], None] | None = None,
    how: How = FULL,
) -> BestSet:
    """Solve the best of a search in full, at most `most` that lie far apart, and say what each gains and costs.

    A member that another beats, or that misses the band, once both are solved in full is dropped. Raises FaultsFound
    when a search pressed nothing, NotConverged when nothing of the set settles in full.
    """
    if not found.best:
        raise FaultsFound([_nothing(asking, found)])
    rows = [found.tried[index] for index in found.best]
    kept = [rows[index] for index in spread(np.array([one.aims for one in rows]), most)]
    own = _own_key(asking)
    keys = [(one.space, one.places) for one in kept]
    extra = [own] if own is not None and own not in keys else []
    solved: list[Tried | str] = []
    for key, answer in zip(
        [*keys, *extra], (workers or Serial()).each(asking.payload(), [*keys, *extra], asdict(how)), strict=True
    ):
        behaves = untold(answer)
        fact = known(asking, *key)
        solved.append(behaves.failed or tried(asking, key, fact, behaves))
        if told is not None:
            told(len(solved), len(keys) + len(extra))
    own_solved = None if own is None else solved[[*keys, *extra].index(own)]
    good = [(k, s) for k, s in zip(kept, solved, strict=False) if isinstance(s, Tried)]
    failed = tuple(s for s in solved[: len(kept)] if isinstance(s, str))
    if not good:
        raise NotConverged(f"no member of the best set settles in full: {failed[0]}", residual=1.0)
    stay = _stay([one for _, one in good])
    pairs = [good[index] for index in stay]
    base = own_solved if isinstance(own_solved, Tried) else None
    members = tuple(
        _member(asking, one, screened, [other for _, other in pairs], base, seed) for screened, one in pairs
    )
    return BestSet(
        members=members,
        own=base,
        own_says="" if own_solved is None or isinstance(own_solved, Tried) else own_solved,
        left=len(rows) - len(kept),
        dropped=len(good) - len(stay),
        apart=max(abs(k.behaviour.h / s.behaviour.h - 1) for k, s in good),
        failed=failed,
    )


def _nothing(asking: Question, found: Searched) -> Fault:
    """Why there is no set at all."""
    reasons = sorted(found.refused.items(), key=lambda one: (-one[1], one[0]))[:3]
    told = ", ".join(f"{count} {why}" for why, count in reasons) or "none was proposed"
    failed = f"; {counted(found.failed, 'build')} did not settle" if found.failed else ""
    return Fault(
        f"no build was found that fits and holds the ceilings: {sum(found.refused.values())} proposals refused ({told})"
        f"{failed}",
        "ask less of it, allow more parts, or start from another bed",
        card=asking.ask.brief.called,
    )


def drafts(asking: Question, best: BestSet) -> tuple[Card, ...]:
    """Every card that the best set's builds are made of and the works does not have, each once."""
    found: dict[tuple[str, str], Card] = {}
    for member in best.members:
        for card in member.build.works.all_cards():
            if asking.works.find(card.code, [card.KIND]) is None:
                found.setdefault((card.KIND, fold(card.code)), card)
    return tuple(found.values())


def _own_key(asking: Question) -> tuple[int, tuple[int, ...]] | None:
    """The bed that the brief names, as a build of the question; also where it is no answer to the brief."""
    named = asking.ask.brief.bed
    for index, space in enumerate(asking.spaces):
        if named is not None and space.bed.casefold() == named.casefold():
            return index, space.start
    return None


def _stay(solved: Sequence[Tried]) -> list[int]:
    """Which stay once solved in full: those that answer the brief and are unbeaten, in the order of their aims."""
    inside = [index for index, one in enumerate(solved) if one.off == 0] or list(range(len(solved)))
    rows = [inside[row] for row in unbeaten(np.array([solved[index].aims for index in inside]))]
    return sorted(rows, key=lambda index: solved[index].aims)


def _member(
    asking: Question, one: Tried, screened: Tried, others: Sequence[Tried], own: Tried | None, seed: int
) -> Member:
    ask, behaves = asking.ask, one.behaviour
    made = build(asking.works, asking.spaces[one.space], one.places, ask.brief)
    band = _band(ask)
    chance = made_chance = None
    if behaves.sure is not None and ask.band != (None, None):
        chance = outside_band(behaves.h, behaves.sure.moves, band, seed)
        made_chance = outside_band(behaves.h, behaves.sure.moves, band, seed, made=True)
    notes = [*one.facts.not_known] and [f"not in the sums: {', '.join(one.facts.not_known)}"]
    if made.bed.bed.hazard is not None and made.changes:
        notes.append(NO_REPORT)
    if behaves.closes:
        notes.append("coils close before H is read: press a sample before anything is said of it")
    return Member(
        made, one, screened, tuple(notes), chance, made_chance, says(ask, one, others, own, asking.works.about.currency)
    )


def _band(ask: Asked) -> tuple[float, float]:
    low, high = ask.band
    return (0.0 if low is None else low, float("inf") if high is None else high)


def says(ask: Asked, one: Tried, others: Sequence[Tried], own: Tried | None, currency: str = "") -> tuple[str, ...]:
    """What a member gains and costs: against the set, and against the bed that the brief names."""
    found = []
    if len(others) > 1:
        best, worst = [], []
        for place, aim in enumerate(ask.aims):
            figures = sorted(other.aims[place] for other in others)
            if one.aims[place] == figures[0] < figures[-1]:
                best.append(PLAIN[aim][0])
            elif one.aims[place] == figures[-1] > figures[0]:
                worst.append(PLAIN[aim][1])
        if best:
            found.append(f"of the set: {', '.join(best)}")
        if worst:
            found.append(f"pays for it with the most of all in {', '.join(worst)}")
        if not best and not worst:
            found.append(f"lies between: {_between(ask, one, others)}")
    if own is not None and (own.space, own.places) != (one.space, one.places):
        found.append(f"against {ask.brief.bed}: {', '.join(_beside(one, own, currency))}")
    return tuple(found)


def _between(ask: Asked, one: Tried, others: Sequence[Tried]) -> str:
    told = []
    for place, aim in enumerate(ask.aims):
        rank = 1 + sum(other.aims[place] < one.aims[place] for other in others)
        told.append(f"{PLAIN[aim][1]} place {rank} of {len(others)}")
    return ", ".join(told)


def _beside(one: Tried, own: Tried, currency: str) -> list[str]:
    h, was = one.behaviour.h, own.behaviour.h
    told = [f"H {show(h, 3)} N/mm, {_way(h - was, 'firmer', 'softer', 'N/mm')}"]
    for name, now, before, unit, more, less in _figures(one.facts, own.facts, currency):
        told.append(f"{name} {show(now, 4)} {unit}, {_way(now - before, more, less, unit)}")
    if one.behaviour.edge is not None and own.behaviour.edge is not None:
        told.append(f"edge {100 * one.behaviour.edge:.0f} % of the middle, was {100 * own.behaviour.edge:.0f} %")
    for name, lain in sorted(one.behaviour.persons.items()):
        before_lain = own.behaviour.persons.get(name)
        if before_lain is not None:
            told.append(f"P99 under {name} {show(lain.p99, 3)} kPa, was {show(before_lain.p99, 3)}")
            told.append(f"spine {show(lain.departure, 2)} mm off its line, was {show(before_lain.departure, 2)}")
    return told


def _figures(one: Facts, own: Facts, currency: str) -> list[tuple[str, float, float, str, str, str]]:
    if not own.mass:
        return []
    return [
        ("cost", one.cost, own.cost, currency, "dearer", "cheaper"),
        ("mass", one.mass, own.mass, "kg", "heavier", "lighter"),
        ("steel", one.steel, own.steel, "kg", "more", "less"),
        ("carbon", one.carbon, own.carbon, "kg CO2e", "more", "less"),
        ("height", one.height, own.height, "mm", "higher", "lower"),
    ]


def _way(change: float, more: str, less: str, unit: str) -> str:
    if abs(change) < 5e-4:
        return "the same"
    return f"{show(abs(change), 3)} {unit} {more if change > 0 else less}"
