"""A person lying on the back: head, trunk in three pieces, two legs, two arms at the sides."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.body import Body, Bony, G, Rod
from bedwright.mechanics.person import Person
from bedwright.mechanics.posture import (
    BACK,
    BACK_DEPTH,
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

Array = NDArray[np.float64]
ALONG = np.linspace(0, 1, 15)
HEAD = 100.0  # half of the head's length from the vertex to the nape, for a stature of BACK_STATURE [mm]
FEET = 110.0  # of either heel from the middle [mm]
SPINE = (("C7", 0.864), ("T4", 0.80), ("T8", 0.74), ("T12", 0.66), ("L3", 0.62), ("S1", 0.57))
"""Points of the spine, share of stature above the sole."""


def supine(person: Person, pillow: Pillow, flesh: Flesh, x: float, top: float) -> Body:
    """The person on the back, vertex at y = top [mm], middle at x [mm]."""
    S = person.stature
    chain = Chain.trunk(person, flesh, top, x)
    back = _back(person, flesh)
    width, depth = _trunk(person)
    for a, b in pairwise(TRUNK):
        d = chain.down[a] + ALONG * (chain.down[b] - chain.down[a])
        soft, modulus, power = np.full(len(ALONG), flesh.trunk), flesh.modulus, flesh.power
        rise, half, thick = back(d), width(d), depth(d)
        if a == "vertex":
            rise, half, thick = _head(person, d, rise, half)
            rise = rise - pillow.height
            soft, modulus = on_pillow(pillow, np.full(len(ALONG), flesh.bone), modulus)
            power = 2.0
        chain.rods.append(
            Rod(
                part=a, start=(x, chain.y(a)), end=(x, chain.y(b)), from_=chain.hung(a), to=chain.hung(b), at=ALONG,
                rise=rise, half_width=half, half_height=thick, thickness=soft, modulus=modulus, power=power,
                bony=_bones(person, flesh, chain.down[a], chain.down[b]), roll=chain.roll, middle=x,
            )
        )  # fmt: skip
    over = at(depth, chain.down["xiphion"])
    chain.tilts(sum(m for m, *_ in chain.masses) * G * over)
    for side in (-1.0, 1.0):
        _leg(chain, flesh, back, side)
        _arm(chain, flesh, side)
    shares = {"shoulder": 0.79, "waist": 0.62, "hip": 0.53}
    marks = [("head", x, top + 0.06 * S, chain.at(0.06 * S), at(back, 0.06 * S) - pillow.height)]
    for name, h in shares.items():
        below = S * (1 - h)
        marks.append((name, x, top + below, chain.at(below), at(back, below)))
    for name, h in (("knee", 0.28), ("heel", 0.02)):
        legs = tuple((chain.names.index(f"{name} {which}"), 0.5) for which in ("left", "right"))
        across = person.size("hip_breadth") / 4 if name == "knee" else FEET
        marks += [(name, x + side * across, top + S * (1 - h), legs, at(back, S * (1 - h))) for side in (-1.0, 1.0)]
    spine = tuple((n, top + S * (1 - h), chain.at(S * (1 - h)), at(back, S * (1 - h))) for n, h in SPINE)
    return Body(
        called=person.called, posture="supine", rods=tuple(chain.rods), heights=tuple(chain.names),
        masses=tuple(chain.masses), joints=chain.joints, mass=person.mass, stature=S, spine=spine, marks=tuple(marks),
        bounds=bounds(chain), middle=x,
    )  # fmt: skip


def bounds(chain: Chain) -> tuple[float, float, float]:
    """y where head, trunk, pelvis and legs are parted [mm]: seventh neck vertebra, tenth rib, mid thigh."""
    S = chain.person.stature
    return chain.y("neck"), chain.top + S - chain.person.size("tenth_rib_height"), chain.top + 0.65 * S


def _back(person: Person, flesh: Flesh) -> Line:
    """Rise of the skin of the back by distance from the vertex [mm]."""
    by = flesh.back * person.size("buttock_depth") / BACK_DEPTH
    S = person.stature
    legs = S / BACK_STATURE
    return between([((1 - h) * S, z * (legs if h < 0.49 else by)) for h, z in BACK])


def _trunk(person: Person) -> tuple[Line, Line]:
    """Half breadth without arms, and half depth, by distance from the vertex [mm]."""
    S, size = person.stature, person.size
    neck = size("neck_circumference") / (2 * np.pi)
    hip = size("hip_breadth") / 2
    width = between(
        [
            (S - size("cervicale_height") - 30, neck),
            (S - size("cervicale_height") + 10, neck + 12),
            (S - size("acromial_height"), size("biacromial_breadth") / 2),
            (S - size("axilla_height"), size("chest_breadth") / 2 + 15),
            (S - size("chest_height"), size("chest_breadth") / 2),
            (S - size("tenth_rib_height"), (size("chest_breadth") + size("waist_breadth")) / 4),
            (S - size("waist_height_omphalion"), size("waist_breadth") / 2),
            (S - size("trochanterion_height"), hip),
            (S - size("trochanterion_height") + 60, hip),
        ]
    )
    depth = between(
        [
            (S - size("cervicale_height"), neck),
            (S - size("acromial_height"), 0.35 * size("chest_depth")),
            (S - size("chest_height"), size("chest_depth") / 2),
            (S - size("waist_height_omphalion"), size("waist_depth") / 2),
            (S - size("trochanterion_height"), size("buttock_depth") / 2),
        ]
    )
    return width, depth


def _head(person: Person, d: Array, rise: Array, half: Array) -> tuple[Array, Array, Array]:
    """Rise, half width and half height of head and neck at distances from the vertex [mm]."""
    size = person.size
    long = HEAD * person.stature / BACK_STATURE
    a, b = size("head_breadth") / 2, size("head_length") / 2
    neck = size("neck_circumference") / (2 * np.pi)
    round_ = np.sqrt(np.clip(1 - ((d - long) / long) ** 2, 0, 1))
    low = float(rise[int(np.argmin(np.abs(d - long)))])
    lower = np.where(d < long, low + b * (1 - round_), rise)
    wide = np.where(d < long, a * round_, np.maximum(a * round_, np.minimum(half, 1.6 * neck)))
    return lower, wide, np.where(d < long, b, np.maximum(b * round_, neck))


def _bones(person: Person, flesh: Flesh, first: float, last: float) -> tuple[Bony, ...]:
    """Sacrum, blades, the points of the chest's spine."""
    S = person.stature
    places = [
        (0.555, 0.0, 45.0), (0.79, 75.0, 45.0), (0.79, -75.0, 45.0), (0.75, 75.0, 40.0), (0.75, -75.0, 40.0),
        (0.76, 0.0, 25.0), (0.585, 45.0, 30.0), (0.585, -45.0, 30.0),
    ]  # fmt: skip
    found = []
    for h, across, reach in places:
        d = (1 - h) * S
        if first <= d < last:
            found.append(Bony((d - first) / (last - first), across, reach, flesh.bone))
    return tuple(found)


def _leg(chain: Chain, flesh: Flesh, back: Line, side: float) -> None:
    """Thigh, and shank with foot."""
    person, S = chain.person, chain.person.stature
    size = person.size
    which = "right" if side > 0 else "left"
    knee, heel = chain.height(f"knee {which}"), chain.height(f"heel {which}")
    hip_d, knee_d, heel_d = chain.down["hip"], S - size("knee_height_midpatella"), S - 8.0
    x0, x1, x2 = (chain.middle + side * by for by in (size("hip_breadth") / 4, size("hip_breadth") / 4 - 5, FEET))
    thigh, calf = size("thigh_circumference") / (2 * np.pi), size("calf_circumference") / (2 * np.pi)
    hip_hung = chain.at(hip_d, x0)
    knee_hung, heel_hung = ((knee, 1.0),), ((heel, 1.0),)
    t = ALONG
    d = hip_d + t * (knee_d - hip_d)
    half = between([(0.0, size("hip_breadth") / 4), (0.2, thigh), (0.6, 0.85 * thigh), (1.0, 0.64 * thigh)])(t)
    chain.rods.append(
        Rod(
            part="thigh", start=(x0, chain.y("hip")), end=(x1, chain.top + knee_d), from_=hip_hung, to=knee_hung, at=t,
            rise=back(d), half_width=half, half_height=half, modulus=flesh.modulus,
            thickness=np.linspace(flesh.trunk, flesh.limb, len(t)),
        )
    )  # fmt: skip
    d = knee_d + t * (heel_d - knee_d)
    shape = [(0.0, 0.64 * thigh), (0.28, calf), (0.6, 0.78 * calf), (0.87, 0.58 * calf), (0.95, 33.0), (1.0, 26.0)]
    half = between(shape)(t)
    soft = [(0.0, flesh.limb), (0.3, flesh.limb), (0.8, 0.5 * flesh.limb), (0.93, flesh.bone), (1.0, flesh.bone)]
    chain.rods.append(
        Rod(
            part="shank", start=(x1, chain.top + knee_d), end=(x2, chain.top + heel_d), from_=knee_hung, to=heel_hung,
            at=t, rise=back(d), half_width=half, half_height=half, modulus=flesh.modulus,
            thickness=between(soft)(t),
        )
    )  # fmt: skip
    thigh_of, shank, foot = (person.segments[name] for name in ("thigh", "shank", "foot"))
    chain.weighs(thigh_of.mass, hip_hung, knee_hung, thigh_of.centre, (chain.y("hip"), chain.top + knee_d))
    chain.weighs(shank.mass, knee_hung, heel_hung, shank.centre, (chain.top + knee_d, chain.top + heel_d))
    chain.masses.append((foot.mass, heel_hung, chain.top + heel_d))
    chain.swings(flesh.hip, knee_hung, (x1 - chain.middle, knee_d - hip_d))
    chain.bends(flesh.knee, hip_hung, knee_hung, heel_hung, knee_d - hip_d, heel_d - knee_d)


def _arm(chain: Chain, flesh: Flesh, side: float) -> None:
    """An arm at the side, straight: from shoulder to finger tips on two heights of its own, held to the shoulder."""
    person, S = chain.person, chain.person.stature
    size = person.size
    which = "right" if side > 0 else "left"
    shoulder, hand = chain.height(f"shoulder {which}"), chain.height(f"hand {which}")
    upper, fore = limb_radius(person, "upper arm"), limb_radius(person, "forearm")
    d0 = S - size("acromial_height") + 0.5 * upper
    first, second, third = size("shoulder_elbow_length"), size("radiale_stylion_length"), size("hand_length")
    whole = first + second + third
    x0 = chain.middle + side * (size("bideltoid_breadth") / 2 - upper)
    x1 = chain.middle + side * (size("forearm_forearm_breadth") / 2 - fore + 15)
    e, w = first / whole, (first + second) / whole
    at = np.array([0.0, 0.04, 0.5 * e, e, e + 0.3 * (w - e), w, w + 0.02, 1.0])
    half = np.array([0.3 * upper, upper, upper, 1.05 * fore, 1.15 * fore, 0.7 * fore, 38.0, 25.0])
    thick = np.array([0.3 * upper, upper, upper, 1.05 * fore, 1.15 * fore, 0.6 * fore, 14.0, 8.0])
    chain.rods.append(
        Rod(
            part="arm", start=(x0, chain.top + d0), end=(x1, chain.top + d0 + whole), from_=((shoulder, 1.0),),
            to=((hand, 1.0),), at=at, rise=np.array([15.0, 5.0, 5.0, 0.0, 3.0, 10.0, 12.0, 12.0]),
            half_width=half, half_height=thick, modulus=flesh.modulus,
            thickness=np.array([20.0, flesh.limb, flesh.limb, flesh.bone, 20.0, flesh.bone, flesh.bone, flesh.bone]),
        )
    )  # fmt: skip
    for name, a, b in (("upper arm", 0.0, e), ("forearm", e, w), ("hand", w, 1.0)):
        one = person.segments[name]
        t = a + one.centre * (b - a)
        hung = ((shoulder, 1 - t), (hand, t))
        chain.masses.append((one.mass, hung, chain.top + d0 + t * whole))
    chain.swings(flesh.reach, ((hand, 1.0),), (x1 - chain.middle, d0 + whole - chain.down["neck"]), "neck", "xiphion")
    chain.tied(flesh.girdle, ((shoulder, 1.0),), chain.at(d0, x0))
