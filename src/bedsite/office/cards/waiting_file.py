"""A workbook that was sent and is not yet taken in: kept by the server between two pages, for one session, one hour.

The browser is only told a difference; what is taken in is the file that the server kept, never what a page sends back.
"""

from __future__ import annotations

import contextlib
import os
import re
import secrets
import tempfile
import time
from pathlib import Path
from typing import Any

from bedsite.doors.secret_file import SECRET_FILE
from bedsite.store import PLACE, named

FOLDER = ".uploads"
LASTS = 3600  # seconds
IN_SESSION = "waiting-file"
_NAME = re.compile(r"[0-9a-f]{32}\.xlsx")


def keep(session: Any, data: bytes, called: str) -> None:
    """Keep a file for this session, in place of one it kept before."""
    drop(session)
    _sweep()
    name = f"{secrets.token_hex(16)}.xlsx"
    held = os.open(folder() / name, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    with os.fdopen(held, "wb") as out:
        out.write(data)
    session[IN_SESSION] = {"file": name, "called": called[:200]}


def kept(session: Any) -> tuple[Path, str] | None:
    """The file that this session sent, and what its sender calls it; None where there is none, or its hour is over."""
    told = session.get(IN_SESSION)
    if not isinstance(told, dict) or not _NAME.fullmatch(str(told.get("file", ""))):
        return None
    path = folder() / str(told["file"])
    try:
        fresh = time.time() - path.stat().st_mtime < LASTS
    except OSError:
        fresh = False
    if not fresh:
        drop(session)
        return None
    return path, str(told.get("called", ""))


def drop(session: Any) -> None:
    """Delete the file that this session sent."""
    told = session.pop(IN_SESSION, None)
    if isinstance(told, dict) and _NAME.fullmatch(str(told.get("file", ""))):
        with contextlib.suppress(OSError):
            (folder() / str(told["file"])).unlink()


def folder() -> Path:
    """Where files wait: a folder of the works that its owner alone reads; beside nothing else where no works is."""
    found = _works() / FOLDER
    found.mkdir(mode=0o700, exist_ok=True)
    return found


def _works() -> Path:
    told = os.environ.get(SECRET_FILE, "")
    if told:
        return Path(told).parent
    place = named(os.environ.get(PLACE, "") or tempfile.gettempdir())
    return place.path.parent if place.path is not None else Path(tempfile.gettempdir())


def _sweep() -> None:
    """Delete what nobody came back for."""
    for path in folder().iterdir():
        with contextlib.suppress(OSError):
            if _NAME.fullmatch(path.name) and time.time() - path.stat().st_mtime > LASTS:
                path.unlink()
