"""What a brief asks, as a weigh-up takes it: the band of H, what is to be as small as can be, ceilings, persons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bedwright.errors import Fault, FaultsFound
from bedwright.mechanics.person import Person, person
from bedwright.mechanics.posture import Posture
from bedwright.works.trading import Brief

AIMS: dict[str, tuple[str, str]] = {
    "hardness": ("way of H from the middle of the band, as a share of half the band", ""),
    "cost": ("cost of one to the works", "money"),
    "mass": ("mass of the bed", "kg"),
    "carbon": ("carbon, cradle to gate", "kg CO2e"),
    "edge": ("what H near the border lacks of H in the middle", "share"),
    "pressure": ("P99 of the pressure, of the person where it is worst", "kPa"),
    "spine": ("largest departure of the spine from its line, of the person where it is worst", "mm"),
}
"""Everything that may be aimed at, each to be small: what it is, and its unit."""
MOST_AIMS = 5
POSTURES: tuple[Posture, ...] = ("supine", "side")
HALF_WIDTH = 0.5
"""Half width [N/mm] by which a wish without a band's other end is measured."""


@dataclass(frozen=True, slots=True)
class Suited:
    """A person to suit, and how they lie."""

    person: Person
    posture: Posture

    @property
    def called(self) -> str:
        """As "man 1755 mm 80 kg side"."""
        return f"{self.person.called} {self.posture}"


@dataclass(frozen=True, slots=True)
class Asked:
    """A brief ready to be weighed up. band [N/mm] of H as tangent, None at an end left open; aims in their order."""

    brief: Brief
    band: tuple[float | None, float | None]
    persons: tuple[Suited, ...]
    aims: tuple[str, ...]

    @property
    def edge(self) -> bool:
        """Whether the edge has to be pressed."""
        return self.brief.edge_least is not None or "edge" in self.aims

    def away(self, h: float) -> float:
        """How far H [N/mm] lies from the middle of the band, 1 at its ends; of a half-open band 0 well inside."""
        low, high = self.band
        if low is not None and high is not None:
            half = max((high - low) / 2, 1e-9)
            return abs(h - (low + high) / 2) / half
        if low is not None:
            return max(0.0, 1 + (low - h) / HALF_WIDTH)
        return max(0.0, 1 + (h - high) / HALF_WIDTH) if high is not None else 0.0

    def outside(self, h: float) -> float:
        """By how much H lies outside the band, in half widths; 0 inside."""
        return max(0.0, self.away(h) - 1)


def asked(brief: Brief, aims: Sequence[str] = ()) -> Asked:
    """A brief as it is weighed up. aims: of AIMS; empty takes what the brief speaks of.

    Raises FaultsFound with all that cannot be weighed up: no figure to aim at, a person that cannot be read or is out
    of scope, an aim of which nothing is asked.
    """
    faults: list[Fault] = []
    persons = []
    for text in brief.listed_persons:
        try:
            persons.append(suited(text))
        except FaultsFound as error:
            faults += [replace(one, card=brief.called, field="persons") for one in error.faults]
    band = (brief.h_low, brief.h_high)
    spoken = {
        "hardness": band != (None, None),
        "cost": True,
        "mass": brief.mass_max is not None,
        "carbon": brief.carbon_max is not None,
        "edge": brief.edge_least is not None,
        "pressure": bool(persons),
        "spine": bool(persons),
    }
    wanted = tuple(dict.fromkeys(aims)) or _usual(spoken)
    for aim in wanted:
        if aim not in AIMS:
            faults.append(Fault(f"is no aim: {aim!r}", f"there are {', '.join(AIMS)}", card=brief.called, field="aims"))
        elif aim in ("hardness", "pressure", "spine") and not spoken[aim] and not faults:
            lacks = "h_low and h_high are empty" if aim == "hardness" else "persons is empty"
            faults.append(Fault(f"aims at {aim}, and {lacks}", "fill it in", card=brief.called, field="aims"))
    if len(wanted) < 2 and not faults:
        says = f"only {wanted[0] if wanted else 'nothing'} is aimed at, and a weigh-up needs two aims"
        faults.append(Fault(says, "give a band of H, or persons, or name more aims", card=brief.called, field="h_low"))
    if len(wanted) > MOST_AIMS:
        says = f"{len(wanted)} aims are too many: nearly every build would be the best in one of them"
        faults.append(Fault(says, f"name {MOST_AIMS} or fewer", card=brief.called, field="aims"))
    if faults:
        raise FaultsFound(faults)
    return Asked(brief, band, tuple(persons), wanted)


def _usual(spoken: dict[str, bool]) -> tuple[str, ...]:
    """Aims of a brief that names none: what it speaks of, and the cost; at most three, for a set that can be read."""
    order = ("hardness", "cost", "pressure", "spine", "edge", "mass", "carbon")
    return tuple(aim for aim in order if spoken[aim])[: 3 if not spoken["pressure"] else 4]


def suited(text: str) -> Suited:
    """ "man 1755 mm 80 kg side" as a person and a posture; supine where none is said. Raises FaultsFound."""
    words = text.split()
    posture: Posture = "supine"
    for one in POSTURES:
        if words and words[-1].casefold() == one:
            posture = one
            words.pop()
            break
    return Suited(person(" ".join(words)), posture)
