"""The question that a plan answers: frozen, self-checking, whole seconds from the midnight of `as_of`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from bedwright.errors import Fault, FaultsFound
from bedwright.schedule import checks
from bedwright.schedule.calendar import WallClock
from bedwright.schedule.orders import Operation, WorksOrder
from bedwright.schedule.resources import Oven, Person, WorkPlace

LONGEST_PAUSE = 3600


@dataclass(frozen=True, slots=True)
class Problem:
    """Works orders, their operations, and the places, ovens and people that may do them.

    zone, as_of           the works' zone (IANA) and the day that counts as today; second 0 is its first midnight
    longest_pause_seconds work may rest over a gap up to this long (a meal) and go on with the same people at the same
                          machine. A longer gap ends a block of work: an operation must fit into one block, unless its
                          set-up and run are longer than the longest ordinary block of the people who do it; then it
                          may rest over nights, holding its machine. Default an hour, from memory.

    Raises FaultsFound with every fault at once: unknown codes, rings in the net, builds that do not wait for their
    whole set, zip-linked halves on two vans, work that nobody can do, units that no charge can hold.
    """

    zone: str
    as_of: date
    works_orders: tuple[WorksOrder, ...]
    operations: tuple[Operation, ...]
    places: tuple[WorkPlace, ...]
    ovens: tuple[Oven, ...] = ()
    people: tuple[Person, ...] = ()
    longest_pause_seconds: int = LONGEST_PAUSE

    def __post_init__(self) -> None:
        WallClock(self.zone, self.as_of)
        faults = list(self._faults())
        if faults:
            raise FaultsFound(faults)

    def _faults(self) -> Iterator[Fault]:
        yield from checks.twice("works order", (order.id for order in self.works_orders))
        yield from checks.twice("operation", (operation.id for operation in self.operations))
        yield from checks.twice("place or oven", [p.code for p in self.places] + [o.code for o in self.ovens])
        yield from checks.twice("person", (person.code for person in self.people))
        for person in self.people:
            yield from checks.person_faults(person)
        for place in self.places:
            yield from checks.place_faults(place)
        for oven in self.ovens:
            yield from checks.oven_faults(oven)
        yield from checks.order_faults(self.works_orders)
        orders = {order.id: order for order in self.works_orders}
        places = {place.code: place for place in self.places}
        ovens = {oven.code: oven for oven in self.ovens}
        for operation in self.operations:
            yield from checks.operation_faults(operation, orders, places, ovens, self.people)
        if len({operation.id for operation in self.operations}) == len(self.operations):
            yield from checks.net_faults(self.operations)

    @property
    def clock(self) -> WallClock:
        """The clock that turns plan seconds into wall time and back."""
        return WallClock(self.zone, self.as_of)

    @property
    def horizon(self) -> int:
        """The last second [s] of anybody's time, or of the last cut-off where nobody is needed."""
        ends = [pair[1] for person in self.people for pair in (*person.working, *person.overtime)]
        ends += [pair[1] for place in self.places for pair in place.working]
        ends += [pair[1] for oven in self.ovens for pair in oven.working]
        return max([*ends, *(order.due for order in self.works_orders), 0])
