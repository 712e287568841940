"""Runs: beds of one order line that are made together, each with the van that it must meet.

Ids derive from order line and size (before release nothing lasting exists); what a ledger released keeps its runs and
ids, and only beds beyond those are split anew. A line is split into runs of at most the
house rule `max_run`; halves of a linked pair stay together.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from bedwright.identity import works_order_id
from bedwright.works.beds import Size
from bedwright.works.released import LineReleased
from bedwright.works.trading import Order, OrderLine
from bedwright.works.vans import VanRun, orders_to_make, van_run
from bedwright.works.works import Works


@dataclass(frozen=True, slots=True)
class Run:
    """Beds made together under one works order: which order line, how many, and the van they must meet."""

    id: str
    order: str
    line: int
    customer: str
    bed: str
    size: str
    beds: int
    number: int
    of: int
    van: VanRun
    serials: tuple[str, ...] = ()
    """One for each bed once the run is released; empty before."""


def runs_to_make(works: Works, today: date) -> tuple[Run, ...]:
    """Every run to be made, by order, line and number."""
    found: list[Run] = []
    for order in orders_to_make(works):
        van = van_run(works, order, today)
        for line in sorted(order.lines, key=lambda line: line.position):
            found += _runs(works, order, line, van)
    return tuple(found)


def _runs(works: Works, order: Order, line: OrderLine, van: VanRun) -> Iterable[Run]:
    most = max(1, int(works.rule("max_run")))
    paired = works.beds[line.bed].pair != "none"
    if paired:
        most = max(2, most - most % 2)
    issued = works.line_released(order.code, line.position)
    left = line.quantity
    if issued is not None:
        yield from _issued(works, order, issued, van)
        left -= issued.beds
    of = math.ceil(max(0, left) / most)
    name = works_order_id(order.code, line.position, line.size)
    for number in range(1, of + 1):
        beds = min(most, math.ceil(left / (of - number + 1)))
        if paired and beds % 2 and beds < left:
            beds += 1
        left -= beds
        yield Run(
            id=name if of == 1 else f"{name}-{number}",
            order=order.code,
            line=line.position,
            customer=order.customer,
            bed=works.beds[line.bed].code,
            size=works.sizes[line.size].code,
            beds=beds,
            number=number,
            of=of,
            van=van,
        )


def _issued(works: Works, order: Order, line: LineReleased, van: VanRun) -> Iterable[Run]:
    """The runs of a released line as they were released; what the card says today makes no other of them."""
    for number, run in enumerate(line.runs, 1):
        yield Run(
            id=run.id,
            order=order.code,
            line=line.line,
            customer=order.customer,
            bed=works.beds[line.bed].code,
            size=works.sizes[line.size].code,
            beds=run.beds,
            number=number,
            of=len(line.runs),
            van=van,
            serials=run.serials,
        )


def beds_in_use(works: Works) -> tuple[tuple[str, str], ...]:
    """(bed, size) codes of every bed at every size ordered, listed, asked for, claimed or offered; small to large."""
    found = [(line.bed, line.size) for order in works.orders for line in order.lines]
    found += [(row.bed, row.size) for customer in works.customers for row in customer.beds]
    found += [(brief.bed, brief.size) for brief in works.briefs if brief.bed is not None]
    found += [(bed.code, claim.size) for bed in works.beds for claim in bed.claims if claim.size is not None]
    found += [(offer.bed, offer.size) for offer in works.offers]
    codes = {(works.beds[bed].code, works.sizes[size].code) for bed, size in found}
    return tuple(sorted(codes, key=lambda code: (code[0], _area(works.sizes[code[1]]), code[1])))


def _area(size: Size) -> float:
    return size.width * size.length


def mean_run(runs: Iterable[Run]) -> int | None:
    """Beds of a usual run, rounded, at least 1; None where nothing is to be made.

    Over all runs, not bed by bed: a quote must not jump because one size happened to be ordered in ones.
    """
    beds = [run.beds for run in runs]
    return max(1, round(sum(beds) / len(beds))) if beds else None
