"""What the address asks of the list: a van round, the day of a van, the page of a long van."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from django.http import QueryDict

from bedsite.records import cards
from bedwright.errors import BedwrightError
from bedwright.identity import fold
from bedwright.works.delivery import VanRound
from bedwright.works.making import ClosedDay

FIRST_YEAR, LAST_YEAR = 2000, 2200


@dataclass(frozen=True, slots=True)
class Asked:
    """round: folded code of a van round or "" for all; day: only this day's vans; start: from this day on."""

    round: str = ""
    day: date | None = None
    start: date | None = None
    page: int = 1
    typed: str = ""
    """The day as it was typed."""
    fault: str = ""

    def address(self, **other: object) -> str:
        """The question with some of it changed, as an address."""
        said: dict[str, object] = {
            "round": self.round,
            "day": self.day or "",
            "from": self.start or "",
            "page": self.page if self.page > 1 else "",
        } | other
        kept = {key: value for key, value in said.items() if value}
        return "?" + urlencode(kept) if kept else "?"


def asked_in(get: QueryDict) -> Asked:
    """The question of an address; what is no day is said, what is no page counts as the first."""
    typed = get.get("day", "").strip()[:20]
    day, fault = _day(typed), ""
    if typed and day is None:
        fault = f"{typed!r} is no day of a van; it is written as 2026-11-02."
    start = _day(get.get("from", ""))
    page = get.get("page", "")
    number = int(page) if page.isascii() and page.isdigit() and len(page) < 6 else 1
    return Asked(fold(get.get("round", "").replace("\0", "")[:96]), day, start, max(1, number), typed, fault)


def _day(text: str) -> date | None:
    try:
        found = date.fromisoformat(text)
    except ValueError:
        return None
    return found if FIRST_YEAR <= found.year <= LAST_YEAR else None


def closed_days() -> set[date]:
    """Days on which the works is closed, so that no van leaves."""
    found = set()
    for head in cards.heads(ClosedDay.KIND):
        try:
            card = cards.card_in(head)
        except BedwrightError:
            continue
        if isinstance(card, ClosedDay):
            found.add(card.day)
    return found


def rounds() -> dict[str, VanRound]:
    """Folded code -> van round in use."""
    found = {}
    for head in cards.heads(VanRound.KIND):
        try:
            card = cards.card_in(head)
        except BedwrightError:  # a card that can no longer be read takes only itself off the list
            continue
        if isinstance(card, VanRound):
            found[head.folded] = card
    return found
