"""One box over everything: the first of every group, or one group page by page."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render

from bedsite.office.search.finding import GROUPS, found_in
from bedsite.office.search.question import LAST_PAGE, PAGE, question

FIRST_SHOWN = 8
"""Rows of each group where no group was chosen."""
REFUSED = 422


def search(request: Any) -> HttpResponse:
    """What holds the words asked for, as far as this person may see it."""
    roles = frozenset(request.roles)
    asked = question(request.GET, tuple(GROUPS))
    groups = []
    for name in [asked.group] if asked.group else GROUPS if asked.asks else ():
        rows, more = found_in(name, asked, roles, PAGE if asked.group else FIRST_SHOWN)
        groups.append(
            {
                "name": name,
                "heading": GROUPS[name][0],
                "rows": rows,
                "all": asked.address(name) if more and not asked.group else "",
                "before": asked.address(name, asked.page - 1) if asked.group and asked.page > 1 else "",
                "next": asked.address(name, asked.page + 1) if asked.group and more and asked.page < LAST_PAGE else "",
            }
        )
    context = {
        "asked": asked,
        "groups": [group for group in groups if group["rows"] or asked.group],
        "every": asked.address("") if asked.group else "",
    }
    return render(request, "office/search/search.html", context, status=REFUSED if asked.fault else 200)
