"""Demands from bills: what each works order takes, with scrap, on the day it is needed; stock and leads from cards."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from bedwright.bill.rows import Bill
from bedwright.bill.scrap import house_scrap
from bedwright.mechanics.wire import mass_per_metre
from bedwright.supply.net_requirements import Demand, ItemNeed, OnHand, net_requirements
from bedwright.works.materials import Cloth, Filling, Film, Trim
from bedwright.works.runs import Run
from bedwright.works.springs import Wire
from bedwright.works.trading import Stock
from bedwright.works.works import Works

STREAM_OF_GROUP = {"unit": "unit", "edge": "unit", "panels": "panels", "border": "border"}
"""Stream of work that a part of the bed belongs to; what is not named is put in from build on."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """Beds of one works order that need their material on a day; days: stream -> its own day, where it is known."""

    works_order: str
    bill: Bill
    beds: int
    day: date
    days: Mapping[str, date] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class StockLeft:
    """Stock as demands count it, and the stock cards that nobody can turn into that, each with why."""

    on_hand: tuple[OnHand, ...]
    unusable: tuple[tuple[str, str], ...]


def demands(works: Works, wanted: Iterable[Wanted], yields: Mapping[str, float] | None = None) -> tuple[Demand, ...]:
    """One demand for each material of each works order: beds x quantity, by the cut plan's yield or the house's scrap.

    Ordered by day, works order and code.
    """
    found = []
    for one in wanted:
        sums: dict[tuple[str, str, date], float] = defaultdict(float)
        for row in one.bill.rows:
            given = (yields or {}).get(row.code)
            share = given if given is not None else 1 - house_scrap(works, row).share
            day = one.days.get(STREAM_OF_GROUP.get(row.group, "meet"), one.day)
            sums[row.code, row.counted_in, day] += one.beds * row.quantity / share
        words = f"{one.beds} x {one.bill.key}"
        found += [
            Demand(code, day, quantity, unit, one.works_order, words)
            for (code, unit, day), quantity in sums.items()
            if quantity > 0
        ]
    return tuple(sorted(found, key=lambda one: (one.day, one.works_order, one.code)))


def needs(
    works: Works,
    bills: Callable[[str, str], Bill],
    runs: Iterable[Run],
    starts: Mapping[tuple[str, str], date],
    yields: Mapping[str, float],
    today: date,
) -> tuple[ItemNeed, ...]:
    """Every item that the runs need: on the day the stream it belongs to begins, else on the day of their cut-off.

    starts: (run id, stream) -> day, from a plan.
    """
    streams: dict[str, dict[str, date]] = defaultdict(dict)
    for (order, stream), day in starts.items():
        streams[order][stream] = day
    wanted = [
        Wanted(run.id, bills(run.bed, run.size), run.beds, run.van.cut_off.date(), streams.get(run.id, {}))
        for run in runs
    ]
    asked = demands(works, wanted, yields)
    leads = lead_days(works, [one.code for one in asked])
    return net_requirements(asked, stock_on_hand(works, asked).on_hand, leads, today)


def material_days(
    works: Works, bills: Callable[[str, str], Bill], runs: Iterable[Run], today: date
) -> dict[tuple[str, str], date]:
    """(run id, stream) -> first day on which its material is there, for runs that stock cannot serve.

    Reckoned before any plan: material is asked for by the day of the cut-off, the nearest cut-off is served first, and
    what is short is ordered today and takes its supplier's lead. An unknown lead delays nothing here; it is named by
    the shortages.
    """
    made = tuple(runs)
    by_id = {run.id: run for run in made}
    found: dict[tuple[str, str], date] = {}
    for need in needs(works, bills, made, {}, {}, today):
        if need.lead_days is None:
            continue
        for starved in need.starved:
            run = by_id[starved.works_order]
            for row in bills(run.bed, run.size).rows:
                if row.code == need.code:
                    key = (run.id, STREAM_OF_GROUP.get(row.group, "meet"))
                    there = today + timedelta(days=need.lead_days)
                    found[key] = max(there, found.get(key, there))
    return found


def stock_on_hand(works: Works, wanted: Iterable[Demand]) -> StockLeft:
    """Stock cards of what is wanted, in the unit in which it is wanted."""
    units = {demand.code: demand.unit for demand in wanted}
    sums: dict[str, float] = defaultdict(float)
    unusable = []
    for card in works.stock:
        unit = units.get(card.part)
        if unit is None:
            continue
        quantity = _in_unit(works, card, unit)
        if quantity is None:
            unusable.append((card.code, f"{card.part} is counted in {card.counted_in} here and taken in {unit}"))
        else:
            sums[card.part] += quantity
    held = tuple(OnHand(code, sums[code], units[code]) for code in sorted(sums))
    return StockLeft(held, tuple(unusable))


def lead_days(works: Works, codes: Iterable[str]) -> dict[str, int | None]:
    """Lead days of each item from its supplier's card; None where the card names no supplier."""
    found: dict[str, int | None] = {}
    for code in sorted(set(codes)):
        supplier = getattr(works.stuff(code), "supplier", None)
        found[code] = works.suppliers[supplier].lead_days if supplier else None
    return found


def _in_unit(works: Works, card: Stock, unit: str) -> float | None:
    """A stock card's quantity in another unit, by what the material's card says; None where it cannot be turned."""
    have = card.in_stock
    if card.counted_in == unit:
        return have
    part = works.stuff(card.part)
    turn = f"{card.counted_in} to {unit}"
    if isinstance(part, Wire):
        return have * mass_per_metre(part.diameter) / 1000 if turn == "m to kg" and part.form == "round" else None
    if isinstance(part, Cloth):
        per_m2 = part.areal_mass / 1000
        factors = {"m to m2": part.roll_width / 1000, "kg to m2": 1 / per_m2}
    elif isinstance(part, Filling):
        factors = {"m to m2": part.sheet_width / 1000, "kg to m2": 1 / part.mass_per_m2}
        if part.sheet_length:
            factors["each to m2"] = part.sheet_width * part.sheet_length / 1e6
    elif isinstance(part, Film):
        factors = {"kg to m2": 1000 / (part.gauge_um * part.film_density)}
        if part.tube_width:
            factors["m to m2"] = 2 * part.tube_width / 1000
    elif isinstance(part, Trim):
        factors = _trim_factors(part)
    else:
        return None
    return have * factors[turn] if turn in factors else None


def _trim_factors(part: Trim) -> dict[str, float]:
    factors: dict[str, float] = {}
    if part.mass_per_metre:
        factors |= {"m to kg": part.mass_per_metre / 1000, "kg to m": 1000 / part.mass_per_metre}
    if part.length:
        factors |= {"m to each": 1000 / part.length, "each to m": part.length / 1000}
    if part.piece_mass:
        factors |= {"each to kg": part.piece_mass / 1000, "kg to each": 1000 / part.piece_mass}
    return factors
