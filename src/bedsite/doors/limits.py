"""How much one request may bring: refused by its stated length before a byte of it is read.

A request that does not state its length (sent in chunks) is refused too: Django reads none of such a body, so it would
be taken for an empty form. What is read is never more than the stated length.
"""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse

from bedsite.doors import errors
from bedsite.doors.policy import Answer

PLAIN = 1024 * 1024
LARGER = {"office:import": 40 * 1024 * 1024}
"""Pages that take files [bytes]."""


class Limits:
    """Answers 413 to what is too large for its page, 411 to what does not say how large it is."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.META.get("HTTP_TRANSFER_ENCODING") and not request.META.get("CONTENT_LENGTH"):
            return errors.page(request, 411, says="This request does not say how long it is, so it was not read.")
        if _stated(request) > max(LARGER.values()):
            return _too_large(request, max(LARGER.values()))
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> HttpResponse | None:
        """Before anybody reads the body: the limit of this page."""
        most = LARGER.get(request.resolver_match.view_name, PLAIN)
        return _too_large(request, most) if _stated(request) > most else None


def _stated(request: HttpRequest) -> int:
    text = str(request.META.get("CONTENT_LENGTH") or "0").strip()
    return int(text) if text.isascii() and text.isdigit() and len(text) < 20 else 0


def _too_large(request: HttpRequest, most: int) -> HttpResponse:
    found, limit = _stated(request) / 1024 / 1024, most / 1024 / 1024
    return errors.page(
        request,
        413,
        says=f"This is {found:.1f} MB; this page takes {limit:.0f} MB at most.",
        remedy="Send less at once, or a smaller file.",
    )
