"""`summary.json`: what one run found, for machines and for tests; every figure with its unit in its key.

Keys: beds, orders, bill, cost, cuts, plan, loading, papers, version. Floats have at most 6 significant digits; money is
in whole minor units of the currency named. Nothing here is worked out: it is read off the reckoning.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Mapping
from typing import Any

from bedwright import __version__
from bedwright.bill.rows import Bill
from bedwright.cutting.rows import total
from bedwright.mechanics.pad_test import Curve
from bedwright.reckoning import Reckoning

Plain = dict[str, Any]


def six(value: float) -> float | None:
    """A float at 6 significant digits; None for what is not finite."""
    if not math.isfinite(value):
        return None
    return float(f"{value:.6g}")


def summary(reckoning: Reckoning, papers: Mapping[str, str]) -> Plain:
    """The whole summary. papers: relative path -> sha256 of each file written."""
    return {
        "version": _version(reckoning),
        "beds": [_bed(reckoning, bed, size) for bed, size in reckoning.keys],
        "orders": _orders(reckoning),
        "bill": _bill(reckoning),
        "cost": _cost(reckoning),
        "cuts": _cuts(reckoning),
        "plan": _plan(reckoning),
        "loading": _loading(reckoning),
        "papers": dict(sorted(papers.items())),
    }


def _version(reckoning: Reckoning) -> Plain:
    about = reckoning.works.about
    return {
        "program": __version__,
        "name": about.name,
        "format": about.format,
        "works_id": about.works_id,
        "works_revision": about.revision,
        "works_content": reckoning.works.content(),
        "as_of": reckoning.today.isoformat(),
        "currency": about.currency,
        "says": about.words,
    }


def _bed(reckoning: Reckoning, code: str, size: str) -> Plain:
    bed, bill, curve = reckoning.bed(code, size), reckoning.bill(code, size), reckoning.curve(code, size)
    label = reckoning.label(code, size)
    found: Plain = {
        "bed": code,
        "size": size,
        "name": bed.bed.name,
        "faces": bed.bed.faces,
        "construction": bed.unit.card.construction,
        "wire_mm": [six(group.wire.diameter) for group in bed.unit.groups],
        "springs": bed.spring_count,
        "mini_springs": bed.mini_count,
        "springs_across": bed.unit.lattice.across,
        "spring_rows": bed.unit.lattice.along,
        "height_mm": six(bed.height),
        "reckoned_height_mm": six(bed.reckoned_height),
        "mass_kg": six(bill.mass),
        "mass_low_kg": six(bill.mass_low),
        "mass_high_kg": six(bill.mass_high),
        "packed_mass_kg": six(bill.packed_mass),
        "steel_kg": six(bill.steel_mass),
        "steel_not_known_of": list(bill.steel_unknown),
        "carbon_kg_co2e": six(bill.carbon),
        "carbon_not_known_of": list(bill.carbon_unknown),
        "tufts": bed.tufts.count if bed.tufts else 0,
        "wrap": bed.bed.wrap,
        "fit_faults": [str(fault) for fault in reckoning.fit(code, size)],
        "claims": [
            {"says": claim.says, "shown": claim.shown, "why": claim.why} for claim in reckoning.claims(code, size)
        ],
        "label_missing": list(label.missing),
    }
    return {**found, **_pad(curve)}


def _pad(curve: Curve | str) -> Plain:
    if isinstance(curve, str):
        return {"h_tangent_n_per_mm": None, "h_not_known": curve}
    return {
        "h_tangent_n_per_mm": six(curve.hardness.tangent),
        "h_tangent_low_n_per_mm": six(curve.low),
        "h_tangent_high_n_per_mm": six(curve.high),
        "h_secant_n_per_mm": six(curve.hardness.secant),
        "h_secant_low_n_per_mm": six(curve.secant_low),
        "h_secant_high_n_per_mm": six(curve.secant_high),
        "coils_close_from_n": six(curve.closing_from),
        "coils_close_inside_h": curve.closes,
        "pad_residual": six(curve.residual),
        "pad_largest_contributor": curve.moves[0].name if curve.moves else "",
        "pad_model": curve.model,
    }


def _orders(reckoning: Reckoning) -> Plain:
    works = reckoning.works
    states: Counter[str] = Counter()
    for order in works.orders:
        states[order.state] += sum(line.quantity for line in order.lines)
    by_customer: Counter[str] = Counter()
    for run in reckoning.runs:
        by_customer[run.customer] += run.beds
    late = {one.works_order for one in reckoning.plan.finishes if not one.makes_van}
    return {
        "orders": len(works.orders),
        "lines": sum(len(order.lines) for order in works.orders),
        "beds_by_state": dict(sorted(states.items())),
        "beds_to_make": sum(run.beds for run in reckoning.runs),
        "beds_by_customer": dict(sorted(by_customer.items())),
        "works_orders": [
            {
                "works_order": run.id,
                "order": run.order,
                "line": run.line,
                "customer": run.customer,
                "bed": run.bed,
                "size": run.size,
                "beds": run.beds,
                "van_round": run.van.van_round,
                "van_day": run.van.day.isoformat(),
                "makes_van": run.id not in late,
            }
            for run in reckoning.runs
        ],
        "briefs": _briefs(reckoning),
    }


def _briefs(reckoning: Reckoning) -> list[Plain]:
    found = []
    for answer in reckoning.briefs:
        found.append(
            {
                "brief": answer.brief.code,
                "bed": answer.brief.bed,
                "size": answer.brief.size,
                "met": [one.says for one in answer.points if one.met is True],
                "not_met": [one.says for one in answer.points if one.met is False],
                "not_known": [one.says for one in answer.points if one.met is None],
            }
        )
    return found


def _bill(reckoning: Reckoning) -> Plain:
    quantities: dict[tuple[str, str, str], float] = defaultdict(float)
    masses: dict[tuple[str, str, str], float] = defaultdict(float)
    minutes: dict[str, float] = defaultdict(float)
    names: dict[str, str] = {}
    for run in reckoning.runs:
        bill: Bill = reckoning.bill(run.bed, run.size)
        for row in bill.rows:
            key = (row.kind, row.code, row.counted_in)
            quantities[key] += row.quantity * run.beds
            masses[key] += row.taken_mass * run.beds
            names[row.code] = row.name
        for step in bill.operations:
            if step.skill is not None:
                minutes[step.skill] += step.labour_minutes * run.beds
    return {
        "materials": [
            {
                "kind": kind,
                "code": code,
                "name": names[code],
                "net_quantity": six(quantities[kind, code, unit]),
                "unit": unit,
                "mass_kg": six(masses[kind, code, unit]),
            }
            for kind, code, unit in sorted(quantities)
        ],
        "labour_minutes": {skill: six(minutes[skill]) for skill in sorted(minutes)},
        "supply": [
            {
                "code": need.code,
                "unit": need.unit,
                "gross": six(need.gross),
                "on_hand": six(need.on_hand),
                "net": six(need.net),
                "short": need.is_short,
                "order_by": min((str(one.order_by) for one in need.orders if one.order_by is not None), default=None),
                "late": need.late,
                "starves": [starved.works_order for starved in need.starved],
            }
            for need in reckoning.supply
        ],
    }


def _cost(reckoning: Reckoning) -> Plain:
    sheets = [reckoning.cost(bed, size) for bed, size in reckoning.keys]
    return {
        "exchange_move_percent": six(reckoning.works.rule("exchange_move")),
        "scarcest_skill": reckoning.scarcest.skill if reckoning.scarcest is not None else None,
        "beds": [
            {
                "bed": sheet.bed,
                "size": sheet.size,
                "total_minor": sheet.total,
                "material_minor": sheet.of_part("material"),
                "labour_minor": sheet.of_part("labour") + sheet.of_part("piece work"),
                "overhead_minor": sheet.of_part("overhead"),
                "price_for_margin_minor": sheet.price,
                "margin": float(sheet.margin),
                "complete": sheet.complete,
                "says": sheet.says,
                "contribution_per_bottleneck_minute": (
                    None if sheet.left is None or sheet.left.per_minute is None else six(float(sheet.left.per_minute))
                ),
            }
            for sheet in sheets
        ],
        "bought": [
            {
                "offer": one.offer.code,
                "plant": one.offer.plant,
                "bed": one.offer.bed,
                "size": one.offer.size,
                "landed_per_good": str(round(one.landed_per_good, 2)),
                "landed_low": str(round(one.landed_low, 2)),
                "landed_high": str(round(one.landed_high, 2)),
                "made": None if one.made is None else str(one.made),
                "difference": None if one.difference is None else str(round(one.difference, 2)),
                "final": one.final,
                "open_points": list(one.open_points),
                "sample": take,
            }
            for one, take in zip(reckoning.offers, reckoning.samples, strict=True)
        ],
    }


def _cuts(reckoning: Reckoning) -> list[Plain]:
    found = []
    for cut in reckoning.cuts.cuts:
        sums = total(cut.plan)
        found.append(
            {
                "week": cut.asked.week,
                "kind": cut.asked.kind,
                "code": cut.asked.code,
                "name": sums.name,
                "taken": six(sums.taken),
                "bound": six(sums.bound),
                "unit": sums.unit,
                "yield_percent": six(sums.yield_percent),
                "short": sums.short,
                "says": sums.words,
                "audit": [str(fault) for fault in cut.faults],
            }
        )
    return found


def _plan(reckoning: Reckoning) -> Plain:
    plan = reckoning.plan
    return {
        "works_orders": len(reckoning.plan_problem.works_orders),
        "operations": len(reckoning.plan_problem.operations),
        "slips": len(plan.slips),
        "oven_charges": len(plan.charges),
        "beds_missing_their_van": plan.objective.beds_missing,
        "seconds_late": plan.objective.seconds_late,
        "setup_seconds": plan.objective.setup_seconds,
        "bound_beds_missing": plan.bound.beds_missing,
        "gap_beds": plan.gap,
        "how_sure": plan.how_sure,
        "why_stopped": plan.why_stopped,
        "late": [
            {"works_order": one.works_order, "seconds_late": one.seconds_late, "why": one.words}
            for one in reckoning.late
        ],
        "audit": [str(fault) for fault in reckoning.plan_faults],
    }


def _loading(reckoning: Reckoning) -> list[Plain]:
    return [
        {
            "van_round": load.van_round,
            "day": load.day.isoformat(),
            "vehicle": load.vehicle,
            "beds": load.beds,
            "collected": load.collected,
            "fits": load.plan.fits,
            "says": load.plan.words(),
            "used_length_mm": load.plan.used_length,
            "bound_length_mm": load.plan.bound_length,
            "not_ready": list(load.not_ready),
            "left": [f"{left.bundle}: {left.reason}" for left in load.plan.left],
            "audit": [str(fault) for fault in load.faults],
        }
        for load in reckoning.loads
    ]
