"""What goes out as a file: the whole works as a workbook, one kind as CSV. What a role may not see is not in it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse

from bedsite.office.cards import kinds
from bedsite.office.cards.kinds import Kind
from bedsite.records import cards, ledger
from bedsite.records.models import Head
from bedwright.works.workbook.cells import as_text
from bedwright.works.workbook.layout import Column
from bedwright.works.workbook.tables import in_order
from bedwright.works.workbook.writer import workbook_bytes

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")
_AT_ONCE = 1000


def workbook(request: HttpRequest) -> HttpResponse:
    """The whole works as it counts now, stamped with its revision."""
    works = ledger.read_works()
    response = HttpResponse(workbook_bytes(works), content_type=XLSX)
    response.headers["Content-Disposition"] = f'attachment; filename="works-{works.about.revision}.xlsx"'
    return response


def table(request: Any, name: str) -> StreamingHttpResponse:
    """The cards of a kind as CSV, or with ?rows=FIELD its nested rows; amounts of money only for who sees them."""
    kind = kinds.asked(request, name)
    rows = request.GET.get("rows", "")
    if rows and rows not in {sheet.field for sheet in kind.children}:
        raise Http404(f"cards {kind.kind} have no rows {rows!r}")
    lines = _rows(kind, rows, request.roles) if rows else _cards(kind, request.roles)
    response = StreamingHttpResponse((line.encode() for line in lines), content_type="text/csv; charset=utf-8")
    sheet = next((child.name for child in kind.children if child.field == rows), kind.name)
    response.headers["Content-Disposition"] = f'attachment; filename="{sheet}.csv"'
    return response


def _cards(kind: Kind, roles: frozenset[str]) -> Iterator[str]:
    columns = kind.columns(roles)
    yield _line([column.heading for column in columns])
    for head in _heads(kind):
        card = kinds.content(head)
        yield _line([_cell(column, getattr(card, column.field)) for column in columns])


def _rows(kind: Kind, rows: str, roles: frozenset[str]) -> Iterator[str]:
    columns = next(columns for sheet, columns in kind.rows(roles) if sheet.field == rows)
    yield _line(["code", *(column.heading for column in columns)])
    for head in _heads(kind):
        for row in in_order(list(getattr(kinds.content(head), rows))):
            yield _line([as_safe_text(head.code), *(_cell(one, getattr(row, one.field)) for one in columns)])


def _heads(kind: Kind) -> Iterator[Head]:
    after = ""
    while True:
        heads = cards.heads(kind.kind, after=after, most=_AT_ONCE)
        yield from heads
        if len(heads) < _AT_ONCE:
            return
        after = heads[-1].folded


def _cell(column: Column, value: object) -> str:
    text = as_text(value)
    return as_safe_text(text) if isinstance(value, str) else text


def as_safe_text(text: str) -> str:
    """Text that no spreadsheet takes for a formula: an apostrophe before = + - @, and before an apostrophe.

    Nothing is lost: whoever reads it takes one apostrophe off the front of every text that has one.
    """
    return "'" + text if text.startswith(_BEGINS_A_FORMULA) else text


def _line(cells: list[str]) -> str:
    return ",".join(map(_quoted, cells)) + "\r\n"


def _quoted(text: str) -> str:
    return '"' + text.replace('"', '""') + '"' if any(sign in text for sign in ',"\n\r') else text
