"""Segments of a body: masses, lengths and centres, from sex, stature and mass (book `de-leva-1996`)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bedwright.mechanics.body_tables import LEVA_STATURE, Sex, leva

PARTED = ("upper arm", "forearm", "hand", "thigh", "shank", "foot")
"""Segments that a body has two of."""
_CHAIN = {  # name here -> row of the table: the ends that join up from the crown to the ankle
    "head": "head (alt)",
    "upper trunk": "upper trunk (alt)",
    **{name: name for name in ("mid trunk", "lower trunk", *PARTED)},
}


@dataclass(frozen=True, slots=True)
class Segment:
    """Part of a body: which ends it lies between, length [mm], mass [kg] of one of them, how many there are, where its
    centre lies from the end nearer head or trunk (share of length), and how high that end is above the sole of a person
    standing, arms down [mm]."""

    ends: str
    length: float
    mass: float
    count: int
    centre: float
    above_sole: float


def segments(sex: Sex, stature: float, mass: float) -> dict[str, Segment]:
    """The chain of segments from crown to foot and shoulder to hand.

    Lengths by stature [mm] alone. Masses add up to the mass [kg]: the table's shares add up to 0.9999 for women, and
    are divided by that.
    """
    table = leva(sex)
    scale = stature / LEVA_STATURE[sex]
    counts = {name: 2 if name in PARTED else 1 for name in _CHAIN}
    whole = sum(counts[name] * table[row].share for name, row in _CHAIN.items())
    tops = _tops({name: table[row].length for name, row in _CHAIN.items()}, table["trunk (alt 3)"].length, sex)
    return {
        name: Segment(
            table[row].ends,
            table[row].length * scale,
            table[row].share / whole * mass,
            counts[name],
            table[row].centre,
            tops[name] * scale,
        )
        for name, row in _CHAIN.items()
    }


def centre_above_sole(parts: Mapping[str, Segment]) -> float:
    """Centre of the whole body above the sole, standing, arms down [mm]."""
    moment = mass = 0.0
    for name, one in parts.items():
        lies_flat = name == "foot"
        moment += one.count * one.mass * (one.above_sole - (0.0 if lies_flat else one.centre * one.length))
        mass += one.count * one.mass
    return moment / mass


def _tops(length: Mapping[str, float], shoulder_to_hip: float, sex: Sex) -> dict[str, float]:
    """Height above the sole of the upper end of each segment [mm], in the body of the table."""
    found = {}
    height = LEVA_STATURE[sex]
    for name in ("head", "upper trunk", "mid trunk", "lower trunk", "thigh", "shank"):
        found[name] = height
        height -= length[name]
    found["foot"] = height / 2  # lies flat: the centre is taken at half the height of the ankle
    height = found["thigh"] + shoulder_to_hip
    for name in ("upper arm", "forearm", "hand"):
        found[name] = height
        height -= length[name]
    return found
