"""Order lines that nobody released yet, by van: tick, release once, see what came of it."""

from __future__ import annotations

import re
from itertools import groupby

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from bedsite.longwork import releasing
from bedsite.longwork.releasing import Line
from bedsite.records import ledger, people
from bedsite.records import release as room
from bedsite.records.events import payload_of
from bedsite.records.models import Event
from bedsite.records.payloads import Release
from bedwright.errors import BedwrightError, Fault, FaultsFound
from bedwright.reckoning import Reckoning

SENDER = re.compile(r"[0-9A-Za-z-]{16,48}")
LATELY = 40
"""Works orders shown of those released before."""
REFUSED = 422


def release(request: HttpRequest) -> HttpResponse:
    """The list, and on POST the release of the lines that were ticked; the same token again releases nothing more."""
    if request.method != "POST":
        return _page(request)
    sender = request.POST.get("sender", "")
    if not SENDER.fullmatch(sender):
        return _page(request, ["This form has no id that could be one; load the page again."])
    ticked = request.POST.getlist("line")
    try:
        if not room.released_by(sender):  # sent a second time: shown again, reckoned no more
            reckoning = Reckoning(ledger.read_works())
            rows = releasing.to_release(reckoning, _ticked(releasing.lines_to_release(reckoning), ticked))
            room.release(rows, revision=reckoning.works.about.revision, who=request.person.key, sender=sender)
    except FaultsFound as error:
        return _page(request, [str(fault) for fault in error.faults], ticked)
    except BedwrightError as error:
        return _page(request, [str(error)], ticked)
    return HttpResponseRedirect(f"{reverse('office:release')}?released={sender}", status=303)


def _ticked(lines: tuple[Line, ...], ticked: list[str]) -> tuple[Line, ...]:
    there = {line.key: line for line in lines}
    wanted = list(dict.fromkeys(ticked))
    if not wanted:
        raise FaultsFound([Fault("no line is ticked", "tick those that are to be made")])
    gone = [key for key in wanted if key not in there]
    if gone:
        raise FaultsFound(
            Fault(f"line {key[:40]} (line, order) has nothing to release any more", "look at the list again")
            for key in gone
        )
    return tuple(there[key] for key in wanted)


def _page(request: HttpRequest, faults: list[str] | None = None, ticked: list[str] | None = None) -> HttpResponse:
    lines: tuple[Line, ...] = ()
    notes: tuple[str, ...] = ()
    told = list(faults or [])
    try:
        reckoning = Reckoning(ledger.read_works())
        lines, notes = releasing.lines_to_release(reckoning), releasing.notes(reckoning.works)
    except BedwrightError as error:
        told += [line for line in str(error).splitlines() if line not in told]
    vans = [(day, van, list(rows)) for (day, van), rows in groupby(lines, key=lambda line: (line.day, line.van_round))]
    asked = request.GET.get("released", "")
    shown = {
        "vans": vans,
        "notes": notes,
        "faults": told,
        "ticked": set(ticked or ()),
        "sender": people.new_key(),
        "made": [_made(one) for one in room.released_by(asked)] if SENDER.fullmatch(asked) else [],
        "before": _before(),
    }
    return render(request, "office/release/release.html", shown, status=REFUSED if faults else 200)


def _before() -> list[dict[str, object]]:
    found = []
    for event in Event.objects.filter(type=Release.TYPE).order_by("-seq")[:LATELY]:
        payload = payload_of(event)
        assert isinstance(payload, Release)
        found.append(_made(payload))
    return found


def _made(one: Release) -> dict[str, object]:
    runs = [
        (run.id, run.beds, run.serials[0] if len(run.serials) == 1 else f"{run.serials[0]} to {run.serials[-1]}")
        for run in one.runs
    ]
    return {"payload": one, "runs": runs, "first": one.runs[0].serials[0]}
