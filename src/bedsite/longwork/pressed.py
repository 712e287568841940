"""The pad test of one bed as long work: figures with their intervals, where H comes from, the edge, settling, drawings.

Predicted from the cards; nothing here is measured, and nothing is certified.
"""

from __future__ import annotations

from typing import Any

from bedsite.longwork.kinds import PadTestOf, Told
from bedsite.longwork.of_a_bed import bed_of, box_words, drawing, fact
from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import BedwrightError
from bedwright.mechanics.base import Base, base
from bedwright.mechanics.card_ties import bed_settling
from bedwright.mechanics.edge_sit import edge_sit
from bedwright.mechanics.pad import Spot
from bedwright.mechanics.pad_test import Curve, centre, pad_test
from bedwright.papers.drawings.edge_profile import edge_profile
from bedwright.papers.drawings.words import span
from bedwright.papers.pad_figures import draw_curve, draw_moves, draw_section, readings
from bedwright.typed import show

FROM_BORDER = (0.0, 50.0, 100.0, 200.0)
"""Distances [mm] of the pad's middle from the border of the long side, half way along."""
H, MM = "N/mm", "mm"


def pad_test_of(inputs: PadTestOf, told: Told) -> Any:
    """Press the bed as asked. Raises what mechanics.pad_test does."""
    _, bed = bed_of(inputs)
    on = base(inputs.base)
    spot = centre(bed, inputs.face) if inputs.spot is None else Spot(*inputs.spot, inputs.face)
    steps = 3 + (len(FROM_BORDER) + 1 if inputs.edge else 0)
    told(0, steps, "pressing")
    curve = pad_test(bed, spot, base=on)
    near: list[tuple[float, Curve | str]] = []
    for number, distance in enumerate(FROM_BORDER if inputs.edge else (), start=1):
        told(number, steps, f"pressing {distance:g} mm from the border")
        near.append((distance, _near(bed, distance, on, inputs.face)))
    sat: list[dict[str, str]] = []
    if inputs.edge:
        told(steps - 2, steps, "sitting on the edge")
        sat = _sat(bed, on, inputs.face)
    told(steps - 1, steps, "drawing")
    drawings = [
        drawing("curve", "Force over depth of the pad, going down and coming back, with its band", draw_curve(curve)),
        drawing("moves", "What moves H most", draw_moves(curve)),
        drawing("section", "The bed cut through the spot: unloaded, tufted, under the pad", draw_section(curve, bed)),
    ]
    known: list[tuple[float | None, Curve]] = [(at, one) for at, one in near if not isinstance(one, str)]
    if known:
        middle: list[tuple[float | None, Curve]] = [(None, curve)] if inputs.spot is None else []
        shown = edge_profile(readings([*known, *middle]), "H as tangent", H)
        drawings.append(drawing("edge", "H near the border against the middle", shown))
    return {
        "bed": inputs.bed,
        "size": inputs.size,
        "asked": box_words(inputs),
        "facts": [*_facts(curve), *_settling(bed)],
        "h_tangent": [curve.hardness.tangent, curve.low, curve.high],
        "h_secant": [curve.hardness.secant, curve.secant_low, curve.secant_high],
        "height": [curve.heights.tufted, curve.height_half],
        "edge": [_edge_fact(at, one) for at, one in near] + sat,
        "moves": [[one.name, one.tangent, one.secant] for one in curve.moves],
        "notes": [
            *curve.notes,
            f"worst point unbalanced by {show(100 * curve.residual, 1)} % of its force; model {curve.model}",
        ],
        "drawings": drawings,
    }


def _near(bed: BedAtSize, distance: float, on: Base, face: str) -> Curve | str:
    try:
        return pad_test(bed, Spot(distance, bed.length / 2, face), base=on)
    except BedwrightError as error:
        return str(error)


def _edge_fact(distance: float, one: Curve | str) -> dict[str, str]:
    word = f"H tangent {distance:g} mm from the border"
    if isinstance(one, str):
        return fact(word, "not known", says=one)
    return fact(word, span(one.hardness.tangent, one.low, one.high), H)


def _sat(bed: BedAtSize, on: Base, face: str) -> list[dict[str, str]]:
    try:
        sat = edge_sit(bed, face, base=on)
    except BedwrightError as error:
        return [fact("sitting on the edge", "not known", says=str(error))]
    seat = f"{sat.mass:g} kg on a round seat of 380 mm, flush with the border; no interval is reckoned"
    way = "towards the border" if sat.roll_off >= 0 else "inwards"
    return [
        fact("sitting on the edge sinks", show(sat.sink, 2), MM, seat),
        fact(f"and rolls {way}", show(abs(sat.roll_off), 2), "°"),
    ]


def _facts(curve: Curve) -> list[dict[str, str]]:
    tall = curve.heights
    at = ", ".join(f"{force} N at {depth:.0f} mm" for force, depth in zip((210, 275, 340), curve.hardness.depths,
                                                                      strict=True))  # fmt: skip
    half = curve.height_half
    return [
        fact("H, tangent", span(curve.hardness.tangent, curve.low, curve.high), H, "mean slope at 210, 275 and 340 N"),
        fact(
            "H, secant", span(curve.hardness.secant, curve.secant_low, curve.secant_high), H,
            "mean of force over depth there",
        ),
        fact("read at", at),
        fact("height at the spot", span(tall.tufted, tall.tufted - half, tall.tufted + half), MM),
        fact(f"height under {tall.at_force:g} N", f"{tall.under_pad:.0f}", MM),
        fact("pressed", f"face {curve.spot.face}, {curve.spot.x:g} across, {curve.spot.y:g} along", MM,
             f"base {curve.base}, pressed once before"),
    ]  # fmt: skip


def _settling(bed: BedAtSize) -> list[dict[str, str]]:
    try:
        return [fact("settling in the middle, no promise of years", bed_settling(bed).told)]
    except BedwrightError as error:
        return [fact("settling in the middle", "not known", says=str(error))]
