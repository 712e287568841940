"""The vans of the list as plain rows: each its sets that are not complete, and what is wrong with each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from bedsite.office.marrying.asked import Asked
from bedsite.records import cards
from bedsite.records.by_van import Gap, RunForVan, open_days, runs_of_days
from bedsite.records.models import Head
from bedsite.records.said_of_runs import kept_back, troubles
from bedwright.errors import BedwrightError
from bedwright.identity import fold
from bedwright.papers.figures import size_words
from bedwright.words import counted
from bedwright.works.beds import Bed, Size
from bedwright.works.delivery import VanRound
from bedwright.works.trading import Customer, Order
from bedwright.works.vans import cut_off_of

MOST_DAYS = 3
"""Days with open beds that stand on one page, from today on; vans with nothing released stand between them."""
MOST_BEHIND = 4
"""Days gone by, with beds still open, that stand before them."""
MOST_LOOKED = 60
AHEAD = 14
"""Days in which the next runs of the rounds are looked for."""
MOST_SETS, MOST_SETS_BEHIND = 40, 10
"""Sets on one page, and those of days gone by among them; the others stand on the pages of their van."""
_DAY_ZERO = datetime(2000, 1, 1)
_STREAM = {"unit": "unit", "panels": "panels", "border": "border", "meet": "building"}
_BACK = {"hold": "on hold after a check", "rework": "to be reworked", "scrap": "scrapped, to be made again"}


@dataclass(frozen=True, slots=True)
class StreamShown:
    """One stream of a set: how many beds are still open, from which step on, how much of the line is drawn."""

    name: str
    open: int
    of: int
    first: str
    share: int
    """Hundredths of the beds that are through."""
    none: bool
    """Whether this bed has no such stream."""
    begun: bool


@dataclass(frozen=True, slots=True)
class SetShown:
    """A set that is not complete: one run, its beds, its four streams, and what is said of it."""

    run: RunForVan
    bed: str
    size: str
    customer: str
    streams: tuple[StreamShown, ...]
    says: tuple[tuple[str, str], ...]
    """(held, in trouble, late, short or unanswered; what of it)."""


@dataclass(slots=True)
class VanShown:
    """One run of a round."""

    day: date
    round: str
    name: str
    address: str
    cut_off: datetime | None
    passed: bool
    beds: int = 0
    made: int = 0
    complete: int = 0
    runs: tuple[RunForVan, ...] = ()
    """Those shown: of the sets that are not complete."""
    sets: tuple[SetShown, ...] = ()
    left: int = 0
    """Sets that stand on further pages."""
    more: str = ""
    fewer: str = ""

    @property
    def key(self) -> str:
        return f"van-{self.day.isoformat()}-{fold(self.round).replace(' ', '-')}"


@dataclass(slots=True)
class Vans:
    """What is shown, and the days before and after it."""

    shown: list[VanShown] = field(default_factory=list)
    behind: int = 0
    """Earlier days with open beds that are not shown."""
    next: date | None = None


def vans(asked: Asked, of: Mapping[str, VanRound], closed: set[date], today: date, kept: Any | None) -> Vans:
    """The vans that an address asks for: those behind with open beds, then the next ones."""
    found = Vans()
    if asked.day is not None:
        days, upcoming = [asked.day], {asked.day}
    else:
        start = asked.start or today
        behind = open_days(date.min, before=start, most=MOST_LOOKED) if asked.start is None else []
        found.behind = max(0, len(behind) - MOST_BEHIND)
        opened = open_days(start, most=MOST_DAYS + 1)
        found.next = opened[MOST_DAYS] if len(opened) > MOST_DAYS else None
        until = opened[:MOST_DAYS][-1] if opened else start + timedelta(days=AHEAD)
        coming = (start + timedelta(days=ahead) for ahead in range(AHEAD))
        upcoming = {day for day in coming if day <= until and _on(of, asked, closed, day)}
        days = behind[-MOST_BEHIND:] + sorted(upcoming | set(opened[:MOST_DAYS]))
    runs = [run for run in runs_of_days(days) if asked.round in ("", fold(run.van_round))]
    back = kept_back([run.run for run in runs]) if runs else {}
    for day in days:
        rounds = {fold(run.van_round): run.van_round for run in runs if run.due == day}
        if day in upcoming:
            rounds |= {key: one.code for key, one in of.items() if key in _on(of, asked, closed, day)}
        its = {key: [run for run in runs if run.due == day and fold(run.van_round) == key] for key in rounds}
        blocks = [_van(asked, day, rounds[key], of.get(key), its[key], back, today) for key in rounds]
        found.shown += sorted(blocks, key=lambda one: (one.cut_off or datetime.max, one.round))
    left = MOST_SETS
    for van in found.shown:
        behind_of = MOST_SETS - MOST_SETS_BEHIND if asked.day is None and van.day < today else 0
        _cut(van, max(0, left - behind_of))
        left -= len(van.runs)
    _told(found.shown, back, _late(kept), _short(kept))
    return found


def _on(of: Mapping[str, VanRound], asked: Asked, closed: set[date], day: date) -> set[str]:
    """Folded codes of the rounds that leave on a day."""
    if day in closed:
        return set()
    return {key for key, one in of.items() if day.weekday() in one.weekdays and asked.round in ("", key)}


def _late(kept: Any | None) -> dict[str, str]:
    """Run -> why the plan says that it misses its van."""
    if kept is None:
        return {}
    why = {one["works_order"]: str(one["why"]) for one in kept["plan"].get("late", ())}
    late = [one["works_order"] for one in kept["orders"]["works_orders"] if not one["makes_van"]]
    return {run: why.get(run, "") for run in late}


def _short(kept: Any | None) -> dict[str, list[str]]:
    """Run -> codes of the materials that it waits for."""
    found: dict[str, list[str]] = {}
    for need in kept["bill"]["supply"] if kept is not None else ():
        for run in need["starves"]:
            found.setdefault(run, []).append(str(need["code"]))
    return found


def _van(
    asked: Asked, day: date, code: str, card: VanRound | None, runs: list[RunForVan],
    back: Mapping[str, Mapping[str, int]], today: date,
) -> VanShown:  # fmt: skip
    cut_off = cut_off_of(card, day) if card is not None else None
    if cut_off is None and runs:
        cut_off = _DAY_ZERO + timedelta(minutes=runs[0].rank)  # the round's card is gone: as it was at release
    gaps = [run for run in runs if run.open or back.get(run.run)]
    alone = asked.day is not None and bool(asked.round)
    page = asked.page if alone else 1
    shown = gaps[(page - 1) * MOST_SETS : page * MOST_SETS]
    left = max(0, len(gaps) - page * MOST_SETS)
    one_van = Asked(fold(code), day)
    return VanShown(
        day=day,
        round=code,
        name=card.name if card is not None else "",
        address=one_van.address(),
        cut_off=cut_off,
        passed=cut_off is not None and cut_off.date() < today,
        beds=sum(run.beds for run in runs),
        made=sum(run.made for run in runs),
        complete=len(runs) - len(gaps),
        runs=tuple(shown),
        left=left,
        more=one_van.address(page=page + 1) if left else "",
        fewer=one_van.address(page=page - 1 if page > 2 else "") if page > 1 else "",
    )


def _cut(van: VanShown, most: int) -> None:
    """Leave a van so many of its sets; the others stand on its own pages."""
    gone = len(van.runs) - most
    if gone > 0:
        van.runs, van.left, van.more = van.runs[:most], van.left + gone, van.address


def _told(
    vans: list[VanShown], back: Mapping[str, Mapping[str, int]], late: dict[str, str], short: dict[str, list[str]]
) -> None:
    """Give each van the rows of its sets, the cards of all of them read together."""
    runs = [run for van in vans for run in van.runs]
    heads = _heads(runs)
    said = troubles([run.run for run in runs if run.trouble])
    for van in vans:
        van.sets = tuple(
            SetShown(
                run=run,
                bed=_called(heads.get((Bed.KIND, fold(run.bed))), run.bed),
                size=_called(heads.get((Size.KIND, fold(run.size))), run.size),
                customer=_called(heads.get((Customer.KIND, fold(run.customer))), run.customer),
                streams=tuple(_stream(gap, run.beds) for gap in run.gaps),
                says=tuple(_says(run, heads, van.passed, back.get(run.run, {}), late, short, said.get(run.run, []))),
            )
            for run in van.runs
        )


def _stream(gap: Gap, beds: int) -> StreamShown:
    share = 100 * (beds - gap.open) // beds
    return StreamShown(_STREAM[gap.stream], gap.open, beds, gap.first, share, gap.steps == 0, gap.begun)


def _heads(runs: Iterable[RunForVan]) -> dict[tuple[str, str], Head]:
    """(kind, folded code) -> the head of every card that these runs name."""
    wanted: dict[str, set[str]] = {Order.KIND: set(), Bed.KIND: set(), Size.KIND: set(), Customer.KIND: set()}
    for run in runs:
        for kind, code in zip(wanted, (run.order, run.bed, run.size, run.customer), strict=True):
            wanted[kind].add(fold(code))
    return {
        (kind, head.folded): head
        for kind, codes in wanted.items()
        if codes
        for head in Head.objects.filter(kind=kind, folded__in=codes)
    }


def _called(head: Head | None, code: str) -> str:
    """What people call a bed, a size, a customer; its code where the card says no more or cannot be read."""
    try:
        card = cards.card_in(head) if head is not None else None
    except BedwrightError:
        return code
    if isinstance(card, Size):
        return size_words(card.width, card.length)
    return (card.name or card.code) if card is not None else code


def _says(
    run: RunForVan, heads: Mapping[tuple[str, str], Head], passed: bool, back: Mapping[str, int],
    late: dict[str, str], short: dict[str, list[str]], trouble: list[str],
) -> Iterable[tuple[str, str]]:  # fmt: skip
    order = heads.get((Order.KIND, fold(run.order)))
    if order is None or order.gone:
        yield "held", f"order {run.order} was taken out of use"
    else:
        try:
            card = cards.card_in(order)
        except BedwrightError:
            card = None
        if isinstance(card, Order) and card.state in ("held", "cancelled"):
            yield "held", f"order {run.order} is {card.state}"
    for outcome, beds in back.items():
        yield "held", f"{counted(beds, 'bed')} {_BACK[outcome]}"
    if run.trouble:
        told = f": {'; '.join(trouble)}" if trouble else ""
        yield "in trouble", f"{counted(run.trouble, 'bed')}{told}"
    if passed and run.open:
        yield "late", "its cut-off has passed"
    elif run.run in late:
        yield "late", late[run.run] or "by the plan it misses this van"
    if run.run in short:
        yield "short", f"of {', '.join(short[run.run])}"
    for kind, code in ((Order.KIND, run.order), (Bed.KIND, run.bed)):
        head = heads.get((kind, fold(code)))
        if head is not None and head.asides:
            yield "unanswered", f"{kind} {head.code} waits for a merge"
