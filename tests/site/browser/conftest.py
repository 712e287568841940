"""A real server in a process of its own, a real Chromium, and an owner who came in by the one-time link.

`served(works_folder)` serves any adopted folder on a free port; `chrome` is the browser; `watched(context)` gives a
page that notes console errors, page errors and requests that leave the machine: `page.troubles` must stay empty.
"""

from __future__ import annotations

import contextlib
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

PASSWORD = "sheep cross at dusk"
ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-background-networking", "--no-first-run",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip


@dataclass
class Served:
    """A server that is up: its address, and the link that makes the first owner ("" where there is one)."""

    base: str
    link: str
    process: subprocess.Popen[str] = field(repr=False)
    seconds: float = 0.0


def free_port() -> int:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        return int(held.getsockname()[1])


@contextlib.contextmanager
def serving(works: Path, port: int = 0) -> Iterator[Served]:
    """`bedwright serve WORKS` until the end of the block."""
    port = port or free_port()
    command = [sys.executable, "-u", "-m", "bedcli", "serve", str(works), "--port", str(port)]
    begun = time.monotonic()
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    lines: list[str] = []
    ready = threading.Event()

    def read() -> None:
        assert process.stdout is not None
        for line in process.stdout:
            lines.append(line)
            if "Stop with" in line:
                ready.set()
        ready.set()

    threading.Thread(target=read, daemon=True).start()
    try:
        assert ready.wait(30) and process.poll() is None, "".join(lines)
        base = f"http://127.0.0.1:{port}"
        _answers(port)
        found = re.search(r"http://\S+/first/\S+", "".join(lines))
        yield Served(base, found.group(0) if found else "", process, time.monotonic() - begun)
    finally:
        process.send_signal(signal.SIGINT)
        try:
            process.wait(10)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait(10)


def _answers(port: int) -> None:
    for _ in range(300):
        with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 1):
            return
        time.sleep(0.05)
    raise AssertionError(f"nothing listens on port {port}")


@pytest.fixture
def served() -> Iterator[Callable[[Path], Served]]:
    """A function that serves a folder until the test ends."""
    with contextlib.ExitStack() as stack:
        yield lambda works: stack.enter_context(serving(works))


@pytest.fixture(scope="session")
def chrome(chromium: str) -> Iterator[Any]:
    """The browser."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium, args=ARGUMENTS)
        yield browser
        browser.close()


def watched(context: Any, expected: str = "") -> tuple[Any, list[str]]:
    """A page, and what went wrong on it. expected: pattern of console words that are no trouble (a network cut)."""
    page = context.new_page()
    troubles: list[str] = []

    def console(message: Any) -> None:
        if message.type == "error" and not (expected and re.search(expected, message.text)):
            troubles.append(f"console: {message.text}")

    def request(asked: Any) -> None:
        if urlsplit(asked.url).hostname not in ("127.0.0.1", None):
            troubles.append(f"leaves the machine: {asked.url}")

    page.on("console", console)
    page.on("pageerror", lambda error: troubles.append(f"error: {error}"))
    context.on("request", request)
    return page, troubles


def first_owner(page: Any, served: Served, name: str = "Own Er", sign_in: str = "owner") -> None:
    """Become the owner by the one-time link, and be signed in."""
    page.goto(served.link)
    for label, value in (("name", name), ("sign_in", sign_in), ("password", PASSWORD), ("again", PASSWORD)):
        boxes = page.locator(f"[name={label}]")
        if boxes.count():
            boxes.first.fill(value)
    page.locator("main button, main form button").first.click()
    page.wait_for_load_state()
    if "/sign-in" in page.url:
        page.fill("[name=sign_in]", sign_in)
        page.fill("[name=password]", PASSWORD)
        page.locator("main form button").first.click()
        page.wait_for_load_state()


AXE = Path(__import__("axe_core_python").__file__).parent / "axe.min.js"


def grave_faults(chrome: Any, address: str, state: Any, width: int = 1024) -> list[str]:
    """Serious faults that axe finds on a page. Its script may run only where the policy of content is put aside."""
    context = chrome.new_context(
        bypass_csp=True, storage_state=state, viewport={"width": width, "height": 768}, service_workers="block"
    )
    try:
        page = context.new_page()
        page.goto(address)
        return axe(page)
    finally:
        context.close()


def axe(page: Any) -> list[str]:
    """Serious faults of what stands on a page now, in a context with bypass_csp."""
    page.add_script_tag(path=str(AXE))
    found = page.evaluate("() => axe.run()")
    return [
        f"{one['id']}: {one['help']} {[node['target'] for node in one['nodes']][:3]}"
        for one in found["violations"]
        if one["impact"] in ("serious", "critical")
    ]
