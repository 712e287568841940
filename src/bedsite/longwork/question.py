"""What makes two questions the same: kind, inputs, the model's version, and the libraries that do the sums."""

from __future__ import annotations

import hashlib
import re
from functools import cache
from importlib import metadata
from pathlib import Path

from bedsite.longwork.kinds import Inputs, kind_of
from bedwright.identity import content_id

_ROOT = Path(__file__).resolve().parents[3]
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")


def question_of(kind: str, inputs: Inputs) -> str:
    """Content hash of a question, 64 hex digits. Raises NotReadable for a kind that nobody knows."""
    found = kind_of(kind)
    return content_id(
        {"kind": kind, "inputs": inputs.asked(), "model_version": found.model_version, "lock": lock_hash()}
    )


@cache
def lock_hash() -> str:
    """sha256 of the lock file beside the source; without it, of the installed versions of what we depend on."""
    lock = _ROOT / "requirements.lock"
    if lock.is_file():
        return hashlib.sha256(lock.read_bytes()).hexdigest()
    return content_id(installed())


def installed() -> list[list[str]]:
    """[name, version] of every library that the program asks for and that is installed, sorted."""
    try:
        wanted = metadata.requires("bedwright") or []
    except metadata.PackageNotFoundError:
        wanted = []
    found = []
    for line in wanted:
        match = _NAME.match(line)
        if match is None:
            continue
        try:
            found.append([match.group().casefold(), metadata.version(match.group())])
        except metadata.PackageNotFoundError:
            continue  # an extra that nobody asked for
    return sorted(found)
