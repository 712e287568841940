"""Which claims have evidence. A claim without a report that covers this very bed is refused, and named.

A hazard class is never worked out from a material list: it is read from the report of an accredited laboratory, for
the exact composite or a worst case that a person signed (common practice; `bs-7177`). Any layer changed voids it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.fit_claims import claim_faults
from bedwright.identity import same_code
from bedwright.marks.fire import evidence_gap
from bedwright.works.beds import BedClaim, Evidence
from bedwright.works.works import Works

ORDER = ("low", "medium", "high", "very high")
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
    """A claim, whether it may be shown, and why or why not. report: number of the report behind it."""

    claim: str
    says: str
    shown: bool
    why: str
    report: str


def judged_claims(works: Works, bed: BedAtSize, as_of: date) -> tuple[JudgedClaim, ...]:
    """Every claim of a bed judged, the hazard class of its card first."""
    found = []
    if bed.bed.hazard is not None:
        found.append(_hazard(works, bed, as_of))
    found += [_claim(works, bed, claim, as_of) for claim in sorted(bed.bed.claims, key=lambda claim: claim.position)]
    return tuple(found)


def _hazard(works: Works, bed: BedAtSize, as_of: date) -> JudgedClaim:
    wanted = bed.bed.hazard
    assert wanted is not None
    says = f"BS 7177 {wanted} hazard"
    reports = [one for one in works.evidence if one.form == "fire report" and same_code(one.bed, bed.bed.code)]
    if not reports:
        return JudgedClaim("fire", says, False, "no fire report names this bed", "")
    refused = []
    for report in reports:
        fault = _report_fault(report, as_of)
        if not fault and report.hazard is None:
            fault = "states no hazard class"
        if not fault:
            absent = evidence_gap(wanted, report.tests.split(";")).missing
            fault = f"does not list {', '.join(absent)}" if absent else ""
        if not fault and report.hazard is not None and ORDER.index(report.hazard) < ORDER.index(wanted):
            fault = f"states {report.hazard}, below {wanted}"
        if not fault:
            return JudgedClaim("fire", says, True, f"report {report.report} of {report.issued}", report.report)
        refused.append(f"report {report.report} {fault}")
    return JudgedClaim("fire", says, False, "; ".join(refused), "")


def _report_fault(report: Evidence, as_of: date) -> str:
    if report.voided_by_change:
        return "no longer covers it: a layer changed since"
    if report.issued > as_of:
        return f"is dated {report.issued}, after today {as_of}"
    if not report.composite:
        return "does not say which composite was tested"
    return ""


def _claim(works: Works, bed: BedAtSize, claim: BedClaim, as_of: date) -> JudgedClaim:
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
    if fault:
        return judged(False, f"{report.called} {fault}")
    return judged(True, f"{report.form} {report.report} of {report.issued}", report.report)
