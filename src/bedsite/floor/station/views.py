"""Addresses of the floor: the station of a tablet, a look at any of them, acts, unlocking and locking.

Acts come as JSON from the page's script, or as a form where there is none; both are judged the same.
"""

from __future__ import annotations

import json
import re
import secrets
from pathlib import Path
from typing import Any

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import redirect, render
from django.templatetags.static import static
from django.urls import reverse

from bedsite.doors import guesses, unlock
from bedsite.doors.policy import address_of
from bedsite.floor.station import acts, showing
from bedsite.records.chain import now
from bedsite.records.models import Device, Person, Unlock
from bedwright.works.making import WorkPlace

SAID = "floor_said"
"""What the next page of a tablet without script says, kept in its session."""
_KEEPER = Path(__file__).with_name("keeper.js")


def stations(request: HttpRequest) -> HttpResponse:
    """All work places, for a look; a tablet goes to its own."""
    if request.device is not None and request.person is None:
        return redirect("floor:station")
    rows = []
    for place in showing.work_places():
        shown = showing.station(place, "")
        rows.append((place, shown))
    return render(request, "floor/station/stations.html", {"rows": rows})


def look(request: HttpRequest, place: str) -> HttpResponse:
    """A work place as its station shows it, without its buttons."""
    card = showing.work_place(place)
    if card is None:
        raise Http404(f"There is no work place {place!r}.")
    shown = showing.station(card, "")
    lists = [
        (title, shown[name])
        for title, name in (("In work", "others"), ("In trouble", "trouble"), ("Next", "next"), ("Done last", "done"))
    ]
    stories = bool(request.roles & {"owner", "planner"})
    return render(request, "floor/station/look.html", {"shown": shown, "lists": lists, "stories": stories})


def station(request: HttpRequest) -> HttpResponse:
    """The station of this tablet."""
    card = _place(request.device)
    shown = _state(request, card)
    mine, following = shown["mine"], shown["next"]
    undo = next((row for row in [*mine, *shown["done"]] if row["mine"]), None)
    for row in shown["trouble"]:
        row["fresh_id"] = secrets.token_hex(16)
    told = {
        "shown": shown | {"after": following[1:4]},
        "about": (mine or following or [None])[0],
        "undo": undo,
        "no_mine": not mine,
        "no_next": not following,
        "no_undo": undo is None,
        "state": json.dumps(shown),
        "said": request.session.pop(SAID, None) if settings.SESSION_COOKIE_NAME in request.COOKIES else None,
        "troubles": showing.TROUBLES,
        "people": unlock.who_may_unlock(),
        "idle": settings.BEDWRIGHT_FLOOR_IDLE_MINUTES,
        "ids": [secrets.token_hex(16) for _ in range(5)],
        "device": request.device,
    }
    return render(request, "floor/station/station.html", told)


def state(request: HttpRequest) -> HttpResponse:
    """What the station shows now, for its script; a fresh form token with it."""
    return JsonResponse(_state(request, _place(request.device)) | {"token": get_token(request)})


def take(request: HttpRequest) -> HttpResponse:
    """One act."""
    card = _place(request.device)
    told, plain = _told(request)
    if told is None:
        answer = acts.Answer("refused", "This act could not be read; load the page again.")
    else:
        if not told.get("unlock"):
            told["unlock"] = request.COOKIES.get(_cookie(), "")
        answer = acts.take(told, request.device, card.code)
    if plain:
        return _back(request, answer.says, answer.notes, answer.state == "refused")
    shown = _state(request, card)
    return JsonResponse({"state": answer.state, "says": answer.says, "notes": answer.notes, "shown": shown})


def open_(request: HttpRequest) -> HttpResponse:
    """Unlock the tablet by a badge, or by name and PIN; whoever had it before is locked out by it."""
    told, plain = _told(request)
    badge, pin, key = (_text((told or {}).get(name)) for name in ("badge", "pin", "person"))
    try:
        made = unlock.unlock(request.device, badge=badge, pin=pin, name_key=key, address=address_of(request))
    except (unlock.Locked, guesses.Wait) as error:
        if plain:
            return _back(request, str(error), (), True)
        return JsonResponse({"state": "refused", "says": str(error)})
    before = request.COOKIES.get(_cookie(), "")
    if before:
        unlock.lock(before, request.device)
    person = Person.objects.get(key=made.person)
    says = f"{person.name or 'no name'} is at work here."
    response = _back(request, says, (), False) if plain else JsonResponse(
        {"state": "open", "unlock": made.id, "name": person.name, "says": says, "shown": _state(request)}
    )  # fmt: skip
    response.set_cookie(
        _cookie(), made.id, secure=settings.SESSION_COOKIE_SECURE, httponly=True, samesite="Strict"
    )  # until the browser closes
    return response


def lock(request: HttpRequest) -> HttpResponse:
    """Lock the tablet; what was said before counts all the same."""
    told, plain = _told(request)
    for id_ in {str((told or {}).get("unlock") or "")[:64], request.COOKIES.get(_cookie(), "")} - {""}:
        unlock.lock(id_, request.device)
    response = redirect("floor:station") if plain else JsonResponse({"state": "locked"})
    response.delete_cookie(_cookie(), samesite="Strict")
    return response


def keeper(request: HttpRequest) -> HttpResponse:
    """The script that keeps the station's page while the network is gone; here, so that it may speak for all of it."""
    files = [
        static("floor/kept.js"),
        static("floor/shown.js"),
        static("floor/station.js"),
        static("floor/station.css"),
        static("parts/bedwright.css"),
    ]
    begins = f"const FILES = {json.dumps(files)};\nconst PAGE = {json.dumps(reverse('floor:station'))};\n"
    return HttpResponse(begins + _KEEPER.read_text(encoding="utf-8"), content_type="text/javascript; charset=utf-8")


def _place(device: Device) -> WorkPlace:
    card = showing.work_place(device.place)
    if card is None:
        raise Http404(f"The work place {device.place!r} of this tablet is no longer in use; ask the owner.")
    return card


def _state(request: HttpRequest, card: WorkPlace | None = None) -> dict[str, Any]:
    person = _person(request)
    return showing.station(card or _place(request.device), request.device.key) | {
        "person": person.name if person is not None else "", "moment": now().isoformat(),
    }  # fmt: skip


def _person(request: HttpRequest) -> Person | None:
    """Who has this tablet unlocked now, as its cookie says; for showing, and never for booking."""
    id_ = request.COOKIES.get(_cookie(), "")
    row = Unlock.objects.filter(id=id_, device=request.device.key, ended=None).first() if id_ else None
    if row is None or (now() - row.last_said).total_seconds() > settings.BEDWRIGHT_FLOOR_IDLE_MINUTES * 60:
        return None
    return Person.objects.filter(key=row.person, active=True).first()


def _text(value: object) -> str:
    """A sent value as text that every engine takes: no NUL, no half of a sign, not long."""
    return str(value or "")[:200].encode("utf-8", "ignore").decode().replace("\0", "")


def _told(request: HttpRequest) -> tuple[dict[str, Any] | None, bool]:
    """What was sent, None where it cannot be read; and whether it came as a form."""
    if request.content_type == "application/json":
        try:
            found = json.loads(request.body)
        except (ValueError, RecursionError):
            return None, False
        return (found if isinstance(found, dict) else None), False
    told: dict[str, Any] = {name: value for name, value in request.POST.items() if name != "csrfmiddlewaretoken"}
    position = str(told.pop("position", ""))
    if re.fullmatch(r"[0-9]{1,5}", position):
        told["position"] = int(position)
    return told, True


def _back(request: HttpRequest, says: str, notes: tuple[str, ...], bad: bool) -> HttpResponseRedirect:
    request.session[SAID] = {"says": says, "notes": list(notes), "bad": bad}
    return HttpResponseRedirect(reverse("floor:station"), status=303)


def _cookie() -> str:
    return str(settings.DEVICE_COOKIE_NAME).replace("device", "unlock")
