"""A writer that may be killed at any moment: says what it tries before, and what was acknowledged after, in its log.

python own_writer.py NUMBER LOG SERIALS; begun again, it sends first what was tried and not acknowledged, with the same
sender's id. Its writes follow from NUMBER and their place in the row alone.
"""

from __future__ import annotations

import json
import os
import sys
import time
from pathlib import Path
from typing import Any

PAUSE = 0.03
PLACES = ("build", "wrap")


def booking(number: int, place: int, serials: list[str]) -> dict[str, Any] | None:
    """The booking of a place in this writer's row; None when all its beds are done."""
    own = serials[number::2]
    bed, act = divmod(place, 4)
    if bed >= len(own):
        return None
    return {"serial": own[bed], "place": PLACES[act // 2], "act": ("start", "done")[act % 2]}


def sender(number: int, place: int) -> str:
    return f"writer-{number}-{place:06d}"


def write(number: int, place: int, serials: list[str], wire: Any, who: str) -> None:
    from bedsite.records import bookings, cards, events
    from bedsite.records.payloads import Booking, Claim

    kind, turn = place % 3, place // 3
    if kind == 0:
        own = wire.model_copy(update={"code": f"WRITER-{number}", "name": f"write {place}"})
        cards.put(own, expected=cards.UNTOUCHED, who=who, why="load")
        return
    booked = booking(number, turn, serials) if kind == 1 else None
    if booked is not None:
        bookings.book(Booking(**booked), sender=sender(number, place), who=f"{who[:31]}{number}")
    else:
        events.append(Claim(says=f"claim {place}"), sender=sender(number, place), subject=f"load {number}", who=who)


def tried_and_acked(log: Path) -> tuple[list[int], set[int]]:
    """Places tried, in order, and those acknowledged; half a line at the end says nothing."""
    tried: list[int] = []
    acked: set[int] = set()
    whole = log.read_text().split("\n")[:-1] if log.exists() else []
    for line in whole:
        word, _, place = line.partition(" ")
        if word == "try":
            tried.append(int(place))
        elif word == "ack":
            acked.add(int(place))
    return tried, acked


def main() -> None:
    from bedsite.opening import open_ledger
    from bedsite.store import PLACE, named

    number, log = int(sys.argv[1]), Path(sys.argv[2])
    serials = json.loads(Path(sys.argv[3]).read_text())
    open_ledger(named(os.environ[PLACE]))
    from bedsite.records import cards, people

    who, wire = people.command_line(), cards.card_in(cards.head("wire", "W22"))
    tried, acked = tried_and_acked(log)
    place = next((one for one in tried if one not in acked), max(tried, default=-1) + 1)
    with log.open("a") as said:
        said.write("\n")  # ends half a line
        while True:
            said.write(f"try {place}\n")
            said.flush()
            write(number, place, serials, wire, who)
            said.write(f"ack {place}\n")
            said.flush()
            place += 1
            time.sleep(PAUSE)


if __name__ == "__main__":
    main()
