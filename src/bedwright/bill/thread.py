"""Thread in a seam by class of stitch, from stitch length, thickness and width; and where published figures disagree.

Thread length per length of seam, C, as published on textile technology pages (thread-formulas) for stitch classes of
ISO 4915. They were given for inches; T S and W S carry no unit, so they hold in centimetres as well.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from bedwright.errors import OutsideRange

USUAL_WASTE = (0.10, 0.15)  # share lost over the formula (thread-formulas)
MEASURED_401 = (1.3, 4.1)  # needle and looper thread per length of seam, as measured somewhere (thread-formulas)
_Formula = Callable[[float, float, float], float]


@dataclass(frozen=True, slots=True)
class Stitch:
    """A class of stitch: number, name, its formula C(T, W, S), whether width counts, and the rival formula if any."""

    number: int
    name: str
    formula: _Formula
    has_width: bool
    rival: _Formula | None = None
    rival_says: str = ""


@dataclass(frozen=True, slots=True)
class ThreadUse:
    """Thread per length of seam (same unit both), the other published figure where there is one, and what it is."""

    per_seam: float
    rival: float | None
    rival_says: str
    book: str = "thread-formulas"


STITCHES: dict[int, Stitch] = {
    stitch.number: stitch
    for stitch in (
        Stitch(101, "single-thread chain", lambda T, W, S: 3 + 2 * T * S, False),
        Stitch(301, "lock", lambda T, W, S: 2 + 2 * T * S, False),
        Stitch(
            401,
            "two-thread chain",
            lambda T, W, S: 4 + 2 * T * S,
            False,
            lambda T, W, S: math.fsum(MEASURED_401),
            "measured on one seam: 1.3 needle and 4.1 looper",
        ),
        Stitch(406, "two-needle bottom cover", lambda T, W, S: 7 + 2 * S * (T + W), True),
        Stitch(
            504,
            "three-thread overlock",
            lambda T, W, S: 4 * S * (W + T) + 5,
            True,
            lambda T, W, S: 3 + 4 * W * S + 4 * T * S,
            "another page has 3 where this formula has 5",
        ),
        Stitch(514, "four-thread overlock", lambda T, W, S: 5 + 2 * S * (3 * T + 2 * W), True),
        Stitch(516, "five-thread safety", lambda T, W, S: 9 + 2 * S * (2 * W + 3 * T), True),
        Stitch(602, "two-needle cover", lambda T, W, S: 8 + S * (5 * W + 4 * T), True),
        Stitch(605, "three-needle cover", lambda T, W, S: 10 + 2 * S * (2 * W + 3 * T), True),
        Stitch(607, "four-needle flat", lambda T, W, S: 12 + 4 * S * (W + 2 * T), True),
    )
}


def thread_per_seam(number: int, *, thickness: float, stitches: float, width: float = 0.0) -> ThreadUse:
    """Thread per length of seam for a stitch class. Book: thread-formulas.

    thickness: of the plies as sewn, compressed [length]; stitches: per that same length; width: needle or overlock
    width [length]. One unit throughout, cm or inch. Raises OutsideRange.
    """
    stitch = STITCHES.get(number)
    if stitch is None:
        raise OutsideRange(f"stitch class {number} is none of {', '.join(str(n) for n in STITCHES)}")
    if not (0 <= thickness < math.inf and 0 < stitches < math.inf and 0 <= width < math.inf):
        raise OutsideRange(
            f"thickness {thickness} and width {width} must be 0 or more, stitches {stitches} more than 0"
        )
    if stitch.has_width and width == 0:
        raise OutsideRange(f"stitch class {number} lies across the seam: give its width")
    rival = stitch.rival(thickness, width, stitches) if stitch.rival else None
    return ThreadUse(stitch.formula(thickness, width, stitches), rival, stitch.rival_says)


def thread_length(seam: float, per_seam: float, waste: float = 0.125) -> float:
    """Thread to issue for a seam, unit of the seam; waste a share, usually 0.10 to 0.15. Book: thread-formulas."""
    if not (0 <= seam < math.inf and 1 <= per_seam < math.inf and 0 <= waste < 1):
        raise OutsideRange(
            f"seam {seam} must be 0 or more, thread per seam {per_seam} 1 or more, waste {waste} a share (12 % is 0.12)"
        )
    return seam * per_seam * (1 + waste)


def waste_kept(percent: float) -> str:
    """The share of issued thread that stays in the seam, in words: 12.5 % of waste leaves 1/1.125."""
    return f"1/{1 + percent / 100:.6g}"
