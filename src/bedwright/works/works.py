"""All cards of a works together, frozen and cross-checked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass, field, replace
from datetime import date
from typing import TypeVar, cast

from bedwright.errors import Fault
from bedwright.identity import content_id, fold, same_code
from bedwright.works.about import About
from bedwright.works.beds import Bed, Border, Closure, Evidence, Panel, PanelEdge, Size
from bedwright.works.bought import Offer, Plant
from bedwright.works.card import Card, Cards, Row
from bedwright.works.delivery import VanRound, Vehicle
from bedwright.works.kinds import KINDS, child_rows, references
from bedwright.works.making import ClosedDay, Person, Route, Shift, WorkPlace
from bedwright.works.materials import Carbon, Cloth, Filling, Film, Fitting, Trim
from bedwright.works.order_checks import pair_faults
from bedwright.works.released import LineReleased
from bedwright.works.rules import DEFAULTS, Rule
from bedwright.works.springs import Coil, Edge, Unit, Wire
from bedwright.works.trading import MAY_VARY, STUFF, Brief, Collection, Customer, Order, Price, Stock, Supplier

T = TypeVar("T", bound=Card)


@dataclass(frozen=True)
class Works:
    """Everything a works has and knows. Make one with `Works.of(about, cards)`; a change is a new one."""

    about: About
    _cards: dict[str, Cards[Card]] = field(repr=False)
    released: tuple[LineReleased, ...] = ()
    """Order lines that a ledger released: their ids count, whatever is reckoned."""

    @classmethod
    def of(cls, about: About, cards: Iterable[Card], released: tuple[LineReleased, ...] = ()) -> Works:
        by_kind: dict[str, list[Card]] = {kind.KIND: [] for kind in KINDS}
        for card in cards:
            by_kind[card.KIND].append(card)
        return cls(about, {kind: Cards.of(kind, found) for kind, found in by_kind.items()}, released)

    def with_cards(self, cards: Iterable[Card]) -> Works:
        """The same works with cards added, each in place of one of its kind and code where there is one."""
        more: dict[str, dict[str, Card]] = {}
        for card in cards:
            more.setdefault(card.KIND, {})[fold(card.code)] = card
        changed = {
            kind: Cards.of(kind, list({**{fold(card.code): card for card in self._cards[kind]}, **found}.values()))
            for kind, found in more.items()
        }
        return replace(self, _cards={**self._cards, **changed})

    def releases_of(self, order: str) -> tuple[LineReleased, ...]:
        """What was released of an order, in the order of the releases; a line that grew was released again."""
        return tuple(one for one in self.released if same_code(one.order, order))

    def of_kind(self, kind: type[T]) -> Cards[T]:
        """The cards of one class."""
        return cast("Cards[T]", self._cards[kind.KIND])

    def find(self, code: str, kinds: Iterable[str]) -> Card | None:
        """The card with this code among these kinds, the first kind that has it; None when there is none."""
        for kind in kinds:
            card = self._cards[kind].get(code)
            if card is not None:
                return card
        return None

    def stuff(self, code: str) -> Card:
        """A bought material by its code, whatever its kind. Raises KeyError naming the code."""
        card = self.find(code, STUFF)
        if card is None:
            raise KeyError(code)
        return card

    def all_cards(self) -> Iterable[Card]:
        """Every card, kind by kind in the order of the workbook, codes in order."""
        for kind in KINDS:
            yield from self._cards[kind.KIND]

    def rule(self, code: str) -> float:
        """The figure of a house rule: the works' own card, else the default. Raises KeyError for an unknown rule."""
        card = self.rules.get(code)
        return card.rule_value if card is not None else float(DEFAULTS[code].value)

    def price_on(self, of: str, item: str, day: date) -> Price | None:
        """The price card of an item that counts on a day: the latest that has begun."""
        begun = [
            price
            for price in self.prices
            if price.of == of and fold(price.item) == fold(item) and price.first_day <= day
        ]
        return max(begun, key=lambda price: (price.first_day, fold(price.code)), default=None)

    def content(self) -> str:
        """Content id of the whole works (sha256 of its canonical form)."""
        content: dict[str, object] = {
            "about": self.about.model_dump(),
            "cards": {kind: [card.model_dump() for card in self._cards[kind]] for kind in self._cards},
        }
        if self.released:
            content["released"] = [asdict(line) for line in self.released]
        return content_id(content)

    @property
    def briefs(self) -> Cards[Brief]:
        return self.of_kind(Brief)

    @property
    def wires(self) -> Cards[Wire]:
        return self.of_kind(Wire)

    @property
    def coils(self) -> Cards[Coil]:
        return self.of_kind(Coil)

    @property
    def units(self) -> Cards[Unit]:
        return self.of_kind(Unit)

    @property
    def edges(self) -> Cards[Edge]:
        return self.of_kind(Edge)

    @property
    def fillings(self) -> Cards[Filling]:
        return self.of_kind(Filling)

    @property
    def cloths(self) -> Cards[Cloth]:
        return self.of_kind(Cloth)

    @property
    def trims(self) -> Cards[Trim]:
        return self.of_kind(Trim)

    @property
    def fittings(self) -> Cards[Fitting]:
        return self.of_kind(Fitting)

    @property
    def films(self) -> Cards[Film]:
        return self.of_kind(Film)

    @property
    def sizes(self) -> Cards[Size]:
        return self.of_kind(Size)

    @property
    def panels(self) -> Cards[Panel]:
        return self.of_kind(Panel)

    @property
    def borders(self) -> Cards[Border]:
        return self.of_kind(Border)

    @property
    def panel_edges(self) -> Cards[PanelEdge]:
        return self.of_kind(PanelEdge)

    @property
    def closures(self) -> Cards[Closure]:
        return self.of_kind(Closure)

    @property
    def beds(self) -> Cards[Bed]:
        return self.of_kind(Bed)

    @property
    def evidence(self) -> Cards[Evidence]:
        return self.of_kind(Evidence)

    @property
    def routes(self) -> Cards[Route]:
        return self.of_kind(Route)

    @property
    def work_places(self) -> Cards[WorkPlace]:
        return self.of_kind(WorkPlace)

    @property
    def crew(self) -> Cards[Person]:
        return self.of_kind(Person)

    @property
    def shifts(self) -> Cards[Shift]:
        return self.of_kind(Shift)

    @property
    def closed_days(self) -> Cards[ClosedDay]:
        return self.of_kind(ClosedDay)

    @property
    def rules(self) -> Cards[Rule]:
        return self.of_kind(Rule)

    @property
    def prices(self) -> Cards[Price]:
        return self.of_kind(Price)

    @property
    def carbon(self) -> Cards[Carbon]:
        return self.of_kind(Carbon)

    @property
    def customers(self) -> Cards[Customer]:
        return self.of_kind(Customer)

    @property
    def suppliers(self) -> Cards[Supplier]:
        return self.of_kind(Supplier)

    @property
    def stock(self) -> Cards[Stock]:
        return self.of_kind(Stock)

    @property
    def vehicles(self) -> Cards[Vehicle]:
        return self.of_kind(Vehicle)

    @property
    def van_rounds(self) -> Cards[VanRound]:
        return self.of_kind(VanRound)

    @property
    def orders(self) -> Cards[Order]:
        return self.of_kind(Order)

    @property
    def collections(self) -> Cards[Collection]:
        return self.of_kind(Collection)

    @property
    def plants(self) -> Cards[Plant]:
        return self.of_kind(Plant)

    @property
    def offers(self) -> Cards[Offer]:
        return self.of_kind(Offer)


def reference_faults(works: Works) -> list[Fault]:
    """Every mention of a card that is not there, and every code that stands on two cards where one is meant."""
    faults = []
    for card in works.all_cards():
        faults += _row_faults(works, card, card, "")
        for name, row_class in child_rows(type(card)).items():
            for row in getattr(card, name):
                assert isinstance(row, row_class)
                faults += _row_faults(works, card, row, f"{name} {getattr(row, 'position', '')}")
    faults += _price_faults(works)
    faults += _brief_faults(works)
    faults += _clashes(works)
    faults += pair_faults(works.beds, works.orders)
    return faults


def _row_faults(works: Works, card: Card, model: Card | Row, where: str) -> list[Fault]:
    faults = []
    for name, kinds in references(type(model)).items():
        code = getattr(model, name)
        if code is not None and works.find(code, kinds) is None:
            faults.append(
                Fault(
                    says=f"names {' or '.join(kinds)} {code!r}, and there is none",
                    remedy=f"add that {kinds[0]} or name one that is there{_nearest(works, code, kinds)}",
                    value=code,
                    sheet=model.SHEET,
                    column=name,
                    card=card.called + (f", {where}" if where else ""),
                    field=name,
                )
            )
    return faults


def _nearest(works: Works, code: str, kinds: tuple[str, ...]) -> str:
    known = [card.code for kind in kinds for card in works._cards[kind]]
    close = [known_code for known_code in known if fold(known_code)[:2] == fold(code)[:2]][:3]
    return f", as {', '.join(close)}" if close else ""


def _price_faults(works: Works) -> list[Fault]:
    faults = []
    seen: dict[tuple[str, str, date], Price] = {}
    for price in works.prices:
        other = seen.setdefault((price.of, fold(price.item), price.first_day), price)
        if other is not price:
            faults.append(
                Fault(
                    says=f"prices {price.of} {price.item!r} from {price.first_day}, and so does {other.called}",
                    remedy="keep one of them, or let one begin on another day",
                    value=price.code,
                    sheet=Price.SHEET,
                    column="code",
                    card=price.called,
                    field="code",
                )
            )
        if price.of in STUFF and works.find(price.item, (price.of,)) is None:
            faults.append(
                Fault(
                    says=f"prices {price.of} {price.item!r}, and there is none",
                    remedy=f"add that {price.of} or name one that is there",
                    value=price.item,
                    sheet=Price.SHEET,
                    column="item",
                    card=price.called,
                    field="item",
                )
            )
    return faults


def _brief_faults(works: Works) -> list[Fault]:
    """Parts that a brief allows and that are not there."""
    faults = []
    for brief in works.briefs:
        strange = [code for code in brief.listed_parts if works.find(code, MAY_VARY) is None]
        if strange:
            faults.append(
                Fault(
                    says=f"allows {', '.join(strange)}, and the works has no such {', '.join(MAY_VARY[:-1])} or "
                    f"{MAY_VARY[-1]}",
                    remedy="name parts of the works, parted by ;",
                    value=brief.allowed_parts,
                    sheet=Brief.SHEET,
                    column="allowed_parts",
                    card=brief.called,
                    field="allowed_parts",
                )
            )
    return faults


def _clashes(works: Works) -> list[Fault]:
    seen: dict[str, Card] = {}
    faults = []
    for kind in STUFF:
        for card in works._cards[kind]:
            other = seen.setdefault(fold(card.code), card)
            if other is not card:
                faults.append(
                    Fault(
                        says=f"has the code of {other.called}; stock, prices and build-up could mean either",
                        remedy="give one of them another code",
                        value=card.code,
                        sheet=card.SHEET,
                        column="code",
                        card=card.called,
                        field="code",
                    )
                )
    return faults
