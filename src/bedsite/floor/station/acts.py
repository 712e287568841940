"""One act said at a station: read, judged by the unlock it names and by when it was said, booked, answered in words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Literal

from bedsite.doors.unlock import Locked, person_of
from bedsite.records import bookings, events
from bedsite.records.bookings import Booked
from bedsite.records.chain import now
from bedsite.records.models import Device, Event
from bedsite.records.payloads import Booking
from bedwright.errors import BedwrightError

AHEAD = timedelta(minutes=2)
OLDEST = timedelta(hours=12)
"""What a moment said may differ from the server's: more is a wrong clock, or too late to be sure who it was."""
SENDER = re.compile(r"[0-9A-Za-z-]{16,48}")
_CODE = re.compile(r"[0-9A-Za-z.-]{1,24}")
FIELDS = frozenset({"id", "act", "serial", "position", "says", "said", "unlock"})

State = Literal["counted", "again", "refused"]


@dataclass(frozen=True, slots=True)
class Answer:
    """counted: it is in the ledger now; again: it was there already; refused: it is not, and `says` why."""

    state: State
    says: str
    notes: tuple[str, ...] = ()


def take(told: Mapping[str, Any], device: Device, place: str) -> Answer:
    """Book one act. told: as it came, nothing of it believed; place: code of the work place of the device."""
    try:
        sender, booking, said, unlock = _read(told, place)
        there = Event.objects.filter(sender=sender).first()
        if there is not None and there.device != device.key:
            return Answer("refused", "This act was sent from another tablet before; it counts there.")
        who = there.who if there is not None else _who(unlock, device, said)
        booked = bookings.book(booking, sender=sender, who=who, device=device.key, said=said)
    except BedwrightError as error:
        return Answer("refused", str(error))
    return Answer("counted" if booked.fresh else "again", _says(booked), booked.notes)


def _read(told: Mapping[str, Any], place: str) -> tuple[str, Booking, datetime, str]:
    unknown = set(told) - FIELDS
    if unknown:
        raise Locked(f"An act says {', '.join(sorted(map(ascii, unknown)))[:80]}, which is not known here.")
    sender, serial, unlock = (str(told.get(name) or "") for name in ("id", "serial", "unlock"))
    serial = serial.strip()
    if not SENDER.fullmatch(sender):
        raise Locked("An act has no id that could be one; load the page again.")
    if not _CODE.fullmatch(serial):
        raise Locked(f"{serial[:40]!a} is no serial; scan the code on the bed's own ticket.")
    body = {
        "act": told.get("act"), "serial": serial, "place": place, "position": told.get("position"),
        "says": told.get("says") or "",
    }  # fmt: skip
    booking = events.read("booking", Booking.SCHEMA, body)
    assert isinstance(booking, Booking)
    said = told.get("said")
    return sender, booking, _moment(said) if said else now(), unlock[:64]


def _moment(text: Any) -> datetime:
    said, here = events.moment(str(text)), now()
    if said > here + AHEAD:
        ahead = round((said - here).total_seconds() / 60)
        raise Locked(f"The clock of this tablet is {ahead} min ahead of the server's; set it right, then say it again.")
    if said < here - OLDEST:
        raise Locked(
            "This was said more than 12 h ago, or the clock of this tablet is slow; ask the office to book it."
        )
    return said


def _who(unlock: str, device: Device, said: datetime) -> str:
    return str(person_of(unlock, device, said).key)


def _says(booked: Booked) -> str:
    what = f"{booked.serial}: {booked.operation}" if booked.operation else booked.serial
    words = {"in work": "in work", "done": "done", "trouble": "in trouble", "to do": "put back"}
    closed = f"; {booked.closed} is closed" if booked.closed else ""
    return f"{what}, {words[booked.state]}{closed}."
