"""Names of worker processes, by which another process of the same machine can tell that one is surely dead.

A name holds the machine's start and process space, the process's number and the moment it began. Where the system does
not tell these, a name is chance, and only a silent heartbeat shows that its worker is gone.
"""

from __future__ import annotations

import hashlib
import os
import secrets
from functools import cache
from pathlib import Path

_PROC = Path("/proc")


@cache
def _space() -> str:
    try:
        boot = (_PROC / "sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
        return hashlib.sha256(f"{boot} {os.readlink(_PROC / 'self/ns/pid')}".encode()).hexdigest()[:10]
    except OSError:
        return ""


def own_name() -> str:
    """The name of this process as a worker, at most 32 signs."""
    began = _began(os.getpid())
    if not _space() or not began:
        return secrets.token_hex(16)
    return f"{_space()}.{os.getpid()}.{began}"


def surely_gone(name: str) -> bool:
    """Whether the worker of this name is known to be dead; False where this process cannot know."""
    parts = name.split(".")
    if len(parts) != 3 or parts[0] != _space() or not parts[1].isdecimal():
        return False
    return _began(int(parts[1])) != parts[2]


def _began(pid: int) -> str:
    """When a process began, in ticks since the machine did; "" for one that has ended, waited for or not."""
    try:
        told = (_PROC / str(pid) / "stat").read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ""
    fields = told.rpartition(")")[2].split()
    return "" if len(fields) < 20 or fields[0] in "ZX" else fields[19]
