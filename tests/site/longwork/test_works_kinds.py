"""The reckoning and the papers of a real works as long work: the same as asked directly, kept, never kept twice."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from bedwright.works.springs import Wire
from bedwright.works.works import Works


def wire(diameter: float) -> Wire:
    return Wire(code="W22", name="spring wire 2.2", diameter=diameter, grade="SM", supplier="FERRUM", carbon="C-STEEL")


def test_a_reckoning_is_the_summary_of_the_works(
    works_folder: Path, me: str, small_works: Works, work_off: Callable[[], int]
) -> None:
    from bedsite.longwork import asking, queue
    from bedsite.records import ledger
    from bedwright.reckoning import Reckoning
    from bedwright.summary import summary

    job = asking.ask_reckoning(me)
    assert work_off() == 1
    job.refresh_from_db()
    assert (job.state, job.done) == ("done", job.total), job.message
    direct = summary(Reckoning(ledger.read_works()), {})
    assert queue.answer_of(job) == json.loads(json.dumps(direct))


def test_a_changed_card_is_a_new_question_and_the_old_content_an_old_one(
    works_folder: Path, me: str, work_off: Callable[[], int]
) -> None:
    from bedsite.longwork import asking, queue
    from bedsite.records import cards

    first = asking.ask_reckoning(me)
    work_off()
    put = cards.put(wire(2.3), expected=1, who=me)
    second = asking.ask_reckoning(me)
    assert second.question != first.question and second.state == "waiting"
    work_off()
    steel = [queue.answer_of(queue.job_of(job.key))["beds"][0]["steel_kg"] for job in (first, second)]
    assert len(steel) == 2
    cards.bring_back("wire", "W22", 1, expected=put.number, who=me)
    third = asking.ask_reckoning(me)
    assert third.question == first.question and third.state == "done"
    assert asking.ask_reckoning(me, date(2026, 3, 3)).question != first.question


def test_a_job_reads_the_works_as_it_stood_when_asked(works_folder: Path, me: str, work_off: Callable[[], int]) -> None:
    from bedsite.longwork import asking, queue
    from bedsite.records import cards, ledger

    before = ledger.read_works()
    job = asking.ask_reckoning(me)
    cards.put(wire(2.3), expected=1, who=me)
    work_off()
    version = queue.answer_of(queue.job_of(job.key))["version"]
    assert version["works_revision"] == before.about.revision
    assert version["works_content"] == before.content()


def test_a_works_with_a_grave_fault_fails_with_every_fault(
    works_folder: Path, me: str, work_off: Callable[[], int], monkeypatch: pytest.MonkeyPatch
) -> None:
    from bedsite.longwork import asking, reckon
    from bedwright.errors import Fault

    faults = (Fault("the first does not fit"), Fault("a small thing", grave=False), Fault("the third does not fit"))
    monkeypatch.setattr(reckon, "run_faults", lambda _reckoning: faults)
    job = asking.ask_reckoning(me)
    work_off()
    job.refresh_from_db()
    assert job.state == "failed"
    assert job.message == "the first does not fit\nthe third does not fit"


def test_another_works_at_the_place_named_is_refused(works_folder: Path, me: str, work_off: Callable[[], int]) -> None:
    from bedsite.longwork import asking, queue
    from bedsite.longwork.kinds import RECKON, OfTheWorks
    from bedsite.records import ledger

    works = ledger.read_works()
    inputs = OfTheWorks(works="0" * 64, as_of=works.about.as_of, revision=works.about.revision)
    job = queue.ask(RECKON.name, inputs, me)
    work_off()
    job.refresh_from_db()
    assert job.state == "failed" and "is not the one that was asked about" in job.message
    assert asking.content_of(works) == asking.content_of(
        replace(works, about=works.about.model_copy(update={"revision": 99}))
    )


def test_papers_are_kept_with_their_cards_and_never_twice(
    works_folder: Path, me: str, work_off: Callable[[], int]
) -> None:
    from bedsite.longwork import asking, queue
    from bedsite.records import chain, ledger, snapshots
    from bedsite.records.models import Job, Kept, Snapshot

    job = asking.ask_papers(me)
    work_off()
    job.refresh_from_db()
    assert job.state == "done", job.message
    answer = queue.answer_of(job)
    kept = {one["name"]: one for one in answer["papers"]}
    words = {one["paper"] for one in answer["papers"]}
    assert {"bed sheet", "job cards", "van sheet", "labels", "bill", "cost", "cuts", "plan", "loading"} <= words
    assert "paper" not in words and "index.html" not in kept
    for one in answer["papers"]:
        row, data = snapshots.again(one["id"])
        assert (len(data), hashlib.sha256(data).hexdigest(), row.who) == (one["size"], one["sha256"], me)
    summed = json.loads(snapshots.again(kept["summary.json"]["id"])[1])
    assert summed["version"]["works_revision"] == ledger.revision_now()
    assert summed["papers"] == {name: one["sha256"] for name, one in kept.items() if name != "summary.json"}
    # as after a kill between the last paper and the answer: taken up again, nothing is kept twice
    Kept.objects.all().delete()
    Job.objects.filter(pk=job.pk).update(state="waiting", ended_at=None)
    count = Snapshot.objects.count()
    assert work_off() == 1
    assert queue.answer_of(queue.job_of(job.key)) == answer
    assert Snapshot.objects.count() == count == chain.verify().snapshots


def test_progress_of_papers_climbs_to_the_end(
    works_folder: Path, me: str, work_off: Callable[[], int], monkeypatch: pytest.MonkeyPatch
) -> None:
    from bedsite.longwork import asking, at_work, queue

    told: list[tuple[int, int, str]] = []

    def tell(_job: Any, done: int, total: int, message: str) -> bool:
        told.append((done, total, message))
        return True

    monkeypatch.setattr(at_work, "WRITES_APART", -1.0)
    monkeypatch.setattr(queue, "tell", tell)
    asking.ask_papers(me)
    work_off()
    assert {total for _, total, _ in told} == {1000}
    done = [one[0] for one in told]
    assert done == sorted(done) and done[0] == 0 and done[-1] > 950
    assert [message for _, _, message in told if message.startswith("plan")]
