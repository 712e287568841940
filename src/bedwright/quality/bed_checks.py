"""What is looked at while one bed is made: the check cards of its route's steps, with the house's own limits."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.bill.rows import Bill
from bedwright.quality.checks import Check, checks_for
from bedwright.works.materials import NATURAL, Filling
from bedwright.works.rules import DEFAULTS
from bedwright.works.works import Works

SYNTHETIC_RULE, NATURAL_RULE = "tolerance_mass_synthetic", "tolerance_mass_natural"


@dataclass(frozen=True, slots=True)
class BedCheck:
    """One thing to look at after a step: position and words of the step, what to record, limit with its unit."""

    position: int
    operation: str
    work_place: str
    look_at: str
    record: str
    limit: str
    defect_class: str


def bed_checks(works: Works, bill: Bill) -> tuple[BedCheck, ...]:
    """Every check of a bed, in the order of its operations. Raises OutsideRange for a kind without a check card."""
    natural = any(
        isinstance(part, Filling) and part.family in NATURAL
        for part in (*(layer.part for layer in bill.bed.layers), *(ply for p in bill.bed.panels for ply in p.plies))
    )
    left_out = {SYNTHETIC_RULE if natural else NATURAL_RULE}
    if bill.bed.bed.pair == "none":
        left_out.add("pair_height_limit")
    if bill.bed.bed.wrap != "rolled":
        left_out.add("rolled")
    return tuple(
        BedCheck(
            position=step.position,
            operation=step.operation,
            work_place=step.work_place,
            look_at=check.look_at,
            record=check.record,
            limit=_limit(works, bill, check),
            defect_class=check.defect_class,
        )
        for step in bill.operations
        if step.check
        for check in checks_for(step.check)
        if check.limit_rule not in left_out and not ("rolled" in left_out and check.look_at.startswith("rolled"))
    )


def _limit(works: Works, bill: Bill, check: Check) -> str:
    """The limit in words; mass is given as its two ends, so that nobody has to reckon at the scales."""
    if not check.limit_rule:
        return ""
    if check.limit_rule in (SYNTHETIC_RULE, NATURAL_RULE):
        return f"{bill.mass_low:.1f} to {bill.mass_high:.1f} kg"
    return f"± {works.rule(check.limit_rule):g} {DEFAULTS[check.limit_rule].unit}"
