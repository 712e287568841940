"""A person lying on the side: trunk on its half breadths, lower leg straight, upper leg and both arms in front."""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.body import Body, Bony, Hung, Rod
from bedwright.mechanics.person import Person
from bedwright.mechanics.posture import (
    BACK_STATURE,
    TRUNK,
    Chain,
    Flesh,
    Line,
    Pillow,
    at,
    between,
    limb_radius,
    on_pillow,
)
from bedwright.mechanics.supine import ALONG, HEAD, SPINE, bounds

Array = NDArray[np.float64]
UpperLeg = Literal["on the bed", "on the other leg"]
Facing = Literal["left", "right"]
HIP_BENT, KNEE_BENT = 60.0, 80.0  # of the upper leg, where it lies on the bed [degrees] (plausible, no source)
LOWER_HIP, LOWER_KNEE = 10.0, 0.0  # of the lower leg, straight
ARM_OUT, ELBOW_BENT = 75.0, 100.0  # of the lower arm: from straight down forward, and at the elbow
UPPER_ARM_OUT, UPPER_ELBOW = 55.0, 45.0


def on_the_side(
    person: Person, pillow: Pillow, flesh: Flesh, x: float, top: float, facing: Facing, upper_leg: UpperLeg
) -> Body:
    """The person on the side, vertex at y = top [mm], middle of the trunk's depth at x [mm]."""
    S, size = person.stature, person.size
    front = 1.0 if facing == "right" else -1.0
    chain = Chain.trunk(person, flesh, top, x)
    half_breadth, half_depth = _lower_side(person, flesh), _depth(person)
    deepest = float(np.max(half_breadth(np.linspace(0.1 * S, 0.55 * S, 200))))
    for a, b in pairwise(TRUNK):
        d = chain.down[a] + ALONG * (chain.down[b] - chain.down[a])
        soft, modulus, power = np.full(len(ALONG), flesh.flank), flesh.modulus, flesh.power
        rise, half, thick = deepest - half_breadth(d), half_depth(d), half_breadth(d)
        if a == "vertex":
            rise, half, thick = _head(person, d, rise, deepest)
            rise = rise - pillow.height
            soft, modulus = on_pillow(pillow, np.full(len(ALONG), flesh.bone), modulus)
            power = 2.0
        chain.rods.append(
            Rod(
                part=a, start=(x, chain.y(a)), end=(x, chain.y(b)), from_=chain.hung(a), to=chain.hung(b), at=ALONG,
                rise=rise, half_width=half, half_height=thick, thickness=soft, modulus=modulus, power=power,
                bony=_bones(person, flesh, chain.down[a], chain.down[b], front), roll=chain.roll, middle=x,
            )
        )  # fmt: skip
    chain.spring(flesh.hold * 1000 / 100**2, (chain.roll, 1.0))
    lower = _leg(chain, flesh, front, "lower", deepest, LOWER_HIP, LOWER_KNEE, None)
    if upper_leg == "on the bed":
        _leg(chain, flesh, front, "upper", deepest, HIP_BENT, KNEE_BENT, None)
    else:
        _leg(chain, flesh, front, "upper", deepest, LOWER_HIP, LOWER_KNEE, lower)
    _arms(chain, flesh, front, deepest, half_breadth)
    shares = {"shoulder": 0.80, "waist": size("waist_height_omphalion") / S, "hip": size("trochanterion_height") / S}
    rise_of_head = deepest - size("head_breadth") / 2 - pillow.height
    marks = [("head", x, top + 0.06 * S, chain.at(0.06 * S), rise_of_head)]
    for name, h in shares.items():
        below = S * (1 - h)
        marks.append((name, x, top + below, chain.at(below), deepest - at(half_breadth, below)))
    legs = {"knee": lower[1], "heel": lower[2]}
    rods = {rod.part: rod for rod in chain.rods}
    for name, hung in legs.items():
        end = rods["lower shank"].start if name == "knee" else rods["lower shank"].end
        marks.append((name, *end, hung, 0.0))
    spine = tuple((n, top + S * (1 - h), chain.at(S * (1 - h)), deepest) for n, h in SPINE)
    return Body(
        called=person.called, posture="side", rods=tuple(chain.rods), heights=tuple(chain.names),
        masses=tuple(chain.masses), joints=chain.joints, mass=person.mass, stature=S, spine=spine, marks=tuple(marks),
        bounds=bounds(chain), middle=x,
    )  # fmt: skip


def shoulder_half(person: Person, flesh: Flesh) -> float:
    """From the middle of the body to the lower shoulder's side [mm], between those over deltoids and over acromia."""
    out, in_ = person.size("bideltoid_breadth") / 2, person.size("biacromial_breadth") / 2
    return out + flesh.forward * (in_ - out)


def _lower_side(person: Person, flesh: Flesh) -> Line:
    """Half breadth by distance from the vertex [mm]."""
    S, size = person.stature, person.size
    neck = size("neck_circumference") / (2 * np.pi)
    shoulder = shoulder_half(person, flesh)
    return between(
        [
            (S - size("cervicale_height") - 20, neck),
            (S - size("acromial_height") - 10, 0.86 * shoulder),
            (S - size("acromial_height") + 35, shoulder),
            (S - size("axilla_height"), 0.5 * (shoulder + size("chest_breadth") / 2)),
            (S - size("chest_height") + 20, size("chest_breadth") / 2 + 8),
            (S - size("tenth_rib_height"), (size("chest_breadth") + size("waist_breadth")) / 4),
            (S - size("waist_height_omphalion"), size("waist_breadth") / 2),
            (S - size("trochanterion_height"), size("hip_breadth") / 2),
            (S - size("trochanterion_height") + 80, size("hip_breadth") / 2 - 4),
        ]
    )


def _depth(person: Person) -> Line:
    """Half depth by distance from the vertex [mm]: how wide the body is over the plan."""
    S, size = person.stature, person.size
    neck = size("neck_circumference") / (2 * np.pi)
    return between(
        [
            (S - size("cervicale_height") - 20, neck),
            (S - size("acromial_height"), 0.42 * size("chest_depth")),
            (S - size("chest_height"), size("chest_depth") / 2),
            (S - size("waist_height_omphalion"), size("waist_depth") / 2),
            (S - size("trochanterion_height"), size("buttock_depth") / 2),
        ]
    )


def _head(person: Person, d: Array, rise: Array, deepest: float) -> tuple[Array, Array, Array]:
    size = person.size
    long = HEAD * person.stature / BACK_STATURE
    a, b = size("head_length") / 2, size("head_breadth") / 2
    neck = size("neck_circumference") / (2 * np.pi)
    round_ = np.sqrt(np.clip(1 - ((d - long) / long) ** 2, 0, 1))
    lower = np.where(d < long, deepest - b * round_, np.minimum(deepest - b * round_, rise))
    return lower, np.where(d < long, a * round_, np.maximum(a * round_, neck)), np.maximum(b * round_, neck)


def _bones(person: Person, flesh: Flesh, first: float, last: float, front: float) -> tuple[Bony, ...]:
    """Shoulder, ribs, crest of the ilium, trochanter."""
    S, size = person.stature, person.size
    places = [
        (size("acromial_height") - 30, 0.0, 45.0, flesh.bone), (size("chest_height") - 30, 0.0, 60.0, 2 * flesh.bone),
        (size("iliocristale_height") - 15, 20.0 * front, 35.0, flesh.bone),
        (size("trochanterion_height"), 0.0, 40.0, flesh.bone),
    ]  # fmt: skip
    return tuple(
        Bony((S - h - first) / (last - first), across, reach, thick)
        for h, across, reach, thick in places
        if first - 20 <= S - h < last + 20
    )


def _leg(
    chain: Chain, flesh: Flesh, front: float, which: str, deepest: float, hip: float, knee: float,
    on: tuple[Hung, Hung, Hung] | None,
) -> tuple[Hung, Hung, Hung]:  # fmt: skip
    """A leg bent at hip and knee [degrees]; on: the heights of a leg that it lies on, which then carries it."""
    person = chain.person
    size, segments = person.size, person.segments
    thigh_of, shank, foot = (segments[name] for name in ("thigh", "shank", "foot"))
    a, b = np.radians(hip), np.radians(knee - hip)
    x0, y0 = chain.middle, chain.y("hip")
    x1, y1 = x0 + front * thigh_of.length * np.sin(a), y0 + thigh_of.length * np.cos(a)
    whole = shank.length + 0.045 * person.stature  # to the heel
    x2, y2 = x1 - front * whole * np.sin(b), y1 + whole * np.cos(b)
    hip_hung = chain.at(chain.down["hip"])
    if on is not None:
        knee_hung, heel_hung = on[1], on[2]
    else:
        knee_hung, heel_hung = (((chain.height(f"{name} {which}"), 1.0),) for name in ("knee", "heel"))
    chain.weighs(thigh_of.mass, hip_hung, knee_hung, thigh_of.centre, (y0, y1))
    chain.weighs(shank.mass, knee_hung, heel_hung, shank.centre, (y1, y2))
    chain.masses.append((foot.mass, heel_hung, float(y2)))
    if on is not None:
        return hip_hung, knee_hung, heel_hung
    thigh, calf = size("thigh_circumference") / (2 * np.pi), size("calf_circumference") / (2 * np.pi)
    t, hips = ALONG, size("hip_breadth") / 2
    # the lower thigh's outer side is the hip's; the upper one's under side lies a thigh below the hip's upper side
    at_hip = deepest - hips if which == "lower" else deepest + hips - 2 * thigh
    half = between([(0.0, 1.0 * thigh), (0.6, 0.85 * thigh), (1.0, 0.64 * thigh)])(t)
    chain.rods.append(
        Rod(
            part=f"{which} thigh", start=(x0, y0), end=(float(x1), float(y1)), from_=hip_hung, to=knee_hung, at=t,
            rise=at_hip * (1 - t), half_width=half, half_height=half, modulus=flesh.modulus,
            thickness=np.full(len(t), flesh.limb), roll=-1,
            bony=(Bony(1.0, 0.0, 35.0, flesh.bone),),
        )
    )  # fmt: skip
    soft = [(0.0, flesh.bone), (0.15, flesh.limb), (0.5, flesh.limb), (0.85, flesh.bone), (1.0, 2 * flesh.bone)]
    half = between([(0.0, 0.64 * thigh), (0.28, calf), (0.6, 0.78 * calf), (0.85, 0.58 * calf), (1.0, 34.0)])(t)
    chain.rods.append(
        Rod(
            part=f"{which} shank", start=(float(x1), float(y1)), end=(float(x2), float(y2)), from_=knee_hung,
            to=heel_hung, at=t, rise=between([(0.0, 0.0), (0.28, 6.0), (0.6, 10.0), (0.88, 4.0), (1.0, 8.0)])(t),
            half_width=half, half_height=half, modulus=flesh.modulus,
            thickness=between(soft)(t),
        )
    )  # fmt: skip
    chain.swings(flesh.hip, knee_hung, (float(x1 - x0), float(y1 - y0)))
    chain.swings(flesh.reach, heel_hung, (float(x2 - x0), float(y2 - y0)))
    if knee == 0:  # a straight knee does not bend sideways
        chain.bends(flesh.knee, hip_hung, knee_hung, heel_hung, thigh_of.length, whole)
    return hip_hung, knee_hung, heel_hung


def _arms(chain: Chain, flesh: Flesh, front: float, deepest: float, half_breadth: Line) -> None:
    """The lower arm forward and bent up; the upper arm across the body, its forearm and hand on the bed in front."""
    person, S = chain.person, chain.person.stature
    size, segments = person.size, person.segments
    upper, fore = limb_radius(person, "upper arm"), limb_radius(person, "forearm")
    first = size("shoulder_elbow_length")
    second = size("radiale_stylion_length") + 0.7 * size("hand_length")
    d0 = S - size("acromial_height") + 35
    for which, out, bent, back in (("lower", ARM_OUT, ELBOW_BENT, -1.0), ("upper", UPPER_ARM_OUT, UPPER_ELBOW, 1.0)):
        a = np.radians(out)
        b = np.radians(out + bent) if back < 0 else np.radians(out - UPPER_ELBOW + 90)
        x0 = chain.middle + front * 30
        y0 = chain.top + d0
        x1, y1 = x0 + front * first * np.sin(a), y0 + first * np.cos(a)
        x2, y2 = x1 + front * second * np.sin(b), y1 + second * np.cos(b)
        elbow = ((chain.height(f"elbow {which}"), 1.0),)
        hand = ((chain.height(f"hand {which}"), 1.0),)
        shoulder = chain.at(d0)
        t = np.linspace(0, 1, 7)
        low = deepest - at(half_breadth, d0)
        one = segments["upper arm"]
        chain.weighs(one.mass, shoulder, elbow, one.centre, (y0, float(y1)))
        arm = segments["forearm"]
        share = arm.centre * size("radiale_stylion_length") / second
        chain.weighs(arm.mass, elbow, hand, share, (float(y1), float(y2)))
        chain.masses.append((segments["hand"].mass, hand, float(y2)))
        for far, (ex, ey) in ((elbow, (x1, y1)), (hand, (x2, y2))):
            chain.swings(flesh.reach, far, (float(ex - chain.middle), float(ey - chain.y("neck"))), "neck", "xiphion")
        if which == "lower":
            chain.rods.append(
                Rod(
                    part="lower arm", start=(x0, y0), end=(float(x1), float(y1)), from_=shoulder, to=elbow, at=t,
                    rise=(low + 15) * (1 - t), half_width=np.full(7, upper), half_height=np.full(7, upper),
                    thickness=np.linspace(flesh.limb, flesh.bone, 7), modulus=flesh.modulus,
                )
            )  # fmt: skip
        chain.rods.append(
            Rod(
                part=f"{which} forearm", start=(float(x1), float(y1)), end=(float(x2), float(y2)), from_=elbow,
                to=hand, at=t, rise=np.array([0.0, 2.0, 6.0, 10.0, 12.0, 10.0, 12.0]),
                half_width=np.array([1.05, 1.15, 1.0, 0.85, 0.75, 1.0, 0.8]) * fore,
                half_height=np.array([1.05, 1.15, 1.0, 0.8, 0.6, 0.4, 0.3]) * fore,
                thickness=np.full(7, 0.5 * flesh.limb), modulus=flesh.modulus,
            )
        )  # fmt: skip
