"""The shape of one coil: how its diameter runs along the wire, and the length, mass and solid height that follow.

Only the live turns are described here. Knots, end rings and dead turns are more wire and give no way: the bill counts
them. Heights are from wire centre to wire centre unless said otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import Fault, FaultsFound
from bedwright.mechanics.wire import DENSITY, EN_SHEAR, EN_YOUNG

Array = NDArray[np.float64]
PROFILES = ("cylinder", "cone", "barrel", "hourglass-parabolic", "hourglass-straight")
TABLE = "table"  # diameters given one by one, equally spaced in turns
GAUSS_POINTS = 12  # in each panel of half a turn at most: the rates below have settled to 1e-9

# (field, least, greatest, unit): wider than any mattress coil, narrow enough that the formulas still mean something.
_LIMITS = (
    ("end_diameter", 3.0, 500.0, "mm"),
    ("middle_diameter", 3.0, 500.0, "mm"),
    ("live_turns", 2.0, 30.0, "turns"),
    ("free_height", 2.0, 1000.0, "mm"),
    ("wire_diameter", 0.3, 10.0, "mm"),
    ("youngs_modulus", 1_000.0, 500_000.0, "MPa"),
    ("shear_modulus", 400.0, 250_000.0, "MPa"),
    ("density", 1e-7, 3e-5, "kg/mm3"),
)
LEAST_INDEX, STEEPEST = 4.0, 30.0  # D/d of the smallest coil; pitch angle there [degrees]; finite elements went to 20


@dataclass(frozen=True, slots=True)
class CoilShape:
    """One coil: mean diameters [mm], live turns, free height centre to centre [mm], wire [mm], steel [MPa, kg/mm3].

    Profiles, with the turns spaced evenly in height: `cylinder`; `cone` (end_diameter is its large end, middle_diameter
    its small end); `barrel` and `hourglass-straight` (both ends end_diameter, straight sides to middle_diameter: a
    double cone); `hourglass-parabolic`; `table` (diameters at equal steps of turns, straight between them).
    Raises FaultsFound with every fault.
    """

    profile: str
    end_diameter: float
    live_turns: float
    free_height: float
    wire_diameter: float
    middle_diameter: float | None = None
    youngs_modulus: float = EN_YOUNG
    shear_modulus: float = EN_SHEAR
    density: float = DENSITY
    diameters: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        faults = _size_faults(self) or _fit_faults(self)
        if faults:
            raise FaultsFound(faults)

    @property
    def waist(self) -> float:
        """Small end of a cone, middle of a barrel or hourglass [mm]; the one diameter of a cylinder."""
        return self.end_diameter if self.middle_diameter is None else self.middle_diameter

    @property
    def pitch(self) -> float:
        """Free rise in one live turn [mm]."""
        return self.free_height / self.live_turns

    @property
    def largest_diameter(self) -> float:
        return max(self.diameters) if self.profile == TABLE else max(self.end_diameter, self.waist)

    @property
    def smallest_diameter(self) -> float:
        return min(self.diameters) if self.profile == TABLE else min(self.end_diameter, self.waist)


@dataclass(frozen=True, slots=True)
class Stations:
    """Gauss stations along a coil, arrays of one shape (stations,).

    place: share of the live turns, 0 to 1; weight: their sum is 1; diameter and slope (d diameter / d place) [mm].
    """

    place: Array
    weight: Array
    diameter: Array
    slope: Array


def diameter_at(shape: CoilShape, place: Array) -> Array:
    """Mean coil diameter [mm] at places, shares 0 to 1 of the live turns; any array shape."""
    end, middle = shape.end_diameter, shape.waist
    across = 2 * place - 1
    if shape.profile == "cylinder":
        return np.full_like(place, end)
    if shape.profile == "cone":
        return end + (middle - end) * place
    if shape.profile == "hourglass-parabolic":
        return middle + (end - middle) * across**2
    if shape.profile == TABLE:
        return np.asarray(np.interp(place, np.linspace(0, 1, len(shape.diameters)), shape.diameters), dtype=np.float64)
    return middle + (end - middle) * np.abs(across)


def slope_at(shape: CoilShape, place: Array) -> Array:
    """Change of mean coil diameter with place [mm over all live turns]; not asked for at a kink."""
    end, middle = shape.end_diameter, shape.waist
    across = 2 * place - 1
    if shape.profile == "cylinder":
        return np.zeros_like(place)
    if shape.profile == "cone":
        return np.full_like(place, middle - end)
    if shape.profile == "hourglass-parabolic":
        return 4 * (end - middle) * across
    if shape.profile == TABLE:
        steps = np.diff(np.asarray(shape.diameters)) * (len(shape.diameters) - 1)
        return np.asarray(steps[np.minimum((place * len(steps)).astype(int), len(steps) - 1)], dtype=np.float64)
    return 2 * (end - middle) * np.sign(across)


@lru_cache(maxsize=256)
def stations(shape: CoilShape, finer: int = 1) -> Stations:
    """Gauss stations in panels of at most half a turn, with a panel edge at every kink of the profile.

    finer: each panel cut into so many, for sums whose integrand breaks at a place not known beforehand.
    """
    half_turn = 0.5 / shape.live_turns
    edges = np.linspace(0, 1, 2 * math.ceil(shape.live_turns) + 1)
    kinks = np.linspace(0, 1, len(shape.diameters)) if shape.profile == TABLE else np.array([0.5])
    turning = np.array(turning_places(shape))
    edges = np.concatenate([edges, kinks, turning - half_turn, turning + half_turn])
    edges = np.unique(np.round(edges[(edges >= 0) & (edges <= 1)], 12))
    edges = np.interp(np.arange((len(edges) - 1) * finer + 1) / finer, np.arange(len(edges)), edges)
    nodes, weights = np.polynomial.legendre.leggauss(GAUSS_POINTS)
    width = np.diff(edges)[:, None]
    place = (edges[:-1, None] + (nodes + 1) / 2 * width).ravel()
    weight = (weights / 2 * width).ravel()
    return Stations(place, weight, diameter_at(shape, place), slope_at(shape, place))


def turning_places(shape: CoilShape) -> tuple[float, ...]:
    """Places inside the coil where the diameter turns from growing to shrinking or back."""
    if shape.profile == TABLE:
        steps = np.sign(np.diff(np.asarray(shape.diameters)))
        knots = np.linspace(0, 1, len(shape.diameters))
        return tuple(float(knots[i + 1]) for i in range(len(steps) - 1) if steps[i] * steps[i + 1] < 0)
    if shape.profile in {"cylinder", "cone"} or shape.end_diameter == shape.waist:
        return ()
    return (0.5,)


def solid_step(shape: CoilShape, finer: int = 1) -> Array:
    """Least rise of one turn when pressed solid [mm], shape (stations,); finer as `stations` has it.

    Neighbouring turns that differ by a wire in radius slip into one another and rise nothing; closer ones rest on each
    other and rise sqrt(d^2 - step^2) (from memory). The turn about a waist or belly has the same radius on both sides
    and rises a whole wire.
    """
    at = stations(shape, finer)
    half = 0.5 / shape.live_turns
    low = np.clip(at.place - half, 0.0, 1 - 2 * half)
    step = np.abs(diameter_at(shape, low + 2 * half) - diameter_at(shape, low)) / 2
    d = shape.wire_diameter
    rise = np.sqrt(np.maximum(0.0, d**2 - step**2))
    for place in turning_places(shape):
        rise = np.where(np.abs(at.place - place) <= half, d, rise)
    return np.asarray(rise, dtype=np.float64)


def solid_height(shape: CoilShape) -> float:
    """Height pressed solid, over the wire [mm]: d (n + 1) for a cylinder with plain ends, d for a telescoping cone.

    Shigley Table 10-1 for the cylinder (from memory); the steps of `solid_step` for the rest. Not checked by test.
    """
    rise = float(np.sum(stations(shape).weight * solid_step(shape))) * shape.live_turns
    return rise + shape.wire_diameter


def longest_way(shape: CoilShape) -> float:
    """Compression [mm] at which the coil is solid: the free height over the wire less the solid height."""
    return shape.free_height + shape.wire_diameter - solid_height(shape)


def wire_length(shape: CoilShape) -> float:
    """Length of wire in the live turns [mm], along the true three-dimensional curve.

    Geometry: integral of sqrt((R theta')^2 + R'^2 + z'^2).
    """
    at = stations(shape)
    along = np.pi * shape.live_turns * at.diameter
    return float(np.sum(at.weight * np.sqrt(along**2 + (at.slope / 2) ** 2 + shape.free_height**2)))


def mass(shape: CoilShape) -> float:
    """Mass of the live turns [g]."""
    return wire_length(shape) * np.pi * shape.wire_diameter**2 / 4 * shape.density * 1000


def steepest_pitch_angle(shape: CoilShape) -> float:
    """Pitch angle of the smallest coil [degrees]."""
    return math.degrees(math.atan2(shape.pitch, math.pi * shape.smallest_diameter))


def field_faults(profile: str, values: Mapping[str, float | None]) -> list[Fault]:
    """Faults of a profile and of single sizes [mm, turns, MPa, kg/mm3] by field name; fields not given are not judged.

    None means empty, which a cylinder's middle_diameter may be. For forms that want to say all faults at once.
    """
    faults = []
    if profile not in (*PROFILES, TABLE):
        says, remedy = f"{profile!r} is no profile known here", f"use one of {', '.join(PROFILES)}"
        faults.append(Fault(says=says, remedy=remedy, field="profile"))
    for name, low, high, unit in _LIMITS:
        if name not in values:
            continue
        value, remedy = values[name], f"give {low:g} to {high:g} {unit}"
        if value is None:
            if name != "middle_diameter" or profile in PROFILES[1:]:
                faults.append(Fault(says=f"{name} is empty, and a {profile} needs it", remedy=remedy, field=name))
        elif isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
            shown = f"{value:g}" if isinstance(value, float) else repr(value)
            says = f"{name} {shown} {unit} is outside {low:g} to {high:g}"
            faults.append(Fault(says=says, remedy=remedy, field=name))
    return faults


def _size_faults(shape: CoilShape) -> list[Fault]:
    """Faults of single fields: kind, finiteness, sign, size."""
    faults = field_faults(shape.profile, {name: getattr(shape, name) for name, *_ in _LIMITS})
    if shape.profile == TABLE:
        bad = [value for value in shape.diameters if not 3.0 <= value <= 500.0]
        if not 2 <= len(shape.diameters) <= 1000 or bad:
            says = f"diameters has {len(shape.diameters)} values, {len(bad)} of them outside 3 to 500 mm"
            faults.append(Fault(says=says, remedy="give 2 to 1000 diameters of 3 to 500 mm", field="diameters"))
    elif shape.diameters:
        says = f"diameters are for profile {TABLE!r} only"
        faults.append(Fault(says=says, remedy="leave them out", field="diameters"))
    return faults


def _fit_faults(shape: CoilShape) -> list[Fault]:
    """Faults between fields that are each good alone."""
    faults = []
    end, middle, d = shape.end_diameter, shape.waist, shape.wire_diameter
    if shape.profile == "cylinder" and middle != end:
        says = f"middle_diameter {middle:g} mm differs from end_diameter {end:g} mm, and a cylinder has one diameter"
        faults.append(
            Fault(says=says, remedy="leave the middle out, or choose another profile", field="middle_diameter")
        )
    larger = {"cone": "large end", "hourglass-parabolic": "ends", "hourglass-straight": "ends"}.get(shape.profile)
    if larger and middle > end:
        says = f"middle_diameter {middle:g} mm is above end_diameter {end:g} mm, the {larger} of a {shape.profile}"
        remedy = "swap the two" if shape.profile == "cone" else "swap the two, or choose barrel"
        faults.append(Fault(says=says, remedy=remedy, field="middle_diameter"))
    if shape.profile == "barrel" and middle < end:
        says = f"middle_diameter {middle:g} mm is below end_diameter {end:g} mm, and a barrel is wider in the middle"
        remedy = "swap the two, or choose hourglass-straight"
        faults.append(Fault(says=says, remedy=remedy, field="middle_diameter"))
    if shape.smallest_diameter < LEAST_INDEX * d:
        says = f"wire_diameter {d:g} mm is too thick for a coil of {shape.smallest_diameter:g} mm"
        remedy = f"use a mean coil diameter of {LEAST_INDEX:g} wires or more: {LEAST_INDEX * d:g} mm"
        faults.append(Fault(says=says, remedy=remedy, field="wire_diameter"))
    if shape.pitch <= d:
        says = f"wire_diameter {d:g} mm does not fit the pitch of {shape.pitch:.4g} mm a turn: the free coil is solid"
        remedy = f"give a free_height above {d * shape.live_turns:.4g} mm, fewer live_turns or thinner wire"
        faults.append(Fault(says=says, remedy=remedy, field="wire_diameter"))
    if steepest_pitch_angle(shape) > STEEPEST:
        says = f"a pitch of {shape.pitch:.4g} mm on a coil of {shape.smallest_diameter:g} mm is too steep"
        remedy = f"use more turns or less free_height: the pitch angle may be {STEEPEST:g} degrees at most"
        faults.append(Fault(says=says, remedy=remedy, field="free_height"))
    return faults
