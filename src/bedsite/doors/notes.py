"""The audit of the doors: sign-ins, refusals and changes of rights, each written once and never changed.

Keys and names of pages only: no path (a one-time link stands in one), no typed text.
"""

from __future__ import annotations

from bedsite.doors import clock
from bedsite.records.models import DoorNote


def note(
    what: str, *, person: str = "", device: str = "", address: str = "", page: str = "", says: str = ""
) -> DoorNote:
    """Write one note."""
    return DoorNote.objects.create(
        at=clock.now(),
        what=what[:24],
        person=person,
        device=device,
        address=address[:45],
        page=page[:80],
        says=says[:200],
    )
