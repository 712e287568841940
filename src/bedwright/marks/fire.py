"""Fire: which tests a hazard class asks for, what is still without evidence, and how to read a test report.

This program certifies nothing and never gives a class from a list of materials: it compares reports from accredited
laboratories with published lists. BS 7177 (bs-7177), BS 5852 (bs-5852), 16 CFR 1632 and 1633 (cfr-1632, cfr-1633), UK
regulations 1988/1324 as amended by SI 2025/531 (ffr-1988, si-2025-531).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from bedwright.errors import OutsideRange

CERTIFIES_NOTHING = "As tested by an accredited laboratory; this program certifies nothing."
CIGARETTE = "EN 597-1"
MATCH = "EN 597-2"
SOURCE_5 = "BS 6807 cl. 9 source 5"
SOURCE_7 = "BS 6807 cl. 9 source 7"


@dataclass(frozen=True, slots=True)
class Hazard:
    """A hazard class: tests that it asks for, usual places, and whether the specifier adds more."""

    name: str
    tests: tuple[str, ...]
    places: str
    specifier_adds: bool = False
    book: str = "bs-7177"


HAZARDS: dict[str, Hazard] = {
    hazard.name: hazard
    for hazard in (
        Hazard("low", (CIGARETTE, MATCH), "homes"),
        Hazard("medium", (CIGARETTE, MATCH, SOURCE_5), "hotels, guest houses, care homes"),
        Hazard("high", (CIGARETTE, MATCH, SOURCE_7), "prisons, rigs and other places of high risk"),
        Hazard("very high", (CIGARETTE, MATCH, SOURCE_7), "as the specifier says", specifier_adds=True),
    )
}


@dataclass(frozen=True, slots=True)
class EvidenceGap:
    """What a hazard class still lacks: tests without a report, and what must be asked; says is to be printed."""

    hazard: str
    missing: tuple[str, ...]
    ask: tuple[str, ...]
    says: str = CERTIFIES_NOTHING

    @property
    def complete(self) -> bool:
        return not self.missing and not self.ask


@dataclass(frozen=True, slots=True)
class Reading:
    """A figure of a report against its limit (same unit). within: it does not pass the limit; nothing more."""

    what: str
    value: float
    limit: float
    unit: str
    within: bool
    book: str
    says: str = CERTIFIES_NOTHING


@dataclass(frozen=True, slots=True)
class Scope:
    """Whether the UK 1988 regulations cover a mattress, and why."""

    covered: bool
    says: str
    book: str = "si-2025-531"


def hazard_tests(hazard: str) -> tuple[str, ...]:
    """The tests that a BS 7177 hazard class asks for. Book: bs-7177. Raises OutsideRange."""
    return _hazard(hazard).tests


def evidence_gap(hazard: str, reports: Iterable[str], *, specifier_set: Iterable[str] | None = None) -> EvidenceGap:
    """What is missing for a claim of this hazard class, from the tests that have a report on this very composite.

    Book: bs-7177. specifier_set: further tests of a "very high" specification; None where nobody has asked. A report
    for a stronger ignition source is not taken for a weaker one: each is listed by name.
    """
    wanted = _hazard(hazard)
    have = {report.strip() for report in reports}
    ask: tuple[str, ...] = ()
    extra = tuple(specifier_set or ())
    if wanted.specifier_adds and not extra:
        ask = ("ask the specifier which further tests are set; high hazard is the least",)
    missing = tuple(test for test in (*wanted.tests, *extra) if test not in have)
    return EvidenceGap(wanted.name, missing, ask)


def uk_1988_scope(
    length_cm: float, width_cm: float, *, for_child: bool, parts_cm: tuple[tuple[float, float], ...] = ()
) -> Scope:
    """Whether the UK 1988 furniture fire regulations cover a mattress since 30 Oct 2025. Book: si-2025-531.

    A mattress for a baby or child is out when shorter than 170 cm and narrower than 75 cm, a modular one when its
    largest part (length, width) is under both; exactly 170 long or 75 wide stays in. Raises OutsideRange.
    """
    sizes = parts_cm or ((length_cm, width_cm),)
    if not all(0 < side < math.inf for size in sizes for side in size):
        raise OutsideRange(f"sizes {sizes} cm must be more than nothing")
    if not for_child:
        return Scope(True, "covered: not made for babies or children")
    small = all(max(size) < 170 and min(size) < 75 for size in sizes)
    if small:
        return Scope(
            False, "not covered since 30 Oct 2025: for a baby or child and under 170 x 75 cm; other law remains"
        )
    return Scope(True, "covered: 170 cm or longer, or 75 cm or wider")


def read_bs_5852(source: int, flaming_s: float) -> Reading:
    """Seconds of flaming of a report against BS 5852:2006: sources 2 and 3 120 s, 4 and 5 10 min, 6 and 7 13 min.

    Book: bs-5852 (an extract, poorly scanned). Flaming time is only one of its reasons to fail. Raises OutsideRange.
    """
    limits = {2: 120.0, 3: 120.0, 4: 600.0, 5: 600.0, 6: 780.0, 7: 780.0}
    if source not in limits:
        raise OutsideRange(f"source {source} has no limit here; known are 2 to 7")
    return _reading(f"flaming after source {source}", flaming_s, limits[source], "s", "bs-5852")


def read_cfr_1632(char_cm: float) -> Reading:
    """Char length from the cigarette [cm] against 5.1 cm (2 in). Book: cfr-1632."""
    return _reading("char from the cigarette", char_cm, 5.1, "cm", "cfr-1632")


def read_cfr_1633(peak_kw: float, total_mj: float) -> tuple[Reading, Reading]:
    """Peak heat release in 30 min [kW] against 200, heat in the first 10 min [MJ] against 15. Book: cfr-1633."""
    return (
        _reading("peak heat release in 30 min", peak_kw, 200.0, "kW", "cfr-1633"),
        _reading("heat released in the first 10 min", total_mj, 15.0, "MJ", "cfr-1633"),
    )


def _hazard(name: str) -> Hazard:
    found = HAZARDS.get(name.strip().lower())
    if found is None:
        raise OutsideRange(f"hazard {name!r} is none of {', '.join(HAZARDS)}")
    return found


def _reading(what: str, value: float, limit: float, unit: str, book: str) -> Reading:
    if not 0 <= value < math.inf:
        raise OutsideRange(f"{what}: {value} {unit} must be 0 or more")
    return Reading(what, value, limit, unit, value <= limit, book)
