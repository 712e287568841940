"""Somebody at a page who saves a card over and over, and asks for long work, whatever happens to the server."""

from __future__ import annotations

import http.client
import threading
import time
import urllib.parse
from datetime import date, timedelta
from html.parser import HTMLParser

PASSWORD = "sheep cross at dusk"


class Form(HTMLParser):
    """What the longest form of a page would send."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.forms: list[dict[str, str]] = [{}]
        self._select = self._area = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append({})
        elif tag == "input" and told.get("name") and told.get("type") != "file":
            self.forms[-1][told["name"]] = told.get("value", "")
        elif tag == "select":
            self._select = told.get("name", "")
        elif tag == "option" and self._select and ("selected" in told or self._select not in self.forms[-1]):
            self.forms[-1][self._select] = told.get("value", "")
        elif tag == "textarea":
            self._area = told.get("name", "")
            self.forms[-1][self._area] = ""

    def handle_data(self, data: str) -> None:
        if self._area:
            self.forms[-1][self._area] += data.strip()

    def handle_endtag(self, tag: str) -> None:
        if tag == "select":
            self._select = ""
        elif tag == "textarea":
            self._area = ""

    @property
    def longest(self) -> dict[str, str]:
        return max(self.forms, key=len)


class NoAnswer(Exception):
    """The server did not answer, or not as it should."""


class AtAPage(threading.Thread):
    """Saves its own card as "page 1", "page 2" ...; now and then asks for a reckoning of another day."""

    def __init__(self, port: int, sign_in: str, code: str, stop: threading.Event) -> None:
        super().__init__(name=sign_in, daemon=True)
        self.port, self.sign_in, self.code, self.stop_now = port, sign_in, code, stop
        self.cookies: dict[str, str] = {}
        self.saved: list[str] = []
        """Names acknowledged, in order."""
        self.asked: list[str] = []
        """Addresses of jobs acknowledged."""
        self.wrong: list[str] = []
        """Answers that should not be, whatever is killed."""
        self.no_answers = 0

    def run(self) -> None:
        number = 1
        while not self.stop_now.is_set():
            try:
                if not self.cookies.get("bedwright-session"):
                    self.come_in()
                self.save(f"page {number}")
                number += 1
                if number % 6 == 0:
                    self.ask(number)
                time.sleep(0.1)
            except (OSError, http.client.HTTPException, NoAnswer):
                self.no_answers += 1
                time.sleep(0.3)

    def call(self, verb: str, path: str, sent: dict[str, str] | None = None) -> tuple[int, str, str]:
        held = http.client.HTTPConnection("127.0.0.1", self.port, timeout=25)
        try:
            head = {"Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items())}
            body = urllib.parse.urlencode(sent) if sent is not None else None
            if body is not None:
                head["Content-Type"] = "application/x-www-form-urlencoded"
                head["Origin"] = f"http://127.0.0.1:{self.port}"
            held.request(verb, path, body, head)
            answer = held.getresponse()
            text = answer.read().decode()
            for line in answer.headers.get_all("Set-Cookie") or ():
                name, _, value = line.partition(";")[0].partition("=")
                self.cookies[name] = value
        finally:
            held.close()
        if answer.status == 429 and path == "/sign-in":  # two at one address at once: the doors slow them down
            raise NoAnswer
        if answer.status >= 400:
            self.wrong.append(f"{verb} {path}: {answer.status} {' '.join(text.split())[:300]}")
            raise NoAnswer
        return answer.status, answer.headers.get("Location", ""), text

    def come_in(self) -> None:
        form = Form(self.call("GET", "/sign-in")[2]).longest
        self.call("POST", "/sign-in", form | {"sign_in": self.sign_in, "password": PASSWORD})

    def save(self, name: str) -> None:
        path = f"/cards/wires/card/{self.code}/edit/"
        form = Form(self.call("GET", path)[2]).longest
        if form["f-name"] != name:  # else the answer to the last try was lost, and what it wrote is there
            status, to, _ = self.call("POST", path, form | {"f-name": name})
            if status != 302 or "merge" in to:
                self.wrong.append(f"saving {name}: {status} {to}")
                raise NoAnswer
        self.saved.append(name)

    def ask(self, number: int) -> None:
        form = Form(self.call("GET", "/work")[2]).longest
        day = date(2026, 3, 2) + timedelta(days=number % 300)
        sent = form | {"what": "reckon", "as_of": day.isoformat()}
        self.asked.append(self.call("POST", "/work", sent)[1])
