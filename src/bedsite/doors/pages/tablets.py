"""Tablets of the floor: made for a work place, let in by a link, shut out. For the owner."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from bedsite.doors import devices, notes, one_time
from bedsite.doors.forms import NewDevice
from bedsite.doors.policy import address_of
from bedsite.records.models import Device, Head


def tablets(request: HttpRequest) -> HttpResponse:
    """All tablets, and a form for a new one."""
    return _page(request, NewDevice(places=_places()))


def new(request: HttpRequest) -> HttpResponse:
    """A new tablet, and at once the link that lets it in."""
    form = NewDevice(request.POST, places=_places())
    if not form.is_valid():
        return _page(request, form, 422)
    device = devices.new_device(form.cleaned_data["name"], form.cleaned_data["place"])
    _note(request, "tablet made", device)
    return _link(request, device)


def link(request: HttpRequest, key: str) -> HttpResponse:
    """Another link for a tablet whose browser forgot it; once used, the cookie before counts no longer."""
    device = _device(key)
    if not device.active:
        raise Http404("This tablet was shut out; make a new one.")
    _note(request, "tablet link made", device)
    return _link(request, device)


def shut_out(request: HttpRequest, key: str) -> HttpResponse:
    """Shut a tablet out."""
    device = _device(key)
    devices.shut_out(device)
    _note(request, "tablet shut out", device)
    return redirect("doors:devices")


def _link(request: HttpRequest, device: Device) -> HttpResponse:
    secret = one_time.make("device", device.key)
    told = {
        "title": f"A link for {device.name}",
        "link": request.build_absolute_uri(reverse("doors:tablet", args=(secret,))),
        "says": "Open it on the tablet. It works once and ends after 15 minutes. It is shown only now.",
        "back": reverse("doors:devices"),
    }
    return render(request, "doors/link.html", told)


def _page(request: HttpRequest, form: NewDevice, status: int = 200) -> HttpResponse:
    named = dict(_places())
    devices_now = Device.objects.order_by("-active", "name", "pk")
    rows = [(device, named.get(device.place, device.place)) for device in devices_now]
    return render(request, "doors/tablets.html", {"rows": rows, "form": form, "places": bool(named)}, status=status)


def _places() -> list[tuple[str, str]]:
    """Folded code and code of every work place in use."""
    rows = Head.objects.filter(kind="work place", gone=False).order_by("folded")
    return [(row.folded, row.code) for row in rows]


def _device(key: str) -> Device:
    found = Device.objects.filter(key=key).first()
    if found is None:
        raise Http404("There is no such tablet.")
    return found


def _note(request: HttpRequest, what: str, device: Device) -> None:
    page = request.resolver_match.view_name
    notes.note(what, person=request.person.key, device=device.key, address=address_of(request), page=page)
