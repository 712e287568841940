"""Sessions end: after 12 hours, after an idle one, with a change of password, when somebody is shut out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.test import Client

if TYPE_CHECKING:
    from bedsite.records.models import Person

PASSWORD = "sheep cross at dusk"


def test_an_idle_hour_ends_a_session(signed_in: Any, clock: Any) -> None:
    client = signed_in("viewer")
    clock.move(minutes=59)
    assert client.get("/me").status_code == 200
    clock.move(minutes=59)
    assert client.get("/me").status_code == 200, "work keeps it open"
    clock.move(minutes=61)
    assert client.get("/me").status_code == 302
    assert client.get("/me").status_code == 302, "and it does not come back"


def test_twelve_hours_end_a_session_at_work(signed_in: Any, clock: Any) -> None:
    client = signed_in("viewer")
    for _ in range(14):
        clock.move(minutes=50)
        assert client.get("/me").status_code == 200
    clock.move(minutes=21)
    assert client.get("/me").status_code == 302


def test_a_session_is_written_every_five_minutes_at_most(signed_in: Any, clock: Any) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client = signed_in("viewer")

    def writes() -> int:
        with CaptureQueriesContext(
            connection,
        ) as caught:
            assert client.get("/me").status_code == 200
        return sum(one["sql"].upper().startswith(("INSERT", "UPDATE", "DELETE")) for one in caught)

    clock.move(minutes=4)
    assert writes() == 0
    clock.move(minutes=2)
    assert writes() == 1
    assert writes() == 0


def test_a_change_of_password_ends_every_other_session(signed_in: Any) -> None:
    here, there = signed_in("viewer"), signed_in("viewer")
    before = here.cookies["bedwright-session"].value
    changed = here.post("/me/password", {"before": PASSWORD, "password": "a new one, long", "again": "a new one, long"})
    assert (changed.status_code, changed["Location"]) == (302, "/me?done=password")
    assert here.get("/me").status_code == 200 and there.get("/me").status_code == 302
    assert here.cookies["bedwright-session"].value != before
    old = Client()
    old.cookies["bedwright-session"] = before
    assert old.get("/me").status_code == 302


def test_whoever_is_shut_out_is_out_at_once_and_stays_so(signed_in: Any, people: dict[str, Person]) -> None:
    owner, viewer = signed_in("owner"), signed_in("viewer")
    assert owner.post(f"/people/{people['viewer'].key}/shut-out").status_code == 302
    assert viewer.get("/me").status_code == 302
    assert owner.post(f"/people/{people['viewer'].key}/let-in").status_code == 302
    assert viewer.get("/me").status_code == 302, "the session from before is gone for good"
    assert Client().post("/sign-in", {"sign_in": "viewer", "password": PASSWORD}).status_code == 302


def test_roles_count_from_the_next_request(signed_in: Any, people: dict[str, Person]) -> None:
    owner, viewer = signed_in("owner"), signed_in("viewer")
    assert viewer.get("/people").status_code == 403
    owner.post(f"/people/{people['viewer'].key}/roles", {"roles": ["viewer", "owner"]})
    assert viewer.get("/people").status_code == 200
    owner.post(f"/people/{people['viewer'].key}/roles", {"roles": ["viewer"]})
    assert viewer.get("/people").status_code == 403


def test_the_session_cookie_is_for_the_server_alone(signed_in: Any) -> None:
    cookie = signed_in("viewer").cookies["bedwright-session"]
    assert cookie["httponly"] and cookie["samesite"] == "Lax" and not cookie["max-age"] and cookie["path"] == "/"


def test_sessions_that_ran_out_are_swept_at_sign_in(signed_in: Any) -> None:
    from datetime import timedelta

    from django.contrib.sessions.models import Session
    from django.utils import timezone

    signed_in("viewer")
    Session.objects.update(expire_date=timezone.now() - timedelta(days=1))
    signed_in("owner")
    assert Session.objects.count() == 1
