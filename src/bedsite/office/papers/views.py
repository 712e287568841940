"""Kept papers: what was printed, and its bytes as they were."""

from __future__ import annotations

import re
from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import render

from bedsite.doors import rights
from bedsite.records import people, snapshots
from bedsite.records.models import Snapshot
from bedwright.errors import NotReadable

SHOWN = frozenset({"application/pdf"})
"""Media that a browser shows by itself; everything else is saved."""
SERVED = SHOWN | {
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "application/json",
}
_NOT_PLAIN = re.compile(r"[^A-Za-z0-9._ -]")


def papers(request: Any) -> HttpResponse:
    """The newest papers that this person may see."""
    seen = [row for row in snapshots.listed() if rights.may_see_paper(request.roles, row.paper)]
    names = people.names({row.who for row in seen})
    lines = [{"row": row, "who": names.get(row.who, "nobody known")} for row in seen]
    return render(request, "office/papers/list.html", {"lines": lines})


def paper(request: Any, key: str) -> HttpResponse:
    """The very bytes of a kept paper. 404 where none is kept under the id, or it is not for this person."""
    kept = Snapshot.objects.filter(id=key).only("paper").first()
    if kept is None or not rights.may_see_paper(request.roles, kept.paper):
        raise Http404("no paper is kept under this address; the list names those that are")
    try:
        row, data = snapshots.again(key)
    except NotReadable as error:
        raise Http404(str(error)) from None
    media = row.blob.media if row.blob.media in SERVED else "application/octet-stream"
    answer = HttpResponse(data, content_type=media)
    how = "inline" if media in SHOWN else "attachment"
    answer["Content-Disposition"] = f'{how}; filename="{file_name(row.name)}"'
    answer["X-Content-Type-Options"] = "nosniff"
    return answer


def file_name(name: str) -> str:
    """A name that every browser takes as it is: the last part, plain letters."""
    return _NOT_PLAIN.sub("_", name.rpartition("/")[2])[:120] or "paper"
