"""Fit of what is claimed: a claim of spring count counts what it says, at the size it says."""

from __future__ import annotations

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.part_fault import part_fault
from bedwright.errors import Fault


def spring_counts(bed: BedAtSize) -> dict[str, int]:
    """What can be counted at this size, by what a claim may count."""
    return {
        "coils of the unit": bed.spring_count,
        "coils and mini coils": bed.spring_count + bed.mini_count,
    }


def claim_faults(bed: BedAtSize) -> list[Fault]:
    """Claims that the bed itself does not bear out."""
    faults = []
    for claim in bed.bed.claims:
        if claim.claim == "hand tufted" and bed.tufts is None:
            faults.append(_claim(bed, claim.position, claim.claim, "and the bed has no tufts"))
        if claim.claim == "hand side-stitched" and bed.border.card.side_stitch != "hand":
            faults.append(_claim(bed, claim.position, claim.claim, "and the border is not side-stitched by hand"))
        if claim.claim != "spring count":
            continue
        counts = spring_counts(bed)
        if claim.counts not in counts or claim.claimed is None or claim.size is None:
            faults.append(
                _claim(bed, claim.position, "spring count", "and does not say how many, of what and at which size")
            )
        elif claim.size.casefold() == bed.size.code.casefold() and round(claim.claimed) != counts[claim.counts]:
            other = [what for what, count in counts.items() if count == round(claim.claimed)]
            counted = f"; {claim.claimed:g} is the count of {other[0]}" if other else ""
            faults.append(
                _claim(
                    bed,
                    claim.position,
                    f"{claim.claimed:g} {claim.counts}",
                    f"and this size has {counts[claim.counts]}{counted}",
                )
            )
    return faults


def _claim(bed: BedAtSize, position: int, claim: str, why: str) -> Fault:
    return part_fault(
        bed, bed.bed, "claims", claim, f"claim {position} says {claim!r}, {why}",
        "change the claim; it counts what it says, at the size it says",
    )  # fmt: skip
