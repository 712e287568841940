"""The table of jobs: asked once, held by one, ended once, never stuck; answers kept, capped, the unused go."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from bedwright.errors import NotReadable


def test_the_same_question_is_one_job_until_it_ends(counting: Any, me: str, work_off: Callable[[], int]) -> None:
    first, second = counting.ask(3, me), counting.ask(3, "another")
    assert first.key == second.key and first.state == "waiting"
    assert counting.ask(4, me).key != first.key
    assert work_off() == 2
    first.refresh_from_db()
    assert (first.state, first.done, first.total) == ("done", 3, 3)


def test_the_database_itself_holds_one_open_job_a_question(counting: Any, me: str) -> None:
    from bedsite.records.models import Job

    job = counting.ask(3, me)
    job.pk, job.key = None, "f" * 32
    with pytest.raises(IntegrityError), transaction.atomic():
        job.save(force_insert=True)
    assert Job.objects.count() == 1


def test_a_question_answered_once_is_answered_from_what_is_kept(
    counting: Any, me: str, work_off: Callable[[], int]
) -> None:
    from bedsite.longwork import queue

    counting.ask(3, me)
    work_off()
    again = counting.ask(3, "another")
    assert (again.state, again.message) == ("done", "was known already")
    assert queue.answer_of(again) == {"counted": 3}
    assert work_off() == 0 and counting.calls == 1
    assert counting.ask(3, "another").key == again.key


def test_a_job_taken_after_the_answer_came_is_done_without_work(
    counting: Any, me: str, work_off: Callable[[], int]
) -> None:
    from bedsite.longwork import kept_answers

    job = counting.ask(3, me)
    kept_answers.keep(job.question, "count", {"counted": 3})
    assert work_off() == 1 and counting.calls == 0
    job.refresh_from_db()
    assert job.state == "done"


def test_jobs_are_taken_in_the_order_they_were_asked(counting: Any, me: str) -> None:
    from bedsite.longwork import queue

    asked = [counting.ask(number, me).key for number in (5, 3, 4)]
    assert [queue.before(queue.job_of(key)) for key in asked] == [0, 1, 2]
    taken = [queue.take(f"worker-{number}") for number in range(4)]
    assert [job.key if job else None for job in taken] == [*asked, None]


def test_only_who_holds_a_job_moves_it(counting: Any, me: str) -> None:
    from bedsite.longwork import kept_answers, queue

    counting.ask(3, me)
    first = queue.take("first")
    assert first is not None
    late = first.heartbeat + queue.PATIENCE + timedelta(seconds=1)
    assert queue.retake(at=late) == 1
    second = queue.take("second")
    assert second is not None and second.tries == 2
    assert queue.beat(first) == "lost"
    assert not queue.tell(first, 2, 3, "late") and not queue.end(first, {"counted": 1})
    assert not queue.fail(first, "late") and not queue.leave(first)
    assert not kept_answers.there(first.question)
    assert queue.end(second, {"counted": 3})
    assert queue.answer_of(queue.job_of(first.key)) == {"counted": 3}


def test_a_silent_worker_loses_its_job_and_after_three_it_fails(counting: Any, me: str) -> None:
    from bedsite.longwork import queue

    key = counting.ask(3, me).key
    for _ in range(queue.TRIES):
        job = queue.take("silent")
        assert job is not None
        assert queue.retake(at=job.heartbeat + queue.PATIENCE) == 0
        assert queue.retake(at=job.heartbeat + queue.PATIENCE * 1.01) == 1
    ended = queue.job_of(key)
    assert ended.state == "failed" and ended.ended_at is not None
    assert "its worker ended 3 times before it was done" in ended.message
    again = counting.ask(3, me)
    assert again.key != key and again.state == "waiting" and again.tries == 0


def test_a_worker_known_to_be_dead_loses_its_job_at_once(counting: Any, me: str) -> None:
    from bedsite.longwork import hands, queue

    counting.ask(3, me)
    own = hands.own_name()
    if own.count(".") != 2:
        pytest.skip("this system tells of no processes")
    job = queue.take(own)
    assert job is not None and queue.retake() == 0
    space, pid, began = own.split(".")
    job.worker = f"{space}.{pid}.{int(began) - 1}"  # the same number, given to another process since
    job.save()
    assert queue.retake() == 1
    assert queue.job_of(job.key).state == "waiting"
    assert not hands.surely_gone("another." + own.partition(".")[2])
    assert len(own) <= 32


def test_cancelling(counting: Any, me: str) -> None:
    from bedsite.longwork import queue

    waits, works = counting.ask(1, me), None
    assert queue.cancel(waits.key).state == "cancelled"
    works = counting.ask(2, me)
    held = queue.take("worker")
    assert held is not None and queue.cancel(works.key).state == "at work"
    assert queue.beat(held) == "cancelled"
    assert queue.leave(held)
    ended = queue.job_of(works.key)
    assert (ended.state, ended.cancel) == ("cancelled", False) and ended.ended_at is not None
    assert queue.cancel(works.key).state == "cancelled"
    with pytest.raises(NotReadable, match="no long work"):
        queue.cancel("nothing")


def test_asking_again_takes_a_cancelling_back(counting: Any, me: str) -> None:
    from bedsite.longwork import queue

    job = counting.ask(2, me)
    held = queue.take("worker")
    queue.cancel(job.key)
    assert counting.ask(2, me).key == job.key
    assert held is not None and queue.beat(held) == "go on"


def test_the_job_of_a_dead_worker_that_was_cancelled_ends(counting: Any, me: str) -> None:
    from bedsite.longwork import queue

    job = counting.ask(2, me)
    held = queue.take("worker")
    queue.cancel(job.key)
    assert held is not None and queue.retake(at=held.heartbeat + queue.PATIENCE * 2) == 1
    assert queue.job_of(job.key).state == "cancelled"


def test_a_job_put_down_waits_again_and_the_try_does_not_count(counting: Any, me: str) -> None:
    from bedsite.longwork import queue

    counting.ask(2, me)
    for _ in range(5):
        held = queue.take("worker")
        assert held is not None and held.tries == 1 and queue.leave(held)


def test_kept_answers_stay_under_their_cap_and_the_unused_go_first(works_folder: object) -> None:
    from bedsite.longwork import kept_answers
    from bedsite.records.chain import now
    from bedsite.records.models import Kept

    began, text = now(), "x" * 100
    for number in range(4):
        kept_answers.keep(f"q{number}", "count", text, at=began + timedelta(seconds=number), cap=350)
    assert sorted(Kept.objects.values_list("pk", flat=True)) == ["q1", "q2", "q3"]
    assert kept_answers.there("q1", at=began + timedelta(seconds=10))
    kept_answers.keep("q4", "count", text, at=began + timedelta(seconds=11), cap=350)
    assert sorted(Kept.objects.values_list("pk", flat=True)) == ["q1", "q3", "q4"]
    kept_answers.keep("q5", "count", "x" * 1000, at=began + timedelta(seconds=12), cap=350)
    assert sorted(Kept.objects.values_list("pk", flat=True)) == ["q5"]
    assert kept_answers.read("q5") == "x" * 1000 and kept_answers.read("q1") is None


def test_an_answer_that_is_no_json_is_not_kept(counting: Any, me: str, work_off: Callable[[], int]) -> None:
    from bedsite.records.models import Kept

    counting.does = lambda inputs, told: {"set": {1, 2}}
    job = counting.ask(1, me)
    work_off()
    job.refresh_from_db()
    assert job.state == "failed" and "TypeError" in job.message
    assert Kept.objects.count() == 0


def test_an_answer_no_longer_kept_is_worked_out_again(counting: Any, me: str, work_off: Callable[[], int]) -> None:
    from bedsite.longwork import queue
    from bedsite.records.models import Kept

    job = counting.ask(3, me)
    work_off()
    Kept.objects.all().delete()
    assert queue.answer_of(queue.job_of(job.key)) is None
    again = counting.ask(3, me)
    assert again.state == "waiting" and again.key != job.key
    assert work_off() == 1 and queue.answer_of(queue.job_of(again.key)) == {"counted": 3}


def test_the_oldest_ended_jobs_leave_the_list(
    counting: Any, me: str, work_off: Callable[[], int], monkeypatch: pytest.MonkeyPatch
) -> None:
    from bedsite.longwork import queue
    from bedsite.records.models import Job

    monkeypatch.setattr(queue, "_REMEMBERED", 3)
    keys = [counting.ask(number, me).key for number in range(5)]
    work_off()
    assert queue.forget_old() == 2
    assert sorted(Job.objects.values_list("key", flat=True)) == sorted(keys[2:])
