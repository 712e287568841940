"""The make list: which beds are made for which van, from the orders. It is the reverse of the van's list.

A line of an order becomes one works order, split into runs of at most `max_run` beds. It goes with the latest van of
its round that gets it there by the day promised; where none is left, with the first that can still be met, and that is
said. Ids derive from order, line and size, never from a row's place (identity.works_order_id), until a works order is
released.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, time, timedelta

from bedwright.identity import works_order_id
from bedwright.works.delivery import VanRound
from bedwright.works.trading import Order, OrderLine
from bedwright.works.works import Works

MADE = ("confirmed", "sample")
LOOK_AHEAD = 60  # days: a round without a van for so long is said to have none


@dataclass(frozen=True, slots=True)
class Run:
    """Beds made together for one van.

    id: of the run; works_order: of the whole line; order, line, customer: whose; bed, size, beds: what; due: day
    promised; van_round, van_day: with which van; cut_off_day, cut_off: wall time by which the last bed is wrapped;
    pair: key shared with the run of the other halves of zip-linked pairs, "" for none; says: what a person must know
    ("" when all is well).
    """

    id: str
    works_order: str
    order: str
    line: int
    customer: str
    bed: str
    size: str
    beds: int
    due: date
    van_round: str
    van_day: date
    cut_off_day: date
    cut_off: time
    pair: str = ""
    says: str = ""

    @property
    def key(self) -> str:
        """Bed and size in one word, the key of their bill."""
        return f"{self.bed} {self.size}"


def make_list(works: Works, as_of: date | None = None) -> tuple[Run, ...]:
    """Every run of the orders that are to be made, by cut-off, round and id. as_of: today; default the works' own."""
    today = works.about.as_of if as_of is None else as_of
    runs = []
    for order in works.orders:
        if order.state in MADE:
            runs += _paired([run for line in _lines(order) for run in _runs(works, order, line, today)])
    return tuple(sorted(runs, key=lambda run: (run.cut_off_day, run.cut_off, run.van_round, run.id)))


def _lines(order: Order) -> list[OrderLine]:
    return sorted(order.lines, key=lambda line: line.position)


def van_days(works: Works, van_round: VanRound, first: date, last: date) -> tuple[date, ...]:
    """Days from first to last (both included) on which a round leaves; none on a closed day."""
    closed = {card.day for card in works.closed_days}
    days = (first + timedelta(days=i) for i in range(max(0, (last - first).days + 1)))
    return tuple(day for day in days if day.weekday() in van_round.weekdays and day not in closed)


def van_for(works: Works, van_round: VanRound, due: date, today: date) -> tuple[date | None, str]:
    """(day of the van, what to say): the latest by `due` whose cut-off lies not before today, else the next one."""
    early = today + timedelta(days=van_round.cut_off_days)
    good = van_days(works, van_round, early, due)
    if good:
        return good[-1], ""
    later = van_days(works, van_round, max(early, due + timedelta(days=1)), early + timedelta(days=LOOK_AHEAD))
    if later:
        return later[0], f"no van of {van_round.code} is left that gets there by {due}; the next leaves {later[0]}"
    return None, f"round {van_round.code} has no van from {early} for {LOOK_AHEAD} days"


def _runs(works: Works, order: Order, line: OrderLine, today: date) -> list[Run]:
    van_round = works.van_rounds[order.van_round]
    day, says = van_for(works, van_round, order.due, today)
    bed, size = works.beds[line.bed], works.sizes[line.size]
    name = works_order_id(order.code, line.position, size.code)
    linked = bed.pair == "zip-linked"
    parts = _split(line.quantity, max(1, round(works.rule("max_run"))), even=linked)
    van_day = day or order.due
    return [
        Run(
            id=name if len(parts) == 1 else f"{name}-{number}",
            works_order=name,
            order=order.code,
            line=line.position,
            customer=works.customers[order.customer].code,
            bed=bed.code,
            size=size.code,
            beds=beds,
            due=order.due,
            van_round=van_round.code,
            van_day=van_day,
            cut_off_day=van_day - timedelta(days=van_round.cut_off_days),
            cut_off=van_round.cut_off,
            pair=f"{order.code} {size.code}" if linked and beds % 2 else "",
            says=says,
        )
        for number, beds in enumerate(parts, 1)
    ]


def _split(quantity: int, largest: int, *, even: bool) -> list[int]:
    """Runs of nearly one size, none above `largest`; even runs keep both halves of a pair together."""
    step = 2 if even and largest > 1 else 1
    room = largest - largest % step
    count = -(-quantity // room)
    runs, left = [], quantity
    for number in range(count, 0, -1):
        beds = min(left, -(-left // (number * step)) * step)
        runs.append(beds)
        left -= beds
    return runs


def _paired(runs: list[Run]) -> list[Run]:
    """Odd runs of zip-linked beds find their other half in another line of the order; one alone is said."""
    members = Counter(run.pair for run in runs if run.pair)
    out = []
    for run in runs:
        if run.pair and members[run.pair] < 2:
            alone = "an odd number of zip-linked beds: one has no other half"
            run = replace(run, pair="", says=f"{run.says}; {alone}" if run.says else alone)
        out.append(run)
    return out
