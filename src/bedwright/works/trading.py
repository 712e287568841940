"""Cards of trade: customers and their names for our beds, suppliers, prices, stock, briefs, orders, collections."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from bedwright.works.beds import Hazard
from bedwright.works.card import Card, Row, Text, measure, refer, rows, says
from bedwright.works.refused_words import SaleText, WishText

Money = Decimal
STUFF: tuple[str, ...] = ("wire", "filling", "cloth", "trim", "fitting", "film", "unit")
"""Kinds that are bought, priced and kept in stock; their codes must not repeat across kinds."""
MAY_VARY: tuple[str, ...] = ("wire", "filling", "edge", "panel")
"""Kinds of parts that a brief may allow, for a weigh-up to choose among."""
Listed = Annotated[str, Field(max_length=2000)]
OrderState = Literal["enquiry", "sample", "confirmed", "held", "cancelled"]


def money(meaning: str, default: Any = ...) -> Any:
    """An amount in the works' currency, or in the one beside it."""
    return Field(default, ge=Decimal(0), le=Decimal(10_000_000), max_digits=14, decimal_places=6, description=meaning)


class CustomerBed(Row):
    """A customer's own name, code, label and price for one of our beds at a size, from a day to a day."""

    SHEET = "customer_beds"

    position: int = measure("position")
    bed: str = refer("bed", says="our bed")
    size: str = refer("size", says="size")
    their_code: Text = says("their code", "")
    their_name: SaleText = says("their name for it", "")
    label_text: SaleText = says("text on their label", "")
    price: Decimal = money("price for one, carriage as agreed")
    first_day: date = says("price holds from")
    last_day: date | None = says("price holds to; empty for open", None)


class Customer(Card):
    """A customer, with their names for our beds."""

    KIND = "customer"
    SHEET = "customers"
    SAYS = "customers and their names for our beds"

    place: Text = says("delivery place in short", "")
    beds: tuple[CustomerBed, ...] = rows("their names, codes, labels and prices for our beds")


class Supplier(Card):
    """Who delivers, and how long it takes."""

    KIND = "supplier"
    SHEET = "suppliers"
    SAYS = "suppliers"

    lead_days: int = measure("lead_days")


class Price(Card):
    """A price of something bought, or of labour, from a day on. The latest that has begun counts."""

    KIND = "price"
    SHEET = "prices"
    SAYS = "dated prices of materials, labour and piece work"

    of: Literal["wire", "filling", "cloth", "trim", "fitting", "film", "unit", "labour", "piece"] = says(
        "what is priced"
    )
    item: Text = says("code of the card; for labour the skill; for piece work the operation")
    price: Decimal = money("price for one of the unit beside it")
    per: Literal["kg", "m", "m2", "m3", "each", "hour"] = says("unit that the price is for")
    first_day: date = says("price holds from")


class Stock(Card):
    """What is there today, by material lot; made-ahead goods too."""

    KIND = "stock"
    SHEET = "stock"
    SAYS = "what is there, by material lot"

    part: str = refer(*STUFF, says="what it is")
    in_stock: float = measure("in_stock")
    counted_in: Literal["kg", "m", "m2", "each"] = says("unit of the quantity")
    lot: Text = says("material lot", "")
    shade_lot: Text = says("shade lot of a cloth", "")


class Brief(Card):
    """What a customer wishes for, and which bed is to answer it."""

    KIND = "brief"
    SHEET = "briefs"
    SAYS = "customers' briefs"

    customer: str = refer("customer", says="who asks")
    bed: str | None = refer("bed", default=None, says="bed that is to answer it")
    size: str = refer("size", says="size asked for")
    quantity: int = measure("quantity")
    due: date = says("day by which the beds are wanted")
    h_low: float | None = measure("h_low", None)
    h_high: float | None = measure("h_high", None)
    height_max: float | None = measure("height_max", None)
    mass_max: float | None = measure("mass_max", None)
    price_max: Decimal | None = money("highest price for one", None)
    hazard: Hazard | None = says("ignition hazard class asked for", None)
    faces: int | None = measure("faces", None)
    edge_least: float | None = measure("edge_least", None)
    persons: Listed = says('persons to suit, parted by ; as "man 1755 mm 80 kg side; woman 163 cm 62 kg supine"', "")
    steel_max: float | None = measure("steel_max", None)
    carbon_max: float | None = measure("carbon_max", None)
    cost_max: Decimal | None = money("highest cost of one to the works", None)
    allowed_parts: Listed = says(
        "codes of wires, fillings, edges and panels that may be used, parted by ; empty for any of the works", ""
    )
    count_claim: int | None = measure("count_claim", None)
    count_of: Literal["coils of the unit", "coils and mini coils"] = says(
        "what the count claimed counts", "coils of the unit"
    )
    wish: WishText = says("the wish in the customer's words", "")

    @model_validator(mode="after")
    def _band_in_order(self) -> Self:
        if self.h_low is not None and self.h_high is not None and self.h_high < self.h_low:
            raise ValueError(f"h_high {self.h_high:g} N/mm is below h_low {self.h_low:g} N/mm")
        return self

    @property
    def listed_parts(self) -> tuple[str, ...]:
        """Codes of the parts that may be used; empty for any."""
        return _parted(self.allowed_parts)

    @property
    def listed_persons(self) -> tuple[str, ...]:
        """Each person to suit, as typed."""
        return _parted(self.persons)


def _parted(text: str) -> tuple[str, ...]:
    return tuple(part for part in (" ".join(part.split()) for part in text.split(";")) if part)


class OrderLine(Row):
    """A line of an order: a bed at a size, and how many."""

    SHEET = "order_lines"

    position: int = measure("position")
    bed: str = refer("bed", says="our bed")
    size: str = refer("size", says="size")
    quantity: int = measure("quantity")


class Order(Card):
    """A customer's order: due on a day, on a van round."""

    KIND = "order"
    SHEET = "orders"
    SAYS = "orders"

    customer: str = refer("customer", says="who ordered")
    their_number: Text = says("the customer's own number", "")
    ordered: date = says("day of the order")
    due: date = says("day by which it must arrive")
    van_round: str = refer("van round", says="round that delivers it")
    state: OrderState = says("enquiry, sample, confirmed, held or cancelled", "confirmed")
    lines: tuple[OrderLine, ...] = rows("beds ordered")

    @model_validator(mode="after")
    def _dates_and_lines(self) -> Self:
        faults = []
        if self.due < self.ordered:
            faults.append(f"due {self.due} is before ordered {self.ordered}")
        if not self.lines:
            faults.append("the order has no line; add one in sheet order_lines")
        positions = [line.position for line in self.lines]
        twice = sorted({place for place in positions if positions.count(place) > 1})
        if twice:
            faults.append(f"two lines stand at position {twice[0]}")
        if faults:
            raise ValueError("; ".join(faults))
        return self


class Collection(Card):
    """Old or returned beds that ride back, bagged, never on or against new goods."""

    KIND = "collection"
    SHEET = "collections"
    SAYS = "collections: beds that ride back"

    customer: str = refer("customer", says="who gives them back")
    van_round: str = refer("van round", says="round that collects them")
    day: date = says("day on which the van calls")
    size: str = refer("size", says="size")
    quantity: int = measure("quantity")
    why: Literal["removal of old beds", "return"] = says("why they ride back", "removal of old beds")
