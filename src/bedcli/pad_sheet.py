"""The pad test as JSON and as a sheet for people: every figure with its unit, none finer than it is sure."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bedcli.pad_life import life_json, life_lines, settling_json, settling_lines
from bedcli.pad_measured import Measured, beside
from bedcli.pad_plain import six_figures
from bedwright import __version__, typed
from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import BedwrightError
from bedwright.mechanics.base import Base
from bedwright.mechanics.edge_sit import EdgeSit
from bedwright.mechanics.firmness_rating import Rating, Term, firmness_rating
from bedwright.mechanics.pad import Spot
from bedwright.mechanics.pad_test import Curve
from bedwright.mechanics.roller_life import RollerLife
from bedwright.mechanics.settling import Settling

Array = NDArray[np.float64]
FORCES = (210.0, 275.0, 340.0)
STEP = 8.0  # mm, at least, between the lines of the table for people
NOTHING_MORE = "nothing is said of how it feels to anybody, of health, sleep, years or infants"
CAUTION = "before a sample is pressed: hands stay out from under the pad, 1,000 N crushes fingers"
NO_INTERVAL = "no interval was reckoned for sitting: it moves at least as far as H does"
MEANINGS = {
    "curve": "the pad's lowest point below the unloaded face, and the force on it, going down and then coming back",
    "curve_back_from": "index in curve at which coming back begins",
    "curve_band": "depth, lowest and highest force going down, by the same open figures as the intervals of H",
    "edge": "the same test with the pad's middle so far from the border of the long side, half way along",
    "edge_sit": "a rigid seat of 380 mm, flush with the border; roll_off towards the border, under 0 inwards",
    "h_secant": "mean of force over depth at 210, 275 and 340 N",
    "h_tangent": "mean of the slope at 210, 275 and 340 N",
    "heights": "above the base at the spot; under_pad at the force at_force",
    "life": "the most pressed coil of each kind, stresses corrected, from rest to the roller's force; null: not asked",
    "moves": "how far H goes when one open figure goes to its limit: half widths",
    "height_mm": "above the base at the spot, unloaded: the crown, once tufted",
    "residual": "what the equations are left unbalanced by, as a share of the force, at the worst point",
    "settling": "loss of height, by the cards or as measured; high_mm null: bounded by nothing known",
    "work_lost": "share of the work going down that does not come back; 0 also where nothing is known of it",
    "seconds": "time that the test took, intervals in it; neither starting nor reading the works",
}


@dataclass(frozen=True, slots=True)
class EdgeSpot:
    """A press near the border: how far its middle is from it [mm], and its curve or why there is none."""

    distance: float
    curve: Curve | str


@dataclass(frozen=True, slots=True)
class BedTest:
    """A bed, how it was pressed, and what came of it; seconds: time of the press at the spot. sat: with `edge`.

    settling: of the middle; life: of the coils, None where not asked. Either is a sentence where it is not known.
    """

    works: str
    bed: BedAtSize
    spot: Spot
    base: Base
    cycles: int
    curve: Curve
    edge: tuple[EdgeSpot, ...]
    sat: EdgeSit | str | None
    measured: Measured | None
    seconds: float
    settling: Settling | str
    life: RollerLife | str | None

    @property
    def in_the_middle(self) -> bool:
        """Whether the spot is the middle of the bed."""
        return (self.spot.x, self.spot.y) == (self.bed.width / 2, self.bed.length / 2)


def bed_json(test: BedTest) -> dict[str, Any]:
    """The test as plain data, floats with six figures."""
    bed, curve = test.bed, test.curve
    back = (curve.depth_back, curve.force_back)
    rating, ends = rated(test)
    found: dict[str, Any] = {
        **_hardness(curve),
        "base": test.base.words(),
        "bed": bed.bed.code,
        "coils_close_from_n": _finite(curve.closing_from),
        "coils_solid_from_n": _finite(curve.solid_from),
        "curve": [*_pairs(curve.depth, curve.force), *_pairs(*back)],
        "curve_back_from": len(curve.depth),
        "curve_band": [
            [float(d), float(low), float(high)]
            for d, low, high in zip(curve.depth, curve.force_low, curve.force_high, strict=True)
        ],
        "cycles": test.cycles,
        "coil_greatest_compression_mm": curve.greatest_compression,
        "depth_mm_at": {f"{force:g}": depth for force, depth in zip(FORCES, curve.hardness.depths, strict=True)},
        "edge_sit": _sat(test.sat),
        "edge": [_edge(spot) for spot in test.edge],
        "face": test.spot.face,
        "firmness_rating": rating.value,
        "firmness_rating_interval": None if ends is None else list(ends),
        "firmness_rating_reason": rating.note,
        "height_mm": curve.heights.tufted,
        "height_half_mm": curve.height_half,
        "heights": {
            "at_force_n": curve.heights.at_force,
            "tufted_mm": curve.heights.tufted,
            "under_pad_mm": curve.heights.under_pad,
            "untufted_mm": curve.heights.untufted,
        },
        "life": life_json(test.life),
        "largest_contributor": curve.moves[0].name if curve.moves else None,
        "meanings": MEANINGS,
        "measured": _measured(test, curve),
        "model": curve.model,
        "moves": [
            {
                "name": one.name,
                "secant": one.secant,
                "secant_down_up": [one.secant_down, one.secant_up],
                "tangent": one.tangent,
                "tangent_down_up": [one.tangent_down, one.tangent_up],
            }
            for one in curve.moves
        ],
        "notes": [*curve.notes, CAUTION, NOTHING_MORE],
        "nodes": curve.nodes,
        "residual": curve.residual,
        "seconds": test.seconds,
        "settling": settling_json(test.settling),
        "size": bed.size.code,
        "size_mm": [bed.width, bed.length],
        "spot_mm": [test.spot.x, test.spot.y],
        "units": {"depth": "mm", "force": "N", "h": "N/mm", "height": "mm", "moves": "N/mm"},
        "version": __version__,
        "work_lost": curve.work_lost,
        "works": test.works,
        "works_revision": bed.works_revision,
    }
    rounded = six_figures(found)
    assert isinstance(rounded, dict)
    return rounded


def bed_text(test: BedTest) -> str:
    """The sheet for people."""
    bed, spot, curve = test.bed, test.spot, test.curve
    show = typed.show
    where = f"{show(spot.x)} mm across, {show(spot.y)} mm along" + (" (the middle)" if test.in_the_middle else "")
    before = {0: ", never pressed before", 1: ", pressed once before"}
    pressed = before.get(test.cycles, f", pressed {test.cycles} times before")
    depths = ", ".join(f"{f:g} N at {d:.0f} mm" for f, d in zip(FORCES, curve.hardness.depths, strict=True))
    sizes = f"{show(bed.width)} x {show(bed.length)} mm, works revision {bed.works_revision}"
    tall, load = curve.heights, f"{curve.heights.at_force:g} N"
    facts = [
        ("bed", f"{bed.bed.code} {bed.bed.name}, {sizes}"),
        ("pressed", f"face {spot.face}, {where}, base {test.base.words()}{pressed}"),
        ("H tangent", f"{_span(curve.hardness.tangent, curve.low, curve.high)}   mean slope at 210, 275, 340 N"),
        (
            "H secant",
            f"{_span(curve.hardness.secant, curve.secant_low, curve.secant_high)}   mean force over depth there",
        ),
        ("read at", depths),
        (
            "height",
            f"{tall.tufted:.0f} mm at the spot, {tall.untufted:.0f} untufted, {tall.under_pad:.0f} under {load}",
        ),
        ("firmness rating", _rating_words(*rated(test))),
    ]
    lines = [f"{name:<17}{value}" for name, value in facts]
    lines += ["", *_table(curve)]
    if curve.moves:
        lines += ["", "What moves H most (tangent, secant, N/mm either way; wire and figures at their limits):"]
        lines += [f"  {one.name:<34}{_plus(one.tangent):>8}{_plus(one.secant):>10}" for one in curve.moves]
    if test.edge:
        lines += ["", "Near the border of the long side, half way along (H tangent):"]
        lines += [f"  {spot.distance:>4.0f} mm   {_edge_words(spot)}" for spot in test.edge]
        lines += _sat_lines(test.sat)
    lines += _measured_lines(test, curve)
    lines += [*settling_lines(test.settling), *life_lines(test.life)]
    unbalanced = f"worst point unbalanced by {typed.show(100 * curve.residual, 1)} % of its force; model {curve.model}"
    return "\n".join([*lines, "", *(f"- {note}" for note in (*curve.notes, CAUTION, NOTHING_MORE, unbalanced))])


def rated(test: BedTest) -> tuple[Rating, tuple[float, float] | None]:
    """The firmness rating by the formula on the works' rule, and what it gives at both ends of H, the lower first."""
    terms, curve = (
        [Term(t.coefficient, t.power_of_hardness, t.power_of_work) for t in test.bed.rating_terms],
        test.curve,
    )
    rating = firmness_rating(terms, curve.hardness.tangent, curve.depth, curve.force)
    try:
        ends = [
            firmness_rating(terms, h, curve.depth, force).value
            for h, force in ((curve.low, curve.force_low), (curve.high, curve.force_high))
        ]
    except BedwrightError:
        return rating, None
    found = sorted(end for end in ends if end is not None)
    return rating, (found[0], found[1]) if len(found) == 2 else None


def _rating_words(rating: Rating, ends: tuple[float, float] | None) -> str:
    if rating.value is None:
        return "not given: its formula was not found; see docs/how/pad-test.md"
    span = "interval not known" if ends is None else f"{ends[0]:.1f} to {ends[1]:.1f}"
    return f"{rating.value:.1f} ({span}), {rating.note}"


def _hardness(curve: Curve) -> dict[str, Any]:
    return {
        "h_secant": curve.hardness.secant,
        "h_secant_interval": [curve.secant_low, curve.secant_high],
        "h_tangent": curve.hardness.tangent,
        "h_tangent_interval": [curve.low, curve.high],
    }


def _edge(spot: EdgeSpot) -> dict[str, Any]:
    if isinstance(spot.curve, str):
        return {"from_border_mm": spot.distance, "h_tangent": None, "why_not": spot.curve}
    return {"from_border_mm": spot.distance, **_hardness(spot.curve)}


def _edge_words(spot: EdgeSpot) -> str:
    if isinstance(spot.curve, str):
        return f"not known: {spot.curve}"
    return _span(spot.curve.hardness.tangent, spot.curve.low, spot.curve.high)


def _sat(sat: EdgeSit | str | None) -> dict[str, Any] | None:
    if sat is None or isinstance(sat, str):
        return None if sat is None else {"sink_mm": None, "why_not": sat}
    return {
        "interval": None,
        "mass_kg": sat.mass,
        "notes": [*sat.notes, NO_INTERVAL],
        "residual": sat.residual,
        "rim_down_mm": sat.rim,
        "roll_off_degrees": sat.roll_off,
        "sink_mm": sat.sink,
    }


def _sat_lines(sat: EdgeSit | str | None) -> list[str]:
    if sat is None or isinstance(sat, str):
        return [] if sat is None else [f"  sitting on it: not known: {sat}"]
    rolls = "rolls off" if sat.roll_off >= 0 else "rolls inwards"
    says = f"sinks {typed.show(sat.sink, 2)} mm and {rolls} {typed.show(abs(sat.roll_off), 2)} degrees"
    return [
        f"  {sat.mass:g} kg on a round seat of 380 mm, flush with the border: {says}",
        *(f"  {note}" for note in (*sat.notes, NO_INTERVAL)),
    ]


def _measured(test: BedTest, curve: Curve) -> dict[str, Any] | None:
    if test.measured is None:
        return None
    found = beside(test.measured, curve, curve.force_low, curve.force_high)
    return {
        "force_apart_n": {f"{force:g}": gap for force, gap in zip(FORCES, found.apart, strict=True)},
        "h_secant": test.measured.hardness.secant,
        "h_secant_inside": found.secant_inside,
        "h_tangent": test.measured.hardness.tangent,
        "h_tangent_inside": found.tangent_inside,
        "points": found.points,
        "points_inside_band": found.inside,
    }


def _measured_lines(test: BedTest, curve: Curve) -> list[str]:
    if test.measured is None:
        return []
    found = beside(test.measured, curve, curve.force_low, curve.force_high)
    h = test.measured.hardness
    words = {True: "inside", False: "outside"}
    apart = ", ".join(f"{gap:+.0f} N at {force:g} N" for force, gap in zip(FORCES, found.apart, strict=True))
    return [
        "",
        "Beside the measured test:",
        f"  H tangent {h.tangent:.1f} N/mm, {words[found.tangent_inside]} the predicted interval",
        f"  H secant {h.secant:.1f} N/mm, {words[found.secant_inside]} the predicted interval",
        f"  predicted less measured: {apart}; {found.inside} of {found.points} points inside the band",
    ]


def _table(curve: Curve) -> list[str]:
    """Points of the test that are STEP apart or more, none made up between them; those coming back below."""
    lines = [f"{'down mm':>10}{'N':>8}{'low to high':>16}"]
    last = len(curve.depth) - 1
    for point in _apart(curve.depth):
        force, low, high = (float(of[point]) for of in (curve.force, curve.force_low, curve.force_high))
        half = min((side for side in (high - force, force - low) if side > 0), default=0.0)
        span = f"{typed.show(low, 3, interval=half)} to {typed.show(high, 3, interval=half)}"
        depth = f"{curve.depth[point]:.0f}"
        lines.append(f"{depth:>10}{typed.show(force, 3, interval=half):>8}{span:>16}" + ("  deepest" * (point == last)))
    back = [f"{d:.0f}_mm_{f:.0f}_N" for d, f in zip(curve.depth_back, curve.force_back, strict=True) if f > 0]
    if len(back) < 2:
        return lines
    return [*lines, *(line.replace("_", " ") for line in textwrap.wrap("coming back: " + ", ".join(back[1:]), 90))]


def _apart(depth: Array) -> list[int]:
    """Points STEP or more from the one before, and the last."""
    found: list[int] = []
    for point in range(1, len(depth)):
        if depth[point] - (depth[found[-1]] if found else 0.0) >= STEP:
            found.append(point)
    last = len(depth) - 1
    return found if not found or found[-1] == last else [*found, last]


def _span(value: float, low: float, high: float) -> str:
    """A figure and its interval [N/mm], none finer than the first figure of the interval's narrower half."""
    half = min((side for side in (high - value, value - low) if side > 0), default=0.0)
    show = typed.show
    return f"{show(value, 3, interval=half)} N/mm, {show(low, 3, interval=half)} to {show(high, 3, interval=half)}"


def _mm(value: float, half: float) -> str:
    return typed.show_with_unit(value, "mm", 3, interval=half)


def _plus(half: float) -> str:
    return f"± {abs(half):.2f}" if abs(half) >= 0.005 else "< 0.01"


def _pairs(depth: Array, force: Array) -> list[list[float]]:
    return [[float(d), float(f)] for d, f in zip(depth, force, strict=True)]


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
