"""Single sampling plans for bought lots, made from the diagonal structure of the public-domain tables.

MIL-STD-105E, 1989 (mil-105e): tables I, II-A, II-B, II-C. Along a diagonal, letter place plus AQL place tells the
acceptance number; the blanks are arrows, and an arrow changes the sample size with the numbers. AQL 0.010 to 15 are
offered: those are the cells compared with the published tables. ISO 2859-1 shares the normal and tightened single
plans (from memory) but closed the gap of the reduced table, so reduced is refused under that name, never mixed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bedwright.errors import OutsideRange

Inspection = Literal["normal", "tightened", "reduced"]
Standard = Literal["mil-105e", "iso-2859-1"]
Level = Literal["S-1", "S-2", "S-3", "S-4", "I", "II", "III"]

AQLS = (0.010, 0.015, 0.025, 0.040, 0.065, 0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10.0, 15.0)
LETTERS = "ABCDEFGHJKLMNPQR"
LEVELS: tuple[Level, ...] = ("S-1", "S-2", "S-3", "S-4", "I", "II", "III")

# Table I: largest lot of each row, then the letters for the seven levels in the order of LEVELS.
_LOT_ROWS: tuple[tuple[int, str], ...] = (
    (8, "AAAAAAB"),
    (15, "AAAAABC"),
    (25, "AABBBCD"),
    (50, "ABBCCDE"),
    (90, "BBCCCEF"),
    (150, "BBCDDFG"),
    (280, "BCDEEGH"),
    (500, "BCDEFHJ"),
    (1_200, "CCEFGJK"),
    (3_200, "CDEGHKL"),
    (10_000, "CDFGJLM"),
    (35_000, "CDFHKMN"),
    (150_000, "DEGJLNP"),
    (500_000, "DEGJMPQ"),
)
_LARGEST_ROW = "DEHKNQR"

_SIZES = (2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000, 3150)  # the last: row S, tightened only
_SIZES_REDUCED = (2, 2, 2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800)

# Acceptance and rejection numbers along a column, from the first letter that has a plan downward; None is an arrow.
_Run = tuple[tuple[int, int] | None, ...]
_NORMAL: _Run = ((0, 1), None, None, *((ac, ac + 1) for ac in (1, 2, 3, 5, 7, 10, 14, 21)))
_TIGHTENED: _Run = ((0, 1), None, None, *((ac, ac + 1) for ac in (1, 2, 3, 5, 8, 12, 18)))
_REDUCED: _Run = ((0, 1), None, None, (0, 2), (1, 3), (1, 4), (2, 5), (3, 6), (5, 8), (7, 10), (10, 13))
# letter place + AQL place at which each run starts
_TABLES: dict[str, tuple[int, _Run, tuple[int, ...]]] = {
    "normal": (14, _NORMAL, _SIZES[:16]),
    "tightened": (15, _TIGHTENED, _SIZES),
    "reduced": (14, _REDUCED, _SIZES_REDUCED),
}


@dataclass(frozen=True, slots=True)
class LetterPlan:
    """One cell of a table: sample size n, acceptance and rejection number, and whether an arrow led there."""

    letter: str
    n: int
    accept: int
    reject: int
    arrow: Literal["", "up", "down"]


@dataclass(frozen=True, slots=True)
class SamplingPlan:
    """A single plan for one lot: take n [units], accept at `accept` or fewer, refuse at `reject` or more.

    whole_lot: the sample would be the lot or more, so every unit is looked at. gap: between accept and reject lie
    counts that accept this lot and end reduced inspection (MIL-STD-105E only).
    """

    lot: int
    aql: float
    level: Level
    inspection: Inspection
    standard: Standard
    letter: str
    n: int
    accept: int
    reject: int
    arrow: Literal["", "up", "down"]
    whole_lot: bool
    book: str = "mil-105e"

    @property
    def gap(self) -> bool:
        return self.reject > self.accept + 1


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a count says about the lot, and whether reduced inspection ends with it."""

    accepted: bool
    back_to_normal: bool
    says: str


def code_letter(lot: int, level: Level = "II") -> str:
    """The sample size letter for a lot [units]. MIL-STD-105E table I (mil-105e). Raises OutsideRange."""
    if lot < 1:
        raise OutsideRange(f"a lot of {lot} units cannot be sampled; it has 1 unit or more")
    if level not in LEVELS:
        raise OutsideRange(f"inspection level {level!r} is none of {', '.join(LEVELS)}")
    row = next((letters for largest, letters in _LOT_ROWS if lot <= largest), _LARGEST_ROW)
    return row[LEVELS.index(level)]


def letter_plan(letter: str, aql: float, inspection: Inspection = "normal") -> LetterPlan:
    """The plan for a letter and an AQL [% or per hundred], arrows followed. Tables II-A, II-B, II-C (mil-105e).

    Raises OutsideRange for an AQL, letter or severity that is not in the tables offered.
    """
    if aql not in AQLS:
        raise OutsideRange(f"AQL {aql:g} is not in the tables; take one of {', '.join(f'{a:g}' for a in AQLS)}")
    if letter not in LETTERS or len(letter) != 1:
        raise OutsideRange(f"letter {letter!r} is none of {LETTERS}")
    if inspection not in _TABLES:
        raise OutsideRange(f"inspection {inspection!r} is none of normal, tightened, reduced")
    start, run, sizes = _TABLES[inspection]
    own, column = LETTERS.index(letter), AQLS.index(aql) - start

    def at(place: int) -> LetterPlan | None:
        numbers = run[place + column] if 0 <= place + column < len(run) else None
        if numbers is None or (inspection == "tightened" and aql == 10.0 and place == 0):
            return None  # the one cell where the published table has an arrow and the rule a plan
        same = place == own or (inspection == "reduced" and sizes[place] == sizes[own])
        return LetterPlan(letter, sizes[place], *numbers, "" if same else "up" if place < own else "down")

    direct = at(own)
    if direct is not None:
        return direct
    up, down = range(own - 1, -1, -1), range(own + 1, len(sizes))
    past_the_run = own + column >= len(run)
    first_blank = own + column == 1 and inspection != "tightened"
    ways = (up, down) if past_the_run or first_blank else (down, up)
    for way in ways:
        for place in way:
            plan = at(place)
            if plan is not None:
                return plan
    raise OutsideRange(f"no plan for letter {letter} at AQL {aql:g}, {inspection}")


def single_plan(
    lot: int,
    aql: float,
    *,
    level: Level = "II",
    inspection: Inspection = "normal",
    standard: Standard = "mil-105e",
) -> SamplingPlan:
    """The single sampling plan for a lot [units]. MIL-STD-105E (mil-105e).

    Where the sample would reach the lot, every unit is looked at and n is the lot. Raises OutsideRange; also for
    reduced inspection under ISO 2859-1, whose table is not held here.
    """
    if standard == "iso-2859-1" and inspection == "reduced":
        raise OutsideRange("the reduced table of ISO 2859-1 is not held here; use normal, or MIL-STD-105E by agreement")
    if standard not in ("mil-105e", "iso-2859-1"):
        raise OutsideRange(f"standard {standard!r} is neither mil-105e nor iso-2859-1")
    letter = code_letter(lot, level)
    cell = letter_plan(letter, aql, inspection)
    whole = cell.n >= lot
    n = lot if whole else cell.n
    return SamplingPlan(
        lot, aql, level, inspection, standard, letter, n, cell.accept, cell.reject, cell.arrow, whole_lot=whole
    )


def judge(plan: SamplingPlan, found: int) -> Verdict:
    """What `found` nonconforming units in the sample mean for the lot.

    A count in the gap of reduced inspection accepts the lot and returns to normal (from memory). Raises OutsideRange.
    """
    if found < 0:
        raise OutsideRange(f"{found} nonconforming units found; a count is 0 or more")
    if found <= plan.accept:
        return Verdict(True, False, f"{found} found, accepted at {plan.accept} or fewer of {plan.n}")
    if found < plan.reject:
        return Verdict(True, True, f"{found} found, accepted this once; normal inspection from the next lot")
    says = f"{found} found, not accepted at {plan.reject} or more of {plan.n}"
    return Verdict(False, plan.inspection == "reduced", says)
