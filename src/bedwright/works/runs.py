"""Runs: beds of one order line that are made together, each with the van that it must meet.

Ids derive from order line and size (before release nothing lasting exists). What a ledger released keeps its runs and
ids, and only beds that the line asks for beyond those are split anew: their ids end in M and the number of the releases
before, so that no paper of an earlier draft of the line carries the same. A line is split into runs of at most the
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
    """Every run to be made, by order, line and number; what was released first."""
    found: list[Run] = []
    for order in orders_to_make(works):
        van = van_run(works, order, today)
        issued = works.releases_of(order.code)
        asked = {line.position: line for line in order.lines}
        for position in sorted(asked.keys() | {line.line for line in issued}):
            of_line = tuple(line for line in issued if line.line == position)
            found += [run for line in of_line for run in _issued(works, order, line, van)]
            if position in asked:
                found += _drafts(works, order, asked[position], of_line, van)
    return tuple(found)


def _drafts(
    works: Works, order: Order, line: OrderLine, issued: tuple[LineReleased, ...], van: VanRun
) -> Iterable[Run]:
    """Runs of the beds that nobody released yet."""
    most = max(1, int(works.rule("max_run")))
    paired = works.beds[line.bed].pair != "none"
    if paired:
        most = max(2, most - most % 2)
    left = max(0, line.quantity - sum(one.beds for one in issued))
    of = math.ceil(left / most)
    name = works_order_id(order.code, line.position, line.size) + (f"M{len(issued)}" if issued else "")
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
    """The runs of a line as they were released; what the card says today makes no other of them.

    A bed or size whose card was taken out of use since cannot be reckoned: its runs are left out, and
    `release_faults` says so.
    """
    bed, size = works.beds.get(line.bed), works.sizes.get(line.size)
    if bed is None or size is None:
        return
    for number, run in enumerate(line.runs, 1):
        yield Run(
            id=run.id,
            order=order.code,
            line=line.line,
            customer=order.customer,
            bed=bed.code,
            size=size.code,
            beds=run.beds,
            number=number,
            of=len(line.runs),
            van=van,
            serials=run.serials,
        )


def beds_in_use(works: Works) -> tuple[tuple[str, str], ...]:
    """(bed, size) codes of every bed at every size ordered, listed, asked for, claimed or offered; small to large."""
    found = [(line.bed, line.size) for order in works.orders for line in order.lines]
    found += [(line.bed, line.size) for line in works.released if line.bed in works.beds and line.size in works.sizes]
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
