"""Which claims have evidence. A claim without a report that covers this very bed is refused, and named.

A hazard class is never worked out from a material list: it is read from the report of an accredited laboratory, for
the exact composite or a worst case that a person signed (common practice; `bs-7177`). Any layer changed voids it: the
words of the report's card are held against the bed's own. A share of filling needs a certificate and the bill as well.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import get_args

from bedwright.bill.rows import Bill
from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.fit_claims import claim_faults
from bedwright.identity import same_code
from bedwright.marks.composite import composite_fault
from bedwright.marks.fire import evidence_gap
from bedwright.works.beds import BedClaim, Evidence
from bedwright.works.materials import Family
from bedwright.works.works import Works

ORDER = ("low", "medium", "high", "very high")
CLASS_WORDS = re.compile(r"\b(very high|high|medium|low)\b", re.IGNORECASE)
NEEDS: dict[str, tuple[str, ...]] = {
    "spring count": ("count sheet",),
    "fire": ("fire report",),
    "filling share": ("filling certificate",),
    "hand tufted": ("photo and sample",),
    "hand side-stitched": ("photo and sample",),
    "origin": ("filling certificate", "fibre certificate"),
}


@dataclass(frozen=True, slots=True)
class JudgedClaim:
    """A claim, whether it may be shown, and why or why not. report: number of the report behind it.

    says: the claim's words; for a fire claim that is shown the class that the report states, never the claim's words.
    """

    claim: str
    says: str
    shown: bool
    why: str
    report: str


def judged_claims(works: Works, bed: BedAtSize, as_of: date, bill: Bill | None = None) -> tuple[JudgedClaim, ...]:
    """Every claim of a bed judged, the hazard class of its card first. bill: for shares of filling; else refused."""
    found = []
    if bed.bed.hazard is not None:
        found.append(_hazard(works, bed, as_of))
    found += [
        _claim(works, bed, claim, as_of, bill) for claim in sorted(bed.bed.claims, key=lambda claim: claim.position)
    ]
    return tuple(found)


def _hazard(works: Works, bed: BedAtSize, as_of: date) -> JudgedClaim:
    says = f"BS 7177 {bed.bed.hazard} hazard"
    reports = [one for one in works.evidence if one.form == "fire report" and same_code(one.bed, bed.bed.code)]
    if not reports:
        return JudgedClaim("fire", says, False, "no fire report names this bed", "")
    refused = []
    for report in reports:
        fault = _report_fault(report, as_of) or _fire_fault(report, bed)
        if not fault:
            return _fire_shown(report)
        refused.append(f"report {report.report} {fault}")
    return JudgedClaim("fire", says, False, "; ".join(refused), "")


def _report_fault(report: Evidence, as_of: date) -> str:
    if report.voided_by_change:
        return "no longer covers it: a layer changed since"
    if report.issued > as_of:
        return f"is dated {report.issued}, after today {as_of}"
    if not report.composite and report.form != "fire report":
        return "does not say which composite was tested"
    return ""


def _fire_fault(report: Evidence, bed: BedAtSize) -> str:
    """Why a fire report does not show its own class and that of the bed's card, for this bed; "" where it does."""
    wanted = bed.bed.hazard
    if report.hazard is None:
        return "states no hazard class"
    if wanted is not None and ORDER.index(report.hazard) < ORDER.index(wanted):
        return f"states {report.hazard}, below {wanted}"
    for hazard in dict.fromkeys([wanted or report.hazard, report.hazard]):
        gap = evidence_gap(hazard, report.tests.split(";"))
        if gap.missing:
            return f"does not list {', '.join(gap.missing)}"
        if gap.ask:
            return f"is not enough for {hazard} hazard: {'; '.join(gap.ask)}"
    return composite_fault(bed, report.composite)


def _fire_shown(report: Evidence) -> JudgedClaim:
    why = f"report {report.report} of {report.issued}"
    return JudgedClaim("fire", f"BS 7177 {report.hazard} hazard", True, why, report.report)


def _class_fault(claim: BedClaim, report: Evidence) -> str:
    """Why the words of a fire claim do not go with the class that its report states."""
    named = [found.casefold() for found in CLASS_WORDS.findall(" ".join(claim.words.split()))]
    others = [one for one in dict.fromkeys(named) if one != report.hazard]
    return f"states {report.hazard}, and the claim's words say {', '.join(others)}" if others else ""


def _claim(works: Works, bed: BedAtSize, claim: BedClaim, as_of: date, bill: Bill | None) -> JudgedClaim:
    says = claim.words or claim.claim

    def judged(shown: bool, why: str, report: str = "") -> JudgedClaim:
        return JudgedClaim(claim.claim, says, shown, why, report)

    own = [fault for fault in claim_faults(bed) if fault.says.startswith(f"claim {claim.position} says")]
    if own:
        return judged(False, own[0].says)
    if claim.evidence is None:
        return judged(False, f"no evidence is named; it needs a {' or '.join(NEEDS[claim.claim])}")
    report = works.evidence[claim.evidence]
    if not same_code(report.bed, bed.bed.code):
        return judged(False, f"{report.called} covers bed {report.bed}")
    if report.form not in NEEDS[claim.claim]:
        return judged(False, f"{report.called} is a {report.form}; it needs a {' or '.join(NEEDS[claim.claim])}")
    fault = _report_fault(report, as_of)
    if not fault and claim.claim == "fire":
        fault = _fire_fault(report, bed) or _class_fault(claim, report)
    if fault:
        return judged(False, f"{report.called} {fault}")
    if claim.claim == "fire":
        return _fire_shown(report)
    if claim.claim == "filling share":
        fault = _share_fault(works, claim, bill)
        if fault:
            return judged(False, fault)
    return judged(True, f"{report.form} {report.report} of {report.issued}", report.report)


def _share_fault(works: Works, claim: BedClaim, bill: Bill | None) -> str:
    """Why a share of filling is not borne out by the bill; "" where it is. Dry mass; never rounded upwards."""
    words = claim.words.casefold()
    families = [family for family in get_args(Family) if re.search(rf"\b{family}\b", words)]
    percents = re.findall(r"(\d+(?:\.\d+)?)\s*(?:%|per\s?cent)", words)
    if claim.claimed is None or len(families) != 1 or [float(one) for one in percents] != [claim.claimed]:
        return (
            "say how many percent of what: one number in claimed, the same one with % in the words, and one of "
            + ", ".join(get_args(Family))
        )
    if not 0 < claim.claimed <= 100:
        return f"claims {claim.claimed:g} %: a share is more than 0 and at most 100"
    if bill is None:
        return "its bill is not at hand, so the share is not known"
    panels = "panel" in words
    rows = [row for row in bill.rows if row.kind == "filling" and (row.group == "panels" or not panels)]
    where = "the panels' filling" if panels else "all filling"
    total = sum(row.mass for row in rows)
    if not total > 0:
        return f"{where} has no mass in the bill"
    share = 100 * sum(row.mass for row in rows if works.fillings[row.code].family == families[0]) / total
    if share < claim.claimed:
        return f"{families[0]} is {share:.3g} % of the dry mass of {where} in the bill, below {claim.claimed:g} %"
    return ""
