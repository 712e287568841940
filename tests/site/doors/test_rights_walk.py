"""Every address as every role, as a stranger and as a tablet; form tokens; the content policy of every page."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client

if TYPE_CHECKING:
    from bedsite.records.models import Device, Person

VERBS = ("GET", "POST")
MADE_UP = {"secret": "no-such-secret", "key": "0" * 32, "name": "wires", "code": "W22", "number": 1, "place": "build"}


def pages() -> dict[str, str]:
    """View name -> an address of it, from the resolver: what the table says plays no part."""
    from django.urls import get_resolver, reverse
    from django.urls.resolvers import URLPattern, URLResolver

    def walk(patterns: list[Any], space: str) -> Iterator[tuple[str, set[str]]]:
        for one in patterns:
            if isinstance(one, URLResolver):
                yield from walk(one.url_patterns, f"{one.namespace}:" if one.namespace else space)
            else:
                assert isinstance(one, URLPattern)
                yield f"{space}{one.name}", set(one.pattern.converters)

    found: dict[str, str] = {}
    for name, wanted in walk(get_resolver().url_patterns, ""):
        assert name not in found, f"two addresses are named {name}"
        found[name] = reverse(name, kwargs={one: MADE_UP[one] for one in wanted})
    return found


def expected(page: str, verb: str, roles: frozenset[str], device: bool, anybody_in: bool) -> int | None:
    """The answer by the table alone; None where the page itself answers."""
    from bedsite.doors.rights import TABLE

    rows = [right for right in TABLE if right.page == page]
    if not rows:
        return 403
    row = next((right for right in rows if right.verb == verb), None)
    if row is None:
        return 405
    if "anybody" in row.who or row.who & roles or (device and "device" in row.who):
        return None
    if anybody_in:
        return 403
    return 302 if verb == "GET" else 403


def test_every_address_has_a_row_and_every_row_an_address(works_folder: object) -> None:
    from bedsite.doors.rights import ROLES, TABLE

    named = {right.page for right in TABLE}
    assert set(pages()) - named == set(), "these addresses have no row in bedsite.doors.rights.TABLE"
    assert named - set(pages()) == set(), "these rows of bedsite.doors.rights.TABLE have no address"
    assert len({(right.page, right.verb) for right in TABLE}) == len(TABLE)
    assert all(right.who and right.who <= {*ROLES, "anybody", "device"} for right in TABLE)


def test_the_walk_would_see_a_page_without_a_row(works_folder: object, monkeypatch: pytest.MonkeyPatch) -> None:
    from bedsite.doors import rights

    monkeypatch.setattr(rights, "TABLE", tuple(right for right in rights.TABLE if right.page != "doors:audit"))
    rights._by_page.cache_clear()
    try:
        assert set(pages()) - {right.page for right in rights.TABLE} == {"doors:audit"}
        assert Client().get("/audit").status_code == 403
    finally:
        monkeypatch.undo()
        rights._by_page.cache_clear()


class Walked:
    """Notes whether Rights let a request pass."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        from bedsite.doors.middleware import Rights

        real = Rights.process_view
        self.refused: Any = "never asked"

        def noted(held: Any, request: Any, *rest: Any) -> Any:
            self.refused = real(held, request, *rest)
            return self.refused

        monkeypatch.setattr(Rights, "process_view", noted)


@pytest.mark.parametrize(
    "role", ["owner", "designer", "planner", "buyer", "inspector", "maker", "viewer", "no role", "stranger", "tablet"]
)
def test_every_address_as(
    role: str,
    people: dict[str, Person],
    signed_in: Callable[..., Client],
    tablet: tuple[Device, Client],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    walked, wrong = Walked(monkeypatch), []  # before a browser's first request takes the middleware as it is
    roles: frozenset[str] = frozenset()
    if role in people:
        client, roles = signed_in(role), frozenset({role})
    elif role == "no role":
        people["viewer"].roles = ""
        people["viewer"].save()
        client = signed_in("viewer")
    else:
        client = tablet[1] if role == "tablet" else Client()
    client.raise_request_exception = False
    held = {name: cookie.value for name, cookie in client.cookies.items()}
    for page, address in sorted(pages().items(), key=lambda item: item[0] == "doors:sign-out"):
        for verb in VERBS:
            walked.refused = "never asked"
            answer = client.get(address) if verb == "GET" else client.post(address)
            client.cookies.load(held)
            want = expected(page, verb, roles, role == "tablet", role not in ("stranger", "tablet"))
            passed = walked.refused is None
            if want is None and (not passed or answer.status_code >= 500):
                wrong.append((page, verb, "the page itself", answer.status_code))
            if want is not None and (passed or answer.status_code != want):
                wrong.append((page, verb, want, answer.status_code))
            if answer.status_code == 302 and want == 302 and not answer["Location"].startswith("/sign-in"):
                wrong.append((page, verb, "to sign-in", answer["Location"]))
    assert not wrong


def test_other_verbs_are_refused_and_head_counts_as_get(signed_in: Callable[..., Client]) -> None:
    client = signed_in("owner")
    assert client.head("/people").status_code == 200
    assert Client().head("/people").status_code == 302
    for verb in ("put", "patch", "delete", "options", "trace"):
        for address in ("/people", "/sign-in", "/nothing-here"):
            assert getattr(client, verb)(address).status_code == 405, (verb, address)
    refused = client.get("/people/x/badge")
    assert (refused.status_code, refused["Allow"]) == (405, "POST")
    assert "This address does not take such a request" in refused.content.decode()


def test_a_wrong_role_is_told_and_noted(signed_in: Callable[..., Client], people: dict[str, Person]) -> None:
    from bedsite.records.models import DoorNote

    answer = signed_in("buyer").get("/people")
    assert answer.status_code == 403
    assert "This page is for owner; you are buyer." in answer.content.decode()
    note = DoorNote.objects.filter(what="refused").get()
    assert (note.person, note.page, note.address) == (people["buyer"].key, "doors:people", "127.0.0.1")


def test_a_fragment_asked_by_a_stranger_leads_to_sign_in(works_folder: object) -> None:
    answer = Client().get("/people", headers={"HX-Request": "true"})
    assert (answer.status_code, answer["HX-Redirect"]) == (403, "/sign-in?next=%2Fpeople")


def test_every_post_needs_a_form_token(people: dict[str, Person], tablet: tuple[Device, Client]) -> None:
    from bedsite.doors import sessions
    from bedsite.doors.rights import TABLE

    strict = Client(enforce_csrf_checks=True)
    strict.force_login(people["owner"])
    session = strict.session
    session[sessions.BEGAN] = session[sessions.SEEN] = __import__("time").time()
    session.save()
    strict.cookies["bedwright-device"] = tablet[1].cookies["bedwright-device"].value
    posts = [right.page for right in TABLE if right.verb == "POST"]
    assert len(posts) > 20
    addresses, told = pages(), "This form was not made for your session"
    for page in posts:
        answer = strict.post(addresses[page])
        assert answer.status_code == 403 and told in answer.content.decode(), page
        answer = strict.post(addresses[page], {"csrfmiddlewaretoken": "x" * 64})
        assert answer.status_code == 403 and told in answer.content.decode(), page
    assert strict.get("/me").status_code == 200, "and none of them did anything"


class Inline(HTMLParser):
    """Whatever of a page the content policy would stop."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        if tag in ("style", "iframe", "object", "embed", "base") or (tag == "script" and not told.get("src")):
            self.found.append(tag)
        for name, value in attrs:
            if name == "style" or name.startswith("on"):
                self.found.append(f"{tag} {name}")
            if name in ("src", "href", "action", "data", "poster") and value:
                inside = value.startswith(("/", "?", "#")) and not value.startswith("//")
                if not inside and value:
                    self.found.append(f"{tag} {name}={value}")

    handle_startendtag = handle_starttag


POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)


def proper(answer: Any) -> list[str]:
    """What an answer lacks or has too much of."""
    wanted = {
        "Content-Security-Policy": POLICY,
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
        "Referrer-Policy": "same-origin",
        "Cross-Origin-Opener-Policy": "same-origin",
    }
    wrong = [
        f"{name}: {answer.headers.get(name)}" for name, value in wanted.items() if answer.headers.get(name) != value
    ]
    if "Permissions-Policy" not in answer.headers:
        wrong.append("no Permissions-Policy")
    if "no-store" not in answer.headers.get("Cache-Control", ""):
        wrong.append(f"Cache-Control: {answer.headers.get('Cache-Control')}")
    if answer.headers.get("Content-Type", "").startswith("text/html"):
        wrong.extend(Inline(answer.content.decode()).found)
    return wrong


def test_every_page_carries_the_policy_and_nothing_inline(
    signed_in: Callable[..., Client], people: dict[str, Person], tablet: tuple[Device, Client]
) -> None:
    from bedsite.doors import one_time

    owner, addresses = signed_in("owner"), pages()
    addresses["doors:person"] = f"/people/{people['viewer'].key}"
    addresses["doors:person-erase"] = f"/people/{people['viewer'].key}/erase"
    seen = 0
    for page, address in addresses.items():
        for client in (owner, tablet[1], Client()):
            answer = client.get(address)
            wrong = proper(answer) if page != "floor:keeper" else []
            assert not wrong, (page, answer.status_code, wrong)
            seen += answer.status_code == 200 and client is owner
    assert seen >= 15, "most pages could be looked at whole"
    person, device = people["maker"], tablet[0]
    for address, data in {
        f"/people/{person.key}/badge": {},
        f"/people/{person.key}/link": {},
        f"/people/{person.key}/roles": {"roles": ["no such role"]},
        f"/people/{person.key}/pin": {"pin": "x"},
        "/people/new": {"name": "", "sign_in": "!"},
        "/tablets/new": {"name": "one more", "place": "BUILD"},
        f"/tablets/{device.key}/link": {},
        "/me/password": {"before": "x", "password": "y", "again": "z"},
        "/me/pin": {"p-before": "x", "p-pin": "z"},
    }.items():
        answer = owner.post(address, data)
        assert not proper(answer) and answer.status_code in (200, 422), (address, answer.status_code, proper(answer))
    for secret, address in ((one_time.make("owner afar"), "first"), (one_time.make("device", device.key), "tablet")):
        answer = Client().get(f"/{address}/{secret}")
        assert answer.status_code == 200 and not proper(answer)


def test_the_policy_test_sees_what_is_inline() -> None:
    bad = (
        '<p style="x"><a onclick="y" href="//evil.example">z</a><script>1</script><img src="data:x"><style>p{}</style>'
    )
    assert Inline(bad).found == [
        "p style", "a onclick", "a href=//evil.example", "script", "img src=data:x", "style",
    ]  # fmt: skip


def test_error_pages_carry_the_policy_too(signed_in: Callable[..., Client], monkeypatch: pytest.MonkeyPatch) -> None:
    from bedsite.doors.pages import people as people_page

    client = signed_in("owner")
    client.raise_request_exception = False

    def fails(*_: Any) -> None:
        raise RuntimeError("sheep")

    monkeypatch.setattr(people_page.people_acts, "everybody", fails)
    answers = {
        500: client.get("/people"),
        404: client.get("/nothing-here"),
        405: client.put("/people"),
        400: client.get("/people", headers={"host": "evil.example"}),
        413: client.post("/people/new", CONTENT_LENGTH="2000000"),
        403: signed_in("viewer").get("/people"),
    }
    for status, answer in answers.items():
        text = answer.content.decode()
        assert answer.status_code == status and not proper(answer), status
        assert "<h1>" in text and "Traceback" not in text and "sheep" not in text, status
    assert signed_in("owner").get("/people/nobody").status_code == 404
