"""Beds side by side: asked as long work, watched, shown; cost only to who may see money."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from bedsite.doors import rights
from bedsite.longwork import kept_answers, queue
from bedsite.longwork.kinds import SIDE_BY_SIDE
from bedsite.longwork.question import question_of
from bedsite.longwork.standing import standing
from bedsite.office.beside.asked import asked
from bedsite.records.models import Job

REFUSED = 422
MONEY = "cost"
"""Key of the line that tells an amount."""
SCREEN = "edge"
"""How the names of drawings begin that the one sheet of paper has no room for; a bed's own sheet prints them."""


def side_by_side(request: Any) -> HttpResponse:
    """The sheet of what its address asks; a POST asks for it to be reckoned and goes there."""
    held = standing()
    posted = request.method == "POST"
    question = asked(request.POST if posted else request.GET, held)
    inputs = None if question.begun and not posted else question.inputs(held)
    if posted and inputs is not None:
        queue.ask(SIDE_BY_SIDE.name, inputs, request.person.key)
        return HttpResponseRedirect(f"{reverse('office:side-by-side')}?{question.query}")
    found = {} if inputs is None else _came(request, question_of(SIDE_BY_SIDE.name, inputs))
    context = {
        "about": held.works.about,
        "rows": question.rows(held),
        "came": found,
        "ready": inputs is not None,
        "query": question.query,
        "beds": [code for code in question.beds if code],
        "size": question.size,
    }
    return render(request, "office/beside/beside.html", context, status=REFUSED if posted else 200)


def _came(request: Any, question: str) -> dict[str, Any]:
    """What came of it, or how far it is; empty where nobody asked."""
    answer = kept_answers.read(question)
    job = Job.objects.filter(question=question).order_by("-pk").first()
    if answer is not None:
        money = bool(rights.SEE_MONEY & set(request.roles))
        drawings = [
            {
                "says": one["says"],
                "address": reverse("office:bed-drawn", args=[question, one["name"]]),
                "screen": one["name"].startswith(SCREEN),
            }
            for one in answer["drawings"]
        ]
        lines = [line for line in answer["lines"] if money or line["key"] != MONEY]
        return {"answer": answer, "lines": lines, "drawings": drawings}
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
    if job is None or job.kind != SIDE_BY_SIDE.name:
        raise Http404(f"no beds side by side are known as {key[:40]!r}")
    return job


def came(request: Any, key: str) -> HttpResponse:
    """The part of the page that tells how far it is, or what came of it."""
    return render(request, "office/beside/came.html", {"came": _came(request, _job(key).question) or {"gone": True}})


def cancel(request: Any, key: str) -> HttpResponse:
    """Cancel it, and go back to its sheet."""
    queue.cancel(_job(key).key)
    query = request.GET.urlencode()
    return HttpResponseRedirect(f"{reverse('office:side-by-side')}?{query}")
