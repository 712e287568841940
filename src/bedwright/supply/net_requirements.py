"""Net requirements: dated demands against stock and arrivals, item by item; who starves, and when to order at last.

Demands are served in the order of their days (then of their works orders), so a shortage starves the latest beds. The
closed form of what is short by a day is max(0, all demand up to it - stock - all arrivals up to it) (derived); dates
are the material's own: order by = day needed - lead days.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from bedwright.errors import Fault, FaultsFound


@dataclass(frozen=True, slots=True)
class Demand:
    """Material wanted on a day for a works order; quantity in `unit`, scrap included; words: the beds it is for."""

    code: str
    day: date
    quantity: float
    unit: str
    works_order: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class OnHand:
    """What is there today of an item, all usable lots together."""

    code: str
    quantity: float
    unit: str


@dataclass(frozen=True, slots=True)
class Arrival:
    """What is on order and arrives on a day; it serves demands of that day."""

    code: str
    day: date
    quantity: float
    unit: str


@dataclass(frozen=True, slots=True)
class Starved:
    """A works order that does not get all it needs of an item on its day."""

    works_order: str
    words: str
    day: date
    short: float


@dataclass(frozen=True, slots=True)
class OrderBy:
    """One purchase, lot for lot: needed on a day, to be ordered by another; late_days: how long ago that was."""

    needed: date
    order_by: date | None
    quantity: float
    late_days: int


@dataclass(frozen=True, slots=True)
class ItemNeed:
    """One item: gross demand, on hand, arriving in time, net; who starves; purchases. lead_days None: not known.

    left: what stays over after all demands. All quantities in `unit`.
    """

    code: str
    unit: str
    gross: float
    on_hand: float
    arriving: float
    net: float
    left: float
    lead_days: int | None
    starved: tuple[Starved, ...]
    orders: tuple[OrderBy, ...]

    @property
    def is_short(self) -> bool:
        return self.net > 0

    @property
    def late(self) -> bool:
        """Whether a purchase should have been made before today, or nobody knows how long it takes."""
        return any(order.late_days > 0 or order.order_by is None for order in self.orders)


def net_requirements(
    demands: Iterable[Demand],
    stock: Iterable[OnHand],
    lead_days: Mapping[str, int | None],
    as_of: date,
    arrivals: Iterable[Arrival] = (),
) -> tuple[ItemNeed, ...]:
    """Every item that is wanted, by code. Raises FaultsFound where one item is counted in two units.

    Purchases are one for each day of need (lot for lot); a code that `lead_days` lacks has an unknown lead.
    """
    wanted: dict[str, list[Demand]] = defaultdict(list)
    for demand in demands:
        wanted[demand.code].append(demand)
    held: dict[str, list[OnHand]] = defaultdict(list)
    for one in stock:
        held[one.code].append(one)
    coming: dict[str, list[Arrival]] = defaultdict(list)
    for arrival in arrivals:
        coming[arrival.code].append(arrival)
    faults = [fault for code in sorted(wanted) for fault in _unit_faults(code, wanted[code], held[code], coming[code])]
    if faults:
        raise FaultsFound(faults)
    return tuple(
        _item(code, wanted[code], held[code], coming[code], lead_days.get(code), as_of) for code in sorted(wanted)
    )


def _unit_faults(code: str, *groups: Iterable[Demand | OnHand | Arrival]) -> list[Fault]:
    units = sorted({one.unit for group in groups for one in group})
    if len(units) < 2:
        return []
    says = f"is counted in {' and in '.join(units)}"
    return [Fault(says, "count it in one unit", code, card=f"item {code}", field="counted_in")]


def _item(
    code: str,
    demands: list[Demand],
    held: list[OnHand],
    coming: list[Arrival],
    lead: int | None,
    as_of: date,
) -> ItemNeed:
    free = on_hand = sum(one.quantity for one in held)
    arriving = 0.0
    queue = sorted(coming, key=lambda one: one.day)
    starved, orders = [], []
    ordered = sorted(demands, key=lambda one: (one.day, one.works_order, one.words))
    for day, group in groupby(ordered, key=lambda one: one.day):
        while queue and queue[0].day <= day:
            free += queue[0].quantity
            arriving += queue.pop(0).quantity
        short = 0.0
        for demand in group:
            given = min(free, demand.quantity)
            free -= given
            lacking = demand.quantity - given
            if lacking > 1e-9 * demand.quantity:
                starved.append(Starved(demand.works_order, demand.words, day, lacking))
                short += lacking
        if short > 0:
            orders.append(_order_by(day, short, lead, as_of))
    return ItemNeed(
        code=code,
        unit=demands[0].unit,
        gross=sum(one.quantity for one in demands),
        on_hand=on_hand,
        arriving=arriving,
        net=sum(order.quantity for order in orders),
        left=free,
        lead_days=lead,
        starved=tuple(starved),
        orders=tuple(orders),
    )


def _order_by(day: date, quantity: float, lead: int | None, as_of: date) -> OrderBy:
    if lead is None:
        return OrderBy(day, None, quantity, 0)
    order_by = day - timedelta(days=lead)
    return OrderBy(day, order_by, quantity, max(0, (as_of - order_by).days))


def starving_beds(needs: Iterable[ItemNeed]) -> dict[str, tuple[str, ...]]:
    """Works order -> codes it lacks, both in order."""
    found: dict[str, set[str]] = defaultdict(set)
    for need in needs:
        for one in need.starved:
            found[one.works_order].add(need.code)
    return {works_order: tuple(sorted(found[works_order])) for works_order in sorted(found)}
