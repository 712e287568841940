"""The sheet's typeface, served straight out of its package: no font file is kept in the repository."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.contrib.staticfiles.finders import BaseFinder
from django.core.files.storage import FileSystemStorage

from bedwright.papers.letters import font_folder

SERVED_AS = "parts/work-sans.ttf"
"""Where bedwright.css asks for it, below the address of static files."""


class FontStorage(FileSystemStorage):
    """One file under a plain name, wherever its package lies."""

    prefix = ""

    def path(self, name: str) -> str:
        """The font's place on the disk."""
        return str(font_file()) if os.path.normpath(name) == os.path.normpath(SERVED_AS) else super().path(name)


class FontFinder(BaseFinder):
    """Lets the server of static files find the font."""

    def __init__(self, *args: Any, **options: Any) -> None:
        self.storage = FontStorage(location=str(font_file().parent))

    def check(self, **options: Any) -> list[Any]:
        """Nothing in it can be set wrongly."""
        return []

    def find(self, path: str, find_all: bool = False, **options: Any) -> str | list[str]:
        """The file behind an address, [] where it is not this finder's."""
        if path != SERVED_AS:
            return []
        return [str(font_file())] if find_all else str(font_file())

    def list(self, ignore_patterns: Any) -> Iterator[tuple[str, FontStorage]]:
        """The one file there is."""
        yield SERVED_AS, self.storage


def font_file() -> Path:
    """The upright face, all weights in one file."""
    return font_folder() / "WorkSans[wght].ttf"
