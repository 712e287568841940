"""When inspection gets stricter, looser or stops: one pure step for each lot, for each defect class by itself.

Normal, tightened and stop after MIL-STD-105E / ISO 2859-1 as seen on trade pages (mil-105e); the ways into and out of
reduced inspection are from memory and marked so. Switching protects only in a run of lots from one maker; a lot that
stands alone gets no protection from it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from bedwright.errors import OutsideRange
from bedwright.quality.sampling import Inspection, Standard

STOP_AFTER = 5  # lots not accepted in all while tightened
SCORE_FOR_REDUCED = 30  # ISO 2859-1 switching score
LOTS_FOR_REDUCED = 10  # MIL-STD-105E: lots accepted in a row on normal


@dataclass(frozen=True, slots=True)
class Severity:
    """How strictly the next lot is inspected, and the memory that the rules need.

    recent: the last lots on normal, newest last, True where accepted. stopped: nothing more is accepted until the
    maker has shown a cure; then resume().
    """

    standard: Standard = "mil-105e"
    inspection: Inspection = "normal"
    recent: tuple[bool, ...] = ()
    accepted_in_a_row: int = 0
    refused_while_tightened: int = 0
    score: int = 0
    stopped: bool = False
    says: str = "normal inspection to begin with"


@dataclass(frozen=True, slots=True)
class LotResult:
    """What happened to one lot.

    accept: the plan's acceptance number. in_gap: 105E reduced, a count between acceptance and rejection number.
    tighter_accepts: whether the count would also have passed at the next tighter AQL (ISO score). few_defects: whether
    the total of the last ten lots is within the limit number of 105E table VIII, which is not held here. steady and
    agreed: production runs evenly, and who decides agrees to reduced inspection. resubmitted lots do not count.
    """

    accepted: bool
    accept: int
    in_gap: bool = False
    tighter_accepts: bool = False
    few_defects: bool = False
    steady: bool = True
    agreed: bool = False
    resubmitted: bool = False


def step(now: Severity, lot: LotResult) -> Severity:
    """The severity for the next lot. MIL-STD-105E / ISO 2859-1 switching rules (mil-105e; reduced from-memory).

    Raises OutsideRange when inspection has been stopped.
    """
    if now.stopped:
        raise OutsideRange("inspection is stopped: no lot is taken until a cure is shown; then resume()")
    if lot.resubmitted:
        return replace(now, says="a lot offered again does not count")
    if now.inspection == "normal":
        return _from_normal(now, lot)
    if now.inspection == "tightened":
        return _from_tightened(now, lot)
    return _from_reduced(now, lot)


def resume(now: Severity) -> Severity:
    """After the maker has shown a cure: tightened inspection, counts begun anew (from-memory)."""
    if not now.stopped:
        raise OutsideRange("inspection is not stopped; there is nothing to resume")
    return Severity(now.standard, "tightened", says="resumed on tightened inspection after a cure")


def _from_normal(now: Severity, lot: LotResult) -> Severity:
    recent = (*now.recent, lot.accepted)[-5:]
    if recent.count(False) >= 2:
        return Severity(now.standard, "tightened", says=f"tightened: 2 of the last {len(recent)} lots not accepted")
    in_a_row = now.accepted_in_a_row + 1 if lot.accepted else 0
    score = _score(now.score, lot)
    going = replace(now, recent=recent, accepted_in_a_row=in_a_row, score=score, says="normal inspection goes on")
    earned = score >= SCORE_FOR_REDUCED
    if now.standard == "mil-105e":
        earned = in_a_row >= LOTS_FOR_REDUCED and lot.few_defects
    if earned and lot.accepted and lot.steady and lot.agreed:
        return Severity(now.standard, "reduced", says="reduced: earned, steady and agreed")
    return going


def _score(score: int, lot: LotResult) -> int:
    """ISO 2859-1 switching score (from-memory): +3 or +2 for a good lot, else back to nothing."""
    if lot.accept >= 2:
        return score + 3 if lot.accepted and lot.tighter_accepts else 0
    return score + 2 if lot.accepted else 0


def _from_tightened(now: Severity, lot: LotResult) -> Severity:
    if lot.accepted:
        in_a_row = now.accepted_in_a_row + 1
        if in_a_row >= 5:
            return Severity(now.standard, "normal", says="normal: 5 lots in a row accepted")
        return replace(now, accepted_in_a_row=in_a_row, says=f"tightened goes on: {in_a_row} of 5 accepted in a row")
    refused = now.refused_while_tightened + 1
    if refused >= STOP_AFTER:
        says = f"stop: {refused} lots not accepted while tightened"
        return replace(now, accepted_in_a_row=0, refused_while_tightened=refused, stopped=True, says=says)
    says = f"tightened goes on: {refused} lots not accepted, stop at {STOP_AFTER}"
    return replace(now, accepted_in_a_row=0, refused_while_tightened=refused, says=says)


def _from_reduced(now: Severity, lot: LotResult) -> Severity:
    why = ""
    if not lot.accepted:
        why = "a lot was not accepted"
    elif lot.in_gap and now.standard == "mil-105e":
        why = "a count lay between the two numbers"
    elif not lot.steady:
        why = "production does not run evenly"
    elif not lot.agreed:
        why = "reduced inspection is no longer agreed"
    if why:
        return Severity(now.standard, "normal", says=f"normal: {why}")
    return replace(now, says="reduced inspection goes on")
