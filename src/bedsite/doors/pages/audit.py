"""The audit of the doors: who came in, who was refused, who changed what rights; newest first. For the owner."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from bedsite.records.models import Device, DoorNote
from bedsite.records.people import names

A_PAGE = 50


def audit(request: HttpRequest) -> HttpResponse:
    """A page of notes; `before` is the number of the note that the page before ended with."""
    rows = DoorNote.objects.order_by("-pk")
    before = request.GET.get("before", "")
    if before.isascii() and before.isdigit() and len(before) < 19:
        rows = rows.filter(pk__lt=int(before))
    found = list(rows[: A_PAGE + 1])
    more = len(found) > A_PAGE
    found = found[:A_PAGE]
    people = names({row.person for row in found} | {row.says[3:35] for row in found if row.says.startswith("to ")})
    tablets = {device.key: device.name for device in Device.objects.filter(key__in={row.device for row in found})}
    told = [_words(row, people, tablets) for row in found]
    return render(request, "doors/audit.html", {"rows": told, "older": found[-1].pk if more else None})


def _words(row: DoorNote, people: dict[str, str], tablets: dict[str, str]) -> dict[str, object]:
    says = row.says
    if says.startswith("to "):
        says = f"to {people.get(says[3:35], 'somebody')}{says[35:]}"
    return {
        "at": row.at,
        "what": row.what,
        "who": people.get(row.person, ""),
        "tablet": tablets.get(row.device, ""),
        "address": row.address,
        "page": row.page.rpartition(":")[2].replace("-", " "),
        "says": says,
    }
