"""One job under way: a heartbeat in a thread beside it, progress written down, and word to stop passed on."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable
from types import TracebackType

from django.db import DatabaseError, connection

from bedsite.longwork import queue
from bedsite.longwork.kinds import Cancelled, Left, Stopped
from bedsite.records.models import Job

BEAT = 2.0
"""Seconds between heartbeats; a cancel is heard with one."""
WRITES_APART = 0.5
"""Seconds between two writings of progress, at least."""
GRACE = 5.0
"""Seconds that work has to put itself down; then its worker puts the job back and leaves."""
_TICK = 0.25


class AtWork:
    """Called by the work with how far it is; `with` it, the job's heartbeat goes on.

    must_go says whether the worker has to leave. What work told before never goes down: a total that grows makes the
    share stand still.
    """

    def __init__(
        self, job: Job, must_go: Callable[[], bool], *, leave_process: Callable[[], None] = lambda: os._exit(0)
    ) -> None:
        self.job = job
        self.who = job.asked_by
        self._must_go = must_go
        self._leave_process = leave_process
        self._left: type[Left] | None = None
        self._over = threading.Event()
        self._best = (0, 1)
        self._written = -WRITES_APART
        self._thread = threading.Thread(target=self._beat, name="heartbeat", daemon=True)

    def __enter__(self) -> AtWork:
        self._thread.start()
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self._over.set()
        self._thread.join()

    def __call__(self, done: int, total: int, message: str = "") -> None:
        """Raises Cancelled or Stopped when the work is to be put down."""
        if self._left is not None:
            raise self._left
        done, total = max(0, min(done, total)), max(total, 1)
        if done * self._best[1] >= self._best[0] * total:
            self._best = (done, total)
        at = time.monotonic()
        if at - self._written < WRITES_APART:
            return
        self._written = at
        self.job.done, self.job.total = self._best
        if not queue.tell(self.job, *self._best, message):
            self._left = Stopped
            raise Stopped

    def _beat(self) -> None:
        beaten = told_to_go = time.monotonic()
        try:
            while not self._over.wait(_TICK):
                at = time.monotonic()
                if not self._must_go():
                    told_to_go = at
                elif self._left is None:
                    self._left = Stopped
                elif at - told_to_go > GRACE:
                    queue.leave(self.job)
                    self._leave_process()
                    return
                if at - beaten >= BEAT:
                    beaten = at
                    self._hear()
        finally:
            connection.close()

    def _hear(self) -> None:
        try:
            said = queue.beat(self.job)
        except DatabaseError:  # a writer holds the ledger, or the server is away: the next beat tries again
            connection.close()
            return
        if said != "go on" and self._left is None:
            self._left = Cancelled if said == "cancelled" else Stopped
