"""A person, from sex, stature and mass: sizes with their scatter, segments of the body; and as people type one.

Sizes by the regressions of book `ansur-2`, a person's own measures in place where there are any; masses, lengths and
centres of segments by book `de-leva-1996`. Adults only: infants and children are refused, and so is whoever lies far
outside the bodies that were measured. For comparing beds; no medical claim.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from bedwright.errors import Fault, FaultsFound, NotUnderstood, OutsideRange
from bedwright.mechanics.body_segments import Segment, centre_above_sole, segments
from bedwright.mechanics.body_tables import MASS, SEXES, STATURE, Sex, measured, regressions, spelled
from bedwright.mechanics.person_words import HOW, LENGTHS, quantities
from bedwright.mechanics.person_words import MASSES as MASS_UNITS
from bedwright.typed import length_mm, mass_kg, show

STATURES = (1400.0, 2100.0)
MASSES = (40.0, 160.0)
PLUMPNESS = (15.0, 55.0)
"""What is taken at all: stature [mm], mass [kg], mass over stature squared [kg/m2]. Wider than the bodies measured (the
hundredth smallest and largest are said in a note): beyond, straight lines through those bodies say nothing."""
LONGEST = 200  # characters of one typed person
OWN_WITHIN = 8.0
"""An own measure lies within so many spreads of the regression, else it is taken for a slip of unit or name."""


@dataclass(frozen=True, slots=True)
class SideLying:
    """Half breadths [mm] that lie under the middle of a person on the side. shoulder: least and most, for the lower
    shoulder moves forward: half the breadth over the acromia, and half that over the deltoids standing."""

    shoulder: tuple[float, float]
    waist: float
    hip: float

    @property
    def shoulder_below_hip(self) -> tuple[float, float]:
        """How much deeper the shoulder must sink than the hip for a level spine, least and most [mm]."""
        return self.shoulder[0] - self.hip, self.shoulder[1] - self.hip

    @property
    def shoulder_below_waist(self) -> tuple[float, float]:
        return self.shoulder[0] - self.waist, self.shoulder[1] - self.waist

    @property
    def hip_below_waist(self) -> float:
        return self.hip - self.waist


@dataclass(frozen=True, slots=True)
class Person:
    """sex "man" or "woman"; stature [mm]; mass [kg]; own: measures of this person [mm] by name, in place of the
    regression's. Raises FaultsFound with all that is wrong."""

    sex: Sex
    stature: float
    mass: float
    own: Mapping[str, float] = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        faults = body_faults(self.sex, self.stature, self.mass)
        if not faults:
            own, faults = _own(self)
            object.__setattr__(self, "own", own)
        if faults:
            raise FaultsFound(faults)

    @property
    def called(self) -> str:
        return f"{self.sex} {show(self.stature, 4)} mm {show(self.mass, 4)} kg"

    def size(self, name: str) -> float:
        """A size [mm] by its name: stature, own measures, else by the regression. Raises OutsideRange for no such."""
        name = spelled(name)
        if name == STATURE:
            return self.stature
        if name == MASS:
            raise OutsideRange("a person's mass is no size in mm; ask for .mass")
        return self.own[name] if name in self.own else regressions(self.sex)[name].at(self.stature, self.mass)

    def scatter(self, name: str) -> float:
        """Spread [mm] of persons of this sex, stature and mass about size(name); 0 for stature and own measures."""
        name = spelled(name)
        return 0.0 if name in self.own or name in (STATURE, MASS) else regressions(self.sex)[name].rmse

    @property
    def segments(self) -> dict[str, Segment]:
        """head (crown to seventh neck vertebra), upper, mid and lower trunk, upper arm, forearm, hand, thigh, shank and
        foot; the last six twice."""
        return segments(self.sex, self.stature, self.mass)

    @property
    def centre_of_mass(self) -> float:
        """Above the sole, standing, arms down [mm]."""
        return centre_above_sole(self.segments)

    @property
    def side_lying(self) -> SideLying:
        shoulder = sorted((self.size("biacromial_breadth") / 2, self.size("bideltoid_breadth") / 2))
        return SideLying((shoulder[0], shoulder[1]), self.size("waist_breadth") / 2, self.size("hip_breadth") / 2)

    @property
    def notes(self) -> tuple[str, ...]:
        """Where the person lies outside the middle 98 in 100 of those measured."""
        found = []
        for name, value, unit in ((STATURE, self.stature, "mm"), (MASS, self.mass, "kg")):
            table = measured(self.sex)[name].percentiles
            if not table[1] <= value <= table[99]:
                found.append(
                    f"{name} {show(value, 4)} {unit} lies outside the middle 98 in 100 of the {_plural(self.sex)} "
                    f"measured ({show(table[1], 4)} to {show(table[99], 4)} {unit}); sizes are carried on from them"
                )
        return tuple(found)


def person(text: str) -> Person:
    """A person as people type one: sex, stature and mass in either order, then own measures by name.

    "man 1755 mm 80 kg", "w 5'4\" 136 lb", "woman 163 cm 62 kg, hip breadth 360 mm". Lengths and masses as in typed.py:
    each with its unit. Raises FaultsFound with everything that is wrong.
    """
    shown = " ".join(str(text).split())
    if not isinstance(text, str) or not shown or len(shown) > LONGEST:
        says = "no person is typed here" if not shown else "is longer than a person's line"
        raise FaultsFound([Fault(says, HOW, value=shown[:LONGEST], field="person")])
    sex, found, faults = quantities(shown.lower())
    given: dict[str, float] = {}
    for name, chunk, unit in found:
        try:
            reads, name = _what(name, unit)
            value = reads(chunk)
        except NotUnderstood as error:
            faults.append(Fault(error.fault.says, error.fault.remedy, error.fault.value, field=name or "person"))
            continue
        except OutsideRange as error:
            faults.append(Fault(str(error), "name one of them, or leave it out", value=chunk, field="person"))
            continue
        if name in given:
            faults.append(Fault(f"{name} is given twice", "give it once", value=chunk, field=name))
        given.setdefault(name, value)
    wanted = {STATURE: "175 cm", MASS: "80 kg"}
    for name, such in wanted.items():
        if name not in given and not any(fault.field == name for fault in faults):
            faults.append(Fault(f"no {name} is given", f'add it with its unit, as "{such}"', value=shown, field=name))
    if sex is None:
        faults.insert(0, Fault("neither man nor woman is said", HOW, value=shown, field="sex"))
    faults += body_faults(sex or SEXES[0], given.get(STATURE), given.get(MASS))
    if faults or sex is None:
        raise FaultsFound(faults)
    own = {name: value for name, value in given.items() if name not in wanted}
    return Person(sex, given[STATURE], given[MASS], own)


def body_faults(sex: str, stature: float | None, mass: float | None) -> list[Fault]:
    """All that keeps such a body from being taken: no adult of the bodies measured, or far from them.

    None for what is not known: the other is still looked at.
    """
    faults = []
    if sex not in SEXES:
        faults.append(
            Fault(
                "sizes are known of men and women as measured",
                'give "man" or "woman", whichever is nearer in build',
                value=str(sex),
                field="sex",
            )
        )
    for name, value, (low, high), unit in ((STATURE, stature, STATURES, "mm"), (MASS, mass, MASSES, "kg")):
        if value is None or low <= value <= high:
            continue
        if math.isfinite(value) and value < low:
            says = f"{show(value)} {unit} is less than the adults taken here; infants and children are out of scope"
        else:
            says = f"{value} {unit} is far outside the adults measured"
        faults.append(Fault(says, f"give {show(low)} to {show(high)} {unit}", value=f"{value:g}", field=name))
    if not faults and stature is not None and mass is not None:
        index = mass / (stature / 1000) ** 2
        if not PLUMPNESS[0] <= index <= PLUMPNESS[1]:
            least, most = (plump * (stature / 1000) ** 2 for plump in PLUMPNESS)
            least, most = math.ceil(max(least, MASSES[0])), math.floor(min(most, MASSES[1]))
            faults.append(
                Fault(
                    f"{show(mass, 4)} kg at {show(stature, 4)} mm is far outside the adults measured "
                    "(persons who are ill are out of scope)",
                    f"at that stature give {least} to {most} kg",
                    value=f"{mass:g}",
                    field=MASS,
                )
            )
    return faults


def _own(person: Person) -> tuple[dict[str, float], list[Fault]]:
    """Own measures under their spelled names, and what is wrong with them."""
    own: dict[str, float] = {}
    faults = []
    for name, value in person.own.items():
        try:
            key = spelled(name)
        except OutsideRange as error:
            faults.append(Fault(str(error), "name one of them", value=str(name), field="own measures"))
            continue
        if key in (STATURE, MASS):
            faults.append(Fault(f"{key} is given already", "leave it out here", value=f"{value:g}", field=key))
            continue
        line = regressions(person.sex)[key]
        usual = line.at(person.stature, person.mass)
        if not abs(value - usual) <= OWN_WITHIN * line.rmse:  # nan is a fault too
            low, high = (show(round(usual + side * OWN_WITHIN * line.rmse)) for side in (-1, 1))
            faults.append(
                Fault(
                    f"{value:g} mm is far from {show(usual, 3)} mm, usual at that stature and mass",
                    f"give {low} to {high} mm; look whether unit and name are right",
                    value=f"{value:g}",
                    field=key,
                )
            )
        elif key in own:
            faults.append(Fault(f"{key} is given twice", "give it once", value=f"{value:g}", field=key))
        else:
            own[key] = float(value)
    return dict(sorted(own.items())), faults


def _plural(sex: Sex) -> str:
    return "men" if sex == "man" else "women"


def _what(name: str, unit: str) -> tuple[Callable[[str], float], str]:
    """How a quantity is read and what it is, from the words before it and its unit."""
    name = {"tall": STATURE, "height": STATURE, "weight": MASS, "weighs": MASS}.get(name, name)
    if name not in ("", STATURE, MASS):
        return length_mm, spelled(name)
    if not name:
        name = MASS if unit in MASS_UNITS else STATURE if unit in LENGTHS else ""
    if not name:
        return _no_unit, ""
    return (length_mm, STATURE) if name == STATURE else (mass_kg, MASS)


def _no_unit(text: str) -> float:
    raise NotUnderstood(text, "has no unit known here", "lengths in mm, cm, m, feet and inches; masses in kg, lb, st")
