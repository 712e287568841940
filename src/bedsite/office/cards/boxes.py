"""What stands in the boxes of a card's form: as text, from a card or from a post, before anything is judged."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from bedsite.office.cards.kinds import Content, Kind
from bedsite.records.cards import row_key
from bedwright.works.workbook.cells import as_text
from bedwright.works.workbook.layout import Column
from bedwright.works.workbook.tables import in_order

MOST_ROWS = 500
"""Nested rows that one form takes; no card of a works has as many."""


@dataclass(slots=True)
class TypedRow:
    """One nested row: what stands in its boxes; was names the row of the base that it came from, "" for a new one."""

    was: str = ""
    cells: dict[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Typed:
    """All boxes of one card: field -> text, and field of nested rows -> rows in the order of the page."""

    fields: dict[str, str] = field(default_factory=dict)
    rows: dict[str, list[TypedRow]] = field(default_factory=dict)


def box(name: str) -> str:
    """Name in the post of a card's field."""
    return f"f-{name}"


def row_box(rows: str, place: int, name: str) -> str:
    """Name in the post of a nested row's field; place counts the rows of the page from 0."""
    return f"r-{rows}-{place}-{name}"


def count_box(rows: str) -> str:
    """Name in the post of how many rows the page has."""
    return f"n-{rows}"


def was(row: object) -> str:
    """How a form remembers which row of the base a row came from."""
    face, position = row_key(row)
    return f"{face}|{position}"


def from_content(kind: Kind, card: Content, roles: Iterable[str]) -> Typed:
    """The boxes filled from a card; what the roles may not see is left out."""
    typed = Typed({one.field: as_text(getattr(card, one.field)) for one in kind.columns(roles)})
    for sheet, columns in kind.rows(roles):
        typed.rows[sheet.field] = [
            TypedRow(was(row), {one.field: as_text(getattr(row, one.field)) for one in columns})
            for row in in_order(list(getattr(card, sheet.field)))
        ]
    return typed


def empty(kind: Kind, roles: Iterable[str]) -> Typed:
    """The boxes of a new card: what is usual where a card says so, else nothing."""
    typed = Typed({one.field: as_text(one.default) for one in kind.columns(roles)})
    typed.rows = {sheet.field: [] for sheet, _ in kind.rows(roles)}
    return typed


def from_post(kind: Kind, post: Mapping[str, Any], roles: Iterable[str]) -> Typed:
    """The boxes as somebody sent them. A browser's line ends are made one sign."""
    typed = Typed({one.field: _text(post, box(one.field)) for one in kind.columns(roles)})
    for sheet, columns in kind.rows(roles):
        count = _text(post, count_box(sheet.field))
        rows = min(int(count), MOST_ROWS) if count.isascii() and count.isdigit() and len(count) < 6 else 0
        typed.rows[sheet.field] = [
            TypedRow(
                _text(post, row_box(sheet.field, place, "was")),
                {one.field: _text(post, row_box(sheet.field, place, one.field)) for one in columns},
            )
            for place in range(rows)
        ]
    return typed


def act(kind: Kind, typed: Typed, said: str, roles: Iterable[str]) -> str:
    """Do what a button beside the rows says ("add-lines", "remove-lines-2"); the box to go on in, "" for none such."""
    for sheet, columns in kind.rows(roles):
        rows = typed.rows[sheet.field]
        if said == f"add-{sheet.field}":
            if len(rows) < MOST_ROWS:
                rows.append(_next(columns, rows))
            first = next((one.field for one in columns if not rows[-1].cells.get(one.field)), columns[0].field)
            return row_box(sheet.field, len(rows) - 1, first)
        if said.startswith(f"remove-{sheet.field}-"):
            place = said.removeprefix(f"remove-{sheet.field}-")
            if place.isascii() and place.isdigit() and len(place) < 6 and int(place) < len(rows):
                del rows[int(place)]
                return count_box(sheet.field)
    return ""


def _next(columns: tuple[Column, ...], rows: list[TypedRow]) -> TypedRow:
    """A new row: usual values, the face of the last row, the position after the last on that face."""
    cells = {one.field: as_text(one.default) for one in columns}
    if rows and "face" in cells:
        cells["face"] = rows[-1].cells.get("face", "")
    if "position" in cells:
        taken = [row.cells.get("position", "") for row in rows if row.cells.get("face") == cells.get("face")]
        numbers = [int(text) for text in taken if text.isascii() and text.isdigit() and len(text) < 6]
        cells["position"] = str(max(numbers, default=0) + 1)
    return TypedRow("", cells)


def _text(post: Mapping[str, Any], name: str) -> str:
    value = post.get(name, "")
    return value.replace("\r\n", "\n") if isinstance(value, str) else ""
