"""One writer of `ledger_writers`: cards put, claims sent, each in its own transaction, until the time is over.

Run as a process: python -m measures._writer NUMBER SECONDS; the environment names the ledger. Prints JSON.
"""

from __future__ import annotations

import json
import os
import sys
import time
from typing import Any

from bedsite.opening import open_ledger
from bedsite.store import PLACE, named


def write(number: int, seconds: float) -> dict[str, Any]:
    """How many writes were acknowledged and how many failed, the time each took [s], and the first failure."""
    from bedsite.records import cards, events, people  # noqa: PLC0415 -- once Django was told the ledger
    from bedsite.records.payloads import Claim  # noqa: PLC0415

    who = people.command_line()
    wire = cards.card_in(cards.heads("wire", most=1)[0])
    took: list[float] = []
    failed, first, tries = 0, "", 0
    ends = time.monotonic() + seconds
    while time.monotonic() < ends:
        tries += 1
        began = time.monotonic()
        try:
            if tries % 2:
                own = wire.model_copy(update={"code": f"WRITER-{number}", "name": f"write {tries}"})
                cards.put(own, expected=cards.UNTOUCHED, who=who, why="measured")
            else:
                sender = f"writer-{number}-{tries}-{os.getpid()}"
                events.append(Claim(says=f"write {tries}"), sender=sender, subject=f"writer {number}", who=who)
        except Exception as error:  # whatever it is, it is a write that failed
            failed, first = failed + 1, first or f"{type(error).__name__}: {error}"
        took.append(time.monotonic() - began)
    return {"writes": tries - failed, "failed": failed, "first": first, "took": took}


if __name__ == "__main__":
    open_ledger(named(os.environ[PLACE]))
    print(json.dumps(write(int(sys.argv[1]), float(sys.argv[2]))))
