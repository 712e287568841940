"""Which van an order goes with: the latest run of its round that is still in time, and the moment it must be wrapped.

The make list is the reverse of the van (common practice, no source): due dates on cards become van days here, once.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from bedwright.works.delivery import VanRound
from bedwright.works.trading import Collection, Order
from bedwright.works.works import Works

TO_MAKE = ("confirmed", "sample")
"""States of an order whose beds are planned, bought for and loaded."""
FURTHEST_BACK = 60
"""Days before the due day in which a run of the round is looked for."""


@dataclass(frozen=True, slots=True)
class VanRun:
    """One run of a round: day of leaving, wall time of leaving, wall time by which beds must be wrapped.

    in_time: the run leaves on or before the due day; False when no run is left in time and this is the next one.
    """

    van_round: str
    day: date
    leaves: datetime
    cut_off: datetime
    in_time: bool


def runs_on(works: Works, van_round: VanRound, day: date) -> bool:
    """Whether the round leaves on a day: its weekday, and the works is open."""
    closed = {closed_day.day for closed_day in works.closed_days}
    return day.weekday() in van_round.weekdays and day not in closed


def cut_off_of(van_round: VanRound, day: date) -> datetime:
    """Wall time by which the beds of the run on a day must be wrapped."""
    return datetime.combine(day - timedelta(days=van_round.cut_off_days), van_round.cut_off)


def van_run(works: Works, order: Order, today: date) -> VanRun:
    """The run that takes an order: the latest on or before its due day, else the first after today.

    Today's own run counts while its cut-off is not before today.
    """
    van_round = works.van_rounds[order.van_round]
    for back in range(FURTHEST_BACK):
        day = order.due - timedelta(days=back)
        if day < today:
            break
        if runs_on(works, van_round, day) and cut_off_of(van_round, day).date() >= today:
            return _run(van_round, day, True)
    day = max(today, order.due)
    while not (runs_on(works, van_round, day) and cut_off_of(van_round, day).date() >= today):
        day += timedelta(days=1)
    return _run(van_round, day, False)


def orders_to_make(works: Works) -> tuple[Order, ...]:
    """Orders whose beds are to be made: confirmed ones and samples, in the order of their codes."""
    return tuple(order for order in works.orders if order.state in TO_MAKE)


def _run(van_round: VanRound, day: date, in_time: bool) -> VanRun:
    return VanRun(
        van_round=van_round.code,
        day=day,
        leaves=datetime.combine(day, van_round.leaves),
        cut_off=cut_off_of(van_round, day),
        in_time=in_time,
    )


def run_that_collects(works: Works, collection: Collection, today: date) -> date:
    """Day of the round's run that collects: the first one on or after the day asked for."""
    van_round = works.van_rounds[collection.van_round]
    day = max(today, collection.day)
    while not runs_on(works, van_round, day):
        day += timedelta(days=1)
    return day
