"""People at desks, and the forms of a page as a browser without script would send them."""

from __future__ import annotations

from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest


class Sheet(HTMLParser):
    """A page read as a browser reads it: boxes by form, labels, ids, what is inline."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.forms: list[dict[str, Any]] = []
        self.boxes: list[dict[str, Any]] = []
        self.labels: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.inline: list[str] = []
        self.told: list[str] = []
        self._form: dict[str, Any] | None = None
        self._select: dict[str, Any] | None = None
        self._area: dict[str, Any] | None = None
        self._fresh = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value if value is not None else "" for name, value in attrs}
        self._fresh = False
        if "id" in told:
            self.ids.append(told["id"])
        if "style" in told or any(name.startswith("on") for name in told) or (tag == "script" and "src" not in told):
            self.inline.append(self.get_starttag_text() or tag)
        if tag == "style":
            self.inline.append(tag)
        if tag == "form":
            self._form = {"attrs": told, "values": [], "buttons": []}
            self.forms.append(self._form)
        if tag == "label":
            self.labels.append(told.get("for", ""))
        if tag == "a" and "href" in told:
            self.links.append(told["href"])
        if tag == "button" and self._form is not None:
            self._form["buttons"].append(told)
        if tag in ("input", "select", "textarea"):
            self.boxes.append(told | {"tag": tag})
            self._box(tag, told)
        if tag == "option" and self._select is not None:
            self._select["options"].append((told.get("value", ""), "selected" in told))

    def _box(self, tag: str, told: dict[str, str]) -> None:
        if tag == "input":
            kind = told.get("type", "text")
            if kind == "file" or (kind in ("radio", "checkbox") and "checked" not in told):
                return
            value = told.get("value", "")
            if kind not in ("hidden", "radio", "checkbox"):
                value = value.replace("\r", "").replace("\n", "")  # as browsers do in a box of one line
            self._add(told.get("name", ""), value)
        elif tag == "select":
            self._select = told | {"options": []}
        else:
            self._area = told | {"text": ""}
            self._fresh = True

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self._area["text"] += data
        else:
            self.told.append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = None
        if tag == "select" and self._select is not None:
            options = self._select["options"]
            chosen = [value for value, is_chosen in options if is_chosen]
            self._add(self._select.get("name", ""), chosen[-1] if chosen else options[0][0] if options else "")
            self._select = None
        if tag == "textarea" and self._area is not None:
            text = self._area["text"].removeprefix("\r\n").removeprefix("\n") if self._area["text"] else ""
            self._add(self._area.get("name", ""), text.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\r\n"))
            self._area = None

    def _add(self, name: str, value: str) -> None:
        if self._form is not None and name:
            self._form["values"].append((name, value))

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.told).split())

    def form(self, has: str = "") -> dict[str, list[str]]:
        """What the form with a box of this name would send."""
        for form in self.forms:
            if not has or has in {name for name, _ in form["values"]}:
                sent: dict[str, list[str]] = {}
                for name, value in form["values"]:
                    sent.setdefault(name, []).append(value)
                return sent
        raise AssertionError(f"no form with {has!r}")

    def unlabelled(self) -> list[str]:
        """Boxes that no label names."""
        return [
            str(box)
            for box in self.boxes
            if box.get("type") != "hidden" and box.get("id", "-") not in self.labels and not box.get("aria-label")
        ]

    def doubled(self) -> list[str]:
        return sorted({one for one in self.ids if self.ids.count(one) > 1})


@pytest.fixture
def sheet() -> Callable[[Any], Sheet]:
    """Reads an answer; every page has labels tied to its boxes, ids that stand once, and nothing inline."""

    def read(response: Any) -> Sheet:
        found = Sheet(response.content.decode())
        assert found.inline == []
        assert found.unlabelled() == []
        assert found.doubled() == []
        return found

    return read


@pytest.fixture
def person(works_folder: Path) -> Callable[..., Any]:
    """A person of the works with these roles."""

    def made(*roles: str, name: str = "") -> Any:
        from bedsite.records import people
        from bedsite.records.chain import now
        from bedsite.records.models import Person

        called = name or f"Ada {' '.join(roles)}"
        return Person.objects.create(
            key=people.new_key(), sign_in=called.casefold(), name=called, roles=",".join(roles), made_at=now(),
            password="!",
        )  # fmt: skip

    return made


@pytest.fixture
def signed_in(person: Callable[..., Any]) -> Callable[..., Any]:
    """A browser without script, signed in with these roles."""

    def made(*roles: str, name: str = "", strict: bool = False) -> Any:
        from django.conf import settings
        from django.test import Client

        from bedsite.doors import clock, sessions

        settings.ALLOWED_HOSTS = ["testserver", *settings.ALLOWED_HOSTS]
        browser = Client(enforce_csrf_checks=strict)
        who = person(*roles, name=name)
        browser.force_login(who)
        session = browser.session
        session[sessions.BEGAN] = session[sessions.SEEN] = clock.now().timestamp()
        session.save()
        browser.person = who
        return browser

    return made


@pytest.fixture
def owner(signed_in: Callable[..., Any]) -> Any:
    return signed_in("owner")
