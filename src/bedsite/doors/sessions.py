"""Sessions: begun at sign-in with a new id, over after 12 hours or an idle one, ended all at once when they must."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.conf import settings
from django.contrib import auth
from django.contrib.sessions.backends.db import SessionStore
from django.contrib.sessions.models import Session
from django.http import HttpRequest
from django.utils import timezone

from bedsite.doors import clock
from bedsite.records.models import Person

BEGAN, SEEN = "began", "seen"
REFRESH = timedelta(minutes=5)
"""How often a session is written while somebody works."""


def begin(request: HttpRequest, person: Person) -> None:
    """Sign a person in: another session id, a fresh form token, the clock started."""
    request.session.flush()
    auth.login(request, person, backend="django.contrib.auth.backends.ModelBackend")
    at = clock.now().timestamp()
    request.session[BEGAN] = request.session[SEEN] = at
    Session.objects.filter(expire_date__lt=timezone.now()).delete()


def person_of(request: HttpRequest) -> Person | None:
    """Whose session this is; None for a stranger, and for one whose session is over (it is ended then).

    A session ends with a change of password too: it holds a hash of the password's hash.
    """
    if settings.SESSION_COOKIE_NAME not in request.COOKIES:
        return None
    found = auth.get_user(request)
    if not isinstance(found, Person):
        return None
    at = clock.now().timestamp()
    began, seen = _number(request.session.get(BEGAN)), _number(request.session.get(SEEN))
    idle = timedelta(minutes=settings.BEDWRIGHT_SESSION_IDLE_MINUTES).total_seconds()
    if at - began > settings.SESSION_COOKIE_AGE or at - seen > idle:
        request.session.flush()
        return None
    if at - seen > REFRESH.total_seconds():
        request.session[SEEN] = at
    return found


def end(request: HttpRequest) -> None:
    """Sign out."""
    auth.logout(request)


def end_all(person: Person, but: str | None = None) -> int:
    """End every session of a person, save the one with the key `but`; how many ended.

    A session's row does not say whose it is, so all that have not run out are looked through: a works has few.
    """
    ended = 0
    for row in Session.objects.filter(expire_date__gte=timezone.now()):
        held = SessionStore().decode(row.session_data)
        if str(held.get(auth.SESSION_KEY)) == str(person.pk) and row.session_key != but:
            row.delete()
            ended += 1
    return ended


def keep_this(request: HttpRequest, person: Person) -> None:
    """After a change of one's own password: this session goes on under another id, all others end."""
    request.user = person
    auth.update_session_auth_hash(request, person)
    request.session.save()
    end_all(person, but=request.session.session_key)


def _number(value: Any) -> float:
    return float(value) if isinstance(value, int | float) else 0.0
