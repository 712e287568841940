"""What a bed lies on: a solid base, slats, or a sprung base; read from a few words.

    solid
    slats 65 mm gap 55 mm bend 12 N/mm
    sprung 40 kPa/m

A test to EN 1957 lies on a solid base (book `en-1957`); another base answers another question, and its figures are
not compared with a report's. Stiffness of slats and of a sprung base are the user's own measurements: load the middle
of one slat, or a flat board on the base, with known weights, and read how far it goes down.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from bedwright import typed
from bedwright.errors import Fault, FaultsFound, NotUnderstood

Form = Literal["solid", "slatted", "sprung"]
HOW = 'write "solid", "slats 65 mm gap 55 mm bend 12 N/mm" or "sprung 40 kPa/m"'
LONGEST = 200  # characters

# Bounds of sense, no measurements: far beyond what is built.
LIMITS: dict[str, tuple[float, float, str]] = {
    "slat_width": (5.0, 500.0, "mm"),
    "slat_gap": (0.0, 500.0, "mm"),
    "slat_stiffness": (0.1, 10_000.0, "N/mm"),
    "spring_stiffness": (1.0, 100_000.0, "kPa/m"),
}

_SLATS = re.compile(
    r"slat(?:s|ted) (?P<width>[^ ].*?) gaps? (?P<gap>.+?) (?:bend|stiffness) (?P<bend>[^ ]+?) ?n/mm", re.I
)
_SPRUNG = re.compile(r"sprung (?P<spring>[^ ]+?) ?kpa/m", re.I)


@dataclass(frozen=True, slots=True)
class Base:
    """A base; what its form does not have is 0.

    slat_width, slat_gap: of slats that lie across the bed [mm]; slat_stiffness: force that bends one slat a millimetre
    at mid span [N/mm]; spring_stiffness: of a sprung base, pressure over way [kPa/m].
    """

    form: Form = "solid"
    slat_width: float = 0.0
    slat_gap: float = 0.0
    slat_stiffness: float = 0.0
    spring_stiffness: float = 0.0

    def words(self) -> str:
        """The words that `base` reads back into this base, to six figures; what papers print."""
        if self.form == "slatted":
            return f"slats {self.slat_width:g} mm gap {self.slat_gap:g} mm bend {self.slat_stiffness:g} N/mm"
        return f"sprung {self.spring_stiffness:g} kPa/m" if self.form == "sprung" else "solid"


SOLID = Base()


def base(text: str) -> Base:
    """The base that a few words say. Raises FaultsFound with every fault."""
    plain = " ".join(text.split())
    if len(plain) > LONGEST:
        raise FaultsFound([_fault("", f"{len(plain)} characters are too long", HOW)])
    if plain.lower() in {"solid", "solid base"}:
        return SOLID
    slats, sprung = _SLATS.fullmatch(plain), _SPRUNG.fullmatch(plain)
    faults: list[Fault] = []
    if slats is not None:
        width = _length("slat_width", slats["width"], faults)
        gap = _length("slat_gap", slats["gap"], faults)
        bend = _number("slat_stiffness", slats["bend"], faults)
        found = Base("slatted", width, gap, bend)
    elif sprung is not None:
        found = Base("sprung", spring_stiffness=_number("spring_stiffness", sprung["spring"], faults))
    else:
        faults.append(_fault("", "is no base known here", HOW, plain))
    if faults:
        raise FaultsFound(faults)
    return found


def _fault(field: str, says: str, remedy: str, value: str = "") -> Fault:
    return Fault(says=says, remedy=remedy, value=value[:80], card="base", field=field)


def _length(field: str, text: str, faults: list[Fault]) -> float:
    try:
        return _within(field, typed.length_mm(text, bare="mm"), text, faults)
    except NotUnderstood as error:
        faults.append(_fault(field, error.fault.says, error.fault.remedy, error.fault.value))
    return 0.0


def _number(field: str, text: str, faults: list[Fault]) -> float:
    try:
        return _within(field, typed.number(text), text, faults)
    except NotUnderstood as error:
        faults.append(_fault(field, error.fault.says, error.fault.remedy, error.fault.value))
    return 0.0


def _within(field: str, value: float, text: str, faults: list[Fault]) -> float:
    low, high, unit = LIMITS[field]
    if not low <= value <= high:
        bounds = f"{typed.show(low)} to {typed.show(high)} {unit}"
        says = "is less than nothing" if value < 0 else "is nothing" if value == 0 else f"is outside {bounds}"
        faults.append(_fault(field, says, f"give {bounds}", text))
    return value
