"""The worker's day: take up what dead workers left, take a job, do it, say how it ended; and again."""

from __future__ import annotations

import os
import sys
import threading
import time
import traceback
from typing import Any

from django.db import DatabaseError, connection

from bedsite.longwork import hands, queue
from bedsite.longwork.at_work import AtWork
from bedsite.longwork.kinds import Left, kind_of
from bedsite.records.models import Job
from bedwright.errors import BedwrightError
from bedwright.identity import canonical

POLL = 0.4
"""Seconds between looks at an empty table."""
LOOK_ROUND = 3.0
"""Seconds between looks for jobs that nobody works at any more."""
_AWAY = 2.0


class Worker:
    """Takes jobs one after another until told to stop, or until the process that started it is gone."""

    def __init__(self, *, parent: int = 0) -> None:
        self.name = hands.own_name()
        self.parent = parent
        self._stop = threading.Event()

    def stop(self, *_: object) -> None:
        """Put down what is at work and end; also a signal handler."""
        self._stop.set()

    def must_go(self) -> bool:
        """Whether it is time to leave."""
        if self.parent and os.getppid() != self.parent:
            self._stop.set()
        return self._stop.is_set()

    def run(self) -> None:
        """Work until told to stop."""
        looked = -LOOK_ROUND
        while not self.must_go():
            try:
                at = time.monotonic()
                if at - looked >= LOOK_ROUND:
                    looked = at
                    queue.retake()
                    queue.forget_old()
                if not self.one():
                    self._stop.wait(POLL)
            except DatabaseError as error:
                print(f"the ledger did not answer ({error}); trying again", file=sys.stderr, flush=True)
                connection.close()
                self._stop.wait(_AWAY)

    def one(self) -> bool:
        """Take one job and see it to its end; False where none waits."""
        job = queue.take(self.name) if queue.waiting() else None
        if job is None:
            return False
        if not queue.end_known(job):
            self._work(job)
        return True

    def _work(self, job: Job) -> None:
        with AtWork(job, self.must_go) as told:
            try:
                answer = answered(job, told)
            except Left:
                queue.leave(job)
            except BedwrightError as error:
                queue.fail(job, str(error))
            except MemoryError:
                queue.fail(job, "it needs more memory than the worker may take; ask for less at once, or raise that")
            except DatabaseError:
                raise
            except Exception as error:
                traceback.print_exc()
                queue.fail(
                    job,
                    f"the program itself failed ({type(error).__name__}); this is a fault of the program, and what the "
                    "server printed says where",
                )
            else:
                queue.end(job, answer)


def answered(job: Job, told: AtWork) -> Any:
    """Do the work of a job and give its answer, which is plain JSON data (TypeError where it is not)."""
    kind = kind_of(job.kind)
    inputs = kind.inputs.model_validate_json(job.inputs, strict=True)
    answer = kind.function()(inputs, told)
    canonical(answer)
    return answer
