"""How a bed answers a brief: each wish met, not met, or not known, with both figures."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.bill.rows import Bill
from bedwright.cost.money import money_words, to_major
from bedwright.cost.sheet import CostSheet
from bedwright.design.fit_claims import spring_counts
from bedwright.marks.evidence import JudgedClaim
from bedwright.mechanics.pad_test import Curve
from bedwright.words import counted
from bedwright.works.trading import Brief


@dataclass(frozen=True, slots=True)
class Point:
    """One wish: met True, False, or None where it is not known; says: both figures in a sentence."""

    met: bool | None
    says: str


@dataclass(frozen=True, slots=True)
class Answer:
    """A brief and how the bed named on it answers, point by point."""

    brief: Brief
    points: tuple[Point, ...]


def answer(brief: Brief, bill: Bill, curve: Curve | str, sheet: CostSheet, claims: tuple[JudgedClaim, ...]) -> Answer:
    """Set every figure of the brief beside the bed's. A band that the interval of H straddles is not known."""
    points = []
    if brief.h_low is not None or brief.h_high is not None:
        points.append(_feel(brief, curve))
    if brief.height_max is not None:
        height = bill.bed.height
        points.append(Point(height <= brief.height_max, f"height {height:.0f} mm, at most {brief.height_max:g} asked"))
    if brief.mass_max is not None:
        met = True if bill.mass_high <= brief.mass_max else False if bill.mass_low > brief.mass_max else None
        interval = f"{bill.mass_low:.1f} to {bill.mass_high:.1f}"
        points.append(Point(met, f"mass {bill.mass:.1f} kg ({interval}), at most {brief.mass_max:g} asked"))
    if brief.faces is not None:
        points.append(
            Point(bill.bed.bed.faces == brief.faces, f"{counted(bill.bed.bed.faces, 'face')}, {brief.faces} asked")
        )
    if brief.hazard is not None:
        shown = [claim for claim in claims if claim.claim == "fire" and claim.shown]
        same = bill.bed.bed.hazard == brief.hazard
        points.append(
            Point(
                bool(shown) and same,
                f"hazard {brief.hazard} asked; "
                + (shown[0].why if shown and same else "no report on file shows it for this bed"),
            )
        )
    if brief.price_max is not None:
        price = to_major(sheet.price, sheet.currency)
        met = False if price > brief.price_max else True if sheet.complete else None
        price_says = f"price {money_words(sheet.price, sheet.currency)} at {float(sheet.margin):.0%} margin"
        points.append(Point(met, f"{price_says}, at most {brief.price_max} asked"))
    return Answer(brief, tuple(points + _more(brief, bill, sheet)))


def _more(brief: Brief, bill: Bill, sheet: CostSheet) -> list[Point]:
    """Ceilings of steel, carbon and cost, the count to be claimed; edge and persons are for a weigh-up to find."""
    points = []
    for what, value, unknown, most in (
        ("steel", bill.steel_mass, bill.steel_unknown, brief.steel_max),
        ("carbon", bill.carbon, bill.carbon_unknown, brief.carbon_max),
    ):
        if most is not None:
            met = False if value > most else None if unknown else True
            unit = "kg" if what == "steel" else "kg CO2e"
            left = f", without {', '.join(unknown)}" if unknown else ""
            points.append(Point(met, f"{what} {value:.1f} {unit}{left}, at most {most:g} asked"))
    if brief.cost_max is not None:
        cost = to_major(sheet.total, sheet.currency)
        met = False if cost > brief.cost_max else True if sheet.complete else None
        points.append(Point(met, f"cost {money_words(sheet.total, sheet.currency)}, at most {brief.cost_max} asked"))
    if brief.count_claim is not None:
        count = spring_counts(bill.bed)[brief.count_of]
        points.append(Point(count >= brief.count_claim, f"{count} {brief.count_of}, {brief.count_claim} to be claimed"))
    if brief.edge_least is not None:
        says = (
            f"edge at least {brief.edge_least:g} % of the middle asked; bedwright pad-test --edge and weigh-up say it"
        )
        points.append(Point(None, says))
    for person in brief.listed_persons:
        points.append(Point(None, f"{person} to be suited; bedwright lying and weigh-up say how it lies"))
    return points


def _feel(brief: Brief, curve: Curve | str) -> Point:
    low = brief.h_low if brief.h_low is not None else 0.0
    high = brief.h_high if brief.h_high is not None else float("inf")
    band = f"{low:g} to {high:g} N/mm asked"
    if isinstance(curve, str):
        return Point(None, f"H not known ({curve}); {band}")
    says = f"H {curve.hardness.tangent:.1f} N/mm ({curve.low:.1f} to {curve.high:.1f}); {band}"
    if curve.closes:
        return Point(None, f"{says}; coils close before H is read, so press a sample")
    if curve.low >= low and curve.high <= high:
        return Point(True, says)
    if curve.low > high:
        return Point(False, says)
    if curve.high < low:
        return Point(False, says)
    return Point(None, says)
