"""Every kind of card, in the order of the workbook's sheets, and the child sheets that belong to each."""

from __future__ import annotations

from typing import get_args

from bedwright.works.beds import Bed, Border, Closure, Evidence, Panel, PanelEdge, Size
from bedwright.works.bought import Offer, Plant
from bedwright.works.card import Card, Row
from bedwright.works.delivery import VanRound, Vehicle
from bedwright.works.making import ClosedDay, Person, Route, Shift, WorkPlace
from bedwright.works.materials import Carbon, Cloth, Filling, Film, Fitting, Trim
from bedwright.works.rules import Rule
from bedwright.works.springs import Coil, Edge, Unit, Wire
from bedwright.works.trading import Brief, Collection, Customer, Order, Price, Stock, Supplier

KINDS: tuple[type[Card], ...] = (
    Brief,
    Wire,
    Coil,
    Unit,
    Edge,
    Filling,
    Cloth,
    Trim,
    Fitting,
    Film,
    Size,
    Panel,
    Border,
    PanelEdge,
    Closure,
    Bed,
    Evidence,
    Route,
    WorkPlace,
    Person,
    Shift,
    ClosedDay,
    Rule,
    Price,
    Carbon,
    Customer,
    Supplier,
    Stock,
    Vehicle,
    VanRound,
    Order,
    Collection,
    Plant,
    Offer,
)

BY_KIND: dict[str, type[Card]] = {kind.KIND: kind for kind in KINDS}


def child_rows(kind: type[Card]) -> dict[str, type[Row]]:
    """Field name -> row class of the nested rows of a kind."""
    found = {}
    for name, info in kind.model_fields.items():
        arguments = get_args(info.annotation)
        if arguments and isinstance(arguments[0], type) and issubclass(arguments[0], Row):
            found[name] = arguments[0]
    return found


def references(model: type[Card] | type[Row]) -> dict[str, tuple[str, ...]]:
    """Field name -> kinds it may refer to, for the fields of a card or row that name other cards."""
    found = {}
    for name, info in model.model_fields.items():
        extra = info.json_schema_extra
        if isinstance(extra, dict) and "refers" in extra:
            kinds = extra["refers"]
            assert isinstance(kinds, list)
            found[name] = tuple(str(kind) for kind in kinds)
    return found
