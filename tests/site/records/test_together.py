"""Many hands at once, from one barrier: no write fails, numbers run 1 to n, the chain holds. On either engine."""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path

from bedwright.works.springs import Wire

HANDS = 8
TIMES = 12


def wire(note: str) -> Wire:
    return Wire(
        code="SHARED", name="w", note=note, diameter=1.5, grade="SM", supplier="FERRUM", carbon="C-STEEL"
    )  # fmt: skip


def write(hand: int, times: int) -> None:
    """What one hand does: reads the head, edits it, and appends an event, over and over; merges what it finds open."""
    from bedsite.records import cards, events
    from bedsite.records.payloads import Claim

    who = f"{hand:032d}"
    for time in range(times):
        try:
            number = cards.head("wire", "SHARED").number
        except cards.Moved:
            number = 0
        cards.put(wire(f"hand {hand} time {time}"), expected=number, who=who)
        sender = f"hand-{hand}-{time:06d}"
        for _ in range(2):
            events.append(Claim(says="dip"), sender=sender, subject="SHARED", who=who)
        events.append(Claim(says="all say so"), sender=f"all-hands-{time:06d}", subject="SHARED", who=who)


def judge(hands: int, times: int) -> None:
    """What must be afterwards."""
    from bedsite.records import cards, chain, events

    rows = cards.history("wire", "SHARED")[::-1]
    assert [row.number for row in rows] == list(range(1, hands * times + 1))
    said = {cards.card_in(row).note for row in rows}
    assert said == {f"hand {hand} time {time}" for hand in range(hands) for time in range(times)}
    head = cards.head("wire", "SHARED")
    asides = cards.open_asides("wire", "SHARED")
    assert len(asides) == head.asides == sum(row.aside for row in rows)
    assert head.number == max(row.number for row in rows if not row.aside)
    assert len(events.of_subject("SHARED")) == hands * times + times  # a repeat, and what all said, counts once
    found = chain.verify()
    assert [row.seq for row in chain.rows_in_order()] == list(range(1, found.seq + 1))


def test_eight_threads_on_one_card(works_folder: Path) -> None:
    from django.db import connections

    from bedsite.records import chain

    chain.verify()
    barrier = threading.Barrier(HANDS)
    failed: list[BaseException] = []

    def work(hand: int) -> None:
        try:
            barrier.wait(30)
            write(hand, TIMES)
        except BaseException as error:
            failed.append(error)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=work, args=(hand,)) for hand in range(HANDS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(120)
    assert failed == []
    judge(HANDS, TIMES)


WORK = """
import sys, time
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from bedsite import opening, store
opening.open_ledger(store.named(sys.argv[2]))
from test_together import write
go = Path(sys.argv[4])
print("ready", flush=True)
while not go.exists():
    time.sleep(0.002)
write(int(sys.argv[3]), int(sys.argv[5]))
"""


def start_hands(place: str, folder: Path, hands: int, times: int) -> None:
    """Processes that all begin when a file appears; every one must end well."""
    go = folder / "go"
    here = str(Path(__file__).parent)
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", WORK, here, place, str(hand), str(go), str(times)],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )
        for hand in range(hands)
    ]  # fmt: skip
    try:
        for run in runs:
            assert run.stdout is not None
            assert run.stdout.readline().strip() == "ready", run.stderr.read() if run.stderr else ""
        go.touch()
        for run in runs:
            _, said = run.communicate(timeout=120)
            assert run.returncode == 0, said
    finally:
        for run in runs:
            run.kill()
            run.wait()


def test_four_processes_on_one_card(works_folder: Path) -> None:
    from bedsite import store

    place = store.place_of(works_folder)
    assert place is not None
    start_hands(place.text, works_folder, 4, TIMES)
    judge(4, TIMES)
