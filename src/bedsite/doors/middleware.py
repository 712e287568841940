"""Rights: who asks, from which tablet, and whether the one table lets them.

Sets `request.person` (Person or None), `request.roles` (frozenset of role words) and `request.device` (Device or None),
then looks every page up in rights.TABLE. What has no row is refused to everybody. It stands before the form token is
checked, so that a stranger's upload is refused unread.
"""

from __future__ import annotations

import logging
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils import timezone

from bedsite.doors import devices, errors, notes, rights, sessions
from bedsite.doors.policy import Answer, address_of
from bedsite.records import ledger
from bedsite.records.troubles import NotKept, sentence

VERBS = ("GET", "HEAD", "POST")


class Rights:
    """See the module."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.person, request.roles, request.device = None, frozenset(), None
        if request.method not in VERBS:
            return _refuse_verb(request)
        request.person = sessions.person_of(request)
        request.roles = request.person.held_roles if request.person else frozenset()
        request.device = devices.device_of(request)
        response = self.get_response(request)
        if response.status_code == 405 and not response.content:  # a page's own refusal, which has no words
            worded = _refuse_verb(request)
            worded.headers["Allow"] = response.headers.get("Allow", worded.headers["Allow"])
            return worded
        return response

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        """What went wrong below the ledger (disk full, locked, database gone) is told; all else is a fault of ours."""
        says = str(exception) if isinstance(exception, NotKept) else sentence(exception)
        if not says:
            return None
        logging.getLogger("bedsite.below").error("%s: %s", request.resolver_match.view_name, says)
        return errors.page(request, 503, f"The ledger did not take or give what was asked: {says}.", "Then try again.")

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> HttpResponse | None:
        """None where the page may be called; else the refusal."""
        page, verb = request.resolver_match.view_name, str(request.method)
        allowed = rights.who_may(page, verb)
        if allowed is None:
            return _no_row(request, page)
        if may(allowed, request.roles, request.device is not None):
            timezone.activate(ledger.zone())  # moments are shown in the works' own time
            return None
        if request.person is None:
            return _stranger(request)
        notes.note(
            "refused", person=request.person.key, address=address_of(request), page=page, says=f"{verb} by a wrong role"
        )
        return errors.page(
            request,
            403,
            f"This page is for {_words(allowed)}; you are {_words(request.roles) or 'without a role'}.",
            "Ask the owner of this works for the role that may.",
        )


def may(allowed: frozenset[str], roles: frozenset[str], device: bool) -> bool:
    """Whether a row of the table lets somebody with these roles, or on a tablet that was let in."""
    return bool("anybody" in allowed or allowed & roles or (device and "device" in allowed))


def _no_row(request: HttpRequest, page: str) -> HttpResponse:
    if any(rights.who_may(page, verb) is not None for verb in ("GET", "POST")):
        return _refuse_verb(request, page)
    return errors.page(request, 403, "Nobody was given the right to this page yet, so it is closed.")


def _refuse_verb(request: HttpRequest, page: str = "") -> HttpResponse:
    response = errors.page(request, 405, "This address does not take such a request.", "Go there by a link or a form.")
    known = [verb for verb in ("GET", "POST") if not page or rights.who_may(page, verb) is not None]
    response.headers["Allow"] = ", ".join([*known, *(["HEAD"] if "GET" in known else [])])
    return response


def _stranger(request: HttpRequest) -> HttpResponse:
    if request.method == "POST":
        return errors.page(request, 403, "You are not signed in, or no longer; nothing was done.", "Sign in.")
    query = urlencode({"next": request.get_full_path()}) if request.path != "/" else ""
    to = reverse("doors:sign-in") + (f"?{query}" if query else "")
    if request.headers.get("HX-Request"):
        response = HttpResponse(status=403)
        response.headers["HX-Redirect"] = to
        return response
    return HttpResponseRedirect(to)


def _words(roles: frozenset[str]) -> str:
    told: list[str] = [role for role in rights.ROLES if role in roles]
    if "device" in roles:
        told.append("a tablet that was let in")
    return " or ".join(told) if len(told) < 3 else ", ".join(told[:-1]) + " or " + told[-1]
