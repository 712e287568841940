"""The kept reckoning of the works as it stands: read where somebody asked for it, never worked out here."""

from __future__ import annotations

from typing import Any

from bedsite.longwork import kept_answers
from bedsite.longwork.kinds import RECKON, OfTheWorks
from bedsite.longwork.question import question_of
from bedsite.records import ledger
from bedsite.records.models import Event, Job
from bedsite.records.payloads import Release
from bedwright.works.about import About

_LATELY = 10
"""Jobs looked through, the newest first."""


def kept_reckoning(about: About) -> Any | None:
    """The summary reckoned from this revision, with these releases, for this day; None where none is kept."""
    revision = ledger.revision_now()
    released = Event.objects.filter(type=Release.TYPE).count()
    for job in Job.objects.filter(kind=RECKON.name, state="done").order_by("-asked_at")[:_LATELY]:
        inputs = OfTheWorks.model_validate_json(job.inputs, strict=True)
        if (inputs.revision, inputs.released, inputs.as_of) != (revision, released, about.as_of):
            continue
        if job.question == question_of(RECKON.name, inputs):  # else another version of the program reckoned it
            return kept_answers.read(job.question)
    return None
