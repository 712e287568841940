"""A page for every error, in plain words: what is wrong, what would do."""

from __future__ import annotations

import logging
from http import HTTPStatus
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.views.decorators.csrf import requires_csrf_token

TITLES = {
    400: "Not understood",
    403: "Not for you",
    404: "Not here",
    405: "Not done this way",
    411: "How long is it?",
    413: "Too large",
    429: "Wait a little",
    500: "This went wrong here",
    503: "The ledger cannot do it now",
}
_BARE = (
    '<!doctype html><html lang="en-GB"><head><meta charset="utf-8"><title>bedwright</title></head>'
    "<body><h1>This went wrong here</h1><p>The fault is ours, not yours. What was saved before is safe; try again.</p>"
    '<p><a href="/">Back to the first page</a></p></body></html>'
)


def page(request: HttpRequest, status: int, says: str, remedy: str = "") -> HttpResponse:
    """An error as a sheet of paper. says: what is wrong; remedy: what would do."""
    told = {"title": TITLES.get(status) or HTTPStatus(status).phrase, "status": status, "says": says, "remedy": remedy}
    return HttpResponse(render_to_string("parts/error.html", told, request), status=status)


def bad_request(request: HttpRequest, exception: Any = None) -> HttpResponse:
    """400: the request itself is no good (a host that is not served, too many fields)."""
    return page(request, 400, "This request was not understood.", "Go back and try again with less in the form.")


def forbidden(request: HttpRequest, exception: Any = None) -> HttpResponse:
    """403: raised as PermissionDenied by a page; its text is the sentence where it has one."""
    says = str(exception or "") or "This is not among what your roles may do."
    return page(request, 403, says, "Ask the owner of this works for the role that may.")


def not_found(request: HttpRequest, exception: Any = None) -> HttpResponse:
    """404: no such address, or no such thing; a page's own sentence where it gave one."""
    text = exception.args[0] if exception is not None and exception.args else ""
    says = text if isinstance(text, str) and text else "There is nothing at this address."
    return page(request, 404, says, "Look for it from the first page.")


def server_error(request: HttpRequest) -> HttpResponse:
    """500: ours. Drawn without asking the ledger anything, for that may be what failed."""
    try:
        told = {
            "title": TITLES[500],
            "status": 500,
            "says": "The fault is ours, not yours. What was saved before is safe.",
            "remedy": "Try again; if it comes back, tell whoever looks after this server the time it happened.",
        }
        return HttpResponse(render_to_string("parts/error.html", told), status=500)
    except Exception:  # whatever it is, somebody waits for an answer; the log says what it was
        logging.getLogger("bedsite.errors").exception("the page of an error could not be drawn")
        return HttpResponse(_BARE, status=500)


@requires_csrf_token
def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """403: a form that was not made for this browser's session, or whose session is over."""
    return page(
        request,
        403,
        "This form was not made for your session, or the session is over; nothing was done.",
        "Go back, load the page again and send it once more. Cookies must be allowed.",
    )
