"""Cards of beds bought finished: plants and their offers."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Literal

from bedwright.works.card import Card, Text, measure, refer, says
from bedwright.works.trading import money

Incoterm = Literal["EXW", "FCA", "FAS", "FOB", "CFR", "CIF", "CPT", "CIP", "DAP", "DPU", "DDP"]


class Plant(Card):
    """Somebody else's factory."""

    KIND = "plant"
    SHEET = "plants"
    SAYS = "plants that offer finished beds"

    region: Text = says("where it stands", "")
    lead_days: int = measure("lead_days")


class Offer(Card):
    """A dated offer for a bed at a size, with every figure that landing it needs. Rates are dated inputs."""

    KIND = "offer"
    SHEET = "offers"
    SAYS = "offers of bought beds"

    plant: str = refer("plant", says="who offers")
    bed: str = refer("bed", says="our bed that it is set beside")
    size: str = refer("size", says="size")
    offered: date = says("day of the offer")
    price: Decimal = money("price for one, in the offer's currency")
    currency: Text = says("currency of the offer, three letters")
    exchange_rate: Decimal = money("works' currency for one of the offer's currency")
    rate_day: date = says("day of the exchange rate")
    rate_from: Text = says("where the rate was read")
    incoterm: Incoterm = says("Incoterms 2020 rule")
    lot_quantity: int = measure("lot_quantity")
    freight: Decimal = money("freight and insurance of the lot up to the border, works' currency")
    onward: Decimal = money("carriage of the lot from the border to us, works' currency")
    duty: float = measure("duty")
    duty_line: Text = says("tariff line, with the day it was looked up")
    tax: float = measure("tax")
    tax_recoverable: bool = says("the tax comes back: cash, not cost", True)
    remedy: float | None = measure("remedy", None)
    remedy_checked: date | None = says("day on which trade remedies were looked up; empty: not yet", None)
    remedy_from: Text = says("where trade remedies were looked up", "")
    inspection: Decimal = money("inspection and testing of the lot, works' currency")
    defect_share: float = measure("defect_share")
    finance_days: float = measure("finance_days")
    finance_rate: float = measure("finance_rate")
    rolled: bool = says("sails rolled: the clock on compression runs", False)
    longest_compressed: float | None = measure("longest_compressed", None)
    days_rolled: float | None = measure("longest_compressed", None)
