"""A weigh-up asked as long work, watched, cancelled, shown. Its figures hold costs: for who deals in money."""

from __future__ import annotations

import json
from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from bedsite.longwork import kept_answers, queue
from bedsite.longwork.kinds import WEIGH_UP, WeighUpOf
from bedsite.longwork.question import question_of
from bedsite.longwork.standing import standing
from bedsite.parts.drawn import inlined
from bedsite.parts.rows import FormRow
from bedsite.records.models import Job
from bedwright.errors import FaultsFound
from bedwright.weigh_up import brief_question

REFUSED = 422
USUAL_WORK, MOST_WORK, MOST_SEED = 120, 5_000, 2**31
BOXES = ("work", "seed")
HEADS = (
    ("H, tangent", "N/mm"), ("height", "mm"), ("mass", "kg"), ("springs", ""), ("steel", "kg"), ("carbon", "kg CO2e"),
)  # fmt: skip


def weigh_up(request: Any, code: str) -> HttpResponse:
    """The weigh-up that the address says; a POST asks for it and goes there."""
    held, posted = standing(), request.method == "POST"
    brief = held.works.briefs.get(code)
    if brief is None:
        raise Http404(f"the works has no brief {code!r} in use")
    said = request.POST if posted else request.GET
    value = {box: said.get(box, "").replace("\0", "").strip()[:20] for box in BOXES}
    faults: dict[str, str] = {}
    work = _whole(value["work"], USUAL_WORK, 1, MOST_WORK, "work", faults)
    seed = _whole(value["seed"], 1, 0, MOST_SEED, "seed", faults)
    cannot: list[str] = []
    try:
        brief_question(held.works, brief.code)
    except FaultsFound as error:
        cannot = [str(fault) for fault in error.faults]
    found: dict[str, Any] = {}
    if not faults and not cannot:
        inputs = WeighUpOf(works=held.content, revision=held.revision, brief=brief.code, work=work, seed=seed)
        if posted:
            queue.ask(WEIGH_UP.name, inputs, request.person.key)
            query = urlencode({"work": work, "seed": seed})
            return HttpResponseRedirect(f"{reverse('office:weigh-up', args=[brief.code])}?{query}")
        found = _came(question_of(WEIGH_UP.name, inputs))
    more = "builds to press, some in a second: a count and never a time, so that the same seed gives the same answer"
    shown = (("work", str(USUAL_WORK), more, "50 to 500"), ("seed", "1", "another one searches another way", ""))
    context = {
        "about": held.works.about,
        "brief": brief,
        "cannot": cannot,
        "came": found,
        "rows": [
            FormRow(
                box, box, value[box] or usual, "number", meaning=means, usual=often,
                faults=(faults[box],) if box in faults else (),
            )
            for box, usual, means, often in shown
        ],
    }  # fmt: skip
    return render(request, "office/weighing/weigh_up.html", context, status=REFUSED if posted else 200)


def _whole(text: str, usual: int, low: int, high: int, box: str, faults: dict[str, str]) -> int:
    if not text:
        return usual
    if not (text.isascii() and text.isdecimal() and low <= int(text) <= high):
        faults[box] = f"{text!r} is no whole number from {low} to {high}"
        return usual
    return int(text)


def _came(question: str) -> dict[str, Any]:
    """What came of it, or how far it is; empty where nobody asked."""
    answer = kept_answers.read(question)
    job = Job.objects.filter(question=question).order_by("-pk").first()
    if answer is not None:
        heads = [*HEADS, ("cost", answer["currency"]), *([("P99, worst", "kPa")] if answer["persons"] else [])]
        scatter = inlined(answer["scatter"], "scatter") if answer["scatter"] else ""
        return {"answer": answer, "heads": heads, "scatter": scatter}
    if job is None or job.state in ("done", "cancelled"):
        return {}
    return {
        "job": job,
        "open": job.state in queue.OPEN,
        "before": queue.before(job),
        "percent": round(100 * job.done / job.total) if job.total else 0,
        "faults": job.message.splitlines() if job.state == "failed" else [],
    }


def _job(key: str) -> Job:
    job = queue.job_of(key)
    if job is None or job.kind != WEIGH_UP.name:
        raise Http404(f"no weigh-up is known as {key[:40]!r}")
    return job


def came(request: Any, key: str) -> HttpResponse:
    """The part of the page that tells how far it is, or what came of it."""
    return render(request, "office/weighing/came.html", {"came": _came(_job(key).question) or {"gone": True}})


def cancel(request: Any, key: str) -> HttpResponse:
    """Cancel it, and go back to its brief's weigh-up."""
    job = queue.cancel(_job(key).key)
    asked = json.loads(job.inputs)
    query = urlencode({"work": asked["work"], "seed": asked["seed"]})
    return HttpResponseRedirect(f"{reverse('office:weigh-up', args=[asked['brief']])}?{query}")
