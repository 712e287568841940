"""Persons lying on the demo's beds: times, bands, cells, mass; rows of `make measure-beds`."""

from __future__ import annotations

import statistics
from collections.abc import Callable
from functools import cache, partial

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.mechanics.lain import Lain
from bedwright.mechanics.lying import Lies, lying
from bedwright.mechanics.lying_sure import lying_sure
from bedwright.mechanics.person import person
from measures._demo import demo, timed
from measures._published import Figure

BEDS = ("PLOVER", "WHIMBREL", "HERON", "TEAL", "DUNLIN", "AVOCET", "REDSHANK")
SIZE, COARSE = "150x200", 1e-2
MAN, WOMAN = person("man 1755 mm 80 kg"), person("woman 1630 mm 62 kg")
LIGHT, HEAVY = (60, 70, 80, 90), (105, 115, 125)  # kg, at 1755 mm


def rows() -> list[Figure]:
    """Every figure of persons."""
    return [*_times(), *_bands(), *_cells(), *_mass()]


@cache
def _bed(code: str) -> BedAtSize:
    found = demo()
    return bed_at_size(found, found.beds[code], found.sizes[SIZE])


def _middle(work: Callable[[], object], times: int = 5) -> float:
    work()
    return statistics.median(timed(work)[1] for _ in range(times))


def _one(code: str, *lie: Lies, cell: float = 20.0, tolerance: float = 1e-6) -> Lain:
    return lying(_bed(code), lie, cell=cell, tolerance=tolerance).persons[0]


def _times() -> list[Figure]:
    told = []
    for what, lie in (
        ("supine", [Lies(MAN)]),
        ("on the side", [Lies(MAN, "side")]),
        ("two, supine and side", [Lies(MAN), Lies(WOMAN, "side")]),
    ):
        each = {code: _middle(partial(lying, _bed(code), lie), 3) for code in BEDS}
        slowest = max(each, key=lambda code: each[code])
        told.append(
            (f"lying {what}, cells of 20 mm, seven beds",
             f"middle {statistics.median(each.values()):.3f} s, slowest {slowest} {each[slowest]:.3f} s")
        )  # fmt: skip
    sure = _middle(lambda: lying_sure(_bed("PLOVER"), [Lies(MAN)]), 3)
    loose, tight = _one("PLOVER", Lies(MAN, "side"), tolerance=COARSE), _one("PLOVER", Lies(MAN, "side"))
    return [
        *told,
        ("lying with intervals, PLOVER", f"{sure:.2f} s"),
        (f"residual {COARSE:g} against 1e-6", f"area {loose.contact_area / tight.contact_area - 1:.2%}, "
         f"P99 {loose.p99 / tight.p99 - 1:.2%}"),
    ]  # fmt: skip


def _bands() -> list[Figure]:
    """The bands of the body page, section 6 (pitch of the published sheet assumed there)."""
    told = []
    for posture in ("supine", "side"):
        found = {code: _one(code, Lies(MAN, posture)) for code in BEDS}
        area = [one.contact_area for one in found.values()]
        peak = [one.p99 / one.mean for one in found.values()]
        share = [[100 * one.share[part] for one in found.values()] for part in ("head", "trunk", "pelvis", "legs")]
        told.append(
            (f"{MAN.called} {posture}, seven beds",
             f"area above 0.5 kPa {min(area):.3f} to {max(area):.3f} m2; "
             f"P99 / mean {min(peak):.2f} to {max(peak):.2f}; "
             "head, trunk, pelvis, legs " + ", ".join(f"{min(one):.0f}-{max(one):.0f}" for one in share) + " %")
        )  # fmt: skip
    return told


def _cells() -> list[Figure]:
    told = []
    for posture in ("supine", "side"):
        found = {cell: _one("PLOVER", Lies(MAN, posture), cell=cell) for cell in (30.0, 20.0, 15.0, 10.0)}
        told.append(
            (f"cells of 30, 20, 15, 10 mm, {posture}",
             "; ".join(f"area {one.contact_area:.3f}, mean {one.mean:.2f}, P99 {one.p99:.1f}, "
                       f"hip {one.sink['hip']:.0f} mm" for one in found.values()))
        )  # fmt: skip
    return told


def _mass() -> list[Figure]:
    told = []
    for posture in ("supine", "side"):
        ratios = []
        for code in BEDS:
            light, heavy = (
                statistics.mean(_one(code, Lies(person(f"man 1755 mm {kg} kg"), posture)).mean for kg in masses)
                for masses in (LIGHT, HEAVY)
            )
            ratios.append(heavy / light)
        told.append(
            (f"mean pressure of {HEAVY[0]}-{HEAVY[-1]} kg over {LIGHT[0]}-{LIGHT[-1]} kg, {posture}",
             f"{min(ratios):.2f} to {max(ratios):.2f}")
        )  # fmt: skip
    return told
