"""What goes wrong below the ledger (disk full, locked, read only, damaged, server gone), each told in one sentence."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import DatabaseError, InterfaceError

from bedwright.errors import NotReadable


class NotKept(NotReadable):
    """The ledger did not take what was to be written; nothing of it was kept unless the sentence says otherwise."""


_SQLITE = {
    5: "somebody else has been writing into the ledger all the while; try again",
    6: "somebody else has been writing into the ledger all the while; try again",
    8: "the ledger may only be read: its file, folder or disk is write-protected for this program",
    10: "the disk did not take it ({error}); see that it has room and is sound",
    11: "the ledger's file is damaged ({error}); restore it from a backup",
    13: "the disk is full; make room and do it again",
    14: "the ledger's file cannot be opened; see that it and its folder are there and may be written",
    26: "the file is no ledger, or its beginning was written over; restore it from a backup",
}
"""Primary result code of SQLite -> what to say."""
_POSTGRESQL = {
    "53100": "the disk of the database is full; make room and do it again",
    "55P03": "somebody else has been writing into the ledger all the while; try again",
    "40P01": "somebody else was writing the same at the same time; try again",
    "40001": "somebody else was writing the same at the same time; try again",
    "57014": "the database gave up waiting; try again",
    "25006": "the database may only be read",
    "42501": "the database does not let this program do that; see to its rights",
    "53300": "the database lets no more programs in just now; try again",
}
_GONE = "the database does not answer or went away; whether the last was kept is not known: look, and send it again"


def sentence(error: BaseException) -> str:
    """What to say of an error below the ledger, "" for one that is none (or a fault of this program)."""
    if not isinstance(error, (DatabaseError, InterfaceError)):
        return ""
    cause = error.__cause__
    code = getattr(cause, "sqlite_errorcode", None)
    if code is not None:
        return _SQLITE.get(int(code) & 0xFF, "").format(error=str(error).strip())
    state = getattr(cause, "sqlstate", None)
    if state in _POSTGRESQL:
        return _POSTGRESQL[state]
    lost = type(cause).__module__.startswith("psycopg") and type(cause).__name__ in (
        "OperationalError",
        "AdminShutdown",
    )
    return _GONE if lost and (state is None or state.startswith(("08", "57P"))) else ""


@contextmanager
def told() -> Iterator[None]:
    """Raise NotKept with its sentence in place of an error below the ledger; faults of this program pass."""
    try:
        yield
    except (DatabaseError, InterfaceError) as error:
        says = sentence(error)
        if not says:
            raise
        kept = "" if says == _GONE else "nothing was kept: "
        raise NotKept(f"{kept}{says}") from error
