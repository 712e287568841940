"""Work done once for each bed at size, and kept with whoever did it."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

from bedwright.identity import fold

T = TypeVar("T")


def once(make: Callable[[Any, str, str], T]) -> Callable[[Any, str, str], T]:
    """A method of (bed code, size code) that is worked out when first asked for; codes are one whatever their case."""

    @wraps(make)
    def kept(self: Any, bed: str, size: str) -> T:
        found: dict[tuple[str, str, str], T] = self.__dict__.setdefault("_kept", {})
        key = (make.__name__, fold(bed), fold(size))
        if key not in found:
            found[key] = make(self, bed, size)
        return found[key]

    return kept
