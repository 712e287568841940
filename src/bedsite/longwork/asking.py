"""Questions to the works as it stands: what a page or command asks for, in the form that makes likes the same."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bedsite.longwork import queue
from bedsite.longwork.kinds import PAPERS, RECKON, OfTheWorks
from bedsite.records.ledger import read_works
from bedsite.records.models import Job
from bedwright.works.works import Works


def content_of(works: Works) -> str:
    """Content id of a works, whatever revision it was read at."""
    return replace(works, about=works.about.model_copy(update={"revision": 0})).content()


def ask_reckoning(who: str, as_of: date | None = None) -> Job:
    """Ask for the reckoning of the works as it stands, on a day (its own where none is given)."""
    return queue.ask(RECKON.name, _inputs(RECKON.inputs, as_of), who)


def ask_papers(who: str, as_of: date | None = None) -> Job:
    """Ask for every paper of the works as it stands."""
    return queue.ask(PAPERS.name, _inputs(PAPERS.inputs, as_of), who)


def _inputs(kind: type, as_of: date | None) -> OfTheWorks:
    works = read_works()
    found: OfTheWorks = kind(
        works=content_of(works),
        as_of=as_of or works.about.as_of,
        revision=works.about.revision,
        released=len(works.released),
    )
    return found
