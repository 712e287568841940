"""The same cast in every test of the doors: one person of each role, a tablet, and a clock that can be moved."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from django.test import Client

    from bedsite.records.models import Device, Person

PASSWORD = "sheep cross at dusk"


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def __call__(self) -> datetime:
        return self.at

    def move(self, **by: float) -> None:
        """On by timedelta's own words."""
        self.at += timedelta(**by)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    from django.utils import timezone

    from bedsite.doors import clock

    held = Clock(timezone.now())
    monkeypatch.setattr(clock, "now", held)
    return held


@pytest.fixture(autouse=True)
def quick_hashes(request: pytest.FixtureRequest) -> Iterator[None]:
    """Passwords hashed once instead of a million times, wherever a test has a ledger."""
    if "works_folder" not in request.fixturenames:
        yield
        return
    request.getfixturevalue("works_folder")
    from django.test import override_settings

    from bedsite.doors import guesses

    guesses.nobodys_password.cache_clear()
    with override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"]):
        yield
    guesses.nobodys_password.cache_clear()


@pytest.fixture
def people(works_folder: Path) -> dict[str, Person]:
    """role -> a person of that role alone, all with PASSWORD."""
    from bedsite.doors import people_acts, rights

    return {role: people_acts.new_person(f"The {role}", role, {role}, PASSWORD) for role in rights.ROLES}


@pytest.fixture
def signed_in(people: dict[str, Person]) -> Callable[[str], Client]:
    """A browser in which somebody of a role signed in; keywords go to the Client."""
    from django.test import Client

    def client(role: str, **more: Any) -> Client:
        made = Client(**more)
        answer = made.post("/sign-in", {"sign_in": role, "password": PASSWORD})
        if more.get("enforce_csrf_checks"):
            token = made.get("/sign-in").cookies["bedwright-csrf"].value
            answer = made.post("/sign-in", {"sign_in": role, "password": PASSWORD, "csrfmiddlewaretoken": token})
        assert answer.status_code == 302, answer.content.decode()
        return made

    return client


@pytest.fixture
def tablet(works_folder: Path) -> tuple[Device, Client]:
    """A tablet that was let in, and its browser."""
    from django.http import HttpResponse
    from django.test import Client

    from bedsite.doors import devices

    device = devices.new_device("tablet by the press", "build")
    response = HttpResponse()
    devices.let_in(device, response, secure=False)
    made = Client()
    made.cookies = response.cookies
    return device, made
