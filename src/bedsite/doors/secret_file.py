"""Files that only the owner of a works' folder may read: the secret that signs cookies, a database's URL.

No Django in here: settings read it.
"""

from __future__ import annotations

import os
import secrets
import stat
from pathlib import Path

from bedwright.errors import NotReadable

SECRET = ".secret"
SECRET_FILE = "BEDWRIGHT_SECRET_FILE"
"""The environment variable by which the server's own processes are told where the secret lies."""
LEAST = 50


def secret_of(works: Path) -> Path:
    """The file of the secret that signs cookies, made where there is none. Raises NotReadable as read_secret."""
    file = works.resolve() / SECRET
    try:
        held = os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    except FileExistsError:
        read_secret(file)
        return file
    with os.fdopen(held, "w", encoding="ascii") as out:
        out.write(secrets.token_urlsafe(64) + "\n")
        out.flush()
        os.fsync(out.fileno())
    return file


def read_secret(file: Path) -> str:
    """The secret in a file. Raises NotReadable where others may read it, or where it is too short to be one."""
    refuse_wider(file)
    text = file.read_text(encoding="ascii", errors="replace").strip()
    if len(text) < LEAST:
        raise NotReadable(
            f"{file} holds {len(text)} signs, a secret has {LEAST} at least; delete the file and serve again: "
            "a new one is made, and everybody signs in again"
        )
    return text


def refuse_wider(file: Path) -> None:
    """Refuse a secret file that group or others may read, that is a link, or that another person owns."""
    found = file.lstat()
    if not stat.S_ISREG(found.st_mode):
        raise NotReadable(f"{file} is not a plain file; a secret lies in one of its own")
    mode = stat.S_IMODE(found.st_mode)
    if mode & 0o077:
        raise NotReadable(f"{file} may be read by others (rights {mode:o}); run  chmod 600 {file}")
    if found.st_uid != os.geteuid():
        raise NotReadable(f"{file} belongs to another person of this machine; whoever serves owns it")
