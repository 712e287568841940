"""The list of beds: found by a word, sorted by a column, forty to a page; the same as CSV."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.http import HttpResponse
from django.shortcuts import render

from bedsite.longwork.standing import Standing, standing
from bedwright.works.beds import Bed

PAGE = 40
COLUMNS = (
    ("code", "bed"), ("name", "name"), ("unit", "unit"), ("construction", "construction"), ("faces", "faces"),
    ("closure", "closure"), ("wrap", "pack"),
)  # fmt: skip
"""Key and heading of what cards alone tell; a list is sorted by these."""
_BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")


@dataclass(frozen=True, slots=True)
class Asked:
    """What the list was asked for."""

    search: str
    sort: str
    down: bool
    size: str
    page: int

    def address(self, **other: object) -> str:
        """The question with some of it changed."""
        said: dict[str, object] = {
            "search": self.search, "sort": self.sort, "down": "1" if self.down else "", "size": self.size,
            "page": self.page if self.page > 1 else "",
        } | other  # fmt: skip
        return "?" + urlencode({key: value for key, value in said.items() if value})


def _asked(get: Any, held: Standing) -> Asked:
    sort, page = get.get("sort", ""), get.get("page", "1")
    size = get.get("size", "").replace("\0", "")[:24]
    return Asked(
        search=get.get("search", "").replace("\0", "").strip()[:100],
        sort=sort if sort in dict(COLUMNS) else "code",
        down=get.get("down", "") == "1",
        size=held.works.sizes[size].code if size in held.works.sizes else "",
        page=int(page) if page.isdecimal() and 0 < int(page[:6]) < 100_000 else 1,
    )


def _cells(held: Standing, bed: Bed) -> dict[str, str]:
    works = held.works
    return {
        "code": bed.code,
        "name": bed.name,
        "unit": bed.unit,
        "construction": works.units[bed.unit].construction,
        "faces": "two" if bed.faces == 2 else "one",
        "closure": works.closures[bed.closure].form,
        "wrap": bed.wrap,
    }


def _found(held: Standing, asked: Asked) -> list[dict[str, str]]:
    word = asked.search.casefold()
    rows = [_cells(held, bed) for bed in held.works.beds]
    rows = [row for row in rows if word in " ".join(row.values()).casefold()]
    return sorted(rows, key=lambda row: (row[asked.sort].casefold(), row["code"].casefold()), reverse=asked.down)


def listed(request: Any) -> HttpResponse:
    """A page of beds, each with height and mass at the size asked for, else at the one ordered most."""
    held = standing()
    asked = _asked(request.GET, held)
    rows = _found(held, asked)
    start = (asked.page - 1) * PAGE
    lines = [_line(held, row, asked.size) for row in rows[start : start + PAGE]]
    context = {
        "asked": asked,
        "columns": [_heading(key, words, asked) for key, words in COLUMNS],
        "lines": lines,
        "count": len(rows),
        "first": start + 1,
        "last": start + len(lines),
        "sizes": [(size.code, size.code) for size in held.works.sizes],
        "before": asked.address(page=asked.page - 1) if asked.page > 1 else "",
        "next": asked.address(page=asked.page + 1) if start + PAGE < len(rows) else "",
        "csv": asked.address(page=""),
        "works": held.works.about,
    }
    return render(request, "office/beds/list.html", context)


def _heading(key: str, words: str, asked: Asked) -> dict[str, str]:
    here = asked.sort == key
    down = "1" if here and not asked.down else ""
    way = ("descending" if asked.down else "ascending") if here else ""
    return {"words": words, "sorted": way, "to": asked.address(sort=key, down=down, page="")}


def _line(held: Standing, row: dict[str, str], size: str) -> dict[str, Any]:
    at = size or held.usual(row["code"])
    made = held.made(row["code"], at) if at else "the works has no sizes"
    line = {"code": row["code"], "cells": list(row.values())[1:], "size": at}
    if isinstance(made, str):
        return line | {"why_not": made}
    return line | {"height": f"{made.bed.height:.0f}", "mass": f"{made.bill.mass:.1f}", "faults": len(made.faults)}


def table(request: Any) -> HttpResponse:
    """The beds as found and sorted, all of them, as CSV: what their cards say."""
    held = standing()
    asked = _asked(request.GET, held)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([words for _, words in COLUMNS])
    for row in _found(held, asked):
        writer.writerow([_safe(text) for text in row.values()])
    response = HttpResponse(out.getvalue().encode(), content_type="text/csv; charset=utf-8")
    response.headers["Content-Disposition"] = 'attachment; filename="beds.csv"'
    return response


def _safe(text: str) -> str:
    """Nothing that a spreadsheet would take for a formula."""
    return f"'{text}" if text.startswith(_BEGINS_A_FORMULA) else text
