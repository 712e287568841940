"""What the works is, which revision counts, what it holds, and what waits for somebody."""

from __future__ import annotations

from collections import Counter
from typing import Any

from django.db.models import Count
from django.http import HttpResponse
from django.shortcuts import render

from bedsite.doors import rights
from bedsite.records import ledger
from bedsite.records.bodies import ABOUT_CODE, ABOUT_KIND, about_of
from bedsite.records.cards import head
from bedsite.records.models import Head
from bedwright.works.kinds import BY_KIND, KINDS

MOST_WAITING = 50


def front(request: Any) -> HttpResponse:
    """The page of the works."""
    row, end = head(ABOUT_KIND, ABOUT_CODE), ledger.end()
    counted = Head.objects.filter(gone=False).order_by().values_list("kind").annotate(cards=Count("id"))
    counts: Counter[str] = Counter(dict(counted))
    seen = [kind for kind in KINDS if rights.may_see_kind(request.roles, kind.KIND)]
    waiting = Head.objects.filter(asides__gt=0).order_by("kind", "folded")[: MOST_WAITING + 1]
    context = {
        "about": about_of(row.body, row.schema, works_id=end.works_id, revision=end.cards_seq),
        "kinds": [
            {"name": kind.SHEET, "plain": kind.SHEET.replace("_", " "), "says": kind.SAYS, "count": counts[kind.KIND]}
            for kind in seen
        ],
        "waiting": [
            {"kind": one.kind, "name": _sheet(one.kind), "code": one.code, "asides": one.asides}
            for one in waiting[:MOST_WAITING]
            if one.kind == ABOUT_KIND or rights.may_see_kind(request.roles, one.kind)
        ],
        "cards": sum(counts[kind.KIND] for kind in seen),
        "works_changed": end,
        "may_change_about": rights.may_change(request.roles, ABOUT_KIND),
    }
    return render(request, "office/front/front.html", context)


def _sheet(kind: str) -> str:
    return BY_KIND[kind].SHEET if kind in BY_KIND else ABOUT_KIND
