"""The time-phased record of one item: gross, arrivals, what is projected, what must arrive, what must be released.

Standard record logic: projected on hand at the end of a period = before + arrivals + planned receipt - gross; a planned
receipt stands in the first period that would fall below the safety stock; a release lies one lead time before its
receipt. Book: mrp-record.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.errors import OutsideRange


@dataclass(frozen=True, slots=True)
class MrpRecord:
    """One figure for each period, first period first.

    past_due: (period, quantity) of releases that lie before period 1 (0 is the period before it, -1 the one before
    that): nobody can release them any more in time.
    """

    gross: tuple[float, ...]
    scheduled: tuple[float, ...]
    projected: tuple[float, ...]
    net: tuple[float, ...]
    receipts: tuple[float, ...]
    releases: tuple[float, ...]
    past_due: tuple[tuple[int, float], ...]


def mrp_record(
    gross: Sequence[float],
    scheduled: Sequence[float],
    on_hand: float,
    lead: int,
    lot: float | None = None,
    safety: float = 0.0,
) -> MrpRecord:
    """The record of an item. Book: mrp-record, mrp-lot-for-lot.

    lot: fixed lot, as many as are needed; None: lot for lot. net: what a period lacks before its planned receipt.
    Raises OutsideRange.
    """
    if len(gross) != len(scheduled) or not gross:
        raise OutsideRange(f"{len(gross)} periods of demand and {len(scheduled)} of arrivals: give both, of one length")
    if lead < 0 or (lot is not None and lot <= 0) or safety < 0 or min(*gross, *scheduled, 0.0) < 0:
        raise OutsideRange(f"lead {lead}, lot {lot}, safety {safety} and every quantity must be 0 or more, a lot more")
    projected, net, receipts = [], [], []
    free = on_hand
    for wanted, arriving in zip(gross, scheduled, strict=True):
        free += arriving - wanted
        lacking = max(0.0, safety - free)
        planned = lacking if lot is None else -(-lacking // lot) * lot
        free += planned
        net.append(lacking)
        receipts.append(planned)
        projected.append(free)
    releases = [0.0] * len(gross)
    past_due = []
    for period, planned in enumerate(receipts):
        if not planned:
            continue
        if period >= lead:
            releases[period - lead] += planned
        else:
            past_due.append((period - lead + 1, planned))
    return MrpRecord(
        tuple(gross),
        tuple(scheduled),
        tuple(projected),
        tuple(net),
        tuple(receipts),
        tuple(releases),
        tuple(past_due),
    )
