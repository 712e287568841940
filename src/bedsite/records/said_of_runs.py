"""What was said of beds of runs: trouble that stands, and checks that keep a bed back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from bedsite.records.events import of_subject, standing
from bedsite.records.models import Event, Released, Step
from bedsite.records.payloads import Booking, Check, Correction
from bedwright.identity import fold

MOST_TOLD = 20
"""Beds in trouble whose words are looked up; of any beyond, only the count is shown."""
KEEPS_BACK = ("hold", "rework", "scrap")


def troubles(runs: Iterable[str]) -> dict[str, list[str]]:
    """Run -> "operation: what was said" of its beds in trouble."""
    rows = Step.objects.filter(run__in=list(runs), state="trouble").order_by("due", "rank", "serial", "position")
    found: dict[str, list[str]] = defaultdict(list)
    for step in rows[:MOST_TOLD]:
        said = [
            one.payload
            for one in standing(of_subject(step.serial))
            if isinstance(one.payload, Booking)
            and one.payload.act == "trouble"
            and one.payload.position in (None, step.position)
            and fold(one.payload.place) == step.place
        ]
        told = f"{step.operation}: {said[-1].says}" if said and said[-1].says else step.operation
        if told not in found[step.run]:
            found[step.run].append(told)
    return found


def kept_back(runs: Iterable[str]) -> dict[str, dict[str, int]]:
    """Run -> outcome (hold, rework, scrap) -> beds whose last word of any one check is that."""
    serials = Released.objects.filter(what="serial", of__in=list(runs))
    rows = Event.objects.filter(subject__in=serials.values("id"), type__in=(Check.TYPE, Correction.TYPE))
    last: dict[tuple[str, str], str] = {}
    for one in standing(list(rows.order_by("seq"))):
        if isinstance(one.payload, Check):
            last[one.event.subject, one.payload.check] = one.payload.outcome
    beds: dict[tuple[str, str], None] = {
        (serial, outcome): None for (serial, _), outcome in last.items() if outcome in KEEPS_BACK
    }
    of = dict(serials.filter(id__in={serial for serial, _ in beds}).values_list("id", "of"))
    found: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for serial, outcome in beds:
        found[of[serial]][outcome] += 1
    return found
