"""Random kill -9 of server, site, worker and writers under load: what was acknowledged is there once, nothing is stuck.

BEDWRIGHT_KILLS_SEED=N repeats a row of kills (as far as clocks allow); what was done is printed when it fails.
"""

from __future__ import annotations

import json
import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time
from collections import Counter
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from bedsite import store

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))
import own_writer  # noqa: E402 -- beside this file, where its processes run it
import pages_load  # noqa: E402

ON_POSTGRESQL = os.environ.get("BEDWRIGHT_TEST_DATABASE") == "postgresql"
TARGETS = ("writer", "worker", "site", "server")
WEIGHTS = (5, 3, 2, 2)
LOOK_WHOLE = 25
"""The whole chain is read after each kill while it is short, then after each so many."""


class Mill:
    """A served works, writers on it, and who kills them."""

    def __init__(self, works: Path, seed: int) -> None:
        self.works, self.seed, self.draw = works, seed, random.Random(seed)
        self.did: list[str] = [f"seed {seed}"]
        self.began = time.monotonic()
        self.env = {name: value for name, value in os.environ.items() if not name.startswith("BEDWRIGHT_SECRET")}
        self.stop = threading.Event()
        self.out = (works / "server.txt").open("a")
        self.serials = works / "serials.json"
        self.port = _free_port()
        self.server = self._serve()
        self.writers = [self._writer(number) for number in (0, 1)]
        self.pages = [pages_load.AtAPage(self.port, f"planner-{one}", f"PAGE-{one}", self.stop) for one in (0, 1)]
        self.kills: Counter[str] = Counter()
        self.gave_up = 0

    def note(self, what: str) -> None:
        self.did.append(f"{time.monotonic() - self.began:7.2f} s  {what}")

    def _serve(self) -> subprocess.Popen[bytes]:
        order = [sys.executable, "-m", "bedcli", "serve", str(self.works), "--port", str(self.port)]
        return subprocess.Popen(order, env=self.env, stdout=self.out, stderr=self.out)

    def _writer(self, number: int) -> subprocess.Popen[bytes]:
        order = [sys.executable, str(HERE / "own_writer.py"), str(number), str(self.log(number)), str(self.serials)]
        return subprocess.Popen(order, env=self.env, stdout=self.out, stderr=self.out)

    def log(self, number: int) -> Path:
        return self.works / f"writer-{number}.txt"

    def start(self) -> None:
        self.until("the server answers", self.answers, 30)
        for page in self.pages:
            page.start()

    def answers(self) -> bool:
        try:
            with socket.create_connection(("127.0.0.1", self.port), timeout=1) as held:
                held.sendall(b"GET /sign-in HTTP/1.0\r\nHost: 127.0.0.1\r\n\r\n")
                return held.recv(12).startswith(b"HTTP/1.")
        except OSError:
            return False

    def child(self, worker: bool) -> int:
        """Process id of the server's worker of long work, or of what answers its pages; 0 while there is none."""
        for pid in _children(self.server.pid):
            command = _command(pid)
            if command and (b"longwork" in command) == worker and b"resource_tracker" not in command:
                return pid
        return 0

    def until(self, what: str, true: Any, seconds: float) -> None:
        ends = time.monotonic() + seconds
        while not true():
            assert time.monotonic() < ends, self.told(f"not within {seconds} s: {what}")
            time.sleep(0.05)

    def told(self, what: str) -> str:
        self.out.flush()
        server = (self.works / "server.txt").read_text()[-6000:]
        self.note(f"server ended with {self.server.poll()}, its children {_children(self.server.pid)}")
        return "\n".join([what, *self.did[:1], *self.did[-40:], "server:", server])

    def kill(self, target: str) -> None:
        """One kill -9, and whoever starts it again does so."""
        self.kills[target] += 1
        if target == "writer":
            number = self.draw.randrange(2)
            self.note(f"kill writer {number}, pid {self.writers[number].pid}")
            assert self.writers[number].poll() is None, self.told(f"writer {number} ended by itself")
            self.writers[number].kill()
            self.writers[number].wait()
            self.writers[number] = self._writer(number)
        elif target == "server":
            self.note(f"kill server, pid {self.server.pid}")
            self.server.kill()
            self.server.wait()
            # what was tied to it ends with it; nothing else may listen on the port
            self.until("the port is free", lambda: not self.answers(), 10)
            self.server = self._serve()
            self.until("the server answers again", self.answers, 30)
        else:
            worker = target == "worker"
            self.until(f"a {target} is there", lambda: self.child(worker), 30)
            pid = self.child(worker)
            self.note(f"kill {target}, pid {pid}")
            os.kill(pid, signal.SIGKILL)
            self.until(
                f"another {target}", lambda: self.child(worker) not in (0, pid) or self.server.poll() is not None, 30
            )
            if self.server.poll() is not None:  # its pages killed twice within seconds, it gives up
                self.gave_up += 1
                self.note(f"the server gave up with {self.server.poll()}; begun anew")
                self.server = self._serve()
                self.until("the server answers again", self.answers, 30)

    def end(self) -> None:
        """Stop the load; what was tried and not acknowledged is sent again; wait until no job is open."""
        self.stop.set()
        for page in self.pages:
            page.join(60)
        for number, writer in enumerate(self.writers):
            before = len(own_writer.tried_and_acked(self.log(number))[1])
            more = before + 3
            self.until(
                "what was tried is acknowledged",
                lambda number=number, more=more: len(own_writer.tried_and_acked(self.log(number))[1]) > more,
                30,
            )
            writer.kill()
            writer.wait()

    def close(self) -> None:
        self.stop.set()
        for process in (*self.writers, self.server):
            process.kill()
            process.wait()
        self.out.close()


def _free_port() -> int:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        return int(held.getsockname()[1])


def _children(pid: int) -> list[int]:
    found: list[int] = []
    for task in Path(f"/proc/{pid}/task").glob("*/children"):
        try:
            found += [int(one) for one in task.read_text().split()]
        except OSError:
            continue
    return found


def _command(pid: int) -> bytes:
    try:
        return Path(f"/proc/{pid}/cmdline").read_bytes()
    except OSError:
        return b""


def prepared(works: Path, me: str) -> None:
    """Beds released for the writers to book, cards for the pages to save, people who sign in."""
    from bedsite.doors import people_acts
    from bedsite.records import cards, release
    from bedsite.records.payloads import ReleasedStep

    steps = (
        ReleasedStep(position=1, operation="close", place="build", after=(), minutes=20),
        ReleasedStep(position=2, operation="bag", place="wrap", after=(1,), minutes=5),
    )
    line = release.ToRelease(
        order="O-1", line=1, customer="INN", bed="SNIPE", size="150", run_beds=(40,), due=date(2026, 3, 10),
        van_round="north", rank=1, steps=steps,
    )  # fmt: skip
    (made,) = release.release([line], revision=7, who=me)
    serials = [serial for run in made.runs for serial in run.serials]
    (works / "serials.json").write_text(json.dumps(serials))
    if (works / store.LEDGER_URL).is_file():
        (works / store.LEDGER_URL).chmod(0o600)  # a password may stand in it, so serve asks for that
    wire = cards.card_in(cards.head("wire", "W22"))
    for number in (0, 1):
        people_acts.new_person(f"Planner {number}", f"planner-{number}", {"owner"}, pages_load.PASSWORD)
        cards.put(wire.model_copy(update={"code": f"PAGE-{number}"}), expected=0, who=me)


def look(mill: Mill, whole: bool) -> None:
    """Everything acknowledged so far is in the ledger, once; the chain holds."""
    from bedsite.records import chain
    from bedsite.records.models import Event

    saved = [list(page.saved) for page in mill.pages]
    acked = [own_writer.tried_and_acked(mill.log(number))[1] for number in (0, 1)]
    if whole:
        chain.verify()
    for number in (0, 1):
        sent = {own_writer.sender(number, place) for place in acked[number] if place % 3}
        there = set(Event.objects.filter(sender__startswith=f"writer-{number}-").values_list("sender", flat=True))
        lost = sorted(sent - {one for one in there if not one.endswith(":closes")})
        assert not lost, mill.told(f"acknowledged and not in the ledger: {lost[:5]}")
        _once(mill, f"WRITER-{number}", [f"write {place}" for place in sorted(acked[number]) if place % 3 == 0])
        _once(mill, f"PAGE-{number}", saved[number])


def _once(mill: Mill, code: str, acked: list[str]) -> None:
    from bedsite.records.models import Revision

    bodies = Revision.objects.filter(kind="wire", folded=code.casefold()).values_list("body", "aside")
    counted = Counter(json.loads(body)["name"] for body, _ in bodies)
    wrong = {name: counted[name] for name in acked if counted[name] != 1}
    assert not wrong, mill.told(f"{code}: acknowledged once and in the ledger another number of times: {wrong}")
    assert not any(aside for _, aside in bodies), mill.told(f"{code}: kept aside, with one writer")


def everything_ended(mill: Mill) -> None:
    from bedsite.longwork import queue
    from bedsite.records.models import Head, Job, Revision

    mill.until("no job is open", lambda: not Job.objects.filter(state__in=queue.OPEN).exists(), 90)
    asked = {to.rpartition("/")[2] for page in mill.pages for to in page.asked}
    ended = dict(Job.objects.values_list("key", "state"))
    assert asked <= set(ended), mill.told("a job that was acknowledged is gone")
    says = list(Job.objects.filter(state="failed").values_list("message", flat=True))
    assert all("its worker ended 3 times" in one for one in says), mill.told(f"a job failed by itself: {says[:2]}")
    for one in Head.objects.all():
        last = Revision.objects.filter(kind=one.kind, folded=one.folded, aside=False).order_by("-number").first()
        assert last is not None and (last.number, last.seq, last.content) == (one.number, one.seq, one.content)
    assert not [page.wrong for page in mill.pages if page.wrong], mill.told(
        str([page.wrong[:3] for page in mill.pages])
    )
    assert all(page.saved for page in mill.pages) and asked


def under_fire(works: Path, me: str, kills: int, wait: float) -> Mill:
    from django.db import connections

    from bedsite.records import ledger

    prepared(works, me)
    connections.close_all()
    mill = Mill(works, int(os.environ.get("BEDWRIGHT_KILLS_SEED", "") or random.SystemRandom().randrange(10**6)))
    try:
        mill.start()
        for number in range(1, kills + 1):
            time.sleep(mill.draw.uniform(0, wait))
            first = TARGETS[number - 1] if number <= len(TARGETS) else ""  # each at least once
            mill.kill(first or mill.draw.choices(TARGETS, WEIGHTS)[0])
            look(mill, ledger.end().seq < 2500 or number % LOOK_WHOLE == 0)
        mill.end()
        look(mill, True)
        everything_ended(mill)
    finally:
        mill.close()
    print(
        f"seed {mill.seed}, kills {dict(mill.kills)}, chain {ledger.end().seq}, {time.monotonic() - mill.began:.0f} s"
    )
    return mill


def test_five_kills_lose_nothing(works_folder: Path, me: str) -> None:
    under_fire(works_folder, me, 5, 0.8)


@pytest.mark.full
def test_two_hundred_kills_lose_nothing(works_folder: Path, me: str) -> None:
    under_fire(works_folder, me, 20 if ON_POSTGRESQL else 200, 1.0)
