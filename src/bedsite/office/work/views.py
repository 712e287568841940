"""Long work: the list and what may be asked, one job, how far it is, and cancelling it."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from bedsite.doors import rights
from bedsite.longwork import asking, queue
from bedsite.longwork.kinds import KINDS
from bedsite.office.work.answer import facts_of
from bedsite.parts.rows import FormRow
from bedsite.records import ledger, people
from bedsite.records.bodies import ABOUT_CODE, ABOUT_KIND, about_of
from bedsite.records.cards import head
from bedsite.records.models import Job
from bedwright.works.about import About

REFUSED = 422
ASKS = {"reckon": asking.ask_reckoning, "papers": asking.ask_papers}


def work(request: Any) -> HttpResponse:
    """The list of long work; a POST asks for one more and goes to it."""
    if request.method != "POST":
        return _list(request, "", "")
    day, fault = _day(request.POST.get("as_of", ""))
    what = request.POST.get("what", "")
    if what not in ASKS:
        fault = f"{what[:40]!r} cannot be asked for here; ask for {' or '.join(ASKS)}"
    if fault:
        return _list(request, request.POST.get("as_of", "")[:40], fault)
    asked = ASKS[what](request.person.key, day)
    return HttpResponseRedirect(reverse("office:work-job", args=[asked.key]))


def _day(text: str) -> tuple[date | None, str]:
    if not text.strip():
        return None, ""
    try:
        return date.fromisoformat(text.strip()), ""
    except ValueError:
        return None, f"{text[:40]!r} is no day; write it as 2026-11-02"


def _list(request: Any, typed: str, fault: str) -> HttpResponse:
    about = _about()
    row = FormRow(
        "as_of",
        "the day that counts as today",
        typed or about.as_of.isoformat(),
        "date",
        meaning="which orders are open, which prices hold and when work may begin hang on it",
        faults=(fault,) if fault else (),
    )
    jobs = queue.listed()
    names = people.names({job.asked_by for job in jobs})
    lines = [_line(job, names) for job in jobs]
    context = {"about": about, "row": row, "lines": lines, "asks": [KINDS[name] for name in ASKS]}
    return render(request, "office/work/list.html", context, status=REFUSED if fault else 200)


def _about() -> About:
    row, end = head(ABOUT_KIND, ABOUT_CODE), ledger.end()
    return about_of(row.body, row.schema, works_id=end.works_id, revision=end.cards_seq)


def _line(job: Job, names: dict[str, str]) -> dict[str, Any]:
    since = {"waiting": job.asked_at, "at work": job.heartbeat}.get(job.state, job.ended_at)
    return {
        "job": job,
        "says": KINDS[job.kind].says if job.kind in KINDS else job.kind,
        "who": names.get(job.asked_by, "nobody known"),
        "since": since,
        "before": queue.before(job),
        "open": job.state in queue.OPEN,
        "percent": round(100 * job.done / job.total) if job.total else 0,
        "stopping": job.cancel,
    }


def _job(key: str) -> Job:
    found = queue.job_of(key)
    if found is None:
        raise Http404(f"no long work is known as {key[:40]!r}; it may have left the list")
    return found


def job(request: Any, key: str) -> HttpResponse:
    """One job: how far it is, or what came of it."""
    return render(request, "office/work/job.html", _context(request, _job(key)))


def progress(request: Any, key: str) -> HttpResponse:
    """The part of a job's page that changes; asked for again while the job is open."""
    return render(request, "office/work/progress.html", _context(request, _job(key)))


def _context(request: Any, found: Job) -> dict[str, Any]:
    money = bool(rights.SEE_MONEY & set(request.roles))
    answer = queue.answer_of(found)
    return {
        "line": _line(found, people.names({found.asked_by})),
        "faults": found.message.splitlines() if found.state == "failed" else [],
        "answer": facts_of(found.kind, answer, request.roles, money=money),
        "lost": found.state == "done" and answer is None,
    }


def cancel(request: HttpRequest, key: str) -> HttpResponse:
    """Cancel a job; what has ended stays as it is."""
    queue.cancel(_job(key).key)
    return HttpResponseRedirect(reverse("office:work-job", args=[key]))
