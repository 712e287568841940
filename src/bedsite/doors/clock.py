"""The clock of the doors, in one place so that tests can move it."""

from __future__ import annotations

from datetime import datetime

from django.utils import timezone


def now() -> datetime:
    """This moment in UTC."""
    return timezone.now()
