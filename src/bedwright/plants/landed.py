"""What a bought bed costs when it stands in our stock, good and paid for: the landed cost, line by line.

Customs value at the border (with freight and insurance to it), duty and remedies on that, VAT on value, duty and
onward transport (carrier-guide, vat-faq). VAT that is recovered is cash, not cost. Rates are dated inputs, never
constants here; the rate of a day and its source stand beside each. A final figure is refused until somebody has
recorded that trade remedies were looked up. Amounts are unrounded; a printed line is rounded once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Literal

from bedwright.errors import NotKnown, OutsideRange
from bedwright.plants.incoterms import incoterm

NOTHING = Decimal(0)
DAYS_A_YEAR = Decimal(365)


@dataclass(frozen=True, slots=True)
class DatedRate:
    """A rate as a share (0.04 for 4 %) or an exchange rate, the day it was read and where."""

    rate: Decimal
    day: date
    source: str


@dataclass(frozen=True, slots=True)
class RemedyCheck:
    """The record that trade remedies (extra duties by origin) were looked up; extra is their rate, 0 where none."""

    day: date
    source: str
    extra: Decimal = NOTHING


@dataclass(frozen=True, slots=True)
class Buying:
    """One lot bought: money in our currency after `exchange`, except price, which is in the seller's.

    price: for one unit, in the seller's currency. exchange: our money for one of theirs, the customs period rate.
    to_border: freight, insurance and handling to the border that we pay on top. after_border: onward transport to us
    that we pay. price_after_border: the part of the price [our money, whole lot] that pays transport after import
    (DAP, DPU, DDP). bad_share: units not good on arrival, 0 to under 1. checking: inspection, testing and audit.
    finance_days and finance_rate (a year) on all that is paid before. other: demurrage allowance and the like.
    """

    units: int
    price: Decimal
    trade_term: str
    exchange: DatedRate
    duty: DatedRate
    vat: DatedRate
    to_border: Decimal = NOTHING
    after_border: Decimal = NOTHING
    price_after_border: Decimal = NOTHING
    vat_recovered: bool = True
    remedy: RemedyCheck | None = None
    bad_share: Decimal = NOTHING
    checking: Decimal = NOTHING
    other: Decimal = NOTHING
    finance_days: Decimal = NOTHING
    finance_rate: Decimal = NOTHING


@dataclass(frozen=True, slots=True)
class LandedLine:
    """One line of the chain, in order: what, amount [our money, whole lot], and what kind of line it is.

    cost lines add up to the total; value lines are bases that are shown; cash lines are paid and come back.
    """

    what: str
    amount: Decimal
    kind: Literal["cost", "value", "cash"]


@dataclass(frozen=True, slots=True)
class Landed:
    """The landed cost of a lot, unrounded. missing: why this is not final; empty where it is. says: cautions."""

    lines: tuple[LandedLine, ...]
    customs_value: Decimal
    duty: Decimal
    vat_base: Decimal
    vat: Decimal
    total: Decimal
    per_good_unit: Decimal
    missing: tuple[str, ...]
    says: tuple[str, ...]


def landed_cost(lot: Buying) -> Landed:
    """The landed cost of a lot. Books: carrier-guide, vat-faq (chain), incoterms-2020 (what the price carries).

    Raises OutsideRange for an amount or share that cannot be.
    """
    _sane(lot)
    term = incoterm(lot.trade_term)
    goods = lot.price * lot.units * lot.exchange.rate
    extra = lot.remedy.extra if lot.remedy else NOTHING
    rate = lot.duty.rate + extra
    if term.duty:  # the price carries duty too: value x (1 + rate) is what is left of it at the border
        value = (goods - lot.price_after_border) / (1 + rate) + lot.to_border
    else:
        value = goods - lot.price_after_border + lot.to_border
    if value < 0:
        raise OutsideRange(f"{lot.price_after_border} of transport after import is more than the price of the goods")
    duty = value * rate
    vat_base = value + duty + lot.price_after_border + lot.after_border
    vat = vat_base * lot.vat.rate
    paid = goods + lot.to_border + lot.after_border + lot.checking + lot.other
    paid += NOTHING if term.duty else duty
    paid += NOTHING if lot.vat_recovered else vat
    finance = paid * lot.finance_rate * lot.finance_days / DAYS_A_YEAR
    total = paid + finance
    lines = (
        LandedLine(f"goods, {lot.units} units {term.code}", goods, "cost"),
        LandedLine("freight and insurance to the border, ours", lot.to_border, "cost"),
        LandedLine("customs value", value, "value"),
        LandedLine(
            "duty with remedies, in the price" if term.duty else "duty", value * lot.duty.rate, _duty(term.duty)
        ),
        *((LandedLine("trade remedies", value * extra, _duty(term.duty)),) if extra else ()),
        LandedLine("onward transport, ours", lot.after_border, "cost"),
        LandedLine("VAT base", vat_base, "value"),
        LandedLine(
            "VAT, comes back" if lot.vat_recovered else "VAT, ours to bear",
            vat,
            "cash" if lot.vat_recovered else "cost",
        ),
        LandedLine("inspection, testing and audit", lot.checking, "cost"),
        LandedLine("demurrage allowance and other", lot.other, "cost"),
        LandedLine(f"money tied up {lot.finance_days} days", finance, "cost"),
    )
    per_good = total / (lot.units * (1 - lot.bad_share))
    return Landed(lines, value, duty, vat_base, vat, total, per_good, _missing(lot), _cautions(lot))


def final_per_unit(landed: Landed) -> Decimal:
    """The cost of one good unit as a figure to decide by. Raises NotKnown while anything is missing, naming it."""
    if landed.missing:
        raise NotKnown("no final landed cost yet: " + "; ".join(landed.missing))
    return landed.per_good_unit


def per_unit_if_exchange_moves(lot: Buying, share: Decimal) -> tuple[Decimal, Decimal]:
    """Cost of one good unit with their currency dearer and cheaper by `share`: (dearer, cheaper). Book: derived."""
    if not 0 <= share < 1:
        raise OutsideRange(f"a move of {share} must be a share from 0 to under 1 (5 % is 0.05)")
    moved = [
        replace(lot, exchange=replace(lot.exchange, rate=lot.exchange.rate * (1 + way * share))) for way in (1, -1)
    ]
    dearer, cheaper = (landed_cost(one).per_good_unit for one in moved)
    return dearer, cheaper


def _duty(in_price: bool) -> Literal["cost", "value"]:
    return "value" if in_price else "cost"


def _missing(lot: Buying) -> tuple[str, ...]:
    term = incoterm(lot.trade_term)
    missing = []
    if lot.remedy is None or not lot.remedy.source.strip():
        missing.append("record that trade remedies were looked up for this origin: rate, day and source")
    if not term.main_carriage and lot.to_border == 0:
        missing.append(f"{term.code} leaves the main carriage to us: give freight and insurance to the border")
    for name, rate in (("exchange", lot.exchange), ("duty", lot.duty), ("VAT", lot.vat)):
        if not rate.source.strip():
            missing.append(f"the {name} rate of {rate.day.isoformat()} has no source")
    return tuple(missing)


def _cautions(lot: Buying) -> tuple[str, ...]:
    term = incoterm(lot.trade_term)
    says = [term.says] if term.says else []
    if term.insurance and lot.to_border > 0:
        says.append(f"{term.code} already carries freight and insurance: is {lot.to_border} on top right?")
    if not term.insurance:
        says.append(f"under {term.code} nobody must insure the way: whoever bears the risk should")
    if term.duty and lot.vat_recovered:
        says.append("DDP: where the seller is the importer the import VAT may not be ours to recover; ask")
    if not term.to_destination and lot.after_border == 0:
        says.append("no onward transport from the border is counted")
    return tuple(says)


def _sane(lot: Buying) -> None:
    faults = []
    if lot.units < 1:
        faults.append(f"{lot.units} units: a lot has 1 or more")
    if not 0 <= lot.bad_share < 1:
        faults.append(f"bad share {lot.bad_share} must be 0 to under 1 (2 % is 0.02)")
    if not lot.exchange.rate > 0:
        faults.append(f"exchange rate {lot.exchange.rate} must be over 0")
    extra = lot.remedy.extra if lot.remedy else NOTHING
    # a duty of 4 typed for 4 % is seen here; remedies on some beds do pass 100 %
    for name, rate, top in (("duty", lot.duty.rate, 1), ("VAT", lot.vat.rate, 1), ("remedy", extra, 20)):
        if not 0 <= rate < top:
            faults.append(f"{name} rate {rate} must be a share from 0 to under {top} (4 % is 0.04)")
    for name in ("price", "to_border", "after_border", "price_after_border", "checking", "other", "finance_rate"):
        if not getattr(lot, name) >= 0:
            faults.append(f"{name} {getattr(lot, name)} must be 0 or more")
    if lot.finance_days < 0:
        faults.append(f"{lot.finance_days} finance days must be 0 or more")
    if faults:
        raise OutsideRange("; ".join(faults))
