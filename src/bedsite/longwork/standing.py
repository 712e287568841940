"""The works as its cards stand now, read once for each revision and kept in the process; beds of it, the last few.

Nothing here is long: it spares pages the reading of every card. What was kept under another revision goes first.
"""

from __future__ import annotations

import threading
from collections import Counter, OrderedDict
from dataclasses import dataclass, field, replace
from typing import Any

from bedsite.longwork.asking import content_of
from bedsite.records.chain import reading
from bedsite.records.ledger import end, read_works
from bedsite.records.models import Revision
from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill
from bedwright.cost.rollup import cost
from bedwright.cost.sheet import CostSheet
from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.design.fit import fit
from bedwright.errors import BedwrightError, Fault
from bedwright.works.runs import beds_in_use
from bedwright.works.works import Works

MOST_BEDS = 200
"""Beds at size that are kept in a process, the longest unused go first."""


@dataclass(frozen=True, slots=True)
class Made:
    """A bed at size with what it takes; cost: at the house's own allowances, on the day of the works."""

    bed: BedAtSize
    bill: Bill
    cost: CostSheet
    faults: tuple[Fault, ...]


@dataclass(slots=True)
class Standing:
    """The works as its cards stand, without releases; content: what questions name it by."""

    works: Works
    content: str
    revision: int
    _made: OrderedDict[tuple[str, str], Made | str] = field(default_factory=OrderedDict)
    _usual: dict[str, str] = field(default_factory=dict)
    _lock: Any = field(default_factory=threading.Lock)

    def usual(self, bed: str) -> str:
        """Size at which a bed is shown where none is named: the one ordered most, else the first that is bought."""
        if not self._usual:
            lines = Counter((line.bed, line.size) for order in self.works.orders for line in order.lines)
            first = next((size.code for size in self.works.sizes), "")
            found = {card.code: first for card in self.works.beds}
            found |= dict(reversed(beds_in_use(self.works)))
            found |= {one: size for (one, size), _ in sorted(lines.items(), key=lambda item: (item[1], item[0]))}
            self._usual = found
        return self._usual.get(bed, "")

    def made(self, bed: str, size: str) -> Made | str:
        """A bed at a size by their codes, or the sentence that says why it cannot be made. KeyError for no such."""
        card, at = self.works.beds[bed], self.works.sizes[size]
        key = (card.code, at.code)
        with self._lock:
            found = self._made.get(key)
            if found is not None:
                self._made.move_to_end(key)
                return found
        found = self._make(*key)
        with self._lock:
            self._made[key] = found
            while len(self._made) > MOST_BEDS:
                self._made.popitem(last=False)
        return found

    def _make(self, bed: str, size: str) -> Made | str:
        works = self.works
        try:
            at = bed_at_size(works, works.beds[bed], works.sizes[size])
            bill = make_bill(works, at)
            return Made(at, bill, cost(works, bill, works.about.as_of), fit(works, at))
        except BedwrightError as error:
            return str(error)


_kept: list[tuple[str, Standing]] = []
_lock = threading.Lock()


def standing() -> Standing:
    """The works as its cards stand now."""
    with reading():
        stamp = end()
        last = Revision.objects.filter(seq=stamp.cards_seq).values_list("hash", flat=True).first() or ""
    with _lock:
        if _kept and last and _kept[0][0] == last:
            return _kept[0][1]
    works = replace(read_works(), released=())
    found = Standing(works, content_of(works), works.about.revision)
    with _lock:
        if works.about.revision == stamp.cards_seq:
            _kept[:] = [(last, found)]
    return found
