"""The first page of the office: what is missing for the next vans."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render

from bedsite.longwork.latest import kept_reckoning
from bedsite.office.marrying.asked import asked_in, closed_days, rounds
from bedsite.office.marrying.showing import Vans, vans
from bedsite.office.marrying.unanswered import unanswered
from bedsite.records import ledger
from bedsite.records.bodies import ABOUT_CODE, ABOUT_KIND, about_of
from bedsite.records.by_van import anything_released
from bedsite.records.cards import head

REFUSED = 422


def marrying(request: Any) -> HttpResponse:
    """The next vans, each with its sets that are not complete."""
    row, end = head(ABOUT_KIND, ABOUT_CODE), ledger.end()
    about = about_of(row.body, row.schema, works_id=end.works_id, revision=end.cards_seq)
    asked, of, released = asked_in(request.GET), rounds(), anything_released()
    kept = kept_reckoning(about) if released else None
    waits, more = unanswered(request.roles)
    shown = vans(asked, of, closed_days(), about.as_of, kept) if released and not asked.fault else Vans()
    context = {
        "about": about,
        "asked": asked,
        "rounds": [(key, one.name or one.code) for key, one in of.items()],
        "released": released,
        "reckoned": kept is not None,
        "vans": shown,
        "next": asked.address(**{"from": shown.next, "page": ""}) if shown.next is not None else "",
        "waits": waits,
        "more_waits": more,
    }
    return render(request, "office/marrying/marrying.html", context, status=REFUSED if asked.fault else 200)
