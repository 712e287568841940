"""A bought bed beside the made one: the landed cost of each offer, and what the made bed costs.

Every rate is the offer card's, dated; nothing is looked up. Compression has a clock: days rolled against the longest
that the plant stands by.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from bedwright.plants.landed import Buying, DatedRate, Landed, RemedyCheck, landed_cost, per_unit_if_exchange_moves
from bedwright.works.bought import Offer
from bedwright.works.works import Works


@dataclass(frozen=True, slots=True)
class Beside:
    """An offer beside our own bed, for one bed: landed and made cost [works' currency], difference, what is open.

    landed_low, landed_high: landed cost when the exchange rate moves either way by the house rule. made: None
    where our own cost is not known. final: False while something named in `open_points` stands in the way of a final
    figure.
    """

    offer: Offer
    landed: Landed
    landed_per_good: Decimal
    landed_low: Decimal
    landed_high: Decimal
    made: Decimal | None
    difference: Decimal | None
    final: bool
    open_points: tuple[str, ...]


def buying(offer: Offer) -> Buying:
    """The lot that an offer card describes."""
    percent = Decimal(100)
    remedy = None
    if offer.remedy is not None:
        # a rate without its day or source is counted, and the blank source keeps the figure from being final
        source = offer.remedy_from if offer.remedy_checked is not None else ""
        remedy = RemedyCheck(offer.remedy_checked or offer.offered, source, Decimal(str(offer.remedy)) / percent)
    return Buying(
        units=offer.lot_quantity,
        price=offer.price,
        trade_term=offer.incoterm,
        exchange=DatedRate(offer.exchange_rate, offer.rate_day, offer.rate_from),
        duty=DatedRate(Decimal(str(offer.duty)) / percent, offer.offered, offer.duty_line),
        vat=DatedRate(Decimal(str(offer.tax)) / percent, offer.offered, "offer card"),
        to_border=offer.freight,
        after_border=offer.onward,
        vat_recovered=offer.tax_recoverable,
        remedy=remedy,
        bad_share=Decimal(str(offer.defect_share)) / percent,
        checking=offer.inspection,
        finance_days=Decimal(str(offer.finance_days)),
        finance_rate=Decimal(str(offer.finance_rate)) / percent,
    )


def beside(works: Works, made_cost: Callable[[str, str], Decimal | None]) -> tuple[Beside, ...]:
    """Every offer beside the made bed, offers in order of their code; made_cost(bed, size) gives our own cost."""
    move = Decimal(str(works.rule("exchange_move"))) / 100
    return tuple(_one(offer, made_cost(offer.bed, offer.size), move) for offer in works.offers)


def _one(offer: Offer, made: Decimal | None, move: Decimal) -> Beside:
    lot = buying(offer)
    landed = landed_cost(lot)
    low, high = sorted(per_unit_if_exchange_moves(lot, move))
    points = [*landed.missing, *_compression(offer)]
    return Beside(
        offer=offer,
        landed=landed,
        landed_per_good=landed.per_good_unit,
        landed_low=low,
        landed_high=high,
        made=made,
        difference=None if made is None else landed.per_good_unit - made,
        final=not points,
        open_points=tuple(points),
    )


def _compression(offer: Offer) -> list[str]:
    if not offer.rolled:
        return []
    if offer.longest_compressed is None or offer.days_rolled is None:
        return ["sails rolled, and the days rolled or the longest that the plant stands by are not known: ask for both"]
    if offer.days_rolled > offer.longest_compressed:
        return [
            f"rolled {offer.days_rolled:g} days, longer than the {offer.longest_compressed:g} that the plant stands by"
        ]
    return []
