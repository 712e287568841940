"""One bed by its serial: steps, bookings, corrections; a wrong booking withdrawn."""

from __future__ import annotations

import json
import re
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from bedsite.records import bookings as room
from bedsite.records import events, people
from bedsite.records.models import Device, Event, Released, Step
from bedsite.records.payloads import Booking, Correction
from bedsite.records.release import find
from bedwright.errors import BedwrightError

_CODE = re.compile(r"[0-9A-Za-z.]{1,24}")
REFUSED = 422


def bookings(request: HttpRequest) -> HttpResponse:
    """The story of the serial asked for; on POST a booking of it withdrawn."""
    if request.method != "POST":
        return _page(request, request.GET.get("serial", ""))
    serial = request.POST.get("serial", "")
    wrong, why = request.POST.get("wrong", ""), " ".join(request.POST.get("why", "").split())
    fault = ""
    if not why:
        fault = "Say why the booking is withdrawn; the story keeps it."
    elif len(why) > 400:
        fault = f"The why has {len(why)} characters; 400 are kept."
    elif not Event.objects.filter(sender=wrong, subject=serial, type=Booking.TYPE).exists():
        fault = f"There is no such booking of bed {serial}; load the page again."
    else:
        try:
            room.correct(wrong, why, None, sender=request.POST.get("sender", ""), who=request.person.key)
        except BedwrightError as error:
            fault = str(error)
    if fault:
        return _page(request, serial, fault)
    return HttpResponseRedirect(f"{reverse('office:bookings')}?{urlencode({'serial': serial})}", status=303)


def _page(request: HttpRequest, asked: str, fault: str = "") -> HttpResponse:
    asked = asked.strip()
    found = find(asked) if _CODE.fullmatch(asked) else None
    if asked and found is None:
        fault = fault or f"{asked[:40]!r} is no serial, run or works order of this works."
    told: dict[str, Any] = {"asked": asked[:40], "fault": fault, "found": found, "sender": people.new_key()}
    if found is not None and found.what == "serial":
        told |= _story(found)
    elif found is not None:
        told["below"] = Released.objects.filter(of=found.id).exclude(what="bundle").order_by("number")[:200]
    status = 404 if asked and found is None else REFUSED if fault else 200
    return render(request, "office/bookings/bookings.html", told, status=status)


def _story(found: Released) -> dict[str, object]:
    steps = list(Step.objects.filter(serial=found.id).order_by("position"))
    said = events.of_subject(found.id)
    corrections = {event.corrects: event for event in said if event.type == Correction.TYPE}
    names = people.names({event.who for event in said} | {step.who for step in steps if step.who})
    devices = {device.key: device.name for device in Device.objects.filter(key__in={event.device for event in said})}
    operations = {step.position: step.operation for step in steps}
    rows = []
    for event in reversed(said):
        body = json.loads(event.body)
        by = corrections.get(event.sender)
        rows.append(
            {
                "event": event,
                "what": _what(event, body, operations),
                "who": names.get(event.who, ""),
                "device": devices.get(event.device, ""),
                "withdrawn": json.loads(by.body)["why"] if by is not None else "",
                "may": event.type == Booking.TYPE and by is None,
            }
        )
    return {
        "facts": json.loads(found.facts),
        "steps": [(step, names.get(step.who, "")) for step in steps],
        "rows": rows,
    }


def _what(event: Event, body: dict[str, object], operations: dict[int, str]) -> str:
    if event.type == Booking.TYPE:
        position = body.get("position")
        step = operations.get(position, "") if isinstance(position, int) else ""
        return ", ".join(str(one) for one in (body["act"], body["place"], step, body["says"]) if one)
    if event.type == Correction.TYPE:
        return f"a booking withdrawn: {body['why']}"
    return event.type
