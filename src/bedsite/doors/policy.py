"""What every answer says about itself, and whose word on addresses is believed.

Proxy: only the proxy that was named may say who asked (X-Forwarded-For) and by what scheme (X-Forwarded-Proto).
Policy: a strict content policy (nothing inline, nothing from elsewhere), no frames, no sensors, nothing kept in caches
but the files that pages are drawn with. It also answers /health, so that a watcher needs no session.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse

Answer = Callable[[HttpRequest], HttpResponse]
CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
PERMISSIONS = (
    "accelerometer=(), autoplay=(), camera=(), display-capture=(), geolocation=(), gyroscope=(), hid=(), "
    "magnetometer=(), microphone=(), midi=(), payment=(), serial=(), usb=()"
)
FORWARDED = ("HTTP_X_FORWARDED_PROTO", "HTTP_X_FORWARDED_FOR", "HTTP_X_FORWARDED_HOST", "HTTP_X_FORWARDED_PORT")
HEALTH = "/health"


class Proxy:
    """Takes forwarded headers from everybody but the named proxy; sets `request.address`."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        peer = _plain(request.META.get("REMOTE_ADDR", ""))
        address = peer
        if settings.BEDWRIGHT_PROXY and peer == _plain(settings.BEDWRIGHT_PROXY):
            # the last is what the proxy itself saw; all before it is what its caller claims
            address = _plain(request.META.get("HTTP_X_FORWARDED_FOR", "").rpartition(",")[2].strip()) or peer
        else:
            for name in FORWARDED:
                request.META.pop(name, None)
        request.address = address
        return self.get_response(request)


class Policy:
    """Sets the headers that every answer carries."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.path == HEALTH:
            response = HttpResponse("here\n", content_type="text/plain")
        else:
            response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", CONTENT_POLICY)
        response.headers.setdefault("Permissions-Policy", PERMISSIONS)
        response.headers.setdefault("X-Content-Type-Options", "nosniff")
        response.headers.setdefault("Referrer-Policy", settings.SECURE_REFERRER_POLICY)
        response.headers.setdefault("Cross-Origin-Opener-Policy", "same-origin")
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        response.headers.setdefault("X-Frame-Options", "DENY")
        response.headers.setdefault("Cache-Control", "no-store")
        return response


def is_loopback(address: str) -> bool:
    """Whether an address is this machine's own."""
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False


def address_of(request: Any) -> str:
    """Who asked, as far as it may be believed."""
    return str(getattr(request, "address", "") or _plain(request.META.get("REMOTE_ADDR", "")))


def _plain(text: str) -> str:
    """An address without port, zone or brackets; IPv4 within IPv6 as IPv4; "" where it is none."""
    text = text.strip().partition("%")[0]
    if text.startswith("["):
        text = text[1:].partition("]")[0]
    elif text.count(":") == 1:
        text = text.partition(":")[0]
    try:
        found = ipaddress.ip_address(text)
    except ValueError:
        return ""
    if isinstance(found, ipaddress.IPv6Address) and found.ipv4_mapped is not None:
        return str(found.ipv4_mapped)
    return str(found)
