"""Links that work once and end soon: the first owner, a forgotten password, letting a tablet in.

Only the sha256 of the secret is kept; the secret is shown once, to whoever made the link, and never logged.
"""

from __future__ import annotations

import hashlib
import secrets
from datetime import datetime, timedelta
from typing import Literal

from django.db import transaction

from bedsite.doors import clock
from bedsite.records.models import OneTime

What = Literal["first", "owner", "owner afar", "password", "device"]
"""first: the first owner, void once there is one. owner: the way back, by a command; afar: from other machines too."""
LASTS = timedelta(minutes=15)
LONGER = timedelta(hours=24)
"""A link that the owner hands to somebody for a new password."""
LOOPBACK_ONLY = frozenset({"first", "owner"})


def make(what: What, subject: str = "", lasts: timedelta = LASTS) -> str:
    """A fresh secret for a link; unused earlier links of the same purpose end."""
    secret = secrets.token_urlsafe(32)
    with transaction.atomic():
        OneTime.objects.filter(what=what, subject=subject, used=None).delete()
        OneTime.objects.filter(ends__lt=clock.now() - timedelta(days=30)).delete()
        OneTime.objects.create(token=_hash(secret), what=what, subject=subject, ends=clock.now() + lasts)
    return secret


def look(secret: str, at: datetime | None = None) -> OneTime | None:
    """The link of a secret while it may still be used; None otherwise. Looking does not use it up."""
    found = OneTime.objects.filter(token=_hash(secret)).first()
    if found is None or found.used is not None or found.ends <= (at or clock.now()):
        return None
    return found


def use(link: OneTime) -> bool:
    """Use a link up; False where somebody was quicker or its time is over. Call it inside the act's transaction."""
    at = clock.now()
    return bool(OneTime.objects.filter(pk=link.pk, used=None, ends__gt=at).update(used=at))


def _hash(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
