"""People and rights: who may come in, with which roles, badge and PIN. For the owner."""

from __future__ import annotations

from collections.abc import Callable

import segno
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from bedsite.doors import notes, people_acts, rights, unlock
from bedsite.doors.forms import NewPerson, NewPin, Roles
from bedsite.doors.policy import address_of
from bedsite.records.models import Person
from bedwright.errors import BedwrightError, FaultsFound
from bedwright.papers.drawings.code128 import code128


def people(request: HttpRequest) -> HttpResponse:
    """Everybody, with roles."""
    return render(request, "doors/people.html", {"people": people_acts.everybody()})


def new(request: HttpRequest) -> HttpResponse:
    """Somebody new; then the person's own page, where a link, a badge or a PIN is made."""
    form = NewPerson(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        try:
            person = people_acts.new_person(given["name"], given["sign_in"], given["roles"])
        except FaultsFound as refused:
            form.take(refused)
        else:
            _note(request, "person made", person, person.roles)
            return redirect("doors:person", key=person.key)
    return render(request, "doors/new_person.html", _told(form), status=422 if form.errors else 200)


def person(request: HttpRequest, key: str) -> HttpResponse:
    """One person: roles, badge, PIN, link, shutting out, erasing."""
    return _page(request, _person(key))


def roles(request: HttpRequest, key: str) -> HttpResponse:
    """Give these roles and no others."""
    found, form = _person(key), Roles(request.POST)
    if not form.is_valid():
        return _page(request, found, 422, roles_form=form)
    return _act(request, found, lambda: people_acts.set_roles(found, form.cleaned_data["roles"]), "roles given")


def shut_out(request: HttpRequest, key: str) -> HttpResponse:
    """Shut somebody out."""
    found = _person(key)
    return _act(request, found, lambda: people_acts.shut_out(found), "shut out")


def let_in(request: HttpRequest, key: str) -> HttpResponse:
    """Let somebody in again."""
    found = _person(key)
    return _act(request, found, lambda: people_acts.let_in(found), "let in")


def erase(request: HttpRequest, key: str) -> HttpResponse:
    """Ask, then blank whatever names the person."""
    found = _person(key)
    if request.method != "POST":
        return render(request, "doors/erase.html", {"one": found})
    try:
        people_acts.erase(found)
    except BedwrightError as refused:
        return _page(request, _person(key), 422, refused=str(refused))
    _note(request, "erased", found)
    return redirect("doors:people")


def badge(request: HttpRequest, key: str) -> HttpResponse:
    """A new badge, shown this once."""
    found = _person(key)
    code = people_acts.new_badge(found)
    _note(request, "badge made", found)
    spaced = "-".join(code[place : place + 4] for place in range(0, len(code), 4))
    told = {"one": found, "spaced": spaced, "bars": mark_safe(str(code128(code, 70, 14))), "square": _square(code)}
    return render(request, "doors/badge.html", told)


def pin(request: HttpRequest, key: str) -> HttpResponse:
    """A new PIN, as the owner and the person agreed."""
    found, form = _person(key), NewPin(request.POST)
    if not form.is_valid():
        return _page(request, found, 422, pin_form=form)
    return _act(request, found, lambda: unlock.set_pin(found, form.cleaned_data["pin"]), "PIN set")


def link(request: HttpRequest, key: str) -> HttpResponse:
    """A link by which the person sets a password, shown this once."""
    found = _person(key)
    if found.sign_in.startswith("-") or not found.active:
        return _page(request, found, 422, refused="Without a sign-in name, or shut out: no password to set.")
    secret = people_acts.password_link(found)
    _note(request, "password link made", found)
    told = {
        "title": f"A link for {found.name}",
        "link": request.build_absolute_uri(reverse("doors:password", args=(secret,))),
        "says": "It sets a new password, works once, and ends after 24 hours. It is shown only now.",
        "back": reverse("doors:person", args=(found.key,)),
    }
    return render(request, "doors/link.html", told)


def _person(key: str) -> Person:
    found = Person.objects.filter(key=key, erased=False).exclude(sign_in="-command-line-").first()
    if found is None:
        raise Http404("There is no such person, or the name was erased.")
    return found


def _page(request: HttpRequest, found: Person, status: int = 200, **more: object) -> HttpResponse:
    told = {"one": found, "pin_form": NewPin(), "refused": "", **_told(None, found.held_roles), **more}
    told["signs_in"] = not found.sign_in.startswith("-")
    return render(request, "doors/person.html", told, status=status)


def _told(form: NewPerson | None, held: frozenset[str] = frozenset()) -> dict[str, object]:
    if form is not None and form.is_bound:
        held = frozenset(form.data.getlist("roles"))
    return {"form": form, "role_boxes": [(role, rights.MEANING[role], role in held) for role in rights.ROLES]}


def _act(request: HttpRequest, found: Person, act: Callable[[], None], what: str) -> HttpResponse:
    try:
        act()
    except BedwrightError as refused:
        return _page(request, _person(found.key), 422, refused=str(refused))
    _note(request, what, found, found.roles if what == "roles given" else "")
    return redirect("doors:person", key=found.key)


def _note(request: HttpRequest, what: str, found: Person, says: str = "") -> None:
    told = f"to {found.key}" + (f": {says}" if says else "")
    page = request.resolver_match.view_name
    notes.note(what, person=request.person.key, address=address_of(request), page=page, says=told)


def _square(code: str) -> SafeString:
    drawn = segno.make_qr(code, error="m").svg_inline(
        scale=4, border=4, dark="#000", light="#fff", svgclass=None, lineclass=None, title="QR code", omitsize=False
    )
    return mark_safe(drawn)
