"""What is looked at by whom, at each kind of work place: the default check cards, as data to be edited.

Engineering judgement of the trade, no source (common-practice); limits are names of house rules, never numbers here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from bedwright.errors import OutsideRange

DefectClassName = Literal["critical", "major", "minor"]


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to look at.

    record: what is written down, or "yes or no". limit_rule: the house rule that holds the tolerance, "" where the
    check is yes or no. defect_class: what a failure counts as at the final check or in a bought lot.
    """

    work_place_kind: str
    look_at: str
    record: str
    limit_rule: str
    defect_class: DefectClassName
    book: str = "common-practice"


def _rows(kind: str, *rows: tuple[str, str, str, DefectClassName]) -> tuple[Check, ...]:
    return tuple(Check(kind, *row) for row in rows)


YES = "yes or no"
DEFAULT_CHECKS: tuple[Check, ...] = (
    *_rows(
        "wire in",
        ("certificate says the grade and strength that were ordered", "certificate number", "", "major"),
        ("diameter on two axes", "mm, chart by coil lot", "", "major"),
        ("surface free of rust, nicks and flats", YES, "", "major"),
    ),
    *_rows(
        "coiling",
        ("free height of every n-th coil", "mm, chart of mean and range", "tolerance_coil_height", "major"),
        ("coil diameter at end and middle", "mm", "wire_diameter_tolerance", "major"),
        ("turns", "turns", "turns_tolerance", "major"),
        ("knot closed and turned inward, no sharp end", YES, "", "critical"),
    ),
    *_rows(
        "lacing",
        ("every coil laced, no turn missed", "number missed", "", "major"),
        ("lacing crimped at both ends", YES, "", "major"),
        ("springs counted along and across", "count along x across", "", "major"),
        ("difference of the two diagonals", "mm", "tolerance_diagonals", "major"),
    ),
    *_rows(
        "edge",
        ("rod or strip of the right size, join dressed", YES, "", "critical"),
        ("a closed clip on every coil that needs one", "number missed", "", "major"),
    ),
    *_rows(
        "oven",
        ("temperature and time, counted from when the unit is warm", "°C and min, chart by charge", "", "major"),
        ("unit height before and after, and colour", "mm, chart of the loss", "tolerance_coil_height", "major"),
        ("difference of the two diagonals after cooling", "mm", "tolerance_diagonals", "major"),
        ("cool to the hand before pad, foam or hot melt touches it", YES, "", "major"),
    ),
    *_rows(
        "pocketing",
        ("one coil in each pocket, none empty, lying or upside down", "number bad of number seen", "", "major"),
        ("welds hold when peeled, no burn", YES, "", "major"),
        ("pocket height", "mm", "tolerance_coil_height", "major"),
    ),
    *_rows(
        "unit gluing",
        ("glue on every place that the pattern asks for", "number missed", "", "major"),
        ("strings counted, none short, rows level", "count", "", "major"),
        ("rails square and stuck along their whole length", YES, "", "major"),
        ("difference of the two diagonals", "mm", "tolerance_diagonals", "major"),
    ),
    *_rows(
        "quilting",
        ("right ticking, face out, pattern straight, no oil spot", YES, "", "major"),
        ("no skipped or broken stitches, bobbin full", "number of skips", "", "major"),
        ("panel length and width after it has relaxed", "mm, chart of mean and range", "tolerance_panel", "major"),
        ("shade against its pair and its border", YES, "", "minor"),
        ("passed the needle detector before build", YES, "", "critical"),
    ),
    *_rows(
        "border",
        ("height, and join square", "mm", "tolerance_border_join", "major"),
        ("join at the foot or away from the label", YES, "", "minor"),
        ("handles and vents in place and pulled by hand", YES, "", "major"),
        ("label: right bed, size, order and number", YES, "", "critical"),
        ("passed the needle detector before build", YES, "", "critical"),
    ),
    *_rows(
        "build",
        ("every layer of this face, in order", YES, "", "major"),
        ("insulator held so that it cannot ride", YES, "", "major"),
        ("layers centred, nothing folded under", YES, "", "major"),
    ),
    *_rows(
        "tape edge",
        ("tape catches every ply all round", YES, "", "major"),
        ("corners flat and alike, right tape colour", YES, "", "minor"),
        ("needle whole; pieces of a broken one all found", YES, "", "critical"),
    ),
    *_rows(
        "hand tufting",
        ("every tuft there, none on a coil or knot", "count", "", "major"),
        ("place of tufts against the plan", "mm", "tolerance_tuft", "minor"),
        ("needles counted out and in", YES, "", "critical"),
    ),
    *_rows(
        "passing",
        ("length and width, mean of several places", "mm", "tolerance_length_width", "major"),
        ("height at the highest places, tape not counted", "mm", "tolerance_height", "major"),
        ("heights of both halves of the pair, side by side", "mm apart", "pair_height_limit", "major"),
        ("mass against the bill, synthetic fillings", "kg", "tolerance_mass_synthetic", "major"),
        ("mass against the bill, natural fillings", "kg", "tolerance_mass_natural", "major"),
        ("no wire or sharp end felt through any face", YES, "", "critical"),
        ("no rattle when pressed and turned", YES, "", "major"),
        ("no stain, hole, odour or damp", YES, "", "major"),
        ("loose threads trimmed", YES, "", "minor"),
        ("labels: this bed, this size, this order; fire label as its evidence allows", YES, "", "critical"),
    ),
    *_rows(
        "packing",
        ("bag whole, dry inside, warning printed and readable", YES, "", "critical"),
        ("pack label same as bed label", YES, "", "major"),
        ("rolled only where the bed sheet allows; time rolled written on", "date and hour", "", "major"),
    ),
)


def checks_for(work_place_kind: str, checks: Iterable[Check] = DEFAULT_CHECKS) -> tuple[Check, ...]:
    """The checks of one kind of work place, in the order of the card. Raises OutsideRange for a kind without any."""
    every = tuple(checks)
    found = tuple(check for check in every if check.work_place_kind == work_place_kind)
    if not found:
        kinds = ", ".join(dict.fromkeys(check.work_place_kind for check in every))
        raise OutsideRange(f"no checks for work place {work_place_kind!r}; there are checks for {kinds}")
    return found


def limit_rules(checks: Iterable[Check] = DEFAULT_CHECKS) -> tuple[str, ...]:
    """Names of the house rules that the checks lean on, each once, sorted."""
    return tuple(sorted({check.limit_rule for check in checks if check.limit_rule}))
