"""Postures: a person lying supine or on the side, as rods hung on a chain of joints.

Breadths, depths, heights above the sole and girths come from the person (ANSUR II), masses and centres from de Leva.
What no book gives - the shape between the measured stations, how stiff joints are, how thick and soft tissue is - is
the one set of figures below, the same for every person and bed. Which of them were chosen with the pressure maps of
the body page in view is said in docs/why/proof.md.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from bedwright.mechanics.body import Hung, Rod
from bedwright.mechanics.person import Person

Array = NDArray[np.float64]
Posture = Literal["supine", "side"]
Line = Callable[[Array], Array]
"""Values over places along a body."""


@dataclass(frozen=True, slots=True)
class Pillow:
    """height unpressed [mm]; stiffness: stress over share pressed in, while little [kPa]."""

    height: float
    stiffness: float


PILLOWS: dict[str, Pillow] = {"supine": Pillow(70.0, 4.0), "side": Pillow(120.0, 5.0)}
"""What lies under the head unless told otherwise (plausible)."""


@dataclass(frozen=True, slots=True)
class Flesh:
    """Soft tissue and joints, one set for every person and bed.

    modulus [kPa]: of tissue little pressed: between 3 x the shear moduli of gluteal muscle, 0.88 kPa, and of the fat on
    it, 1.85 kPa (magnetic resonance with indentation; body page, section 5: others find ten times as much);
    trunk, limb, flank, bone: how thick it is [mm] (over the trochanter 33 to 56, the rest plausible, no source).
    spine, neck, hip, knee: stiffness of joints [N m/rad]; girdle: of an arm's hold on the trunk [N/mm]; reach: of arms
    and of bent legs, which hardly counts where a bed carries them; hold: of what keeps a body on its side from rolling,
    muscles and limbs [N m/rad] (all plausible, no source). forward: how far the lower shoulder has gone forward: 0 half
    the breadth over the deltoids counts, 1 half that over the acromia. power: of the superellipse that a trunk's
    section is; back: share of a standing back's own profile.
    """

    modulus: float = 4.0
    trunk: float = 55.0
    limb: float = 50.0
    flank: float = 40.0
    bone: float = 6.0
    spine: float = 40.0
    neck: float = 10.0
    hip: float = 20.0
    knee: float = 200.0
    girdle: float = 1.0
    reach: float = 2.0
    hold: float = 500.0
    forward: float = 0.5
    power: float = 3.5
    back: float = 1.0


FLESH = Flesh()
# Skin of the back and of the backs of the legs of a standing man of 1748 mm with a buttock depth of 218 mm: share of
# stature above the sole, how far it lies before the rearmost point [mm] (measured on a free mesh; body page, section
# 1.3; the heel and the ankle: plausible).
BACK = (
    (0.00, 25.0), (0.02, 20.0), (0.06, 52.0), (0.13, 46.0), (0.22, 36.0), (0.28, 52.0), (0.34, 65.0), (0.42, 50.0),
    (0.46, 35.0), (0.50, 3.0), (0.54, 3.0), (0.58, 21.0), (0.62, 46.0), (0.66, 38.0), (0.74, 15.0), (0.78, 12.0),
    (0.82, 19.0), (0.86, 65.0), (0.90, 73.0), (0.94, 53.0), (1.00, 53.0),
)  # fmt: skip
BACK_STATURE, BACK_DEPTH = 1748.0, 218.0
DENSITY = 1.05e-6  # of limbs [kg/mm3] (from memory)
TRUNK = ("vertex", "neck", "xiphion", "waist", "hip")
SEGMENTS = ("head", "upper trunk", "mid trunk", "lower trunk")
"""Segments of the trunk between those joints, by their names in de Leva's table."""


@dataclass
class Chain:
    """A body while it is put together: heights, rods, masses and springs, the trunk's first."""

    person: Person
    top: float  # y of the vertex [mm]
    middle: float  # x [mm]
    names: list[str] = field(default_factory=list)
    rods: list[Rod] = field(default_factory=list)
    masses: list[tuple[float, Hung, float]] = field(default_factory=list)
    stiff: list[tuple[float, tuple[tuple[int, float], ...]]] = field(default_factory=list)
    down: dict[str, float] = field(default_factory=dict)  # of the trunk's joints from the vertex [mm]
    roll: int = -1

    @classmethod
    def trunk(cls, person: Person, flesh: Flesh, top: float, middle: float) -> Chain:
        """The trunk's joints, their springs and masses; rods are to follow."""
        S, chain = person.stature, cls(person, top, middle)
        neck = S - person.size("cervicale_height")
        chain.down = {
            "vertex": 0.0,
            "neck": neck,
            "xiphion": neck + person.segments["upper trunk"].length,
            "waist": S - person.size("waist_height_omphalion"),
            "hip": S - person.size("trochanterion_height"),
        }
        for name in TRUNK:
            chain.height(name)
        chain.roll = chain.height("roll")
        for name, a, b in zip(SEGMENTS, TRUNK, TRUNK[1:], strict=False):
            one = person.segments[name]
            chain.weighs(one.mass, chain.hung(a), chain.hung(b), one.centre, (chain.y(a), chain.y(b)))
        for a, b, c, stiffness in zip(
            TRUNK, TRUNK[1:], TRUNK[2:], (flesh.neck, flesh.spine, flesh.spine), strict=False
        ):
            first, second = chain.down[b] - chain.down[a], chain.down[c] - chain.down[b]
            chain.bends(stiffness, chain.hung(a), chain.hung(b), chain.hung(c), first, second)
        return chain

    def y(self, name: str) -> float:
        """Of a joint of the trunk [mm]."""
        return self.top + self.down[name]

    def hung(self, name: str) -> Hung:
        """What a place of that name hangs on."""
        return ((self.names.index(name), 1.0),)

    def at(self, d: float, x: float | None = None) -> Hung:
        """What a place of the trunk d mm below the vertex hangs on; x: with the roll there [mm]."""
        places = [self.down[name] for name in TRUNK]
        i = int(np.clip(np.searchsorted(places, d) - 1, 0, len(TRUNK) - 2))
        t = (d - places[i]) / (places[i + 1] - places[i])
        found = [(self.names.index(TRUNK[i]), 1 - t), (self.names.index(TRUNK[i + 1]), t)]
        if x is not None and abs(x - self.middle) > 1e-9:
            found.append((self.roll, (x - self.middle) / 100))
        return tuple(found)

    def height(self, name: str) -> int:
        """A new height."""
        self.names.append(name)
        return len(self.names) - 1

    def spring(self, stiffness: float, *terms: tuple[int, float]) -> None:
        """Energy 1/2 stiffness (sum of share x height)^2."""
        self.stiff.append((stiffness, terms))

    def tied(self, stiffness: float, one: Hung, other: Hung) -> None:
        """A spring [N/mm] between two places."""
        self.spring(stiffness, *one, *((k, -share) for k, share in other))

    def bends(self, stiffness: float, before: Hung, at: Hung, after: Hung, first: float, second: float) -> None:
        """A joint of so many N m/rad between two segments of lengths first, second [mm]."""
        terms: dict[int, float] = {}
        for hung, share in ((after, 1 / second), (at, -1 / second - 1 / first), (before, 1 / first)):
            for k, by in hung:
                terms[k] = terms.get(k, 0.0) + by * share
        self.spring(stiffness * 1000, *terms.items())

    def tilts(self, gravity: float) -> None:
        """Weight above the axis of the roll turns the trunk further: so many N mm per radian."""
        self.spring(-gravity / 100**2, (self.roll, 1.0))

    def swings(self, stiffness: float, far: Hung, off: tuple[float, float], at: str = "hip", by: str = "waist") -> None:
        """A limb's hold [N m/rad]: how far its end, `off` (x, y) [mm] from the trunk's joint `at`, leaves the way that
        the trunk lies between `at` and `by`, and its roll. Whatever turns the whole body leaves it at rest."""
        before = self.down[at] - self.down[by]
        length = float(np.hypot(*off))
        terms: dict[int, float] = {}
        for hung, share in (
            (far, 1.0), (self.hung(at), -1 - off[1] / before), (self.hung(by), off[1] / before),
            (((self.roll, 1.0),), -off[0] / 100),
        ):  # fmt: skip
            for k, part in hung:
                terms[k] = terms.get(k, 0.0) + part * share / length
        self.spring(stiffness * 1000, *terms.items())

    def weighs(self, mass: float, before: Hung, after: Hung, share: float, y: tuple[float, float]) -> None:
        """A segment's mass, its centre `share` of the way from one joint to the other."""
        hung = [(k, by * (1 - share)) for k, by in before] + [(k, by * share) for k, by in after]
        self.masses.append((mass, tuple(hung), y[0] + share * (y[1] - y[0])))

    @property
    def joints(self) -> Array:
        """Stiffness of all its springs (K, K) [N/mm]."""
        found = np.zeros((len(self.names), len(self.names)))
        for stiffness, terms in self.stiff:
            v = np.zeros(len(self.names))
            for k, share in terms:
                v[k] += share
            found += stiffness * np.outer(v, v)
        return found


def limb_radius(person: Person, segment: str) -> float:
    """Radius of the round rod that has a segment's mass and length [mm]."""
    one = person.segments[segment]
    return float(np.sqrt(one.mass / (DENSITY * np.pi * one.length)))


def between(places: Sequence[tuple[float, float]]) -> Line:
    """A smooth line through places and values, without overshoot, held at its ends."""
    at, values = np.array(sorted(places)).T
    line = PchipInterpolator(at, values)
    return lambda d: np.asarray(line(np.clip(d, at[0], at[-1])), dtype=np.float64)


def at(line: Line, place: float) -> float:
    """The value of a line at one place."""
    return float(line(np.array(place)))


def on_pillow(pillow: Pillow, soft: Array, modulus: float) -> tuple[Array, float]:
    """Tissue on a pillow as one tissue: thicknesses add, and so do what each gives to a little pressure."""
    gives = soft / modulus + pillow.height / pillow.stiffness
    whole = soft + pillow.height
    return whole, float(np.mean(whole / gives))
