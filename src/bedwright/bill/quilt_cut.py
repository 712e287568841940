"""How large a panel is cut before quilting draws it in: cut = finished / (1 - s), lengthwise and across apart.

s is the maker's own measurement by pattern and loft, never guessed (from-memory: 2 to 6 % lengthwise, 1 to 4 % across).
"""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.errors import NotKnown, OutsideRange

LARGEST = 0.15  # share: more than this is a mistyped figure, not a quilt
HOW_TO_MEASURE = (
    "not known: measure so. Mark 1000 mm lengthwise and across on the unquilted lay, quilt it with this pattern and "
    "wadding, let it lie flat for some hours, measure between the marks, and type both losses as shares of 1000 mm"
)


@dataclass(frozen=True, slots=True)
class Contraction:
    """How much quilting draws in, as shares (0.025 for 2.5 %); None where nobody has measured."""

    lengthwise: float | None
    across: float | None


def cut_for_quilting(finished: float, share: float | None) -> float:
    """Size to cut [mm] so that `finished` [mm] is left. Book: derived. Raises NotKnown, OutsideRange."""
    if share is None:
        raise NotKnown(f"quilting contraction {HOW_TO_MEASURE}")
    if not (finished > 0 and 0 <= share <= LARGEST):
        raise OutsideRange(
            f"finished {finished} mm must be over 0, contraction {share} 0 to {LARGEST} (2.5 % is 0.025)"
        )
    return finished / (1 - share)


def panel_cut(length: float, width: float, contraction: Contraction) -> tuple[float, float]:
    """(length, width) to cut [mm] for a finished panel [mm]. Book: derived."""
    return cut_for_quilting(length, contraction.lengthwise), cut_for_quilting(width, contraction.across)


def contraction_measured(before: float, after: float) -> float:
    """The share that a sample drew in, from the same marks before and after quilting and rest [mm]. Book: derived."""
    if not 0 < after <= before:
        raise OutsideRange(
            f"marks {before} mm apart before and {after} mm after: quilting draws in, it does not stretch"
        )
    return 1 - after / before
