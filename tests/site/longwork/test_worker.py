"""A worker at its work: progress, cancelling, failing, a crowd of workers, and what is left when one is killed."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from bedwright.errors import Fault, FaultsFound

OWN_WORKER = Path(__file__).parents[1] / "kills" / "own_worker.py"


def until(true: Callable[[], bool], seconds: float = 20.0) -> None:
    ends = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < ends, f"not so after {seconds} s"
        time.sleep(0.05)


def test_progress_never_goes_back(counting: Any, me: str, work_off: Callable[[], int], monkeypatch: Any) -> None:
    from bedsite.longwork import at_work, queue

    told = [(0, 10), (3, 10), (2, 10), (4, 20), (8, 20), (7, 7), (1, 7), (-1, 7), (9, 7)]
    written: list[tuple[int, int]] = []

    def does(_inputs: Any, say: Any) -> Any:
        for done, total in told:
            say(done, total, "on")
        return {}

    def tell(_job: Any, done: int, total: int, _message: str) -> bool:
        written.append((done, total))
        return True

    counting.does = does
    monkeypatch.setattr(at_work, "WRITES_APART", -1.0)
    monkeypatch.setattr(queue, "tell", tell)
    counting.ask(1, me)
    work_off()
    shares = [done / total for done, total in written]
    assert len(written) == len(told) and shares == sorted(shares)
    assert all(0 <= done <= total for done, total in written) and written[-1] == (7, 7)


def test_progress_is_written_at_most_twice_a_second(
    counting: Any, me: str, work_off: Callable[[], int], monkeypatch: Any
) -> None:
    from bedsite.longwork import queue

    written: list[float] = []
    real = queue.tell

    def tell(*args: Any) -> bool:
        written.append(time.monotonic())
        return real(*args)

    def does(_inputs: Any, say: Any) -> Any:
        for number in range(240):
            say(number, 240, "on")
            time.sleep(0.005)
        return {}

    counting.does = does
    monkeypatch.setattr(queue, "tell", tell)
    counting.ask(1, me)
    work_off()
    assert 2 <= len(written) <= 2 * (written[-1] - written[0]) + 1.01


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (FaultsFound([Fault("one is wrong"), Fault("two is wrong")]), "one is wrong\ntwo is wrong"),
        (KeyError("secret place"), "the program itself failed (KeyError)"),
        (MemoryError(), "it needs more memory than the worker may take"),
    ],
)
def test_a_failure_is_a_sentence_and_no_trace(
    counting: Any, me: str, work_off: Callable[[], int], error: Exception, says: str
) -> None:
    def does(_inputs: Any, _told: Any) -> Any:
        raise error

    counting.does = does
    job = counting.ask(1, me)
    assert work_off() == 1
    job.refresh_from_db()
    assert job.state == "failed" and job.message.startswith(says)
    assert "Traceback" not in job.message and "secret" not in job.message and ".py" not in job.message
    counting.does = lambda _inputs, _told: {"now": "well"}
    again = counting.ask(1, me)
    assert again.key != job.key and work_off() == 1


def test_a_cancel_is_heard_while_at_work(counting: Any, me: str, work_off: Callable[[], int], monkeypatch: Any) -> None:
    from django.db import connection

    from bedsite.longwork import at_work, queue

    monkeypatch.setattr(at_work, "BEAT", 0.1)
    job = counting.ask(1, me)
    begun = threading.Event()

    def does(_inputs: Any, told: Any) -> Any:
        begun.set()
        for number in range(2000):
            told(number, 2000)
            time.sleep(0.01)
        return {}

    def canceller() -> None:
        begun.wait(10)
        queue.cancel(job.key)
        connection.close()

    counting.does = does
    thread = threading.Thread(target=canceller)
    thread.start()
    began = time.monotonic()
    work_off()
    thread.join()
    job.refresh_from_db()
    assert job.state == "cancelled" and time.monotonic() - began < 5


def test_work_that_does_not_hear_is_left_after_its_grace(counting: Any, me: str, monkeypatch: Any) -> None:
    from bedsite.longwork import at_work, queue

    monkeypatch.setattr(at_work, "GRACE", 0.2)
    counting.ask(1, me)
    job = queue.take("deaf")
    assert job is not None
    gone = threading.Event()
    with at_work.AtWork(job, lambda: True, leave_process=gone.set):
        assert gone.wait(5)  # the work itself says nothing all the while
    assert queue.job_of(job.key).state == "waiting"


@pytest.fixture
def start(works_folder: Path) -> Iterator[Callable[..., subprocess.Popen[str]]]:
    """Starts worker processes with a kind that counts slowly."""
    running: list[subprocess.Popen[str]] = []

    def started(*arguments: str, script: tuple[str, ...] = (str(OWN_WORKER),)) -> subprocess.Popen[str]:
        running.append(
            subprocess.Popen([sys.executable, *script, *arguments], stderr=subprocess.PIPE, text=True, env=os.environ)
        )
        return running[-1]

    yield started
    for process in running:
        process.kill()
        process.wait()
        assert process.stderr is not None
        process.stderr.close()


@pytest.fixture
def slow(works_folder: Path, me: str, monkeypatch: pytest.MonkeyPatch) -> Callable[[int, str], Any]:
    """Asks for slow counting, done by processes."""
    import importlib.util

    from bedsite.longwork import kinds, queue

    spec = importlib.util.spec_from_file_location("own_worker", OWN_WORKER)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module_inputs, kind = module.known(register=False)
    monkeypatch.setitem(kinds.KINDS, kind.name, kind)
    return lambda ticks, name: queue.ask(kind.name, module_inputs(ticks=ticks, name=name), me)


def test_a_killed_workers_job_is_taken_up_again(start: Any, slow: Any) -> None:
    from bedsite.longwork import queue

    job, first = slow(20, "a"), start()
    until(lambda: queue.job_of(job.key).done > 0)
    first.send_signal(signal.SIGKILL)
    first.wait()
    assert queue.job_of(job.key).state == "at work"
    start()
    until(lambda: queue.job_of(job.key).state == "done")
    ended = queue.job_of(job.key)
    assert ended.tries == 2 and queue.answer_of(ended)["ticks"] == 20


def test_a_worker_told_to_end_puts_its_job_back(start: Any, slow: Any) -> None:
    from bedsite.longwork import queue

    job, first = slow(1000, "a"), start()
    until(lambda: queue.job_of(job.key).state == "at work")
    first.terminate()
    assert first.wait(8) == 0
    assert (queue.job_of(job.key).state, queue.job_of(job.key).tries) == ("waiting", 0)


def test_a_worker_ends_when_the_process_that_started_it_is_gone(start: Any, slow: Any) -> None:
    from bedsite.longwork import queue

    job = slow(1000, "a")
    starts = f"import subprocess, sys, time; subprocess.Popen([sys.executable, {str(OWN_WORKER)!r}]); time.sleep(60)"
    parent = start(script=("-c", starts))
    until(lambda: queue.job_of(job.key).state == "at work")
    parent.kill()
    until(lambda: queue.job_of(job.key).state == "waiting", 8)


def test_three_workers_take_no_job_twice(start: Any, slow: Any) -> None:
    from bedsite.longwork import queue

    jobs = [slow(1, f"job {number}") for number in range(40)]
    for _ in range(3):
        start()
    until(lambda: all(queue.job_of(job.key).state == "done" for job in jobs), 40)
    ended = [queue.job_of(job.key) for job in jobs]
    assert {job.tries for job in ended} == {1}
    pids = [queue.answer_of(job)["pid"] for job in ended]
    assert all(str(pid) == job.worker.split(".")[1] for pid, job in zip(pids, ended, strict=True) if "." in job.worker)
    assert len(set(pids)) >= 2


def test_a_worker_without_a_ledger_says_so(tmp_path: Path) -> None:
    env = {name: value for name, value in os.environ.items() if name != "BEDWRIGHT_LEDGER"}
    order = [sys.executable, "-m", "bedsite.longwork.worker"]
    found = subprocess.run(order, env=env, capture_output=True, text=True)
    assert found.returncode == 2 and "names no ledger" in found.stderr
    env["BEDWRIGHT_LEDGER"] = str(tmp_path / "none.sqlite3")
    found = subprocess.run(order, env=env, capture_output=True, text=True)
    assert found.returncode == 2 and "is not there; adopt the works first" in found.stderr
    assert "Traceback" not in found.stderr


def test_the_memory_ceiling_fails_a_job_with_a_sentence(start: Any, slow: Any, monkeypatch: Any) -> None:
    from bedsite.longwork import queue

    monkeypatch.setenv("BEDWRIGHT_WORK_MB", "600")
    job = slow(1, "eats memory")
    start()
    until(lambda: queue.job_of(job.key).state == "failed")
    assert "more memory" in queue.job_of(job.key).message
