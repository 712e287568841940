"""My account: who I am here, my password, my PIN."""

from __future__ import annotations

from django.contrib.auth.hashers import check_password
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from bedsite.doors import clock, errors, guesses, notes, people_acts, sessions, unlock
from bedsite.doors.forms import OwnPassword, OwnPin
from bedsite.doors.policy import address_of
from bedwright.errors import BedwrightError, FaultsFound


def me(request: HttpRequest) -> HttpResponse:
    """The account, with its two forms."""
    return _page(request)


def _page(request: HttpRequest, status: int = 200, **forms: object) -> HttpResponse:
    told = {"password_form": OwnPassword(), "pin_form": OwnPin(prefix="p"), **forms}
    told["done"] = request.GET.get("done", "")
    return render(request, "doors/me.html", told, status=status)


def password(request: HttpRequest) -> HttpResponse:
    """Change one's own password: every other session ends."""
    form = OwnPassword(request.POST)
    if not form.is_valid():
        return _page(request, 422, password_form=form)
    waits = _wrong_before(request, form)
    if waits is not None:
        return waits
    if form.errors:
        return _page(request, 422, password_form=form)
    try:
        people_acts.check_password(form.cleaned_data["password"], request.person)
    except FaultsFound as refused:
        form.take(refused)
        return _page(request, 422, password_form=form)
    request.person.set_password(form.cleaned_data["password"])
    request.person.save(update_fields=["password"])
    sessions.keep_this(request, request.person)
    notes.note("password changed", person=request.person.key, address=address_of(request), page="doors:my-password")
    return _done("password")


def pin(request: HttpRequest) -> HttpResponse:
    """Set one's own PIN."""
    form = OwnPin(request.POST, prefix="p")
    if not form.is_valid():
        return _page(request, 422, pin_form=form)
    waits = _wrong_before(request, form)
    if waits is not None:
        return waits
    if not form.errors:
        try:
            unlock.set_pin(request.person, form.cleaned_data["pin"])
        except BedwrightError as refused:
            form.add_error("pin", str(refused))
    if form.errors:
        return _page(request, 422, pin_form=form)
    notes.note("PIN changed", person=request.person.key, address=address_of(request), page="doors:my-pin")
    return _done("pin")


def _wrong_before(request: HttpRequest, form: OwnPassword | OwnPin) -> HttpResponse | None:
    """Ask the password once more before a secret is changed; a fault in the form, or the page that says to wait."""
    subjects = [guesses.by_person(request.person.key)]
    try:
        guesses.begin(subjects, clock.now())
    except guesses.Wait as wait:
        return errors.page(request, 429, str(wait))
    if check_password(form.cleaned_data["before"], request.person.password):
        guesses.clear(subjects)
        return None
    notes.note("wrong password", person=request.person.key, address=address_of(request), page="doors:me")
    form.add_error("before", "is not your password")
    return None


def _done(what: str) -> HttpResponse:
    response = redirect("doors:me")
    response.headers["Location"] += f"?done={what}"
    return response
