"""One bed at a size: its sheet, its drawings, and what long work tells of it."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from bedsite.doors import rights
from bedsite.longwork import kept_answers, queue
from bedsite.longwork.kinds import LYING, PAD_TEST, Inputs, Kind
from bedsite.longwork.question import question_of
from bedsite.longwork.standing import Made, Standing, standing
from bedsite.office.beds import shown
from bedsite.office.beds.asked import LIE, PAD, Asked, asked
from bedsite.parts.drawn import inlined, picture_of
from bedsite.records.models import Job
from bedwright.papers.drawings.cross_section import edge_section
from bedwright.papers.drawings.unit_plan import unit_plan

REFUSED = 422
SVG, PNG = "image/svg+xml", "image/png"
MOST_SIZES = 12
ACROSS = ("section", "side", "across")
"""How the names of drawings begin that are wide: they take a whole row."""
PICTURE = "-picture"


def _asked(request: Any, held: Standing, code: str, *said: Any) -> Asked:
    works = held.works
    if code not in works.beds:
        raise Http404(f"the works has no bed {code!r} in use")
    bed = works.beds[code]
    size = request.GET.get("size", "").replace("\0", "")[:24] or held.usual(bed.code)
    if size not in works.sizes:
        raise Http404(f"the works has no size {size!r}")
    return asked(bed, works.sizes[size], request.GET, *said)


def bed(request: Any, code: str) -> HttpResponse:
    """The sheet of a bed at a size."""
    held = standing()
    question = _asked(request, held, code)
    return _sheet(request, held, question)


def ask_pad_test(request: Any, code: str) -> HttpResponse:
    """Ask for the pad test that the form says, and go to where it is shown."""
    held = standing()
    question = _asked(request, held, code, _own(request.POST, PAD))
    return _ask(request, held, question, PAD_TEST, question.pad_test(held), "pad-test")


def ask_lying(request: Any, code: str) -> HttpResponse:
    """Ask for the lying that the form says, and go to where it is shown."""
    held = standing()
    question = _asked(request, held, code, _own(request.POST, LIE))
    lies = question.lying(held)
    if lies is None and not question.faults:
        question.refuse("person", "nobody is said; write who lies, as man 1755 mm 80 kg")
    return _ask(request, held, question, LYING, lies, "lying")


def _own(post: Any, boxes: tuple[str, ...]) -> dict[str, str]:
    return {box: post.get(box, "") for box in boxes}


def _ask(request: Any, held: Standing, question: Asked, kind: Kind, inputs: Inputs | None, to: str) -> HttpResponse:
    if inputs is None:
        return _sheet(request, held, question, status=REFUSED)
    queue.ask(kind.name, inputs, request.person.key)
    address = reverse("office:bed", args=[question.bed.code])
    return HttpResponseRedirect(f"{address}?{question.query}#{to}")


def _sheet(request: Any, held: Standing, question: Asked, *, status: int = 200) -> HttpResponse:
    works, card, money = held.works, question.bed, bool(rights.SEE_MONEY & set(request.roles))
    made = held.made(card.code, question.size.code)
    pad_test, lying = question.pad_test(held), question.lying(held)
    pressed = _came(PAD_TEST.name, question_of(PAD_TEST.name, pad_test)) if pad_test is not None else {}
    lain = _came(LYING.name, question_of(LYING.name, lying)) if lying is not None else {}
    predicted = pressed["answer"]["h_tangent"] if pressed.get("answer") else None
    sizes = [size.code for size in works.sizes][:MOST_SIZES]
    context = {
        "about": works.about,
        "card": card,
        "size": question.size,
        "query": question.query,
        "money": works.about.currency if money else "",
        "rungs": shown.rungs(held, card, sizes, money=money),
        "more_sizes": len(works.sizes) - len(sizes),
        "pad_rows": question.pad_rows(),
        "lie_rows": question.lie_rows(),
        "pressed": pressed,
        "lain": lain,
        "tests": shown.own_tests(card, question.size.code, predicted),
        "may_change": rights.may_change(request.roles, "bed"),
    }
    context |= {"why_not": made} if isinstance(made, str) else _made(made, money)
    return render(request, "office/beds/bed.html", context, status=status)


def _made(made: Made, money: bool) -> dict[str, Any]:
    return {
        "bed": made.bed,
        "mass": shown.mass_words(made),
        "build_up": shown.build_up(made.bed),
        "parts": shown.parts(made.bed),
        "faults": made.faults,
        "unknowns": shown.unknowns(made, money=money),
        "section": inlined(edge_section(made.bed), "section"),
    }


def plan(request: Any, code: str) -> HttpResponse:
    """The plan of the unit: a part of the page where it is asked for by one, else the drawing alone."""
    held = standing()
    question = _asked(request, held, code)
    made = held.made(question.bed.code, question.size.code)
    if isinstance(made, str):
        raise Http404(made)
    return _drawing(request, unit_plan(made.bed, height=150.0), "plan", f"Plan of the unit of {made.bed.key}")


def _drawing(request: Any, svg: str, name: str, says: str, picture: str = "") -> HttpResponse:
    drawn = inlined(svg, name, picture)
    if request.htmx:
        return render(request, "office/beds/drawn.html", {"svg": drawn, "says": says})
    return HttpResponse(drawn, content_type=SVG)


def _came(kind: str, question: str) -> dict[str, Any]:
    """What came of a question, or how far it is; empty where nobody asked it."""
    answer = kept_answers.read(question)
    job = Job.objects.filter(question=question).order_by("-pk").first()
    if answer is None and (job is None or job.state in ("done", "cancelled")):
        return {}
    found: dict[str, Any] = {"kind": kind, "question": question}
    if answer is not None:
        return found | {"answer": answer, "drawings": [_shown(one, question) for one in answer["drawings"]]}
    assert job is not None
    return found | {
        "job": job,
        "open": job.state in queue.OPEN,
        "before": queue.before(job),
        "percent": round(100 * job.done / job.total) if job.total else 0,
        "faults": job.message.splitlines() if job.state == "failed" else [],
    }


def _shown(one: dict[str, str], question: str) -> dict[str, Any]:
    """A drawing as its page asks for it once it is there: together they are large."""
    address = reverse("office:bed-drawn", args=[question, one["name"]])
    return {"says": one["says"], "address": address, "wide": one["name"].startswith(ACROSS)}


def _job(key: str) -> Job:
    job = queue.job_of(key)
    if job is None or job.kind not in (PAD_TEST.name, LYING.name):
        raise Http404(f"nothing of a bed is known as {key[:40]!r}")
    return job


def came(request: Any, key: str) -> HttpResponse:
    """The part of a page that tells how far a job is, or what came of it."""
    job = _job(key)
    return render(request, "office/beds/came.html", {"came": _came(job.kind, job.question) or {"gone": True}})


def cancel(request: Any, code: str, key: str) -> HttpResponse:
    """Cancel a job of this bed, and go back to it."""
    held = standing()
    question = _asked(request, held, code)
    queue.cancel(_job(key).key)
    return HttpResponseRedirect(f"{reverse('office:bed', args=[question.bed.code])}?{question.query}")


def drawn(request: Any, key: str, name: str) -> HttpResponse:
    """A drawing of a kept answer, by its question, or the picture in it."""
    answer = kept_answers.read(key)
    drawings = answer.get("drawings", ()) if isinstance(answer, dict) else ()
    found = next((one for one in drawings if one["name"] == name.removesuffix(PICTURE)), None)
    if found is None:
        raise Http404("this drawing is no longer kept; ask for its pad test or lying again")
    if name.endswith(PICTURE):
        picture = picture_of(found["svg"])
        if picture is None:
            raise Http404("this drawing has no picture in it")
        return HttpResponse(picture, content_type=PNG)
    address = reverse("office:bed-drawn", args=[key, name + PICTURE])
    return _drawing(request, found["svg"], f"{name}-{key[:8]}", found["says"], address)
