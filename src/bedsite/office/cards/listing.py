"""The list of a kind: a hundred cards by their codes, chosen columns, a search, an order within the page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.http import HttpResponse
from django.shortcuts import render

from bedsite.doors import rights
from bedsite.office.cards import kinds
from bedsite.office.cards.form import unit_of
from bedsite.office.cards.kinds import Kind
from bedsite.records import cards
from bedsite.records.models import Head
from bedwright.works.card import Card
from bedwright.works.workbook.cells import as_text
from bedwright.works.workbook.layout import Column

PAGE = 100
FIRST_SHOWN = 8
"""Columns that a list shows where nobody chose."""
_LONGEST_SEARCH = 100
_LONGEST_CELL = 80


@dataclass(frozen=True, slots=True)
class Asked:
    """What a list was asked for."""

    search: str
    shown: tuple[str, ...]
    sort: str
    down: bool
    after: str
    gone: bool

    def address(self, **other: object) -> str:
        """The question with some of it changed, as an address."""
        said: dict[str, object] = {
            "search": self.search, "show": self.shown, "sort": self.sort, "down": "1" if self.down else "",
            "after": self.after, "gone": "1" if self.gone else "",
        } | other  # fmt: skip
        return "?" + urlencode({key: value for key, value in said.items() if value}, doseq=True)


@dataclass(frozen=True, slots=True)
class Line:
    """One card of the list."""

    code: str
    asides: int
    cells: tuple[tuple[str, str], ...]
    """(text, unit) of each shown column."""


def listed(request: Any, name: str) -> HttpResponse:
    """The cards of a kind."""
    roles = frozenset(request.roles)
    kind = kinds.asked(request, name)
    columns = kind.columns(roles)
    asked = _asked(request.GET, columns)
    heads = _found(kind, asked)
    more = len(heads) > PAGE
    heads = heads[:PAGE]
    last = heads[-1].folded if heads else ""
    chosen = [column for column in columns if column.field in asked.shown]
    money = kinds.currency()
    context = {
        "kind": kind,
        "asked": asked,
        "columns": [_heading(column, kind, asked, money) for column in chosen],
        "all_columns": [(column.field, column.plain, column.field in asked.shown) for column in columns],
        "lines": [_line(head, card, chosen) for head, card in _sorted(heads, asked, chosen)],
        "next": asked.address(after=last) if more else "",
        "start": asked.address(after="") if asked.after else "",
        "other": asked.address(gone="" if asked.gone else "1", after=""),
        "children": kind.children,
        "may_change": kinds.may_change(request, kind) and not kind.is_about,
        "sees_money": bool(rights.SEE_MONEY & roles),
    }
    return render(request, "office/cards/list.html", context)


def _asked(get: Any, columns: Iterable[Column]) -> Asked:
    """What the address asks for; what it asks wrongly is left out."""
    fields = [column.field for column in columns]
    wanted = [field for field in fields if field in get.getlist("show")]
    sort = get.get("sort", "")
    return Asked(
        search=get.get("search", "").replace("\0", "").strip()[:_LONGEST_SEARCH],
        shown=tuple(wanted or [field for field in fields if field != "note"][:FIRST_SHOWN]),
        sort=sort if sort in fields else "",
        down=get.get("down", "") == "1",
        after=get.get("after", "").replace("\0", "")[:96],
        gone=get.get("gone", "") == "1",
    )


def _heading(column: Column, kind: Kind, asked: Asked, money: str) -> dict[str, object]:
    sorted_by = asked.sort == column.field
    return {
        "plain": column.plain,
        "unit": unit_of(column, kind.sheet, money),
        "number": column.holds in ("number", "whole", "money"),
        "sorted": ("descending" if asked.down else "ascending") if sorted_by else "",
        "to": asked.address(sort=column.field, down="1" if sorted_by and not asked.down else ""),
    }


def _found(kind: Kind, asked: Asked) -> list[Head]:
    """One card more than a page holds, where there are so many."""
    return cards.heads(kind.kind, gone=asked.gone, holding=asked.search, after=asked.after, most=PAGE + 1)


def _sorted(heads: list[Head], asked: Asked, chosen: list[Column]) -> list[tuple[Head, kinds.Content]]:
    found = [(head, kinds.content(head)) for head in heads]
    if asked.sort:
        filled = [one for one in found if getattr(one[1], asked.sort) not in (None, "")]
        empty = [one for one in found if getattr(one[1], asked.sort) in (None, "")]
        found = sorted(filled, key=lambda one: _key(getattr(one[1], asked.sort)), reverse=asked.down) + empty
    return found


def _key(value: Any) -> Any:
    return value.casefold() if isinstance(value, str) else value


def _line(head: Head, card: kinds.Content, chosen: list[Column]) -> Line:
    code = card.code if isinstance(card, Card) else head.code
    return Line(code, head.asides, tuple((_short(as_text(getattr(card, one.field))), one.field) for one in chosen))


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST_CELL else text[: _LONGEST_CELL - 1] + "…"
