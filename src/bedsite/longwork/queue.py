"""The table of jobs: asked, taken by one worker, told of, ended. No job is ever stuck, and no answer asked for twice.

waiting -> at work -> done, failed or cancelled. A job is held by (worker, tries): whoever lost it changes nothing more.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any, Literal

from django.db import IntegrityError, transaction
from django.db.models import QuerySet

from bedsite.longwork import hands, kept_answers
from bedsite.longwork.kinds import Inputs
from bedsite.longwork.question import question_of
from bedsite.records.chain import now
from bedsite.records.models import Job
from bedsite.records.people import new_key
from bedwright.errors import NotReadable
from bedwright.identity import canonical

PATIENCE = timedelta(seconds=15)
"""A worker that said nothing for so long is taken for dead."""
TRIES = 3
OPEN = ("waiting", "at work")
ENDED = ("done", "failed", "cancelled")
_REMEMBERED = 2_000
"""Ended jobs beyond so many, the oldest first, leave the list."""
_LONGEST = 4_000

Said = Literal["go on", "cancelled", "lost"]


def ask(kind: str, inputs: Inputs, who: str) -> Job:
    """A job for a question: the one that is open already, one done from what is kept, or a new one that waits.

    Asking again for what is being cancelled takes the cancelling back.
    """
    question = question_of(kind, inputs)
    for _ in range(5):
        try:
            with transaction.atomic():
                found = _open_job(question) or _from_kept(question, kind, inputs, who)
                return found or _new(question, kind, inputs, who)
        except IntegrityError:  # somebody asked the same in this very moment
            continue
    raise NotReadable("too many people ask the same at once; ask again")


def _open_job(question: str) -> Job | None:
    there = Job.objects.filter(question=question, state__in=OPEN).first()
    if there is not None and there.cancel:
        Job.objects.filter(pk=there.pk, state__in=OPEN).update(cancel=False)
        there.refresh_from_db()
        return there if there.state in OPEN else None
    return there


def _from_kept(question: str, kind: str, inputs: Inputs, who: str) -> Job | None:
    if not kept_answers.there(question):
        return None
    own = Job.objects.filter(question=question, state="done", asked_by=who).order_by("-asked_at", "-pk").first()
    if own is not None:
        return own
    at = now()
    return _new(question, kind, inputs, who, state="done", done=1, total=1, ended_at=at, message="was known already")


def _new(question: str, kind: str, inputs: Inputs, who: str, **facts: Any) -> Job:
    text = canonical(inputs.model_dump()).decode()
    return Job.objects.create(
        key=new_key(), kind=kind, question=question, inputs=text, asked_by=who, asked_at=now(), **facts
    )


def waiting() -> bool:
    """Whether any job waits; a read alone, so that an idle worker holds up no writer."""
    return bool(Job.objects.filter(state="waiting").exists())


def take(worker: str) -> Job | None:
    """The job that waits longest, now this worker's; None where none waits. Two workers never take the same."""
    with transaction.atomic():
        asked = Job.objects.select_for_update(skip_locked=True).filter(state="waiting")
        job = asked.order_by("asked_at", "pk").first()
        if job is None:
            return None
        job.state, job.worker, job.tries, job.heartbeat = "at work", worker, job.tries + 1, now()
        job.done, job.total, job.message = 0, 0, ""
        job.save()
    return job


def _held(job: Job) -> QuerySet[Job]:
    return Job.objects.filter(pk=job.pk, state="at work", worker=job.worker, tries=job.tries)


def beat(job: Job, *, at: datetime | None = None) -> Said:
    """Say that the worker lives; learn whether a person cancelled, or the job is somebody else's by now."""
    if not _held(job).update(heartbeat=at or now()):
        return "lost"
    return "cancelled" if _held(job).filter(cancel=True).exists() else "go on"


def tell(job: Job, done: int, total: int, message: str) -> bool:
    """Write down how far it is; False where the job is no longer this worker's."""
    return bool(_held(job).update(done=done, total=total, message=message[:200], heartbeat=now()))


def end(job: Job, answer: Any) -> bool:
    """Done: keep the answer and say so, both or neither. False (and nothing kept) where the job was lost."""
    with transaction.atomic():
        last = max(job.total, 1)
        if not _held(job).update(state="done", ended_at=now(), done=last, total=last, message="", cancel=False):
            return False
        kept_answers.keep(job.question, job.kind, answer)
    return True


def end_known(job: Job) -> bool:
    """Done without work, where another job answered the same question meanwhile."""
    with transaction.atomic():
        if not kept_answers.there(job.question):
            return False
        return bool(
            _held(job).update(state="done", ended_at=now(), done=1, total=1, message="was known already", cancel=False)
        )


def fail(job: Job, says: str) -> bool:
    """It cannot be done: the sentence for people says why. False where the job was lost."""
    return bool(_held(job).update(state="failed", ended_at=now(), message=says[:_LONGEST], cancel=False))


def leave(job: Job) -> bool:
    """Put a job down unfinished: cancelled if a person said so, else waiting again, this try not counted."""
    with transaction.atomic():
        held = _held(job)
        return bool(
            held.filter(cancel=True).update(**_cancelled())
            or held.update(state="waiting", worker="", tries=max(job.tries - 1, 0), heartbeat=None)
        )


def _cancelled() -> dict[str, Any]:
    return {"state": "cancelled", "cancel": False, "ended_at": now(), "message": ""}


def cancel(key: str) -> Job:
    """Cancel a job: at once while it waits, at its worker's next word while it is at work. Raises NotReadable."""
    with transaction.atomic():
        found = Job.objects.select_for_update().filter(key=key).first()
        if found is None:
            raise NotReadable(f"there is no long work {key[:40]!r}")
        asked = Job.objects.filter(pk=found.pk)
        if not asked.filter(state="waiting").update(**_cancelled()):
            asked.filter(state="at work").update(cancel=True)
        found.refresh_from_db()
    return found


def retake(*, at: datetime | None = None) -> int:
    """Jobs whose worker is gone wait again; after the last try they fail, cancelled ones end. How many there were."""
    moment = at or now()
    count = 0
    for job in Job.objects.filter(state="at work"):
        silent = job.heartbeat is None or moment - job.heartbeat > PATIENCE
        if silent or hands.surely_gone(job.worker):
            count += _retaken(job)
    return count


def _retaken(job: Job) -> int:
    held = _held(job).filter(heartbeat=job.heartbeat)  # one that spoke meanwhile keeps it
    with transaction.atomic():
        if held.filter(cancel=True).update(**_cancelled()):
            return 1
        if job.tries < TRIES:
            return int(held.update(state="waiting", worker="", heartbeat=None))
        says = (
            f"its worker ended {job.tries} times before it was done, so it is not taken up again; "
            "look for too little memory, then ask anew"
        )
        return int(held.update(state="failed", ended_at=now(), message=says))


def forget_old() -> int:
    """Ended jobs beyond the newest leave the list; answers stay kept. How many went."""
    ended = Job.objects.filter(state__in=ENDED).order_by("-pk").values_list("pk", flat=True)
    last = list(ended[_REMEMBERED : _REMEMBERED + 1])
    return int(Job.objects.filter(state__in=ENDED, pk__lte=last[0]).delete()[0]) if last else 0


def job_of(key: str) -> Job | None:
    """The job of a key."""
    return Job.objects.filter(key=key).first()


def listed(most: int = 50) -> list[Job]:
    """Open jobs first, then the rest, the newest first."""
    rows = list(Job.objects.filter(state__in=OPEN).order_by("asked_at", "pk"))
    return rows + list(Job.objects.filter(state__in=ENDED).order_by("-pk")[:most])


def answer_of(job: Job) -> Any | None:
    """The answer of a job that is done; None where it is not, or where it is no longer kept."""
    return kept_answers.read(job.question) if job.state == "done" else None


def before(job: Job) -> int:
    """How many jobs come before one that waits."""
    ahead = Job.objects.filter(state__in=OPEN, asked_at__lt=job.asked_at)
    return int(ahead.count()) if job.state == "waiting" else 0
