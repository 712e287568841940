"""Persons as they are asked of `bedwright lying`: who, how they lie, on which pillow; every fault under its option."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from bedcli.bed_asked import kept, place_asked
from bedwright import typed
from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import Fault, NotUnderstood
from bedwright.mechanics.base import Base
from bedwright.mechanics.lying import Lies, Pillow
from bedwright.mechanics.person import person
from bedwright.works.works import Works

POSTURES = ("supine", "side")
FACINGS = ("left", "right")
UPPER_LEGS = ("on the bed", "on the other leg")
LONGEST = 60  # characters of one answer
_PILLOW = re.compile(r"(?P<height>.+?) *[, ] *(?P<stiffness>[^ ]+) *kpa", re.I)


@dataclass(frozen=True, slots=True)
class Words:
    """What was typed of one person, None where it was left out; mark: before the options' names, "" or "with-"."""

    person: str
    posture: str | None
    facing: str | None
    pillow: str | None
    upper_leg: str | None
    place: str | None
    mark: str = ""

    def option(self, name: str) -> str:
        """The option that says it, as typed."""
        return f"--with{'' if name == 'person' else '-' + name}" if self.mark else f"--{name}"


@dataclass(frozen=True, slots=True)
class Question:
    """Who lies down on what: cell [mm], settled [%]; said: what was taken where nothing was asked."""

    works: Works
    bed: BedAtSize
    lies: tuple[Lies, ...]
    face: str
    base: Base
    cell: float
    settled: float
    said: tuple[str, ...] = ()


def lies(words: Words, faults: list[Fault]) -> Lies | None:
    """A person as it lies, or None with the faults kept."""
    before = len(faults)
    option = words.option
    who = kept(lambda: person(words.person), option("person"), faults)
    posture = one_of(words.posture, POSTURES, option("posture"), faults) or "supine"
    facing = one_of(words.facing, FACINGS, option("facing"), faults)
    leg = one_of(words.upper_leg, UPPER_LEGS, option("upper-leg"), faults)
    cushion = None if words.pillow is None else kept(lambda: pillow(words.pillow or ""), option("pillow"), faults)
    at = None if words.place is None else kept(lambda: place_asked(words.place or ""), option("place"), faults)
    if posture == "supine":
        for name, given in (("facing", facing), ("upper-leg", leg)):
            if given is not None:
                says = f"{given} is said of a person who lies supine"
                faults.append(Fault(says=says, remedy=f"say {option('posture')} side, or leave it", field=option(name)))
    if len(faults) > before or who is None:
        return None
    found = Lies(person=who, posture="side" if posture == "side" else "supine", x=at, pillow=cushion)
    if facing is not None:
        found = replace(found, facing="left" if facing == "left" else "right")
    if leg is not None:
        found = replace(found, upper_leg="on the bed" if leg == "on the bed" else "on the other leg")
    return found


def one_of(text: str | None, allowed: tuple[str, ...], option: str, faults: list[Fault]) -> str | None:
    """One of a few answers, in small letters and single blanks; None where nothing was typed or it is none of them."""
    if text is None:
        return None
    plain = " ".join(text.lower().split())
    if plain in allowed:
        return plain
    remedy = "write " + " or ".join(f'"{one}"' if " " in one else one for one in allowed)
    faults.append(Fault(says="is none of the answers", remedy=remedy, value=text[:LONGEST], field=option))
    return None


def pillow(text: str) -> Pillow:
    """A pillow as "100 mm 5 kPa": height unpressed, and stress over share pressed in. Raises NotUnderstood."""
    plain = " ".join(text.split())
    found = _PILLOW.fullmatch(plain) if len(plain) <= LONGEST else None
    if found is None:
        raise NotUnderstood(text[:LONGEST], "is no pillow", 'write height and stiffness, as "100 mm 5 kPa"')
    height, stiffness = typed.length_mm(found["height"]), typed.number(found["stiffness"])
    if not (0 < height <= 300 and 0.5 <= stiffness <= 100):
        raise NotUnderstood(text[:LONGEST], "is outside 1 to 300 mm and 0.5 to 100 kPa", "give one within")
    return Pillow(height, stiffness)


def percent(text: str) -> float:
    """A share of a hundred, "50" or "50 %". Raises NotUnderstood."""
    value = typed.number(text.strip().removesuffix("%"))
    if not 0 <= value <= 100:
        raise NotUnderstood(text[:LONGEST], "is outside 0 to 100 %", "give 0 for a new bed, 100 for all of its set")
    return value


def turned_over(one: Lies) -> Lies:
    """The same person after turning: from supine onto the side, or back; on the same pillow where one was given."""
    return replace(one, posture="supine" if one.posture == "side" else "side")
