"""Whatever a browser sends, nobody gets a 500 and nobody gets in."""

from __future__ import annotations

import string
from typing import TYPE_CHECKING, Any

from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

if TYPE_CHECKING:
    from bedsite.records.models import Device, Person

LOOSE = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)
TEXT = st.text(max_size=200) | st.sampled_from(
    ["\0", "'; --", "../..", "%s", "{{x}}", "\ud7ff", "‮", "=1+1", "-1", "9" * 30]
)
COOKIE = st.text(string.ascii_letters + string.digits + ":._-=+/!#$%&'()*<>?@[]^`{|}~", max_size=120)


@LOOSE
@given(session=COOKIE, csrf=COOKIE, device=COOKIE)
def test_cookies(people: dict[str, Person], session: str, csrf: str, device: str) -> None:
    client = Client(enforce_csrf_checks=True)
    client.cookies["bedwright-session"] = session
    client.cookies["bedwright-csrf"] = csrf
    client.cookies["bedwright-device"] = device
    for address in ("/me", "/people", "/floor/station"):
        assert client.get(address).status_code == 302
    assert client.get("/sign-in").status_code == 200
    assert client.post("/sign-in", {"sign_in": "owner", "password": "x"}).status_code in (403, 422, 429)


@LOOSE
@given(header=st.binary(max_size=200))
def test_a_cookie_header_of_any_bytes(people: dict[str, Person], header: bytes) -> None:
    text = header.decode("latin-1").replace("\r", "").replace("\n", "")
    assert Client(HTTP_COOKIE=text).get("/people").status_code == 302


@LOOSE
@given(form=st.dictionaries(st.sampled_from(["sign_in", "password", "next", "x"]), TEXT, max_size=4))
def test_sign_in_forms(people: dict[str, Person], form: dict[str, str]) -> None:
    assert Client().post("/sign-in", form).status_code in (422, 429)
    assert Client().get("/sign-in", {"next": form.get("next", "")}).status_code == 200


FIELDS = st.sampled_from(
    ["name", "sign_in", "roles", "pin", "p-pin", "p-before", "before", "password", "again", "place"]
)


@LOOSE
@given(
    page=st.sampled_from(
        ["/people/new", "/people/{}/roles", "/people/{}/pin", "/people/{}/badge", "/people/{}/link",
         "/people/{}/let-in", "/people/{}/shut-out", "/people/{}/erase", "/me/password", "/me/pin",
         "/tablets/new", "/tablets/{}/link"]
    ),
    form=st.dictionaries(FIELDS, st.lists(TEXT, min_size=1, max_size=3), max_size=6),
    own=st.booleans(),
)  # fmt: skip
def test_the_owners_forms(
    people: dict[str, Person], tablet: tuple[Device, Client], page: str, form: dict[str, list[str]], own: bool
) -> None:
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY

    from bedsite.doors import clock, people_acts, sessions

    client, owner = Client(), people["owner"]
    session: Any = client.session
    session[SESSION_KEY], session[HASH_SESSION_KEY] = str(owner.pk), owner.get_session_auth_hash()
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[sessions.BEGAN] = session[sessions.SEEN] = clock.now().timestamp()
    session.save()
    client.cookies["bedwright-session"] = session.session_key
    key = tablet[0].key if "tablets" in page else people["owner" if own else "viewer"].key
    answer = client.post(page.format(key), form)
    assert answer.status_code in (200, 302, 404, 422, 429), answer.status_code
    assert people_acts.owners(), "and the works still has an owner"


@LOOSE
@given(path=st.text(max_size=60))
def test_paths(people: dict[str, Person], path: str) -> None:
    from urllib.parse import quote

    for door in ("/first/", "/password/", "/tablet/", "/people/", "/"):
        assert Client().get(door + quote(path, safe="")).status_code in (200, 302, 403, 404, 301)


@LOOSE
@given(query=st.dictionaries(st.sampled_from(["before", "next", "done"]), TEXT, max_size=3))
def test_queries(signed_in: Any, query: dict[str, str]) -> None:
    client = signed_in("owner")
    for address in ("/audit", "/me", "/people"):
        assert client.get(address, query).status_code == 200
