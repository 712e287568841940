"""`python -m bedsite.longwork.worker`: the process that does the long work of one ledger; `serve` starts it.

The environment names the ledger (BEDWRIGHT_LEDGER) and, where wanted, the most memory in MB (BEDWRIGHT_WORK_MB). It
ends on SIGTERM and when the process that started it is gone; what it was at waits for the next one.
"""

from __future__ import annotations

import importlib
import os
import resource
import signal
import sys

from bedsite.opening import open_ledger
from bedsite.store import PLACE, named
from bedwright.errors import BedwrightError

MEMORY = "BEDWRIGHT_WORK_MB"
_ONE_THREAD = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")


def main() -> int:
    """Work until told to stop; 2 where there is no ledger to work for."""
    parent = os.getppid()
    for name in _ONE_THREAD:  # read when numpy is loaded, which is later
        os.environ[name] = "1"
    try:
        _limit_memory(os.environ.get(MEMORY, ""))
        place = os.environ.get(PLACE, "")
        if not place:
            print(f"{PLACE} names no ledger; `bedwright serve WORKS` starts the worker", file=sys.stderr)
            return 2
        open_ledger(named(place))
    except BedwrightError as error:
        print(error, file=sys.stderr)
        return 2
    # models can be read only now that Django was told the ledger
    worker = importlib.import_module("bedsite.longwork.working").Worker(parent=parent)
    signal.signal(signal.SIGTERM, worker.stop)
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # ^C reaches the server too, which then ends its worker
    worker.run()
    return 0


def _limit_memory(text: str) -> None:
    if not text:
        return
    if not text.isdecimal() or not 256 <= int(text) <= 10**7:
        print(f"{MEMORY} is {text[:20]!r}; it is a number of megabytes from 256 on, and was left out", file=sys.stderr)
        return
    most = int(text) * 2**20
    resource.setrlimit(resource.RLIMIT_AS, (most, most))


if __name__ == "__main__":
    raise SystemExit(main())
