"""A first sieve for lifting by hand: below it a lift needs no closer look, above it one is due. Not a legal limit.

HSE INDG143 / L23 lifting filter (hse-indg143), figures as on a workplace poster; frequency and twist from a training
text. Between the printed bands of frequency the stricter one is taken. Two or three people: from memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bedwright.errors import OutsideRange

Zone = Literal["shoulder to head", "elbow to shoulder", "knuckle to elbow", "mid leg to knuckle", "below mid leg"]
Reach = Literal["close", "extended"]
Who = Literal["man", "woman"]

# kg, by zone of the hands: (man close, man extended, woman close, woman extended)
_GRID: dict[Zone, tuple[int, int, int, int]] = {
    "shoulder to head": (10, 5, 7, 3),
    "elbow to shoulder": (20, 10, 13, 7),
    "knuckle to elbow": (25, 15, 16, 10),
    "mid leg to knuckle": (20, 10, 13, 7),
    "below mid leg": (10, 5, 7, 3),
}
_OFTEN = ((0.5, 1.0), (2.0, 0.7), (8.0, 0.5), (math.inf, 0.2))  # lifts a minute up to, factor
_TWIST = ((45.0, 1.0), (90.0, 0.9), (math.inf, 0.8))  # degrees up to, factor
_TEAM = {1: 1.0, 2: 2 / 3, 3: 1 / 2}  # share of the sum (from-memory)
TOO_HEAVY = "more than people should lift by hand: use a trolley, sack truck or tail-lift"
_PEOPLE = {1: "one person", 2: "two people", 3: "three people", None: TOO_HEAVY}
USUAL: tuple[tuple[Zone, Reach], ...] = (("knuckle to elbow", "close"),)
"""The usual lift of a bed: hands between knuckle and elbow, close to the body."""
USUAL_SAYS = (
    "HSE INDG143's filter for a woman, hands between knuckle and elbow, close: the lower figures, as anybody may lift; "
    "two or three together from memory. A filter, not a limit"
)
CAUTION = (
    "A filter for a first look, not a safe or legal limit: above it assess the lift, and look at grip and floor too."
)


@dataclass(frozen=True, slots=True)
class LiftFilter:
    """The filter mass [kg] and how it came about; says is the caution to print with it."""

    kg: float
    zone_kg: float
    frequency_factor: float
    twist_factor: float
    says: str = CAUTION
    book: str = "hse-indg143"


def lift_filter(
    who: Who, passes: Sequence[tuple[Zone, Reach]], *, lifts_per_minute: float = 0.5, twist: float = 0.0
) -> LiftFilter:
    """Filter mass for one person [kg]. HSE INDG143 (hse-indg143).

    passes: every zone and reach that the hands pass; the smallest counts. twist: of the trunk [degrees]. Raises
    OutsideRange.
    """
    if who not in ("man", "woman"):
        raise OutsideRange(f"{who!r} has no column in the filter; take man or woman, woman where it is not known")
    if not passes:
        raise OutsideRange("no zone given: name every zone that the hands pass")
    if not (0 <= lifts_per_minute < math.inf and 0 <= twist <= 180):
        raise OutsideRange(f"{lifts_per_minute} lifts a minute and a twist of {twist} degrees: 0 or more, twist to 180")
    masses = []
    for zone, reach in passes:
        if zone not in _GRID or reach not in ("close", "extended"):
            raise OutsideRange(
                f"{zone!r}, {reach!r} is not in the filter; zones: {', '.join(_GRID)}; close or extended"
            )
        masses.append(_GRID[zone][2 * (who == "woman") + (reach == "extended")])
    often = next(factor for limit, factor in _OFTEN if lifts_per_minute <= limit)
    turned = next(factor for limit, factor in _TWIST if twist <= limit)
    return LiftFilter(min(masses) * often * turned, min(masses), often, turned)


def team_filter(people: Sequence[LiftFilter]) -> float:
    """Filter mass for a lift together [kg]: two thirds of the sum for two, half for three (from-memory).

    Raises OutsideRange for more, where the filter says nothing.
    """
    share = _TEAM.get(len(people))
    if share is None:
        raise OutsideRange(f"the filter speaks of 1 to 3 people, not {len(people)}; use a lifting aid or assess it")
    return share * sum(one.kg for one in people)


def people_needed(mass: float, one: LiftFilter) -> int | None:
    """How many such people (1 to 3) keep a mass [kg] within the filter; None: more than three, so use an aid."""
    if not 0 <= mass < math.inf:
        raise OutsideRange(f"mass {mass} kg must be 0 or more")
    return next((count for count in (1, 2, 3) if mass <= team_filter([one] * count)), None)


def usual_people(mass: float, *, two_from: float = math.inf, who: Who = "woman") -> int | None:
    """How many people (1 to 3) the filter asks for the usual lift of a mass [kg]; None: more than three.

    two_from: the works' own mass from which two lift [kg], used where it is stricter; who: woman gives the lower
    figures, for a crew that is not known. Raises OutsideRange.
    """
    people = people_needed(mass, lift_filter(who, USUAL))
    return 2 if people == 1 and mass >= two_from else people


def people_words(people: int | None) -> str:
    """The verdict in words: one person to three people, or what to use instead."""
    return _PEOPLE[people]


def lift_words(mass: float, *, two_from: float = math.inf, weighed: bool = True) -> str:
    """The verdict on the usual lift of a mass [kg], with the mass and what the verdict rests on. Raises OutsideRange.

    weighed: False where the mass is an estimate from the size, and is said so. HSE INDG143 (hse-indg143).
    """
    verdict = people_words(usual_people(mass, two_from=two_from))
    return f"{verdict} ({mass_words(mass, weighed)}; filter, not a limit; HSE INDG143)"


def mass_words(mass: float, weighed: bool = True) -> str:
    """A mass [kg] in words: 42.4 kg, or about 31 kg, not weighed."""
    return f"{mass:.3g} kg" if weighed else f"about {mass:.0f} kg, not weighed"
