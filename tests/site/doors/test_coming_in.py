"""Sign-in, sign-out, and where one goes from there."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client

if TYPE_CHECKING:
    from bedsite.records.models import Person

PASSWORD = "sheep cross at dusk"


def test_a_stranger_is_sent_to_sign_in_and_comes_back(people: dict[str, Person]) -> None:
    client = Client()
    sent = client.get("/people?x=1")
    assert (sent.status_code, sent["Location"]) == (302, "/sign-in?next=%2Fpeople%3Fx%3D1")
    page = client.get(sent["Location"]).content.decode()
    assert '<input type="hidden" name="next" value="/people?x=1">' in page
    back = client.post("/sign-in", {"sign_in": "OWNER ", "password": PASSWORD, "next": "/people?x=1"})
    assert (back.status_code, back["Location"]) == (302, "/people?x=1")
    assert client.get("/people").status_code == 200


@pytest.mark.parametrize(
    "to",
    ["https://evil.example/", "//evil.example", "/\\evil.example", "\\\\evil.example", "javascript:alert(1)", "people",
     "/\t/evil.example", "http:evil.example", "/x\r\nSet-Cookie: a=b", "///evil.example", " //evil.example", "/%0d%0a"],
)  # fmt: skip
def test_after_sign_in_nobody_is_sent_to_another_site(people: dict[str, Person], to: str) -> None:
    from urllib.parse import urljoin, urlsplit

    answer = Client().post("/sign-in", {"sign_in": "owner", "password": PASSWORD, "next": to})
    went = urlsplit(urljoin("http://testserver/", answer["Location"]))
    assert answer.status_code == 302 and went.netloc == "testserver" and went.scheme == "http"
    assert answer["Location"].startswith("/") and not answer["Location"].startswith("//")


def test_signing_in_makes_a_new_session_and_signing_out_ends_it(people: dict[str, Person]) -> None:
    client = Client()
    session = client.session
    session["planted"] = "by somebody else"
    session.save()
    planted = session.session_key
    client.cookies["bedwright-session"] = planted
    client.post("/sign-in", {"sign_in": "owner", "password": PASSWORD})
    fresh = client.cookies["bedwright-session"].value
    assert fresh != planted and "planted" not in client.session
    assert client.post("/sign-out").status_code == 302
    client.cookies["bedwright-session"] = fresh
    assert client.get("/me").status_code == 302


def test_wrong_name_and_wrong_password_read_the_same(people: dict[str, Person]) -> None:
    first = Client().post("/sign-in", {"sign_in": "owner", "password": "wrong"})
    second = Client().post("/sign-in", {"sign_in": "nobody", "password": "wrong"})
    assert first.status_code == second.status_code == 422
    assert "Name and password do not fit" in first.content.decode()
    pages = [answer.content.decode().split("csrfmiddlewaretoken")[0] for answer in (first, second)]
    assert pages[0] == pages[1]


def test_a_name_that_nobody_has_costs_a_hash_too(people: dict[str, Person], monkeypatch: pytest.MonkeyPatch) -> None:
    from bedsite.doors.pages import coming_in

    asked: list[str] = []
    real = coming_in.check_password

    def counted(password: str, held: str) -> Any:
        asked.append(held)
        return real(password, held)

    monkeypatch.setattr(coming_in, "check_password", counted)
    people["viewer"].active = False
    people["viewer"].save()
    for name in ("owner", "nobody", "viewer", "-command-line-"):
        Client().post("/sign-in", {"sign_in": name, "password": "wrong"})
    assert len(asked) == 4 and all(held.startswith("md5$") for held in asked)


def test_whoever_was_shut_out_or_works_by_commands_cannot_sign_in(people: dict[str, Person], me: str) -> None:
    people["viewer"].active = False
    people["viewer"].save()
    for name in ("viewer", "-command-line-"):
        for password in (PASSWORD, "!", ""):
            assert Client().post("/sign-in", {"sign_in": name, "password": password}).status_code == 422


def test_each_role_lands_on_a_page_it_may_see(signed_in: Callable[[str], Client]) -> None:
    from bedsite.doors import rights

    for role in rights.ROLES:
        client = signed_in(role)
        to = client.get("/sign-in")["Location"]
        assert client.get(to).status_code == 200, (role, to)
