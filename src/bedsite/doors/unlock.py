"""Somebody at work on a shared tablet: from badge or PIN until idle, locked, or the shift is over.

The tablet itself came in once (devices.py). Whoever stands at it unlocks it; each act names that unlock and the moment
it was said. Acts that were said while the network was gone are sent later and are judged by when they were said, in
the order they were said.
"""

from __future__ import annotations

import hashlib
import re
import unicodedata
from datetime import datetime, timedelta

from django.conf import settings
from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction

from bedsite.doors import clock, guesses, notes
from bedsite.records.models import Device, Person, Unlock
from bedsite.records.people import new_key
from bedwright.errors import BedwrightError

LONGEST = timedelta(hours=12)
CLOCKS_APART = timedelta(minutes=1)
"""What a tablet's clock may differ from the server's."""
PIN = re.compile(r"[0-9]{4,8}")


class Locked(BedwrightError):
    """The tablet is locked, for this act at least: a sentence for whoever stands there."""


def unlock(
    device: Device,
    *,
    badge: str = "",
    pin: str = "",
    name_key: str = "",
    address: str = "",
    at: datetime | None = None,
) -> Unlock:
    """Unlock a device by a badge alone, or by a person's key and PIN; the row whose id each act then names.

    at: this moment, where a test says which. Raises Locked where badge or PIN do not fit (the two are not told apart
    from an unknown person), guesses.Wait while too many wrong ones went before on this device or for this person.
    """
    at = at or clock.now()
    subjects = [guesses.by_device(device.key)]
    if not badge and name_key:
        subjects.append(guesses.by_person(name_key))
    guesses.begin(subjects, at)
    person = _by_badge(badge) if badge else _by_pin(name_key, pin)
    if person is None or not device.active:
        notes.note("wrong badge" if badge else "wrong PIN", device=device.key, address=address, person="")
        raise Locked(
            "This badge opens nothing; ask the owner for a new one."
            if badge
            else "Name and PIN do not fit; try again, or ask the owner for a new PIN."
        )
    guesses.clear(subjects)
    notes.note("unlocked", person=person.key, device=device.key, address=address)
    return Unlock.objects.create(id=new_key(), person=person.key, device=device.key, started=at, last_said=at)


def person_of(unlock_id: str, device: Device | None, said: datetime, *, at: datetime | None = None) -> Person:
    """Who says something on a device at a moment, by the unlock that the act names; moves `last_said` on.

    Raises Locked where there is no such unlock on this device, where it was locked before the moment, where the moment
    lies before the unlock, more than 12 h after it, or more than the idle time after the last act, where the tablet's
    clock is ahead of the server's, and where person or device were shut out since.
    """
    at = at or clock.now()
    with transaction.atomic():
        row = Unlock.objects.select_for_update().filter(id=unlock_id).first() if unlock_id else None
        if row is None or device is None or not device.active or row.device != device.key:
            raise Locked("This tablet is locked; show your badge, or choose your name and type your PIN.")
        _refuse_moment(row, said, at)
        person = Person.objects.filter(key=row.person, active=True).first()
        if person is None:
            raise Locked("Whoever unlocked this tablet may no longer come in; ask the owner.")
        if said > row.last_said:
            row.last_said = min(said, at)
            row.save(update_fields=["last_said"])
    return person


def _refuse_moment(row: Unlock, said: datetime, at: datetime) -> None:
    idle = timedelta(minutes=settings.BEDWRIGHT_FLOOR_IDLE_MINUTES)
    if said > at + CLOCKS_APART:
        ahead = round((said - at).total_seconds() / 60)
        raise Locked(f"The clock of this tablet is {ahead} min ahead; set it right, then unlock again.")
    if said < row.started - CLOCKS_APART:
        raise Locked("This was said before the tablet was unlocked; is its clock slow? Unlock again.")
    if row.ended is not None and said > row.ended:
        raise Locked("This tablet was locked; show your badge, or choose your name and type your PIN.")
    if said > row.started + LONGEST:
        raise Locked("This tablet was unlocked more than 12 h ago; unlock it again.")
    if said > row.last_said + idle:
        raise Locked(
            f"This tablet lay idle for more than {settings.BEDWRIGHT_FLOOR_IDLE_MINUTES} min and locked itself; "
            "unlock it again."
        )


def lock(unlock_id: str, device: Device | None = None, *, at: datetime | None = None) -> None:
    """End an unlock; what was said on it before counts all the same. device: end it only where it is this one's."""
    rows = Unlock.objects.filter(id=unlock_id, ended=None)
    if device is not None:
        rows = rows.filter(device=device.key)
    rows.update(ended=at or clock.now())


def lock_all(*, person: str = "", device: str = "", at: datetime | None = None) -> None:
    """End every unlock of a person or of a device, as when they are shut out."""
    assert person or device
    rows = Unlock.objects.filter(ended=None)
    rows = rows.filter(person=person) if person else rows
    rows = rows.filter(device=device) if device else rows
    rows.update(ended=at or clock.now())


def who_may_unlock() -> list[Person]:
    """People to choose from by name before they type a PIN: those who have one, by name."""
    return list(Person.objects.filter(active=True, erased=False).exclude(pin="").order_by("name", "pk"))


def set_pin(person: Person, pin: str) -> None:
    """Give a person a PIN of 4 to 8 digits, "" for none. Raises Locked where it is no PIN."""
    if pin and not PIN.fullmatch(pin):
        raise Locked("A PIN is 4 to 8 digits.")
    person.pin = make_password(pin) if pin else ""
    person.save(update_fields=["pin"])


def badge_hash(code: str) -> str:
    """What is kept of a badge: sha256 of its code, read whatever its case and spaces."""
    plain = "".join(unicodedata.normalize("NFKC", code).split()).replace("-", "").upper()
    return hashlib.sha256(plain.encode()).hexdigest() if plain else ""


def _by_badge(code: str) -> Person | None:
    held = badge_hash(code)
    return Person.objects.filter(badge=held, active=True).first() if held else None


def _by_pin(key: str, pin: str) -> Person | None:
    person = Person.objects.filter(key=key, active=True).exclude(pin="").first()
    if person is None:
        check_password(pin, guesses.nobodys_password())
        return None
    return person if check_password(pin, person.pin) else None
