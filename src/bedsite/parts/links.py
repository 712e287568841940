"""Whether a link or button is worth showing: parts know no rights, so whoever holds them says so at start."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

WhoMay = Callable[[str, str], Iterable[str] | None]
_asked: list[WhoMay] = []


def ask(who_may: WhoMay) -> None:
    """Hand over the one table of rights: (page, verb) -> roles that may, None where there is no row."""
    _asked[:] = [who_may]


def may(request: Any, page: str, verb: str = "GET") -> bool:
    """Whether this request's person (or device) may call a page. What nobody was asked about is not shown."""
    allowed = set(_asked[0](page, verb) or ()) if _asked else set()
    held = {"anybody", *getattr(request, "roles", ())}
    if getattr(request, "device", None) is not None:
        held.add("device")
    return bool(allowed & held)
