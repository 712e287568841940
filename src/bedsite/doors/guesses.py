"""Guessing made slow: wrong passwords, PINs and badges are counted by name, by address, by person and by device.

After five wrong ones each next try waits: 1, 2, 4 ... s up to 15 min; a right one clears the count, a quiet day forgets
it. A try is counted before it is judged, so that many at once gain nothing, and a try during the wait is refused
whatever it holds.
"""

from __future__ import annotations

import hashlib
import ipaddress
import math
from collections.abc import Iterable
from datetime import datetime, timedelta
from functools import cache

from django.contrib.auth.hashers import make_password
from django.db import transaction

from bedsite.records.models import Guess
from bedwright.errors import BedwrightError

FREE = 5
LONGEST = 15 * 60
FORGOTTEN = timedelta(days=1)


class Wait(BedwrightError):
    """Too many wrong tries; carries how long to wait."""

    def __init__(self, seconds: int) -> None:
        self.seconds = seconds
        told = f"{seconds} s" if seconds < 120 else f"{math.ceil(seconds / 60)} min"
        super().__init__(f"Too many wrong tries; wait {told}, then try again.")


def by_name(typed: str) -> str:
    """Subject of a sign-in name; hashed, for people type passwords into the wrong box."""
    return "name " + hashlib.sha256(typed.strip().casefold().encode()).hexdigest()


def by_address(address: str) -> str:
    """Subject of an address; of a whole /64 where it is IPv6, for one machine has so many."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return "address ?"
    if isinstance(found, ipaddress.IPv6Address):
        if found.ipv4_mapped is not None:
            return f"address {found.ipv4_mapped}"
        return f"address {ipaddress.ip_network((found, 64), strict=False)}"
    return f"address {found}"


def by_person(key: str) -> str:
    """Subject of a person who types a PIN, or a password on a page of their own."""
    return f"person {key}"[:120]


def by_device(key: str) -> str:
    """Subject of a tablet."""
    return f"device {key}"[:120]


def seconds_to_wait(wrong: int) -> int:
    """How long after the last of so many wrong tries the next may come [s]."""
    return 0 if wrong < FREE else min(2 ** min(wrong - FREE, 10), LONGEST)


def begin(subjects: Iterable[str], at: datetime) -> None:
    """Count one try against each subject, as wrong until `clear`. Raises Wait, and counts nothing, during a wait."""
    asked = sorted(set(subjects))
    with transaction.atomic():
        for subject in asked:
            Guess.objects.get_or_create(subject=subject, defaults={"last": at})
        rows = list(Guess.objects.select_for_update().filter(subject__in=asked).order_by("subject"))
        longest = 0.0
        for row in rows:
            if at - row.last > FORGOTTEN:
                row.wrong = 0
            longest = max(longest, seconds_to_wait(row.wrong) - (at - row.last).total_seconds())
        if longest <= 0:
            for row in rows:
                row.wrong += 1
                row.last = at
                row.save(update_fields=["wrong", "last"])
    if longest > 0:
        raise Wait(min(math.ceil(longest), LONGEST))


def clear(subjects: Iterable[str]) -> None:
    """Forget the wrong tries of these subjects: a right one came."""
    Guess.objects.filter(subject__in=list(subjects)).delete()


def forget_old(at: datetime) -> None:
    """Delete counts that a quiet day has forgotten."""
    Guess.objects.filter(last__lt=at - FORGOTTEN).delete()


@cache
def nobodys_password() -> str:
    """A hash that costs what a real one costs, for names that nobody has."""
    return make_password("nobody's")
