"""What a station shows, as plain texts: the page is drawn from it, by the server and again by its script."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date, datetime
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo

from bedsite.records import cards, ledger, people
from bedsite.records.at_place import AtPlace, at_place
from bedsite.records.events import of_subject, standing
from bedsite.records.models import Head, Released, Step
from bedsite.records.payloads import Booking
from bedwright.errors import BedwrightError
from bedwright.identity import fold
from bedwright.papers.cautions import CAUTIONS, cautions
from bedwright.papers.figures import DAYS, MONTHS, size_words
from bedwright.works.beds import Bed, Size
from bedwright.works.making import Route, WorkPlace

HURT = "somebody hurt, or nearly"
TROUBLES = (HURT, "no material", "wrong part", "machine down", "quality", "help lifting", "other")
"""The words of trouble, to choose from by touch."""
NEXT_SHOWN, DONE_SHOWN = 8, 4

Plain = dict[str, Any]


def work_place(code: str) -> WorkPlace | None:
    """The card of a work place by its code, whatever its case; None where none is in use."""
    head = Head.objects.filter(kind=WorkPlace.KIND, folded=fold(code), gone=False).first()
    card = cards.card_in(head) if head is not None else None
    return card if isinstance(card, WorkPlace) else None


def work_places() -> list[WorkPlace]:
    """Every work place in use, by code."""
    found = [cards.card_in(head) for head in cards.heads(WorkPlace.KIND)]
    return [card for card in found if isinstance(card, WorkPlace)]


def station(place: WorkPlace, hand: str) -> Plain:
    """Everything that the station of a place shows. hand: key of its device, "" where nobody works at this page."""
    found = at_place(place.code, NEXT_SHOWN)
    steps = [*found.next, *found.in_work, *found.trouble, *found.done[:DONE_SHOWN]]
    facts = _facts({step.serial for step in steps})
    names = people.names({step.who for step in steps if step.who})
    waits = _waits(found)
    row = partial(_row, hand=hand, facts=facts, names=names, waits=waits, zone=ledger.zone())
    return {
        "place": place.code,
        "name": place.name or place.code.lower(),
        "cautions": [one.plain() for one in cautions(caution_keys(place))],
        "next": [row(step) for step in found.next],
        "mine": [row(step) for step in found.in_work if hand and step.device == hand],
        "others": [row(step) for step in found.in_work if not hand or step.device != hand],
        "trouble": [row(step) | {"says": _trouble(step)} for step in found.trouble],
        "done": [row(step) for step in found.done[:DONE_SHOWN]],
        "left": found.left,
        "day": _day(found.day),
    }


def _trouble(step: Step) -> str:
    """Which trouble a bed is in, as it was said last of this step."""
    said = [
        one
        for one in standing(of_subject(step.serial))
        if isinstance(one.payload, Booking)
        and one.payload.act == "trouble"
        and one.payload.position in (None, step.position)
        and fold(one.payload.place) == step.place
    ]
    last = max(said, key=lambda one: (one.event.said, one.event.seq), default=None)
    return last.payload.says if last is not None and isinstance(last.payload, Booking) else ""


def caution_keys(place: WorkPlace) -> tuple[str, ...]:
    """Keys of the cautions that stand at a place: its own, and those of single steps that are done here."""
    found = [place.caution]
    for head in cards.heads(Route.KIND):
        route = cards.card_in(head)
        if isinstance(route, Route):
            found += [step.caution or "none" for step in route.steps if fold(step.work_place) == fold(place.code)]
    return tuple(dict.fromkeys(key for key in found if key in CAUTIONS))


def _waits(found: AtPlace) -> dict[tuple[str, int], list[str]]:
    """(serial, position) of what waits -> operations that are not booked as done before it."""
    waiting = [step for step in found.next if (step.serial, step.position) in found.waiting_for]
    before = Step.objects.filter(serial__in=[step.serial for step in waiting]).exclude(state="done")
    names = {(step.serial, step.position): step.operation for step in before.order_by("position")}
    return {
        (step.serial, step.position): [
            names[step.serial, place] for place in json.loads(step.after) if (step.serial, place) in names
        ]
        for step in waiting
    }


def _row(
    step: Step,
    *,
    hand: str,
    facts: dict[str, Plain],
    names: dict[str, str],
    waits: dict[tuple[str, int], list[str]],
    zone: ZoneInfo,
) -> Plain:
    return {
        **facts.get(step.serial, {"bed": step.serial, "size": "", "run": step.run, "place_in_run": ""}),
        "serial": step.serial,
        "position": step.position,
        "operation": step.operation,
        "day": _day(step.due),
        "who": names.get(step.who, ""),
        "mine": bool(hand) and step.device == hand,
        "started": _clock(step.started, zone),
        "done": _clock(step.done, zone),
        "waits": waits.get((step.serial, step.position), []),
    }


def _facts(serials: set[str]) -> dict[str, Plain]:
    """Serial -> name of the bed, size in words, run, place in the run."""
    rows = list(Released.objects.filter(pk__in=serials))
    runs = {run.id: json.loads(run.facts) for run in Released.objects.filter(pk__in={row.of for row in rows})}
    told = [(row, json.loads(row.facts)) for row in rows]
    beds = _names(Bed.KIND, {facts["bed"] for _, facts in told})
    sizes = _names(Size.KIND, {facts["size"] for _, facts in told})
    return {
        row.id: {
            "bed": beds.get(fold(facts["bed"]), facts["bed"]),
            "size": sizes.get(fold(facts["size"]), facts["size"]),
            "run": row.of,
            "place_in_run": f"bed {row.number} of {runs.get(row.of, {}).get('beds', '?')}",
        }
        for row, facts in told
    }


def _names(kind: str, codes: Iterable[str]) -> dict[str, str]:
    """Folded code -> what people call it: a bed's name, a size in words; out of use or not."""
    found = {}
    for head in Head.objects.filter(kind=kind, folded__in={fold(code) for code in codes}):
        try:
            card = cards.card_in(head)
        except BedwrightError:  # a station goes on showing the code of a card that can no longer be read
            continue
        found[head.folded] = size_words(card.width, card.length) if isinstance(card, Size) else card.name or card.code
    return found


def _day(day: date | None) -> str:
    return f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}" if day is not None else ""


def _clock(at: datetime | None, zone: ZoneInfo) -> str:
    return at.astimezone(zone).strftime("%H:%M") if at is not None else ""
