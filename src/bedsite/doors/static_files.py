"""Addresses of the files that pages are drawn with: each carries a sign of its content; no cache shows an old one."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import StaticFilesStorage


class Dated(StaticFilesStorage):
    """Served straight out of the packages; nothing has to be collected."""

    def url(self, name: str | None) -> str:
        """The address of a file, with 12 signs of its sha256."""
        address = str(super().url(name))
        mark = _mark(name or "")
        return f"{address}?v={mark}" if mark else address


@cache
def _mark(name: str) -> str:
    found = finders.find(name)
    return hashlib.sha256(Path(found).read_bytes()).hexdigest()[:12] if isinstance(found, str) else ""
