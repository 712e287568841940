"""The queue against a simple model: whatever order people and workers act in, both say the same."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

QUESTIONS = st.integers(0, 3)
WORKERS = st.sampled_from(["first", "second"])
WHICH = st.integers(0, 2)
PEOPLE = st.sampled_from(["one", "other"])
WORTH = 100
CAP = 2 * WORTH + WORTH // 2


@dataclass
class Line:
    """A job as the model sees it."""

    key: str
    question: int
    who: str
    state: str = "waiting"
    worker: str = ""
    tries: int = 0
    beat: datetime | None = None
    cancel: bool = False


class QueueModel(RuleBasedStateMachine):
    @initialize()
    def empty(self) -> None:
        from bedsite.records.models import Job, Kept

        Job.objects.all().delete()
        Kept.objects.all().delete()
        CLOCK[0] = datetime(2026, 3, 2, tzinfo=UTC)
        self.lines: list[Line] = []
        self.kept: list[int] = []  # the longest unused first
        self.hands: dict[str, list[tuple[Line, Any, int]]] = {}  # what each worker believes it holds

    def line(self, key: str) -> Line:
        return next(line for line in self.lines if line.key == key)

    def believed(self, worker: str, which: int) -> tuple[Line, Any, bool] | None:
        if not self.hands.get(worker):
            return None
        line, job, tries = self.hands[worker][which % len(self.hands[worker])]
        return line, job, (line.state, line.worker, line.tries) == ("at work", worker, tries)

    @rule(question=QUESTIONS, who=PEOPLE)
    def ask(self, question: int, who: str) -> None:
        from bedsite.longwork import queue

        tick()
        job = queue.ask("count", asks(to=question), who)
        there = [line for line in self.lines if line.question == question and line.state in ("waiting", "at work")]
        if there:
            assert job.key == there[0].key
            there[0].cancel = False
            return
        if question in self.kept:
            self.kept.remove(question)
            self.kept.append(question)
            own = [one for one in self.lines if (one.question, one.state, one.who) == (question, "done", who)]
            if own:
                assert job.key == own[-1].key
                return
        assert job.key not in [line.key for line in self.lines]
        self.lines.append(Line(job.key, question, who, "done" if question in self.kept else "waiting"))

    @rule(worker=WORKERS)
    def take(self, worker: str) -> None:
        from bedsite.longwork import queue

        tick()
        job = queue.take(worker)
        waiting = [line for line in self.lines if line.state == "waiting"]
        if job is None:
            assert not waiting
            return
        line = waiting[0]
        assert job.key == line.key
        line.state, line.worker, line.tries, line.beat = "at work", worker, line.tries + 1, CLOCK[0]
        self.hands.setdefault(worker, []).append((line, job, line.tries))

    @precondition(lambda self: any(self.hands.values()))
    @rule(worker=WORKERS, which=WHICH)
    def beat(self, worker: str, which: int) -> None:
        from bedsite.longwork import queue

        tick()
        believed = self.believed(worker, which)
        if believed is None:
            return
        line, job, holds = believed
        assert queue.beat(job) == ("lost" if not holds else "cancelled" if line.cancel else "go on")
        if holds:
            line.beat = CLOCK[0]

    @precondition(lambda self: any(self.hands.values()))
    @rule(worker=WORKERS, which=WHICH, how=st.sampled_from(["end", "fail", "leave"]))
    def finish(self, worker: str, which: int, how: str) -> None:
        from bedsite.longwork import queue

        tick()
        believed = self.believed(worker, which)
        if believed is None:
            return
        line, job, holds = believed
        self.hands[worker].pop(which % len(self.hands[worker]))
        if how == "end":
            assert queue.end(job, "x" * (WORTH - 2)) == holds
        elif how == "fail":
            assert queue.fail(job, "no") == holds
        else:
            assert queue.leave(job) == holds
        if not holds:
            return
        if how == "end":
            line.state = "done"
            self.kept = [one for one in self.kept if one != line.question] + [line.question]
            self.kept = self.kept[-(CAP // WORTH) :]
        elif how == "fail":
            line.state = "failed"
        elif line.cancel:
            line.state = "cancelled"
        else:
            line.state, line.worker, line.tries = "waiting", "", line.tries - 1
        line.cancel = False

    @precondition(lambda self: self.lines)
    @rule(which=st.integers(0, 30))
    def cancel(self, which: int) -> None:
        from bedsite.longwork import queue

        tick()
        if not self.lines:
            return
        line = self.lines[which % len(self.lines)]
        if line.state == "waiting":
            line.state = "cancelled"
        elif line.state == "at work":
            line.cancel = True
        assert queue.cancel(line.key).state == line.state

    @rule(question=QUESTIONS, worker=WORKERS)
    def ask_and_take(self, question: int, worker: str) -> None:
        self.ask(question, "one")
        self.take(worker)

    @rule(seconds=st.integers(0, 20))
    def time_passes(self, seconds: int) -> None:
        CLOCK[0] += timedelta(seconds=seconds)

    @rule()
    def everybody_falls_silent(self) -> None:
        CLOCK[0] += timedelta(seconds=16)
        self.retake()

    @rule()
    def retake(self) -> None:
        from bedsite.longwork import queue

        tick()
        lost = [line for line in self.lines if line.state == "at work" and CLOCK[0] - line.beat > queue.PATIENCE]
        assert queue.retake() == len(lost)
        for line in lost:
            if line.cancel:
                line.state, line.cancel = "cancelled", False
            elif line.tries < queue.TRIES:
                line.state, line.worker = "waiting", ""
            else:
                line.state = "failed"

    @invariant()
    def both_say_the_same(self) -> None:
        from bedsite.records.models import Job, Kept

        if not hasattr(self, "lines"):
            return
        told = {
            job.key: (job.state, job.worker if job.state == "at work" else "", job.cancel) for job in Job.objects.all()
        }
        assert told == {
            line.key: (line.state, line.worker if line.state == "at work" else "", line.cancel) for line in self.lines
        }
        assert [job.ended_at is None for job in Job.objects.all()] == [
            job.state in ("waiting", "at work") for job in Job.objects.all()
        ]
        from bedsite.longwork.question import question_of

        names = {question_of("count", asks(to=number)): number for number in range(4)}
        found = [names[one] for one in Kept.objects.order_by("used_at").values_list("pk", flat=True)]
        assert found == self.kept


CLOCK = [datetime(2026, 3, 2, tzinfo=UTC)]


def tick() -> None:
    CLOCK[0] += timedelta(milliseconds=1)


def asks(to: int) -> Any:
    return _HELD[0].inputs(to=to)


_HELD: list[Any] = []


@contextmanager
def own_clock(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    from bedsite.longwork import kept_answers, queue

    for module in (queue, kept_answers):
        monkeypatch.setattr(module, "now", lambda: CLOCK[0])
    monkeypatch.setattr(kept_answers, "CAP_BYTES", CAP)
    yield


def walk(examples: int) -> Any:
    return settings(
        max_examples=examples, stateful_step_count=40, deadline=None, suppress_health_check=list(HealthCheck)
    )


def test_the_queue_does_what_its_model_does(works_folder: Path, counting: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    _HELD[:] = [counting]
    with own_clock(monkeypatch):
        run_state_machine_as_test(QueueModel, settings=walk(int(os.environ.get("BEDWRIGHT_WALKS", "25"))))


@pytest.mark.full
def test_the_queue_does_what_its_model_does_many_times(
    works_folder: Path, counting: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    _HELD[:] = [counting]
    with own_clock(monkeypatch):
        run_state_machine_as_test(QueueModel, settings=walk(300))
