"""What stands at a work place: next, in work, in trouble, done last, and how much is left for the van."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date

from bedsite.records.models import Step
from bedwright.identity import fold

LOOKED_AT = 2000
"""Steps looked through for those that are ready; beyond, what still waits for other work is shown as next."""
_PIECE = 250


@dataclass(frozen=True, slots=True)
class AtPlace:
    """A work place as its station shows it. next: ready ones first, each by van and order of making."""

    next: tuple[Step, ...]
    in_work: tuple[Step, ...]
    trouble: tuple[Step, ...]
    done: tuple[Step, ...]
    waiting_for: frozenset[tuple[str, int]]
    """(serial, position) of those of `next` whose earlier steps are not booked as done."""
    day: date | None
    """The van day of the next bed."""
    left: int
    """Steps to do here for the van of that day and for any before it, those in work and in trouble counted."""


def at_place(place: str, most: int = 12) -> AtPlace:
    """The station of a work place; most: of each list."""
    here = Step.objects.filter(place=fold(place))
    in_work = list(here.filter(state="in work").order_by("due", "rank", "serial", "position")[: most * 4])
    trouble = list(here.filter(state="trouble").order_by("due", "rank", "serial", "position")[: most * 4])
    done = here.filter(state="done").order_by("-done", "serial", "position")[:most]
    following, blocked = next_at(place, most)
    day = min((step.due for step in [*following[:1], *in_work, *trouble]), default=None)
    left = here.filter(state__in=("to do", "in work", "trouble"), due__lte=day).count() if day is not None else 0
    return AtPlace(tuple(following), tuple(in_work), tuple(trouble), tuple(done), blocked, day, left)


def next_at(place: str, most: int = 12) -> tuple[list[Step], frozenset[tuple[str, int]]]:
    """What is to do next: beds whose earlier steps are done, then those that wait, by van and order of making."""
    to_do = Step.objects.filter(place=fold(place), state="to do").order_by("due", "rank", "serial", "position")
    ready: list[Step] = []
    blocked: list[Step] = []
    for start in range(0, LOOKED_AT, _PIECE):
        rows = list(to_do[start : start + _PIECE])
        open_steps = _not_done({row.serial for row in rows})
        for step in rows:
            waits = any((step.serial, before) in open_steps for before in json.loads(step.after))
            (blocked if waits else ready).append(step)
        if len(ready) >= most or len(rows) < _PIECE:
            break
    shown = [*ready[:most], *blocked[: max(0, most - len(ready))]]
    return shown, frozenset((step.serial, step.position) for step in shown if step in blocked)


def _not_done(serials: set[str]) -> set[tuple[str, int]]:
    rows = Step.objects.filter(serial__in=list(serials)).exclude(state="done").values_list("serial", "position")
    return set(rows)
