"""A card's form as its page draws it: rows and tables of boxes, read off the columns of the card class."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from bedsite.office.cards.boxes import Typed, box, count_box, row_box
from bedsite.office.cards.kinds import Kind
from bedsite.parts.rows import Box, FormRow
from bedsite.records import cards
from bedwright.works.card import Card
from bedwright.works.workbook.layout import Column, Sheet

MOST_SUGGESTED = 400
"""Codes that a box of mentions offers; beyond that they are typed."""
_UNITS = {"um": "µm", "m2": "m²", "m3": "m³", "g/m2": "g/m²", "m/m2": "m/m²", "kg/m3": "kg/m³"}


@dataclass(frozen=True, slots=True)
class RowsTable:
    """The nested rows of a card as a table that one can type in."""

    field: str
    title: str
    says: str
    heads: tuple[FormRow, ...]
    """What each column is: label, unit, meaning; the boxes below are described by it."""
    rows: tuple[tuple[FormRow, ...], ...]
    whole: tuple[str, ...]
    """For each row what is wrong with it as a whole, "" for nothing."""
    was: tuple[str, ...]
    count: str

    @property
    def numbered(self) -> list[tuple[int, tuple[FormRow, ...], str, str]]:
        return [(place, *row) for place, row in enumerate(zip(self.rows, self.whole, self.was, strict=True))]


@dataclass(frozen=True, slots=True)
class CardForm:
    """All that the page of a form draws."""

    rows: tuple[FormRow, ...]
    tables: tuple[RowsTable, ...]
    lists: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    """(id, ((code, name), ...)) of each list of suggestions."""
    general: tuple[str, ...]
    """What is wrong with the card as a whole, or with another."""
    boxes: tuple[tuple[str, str], ...]
    """(id of the box, label) of every box with a fault."""

    @property
    def faulty(self) -> bool:
        return bool(self.general or self.boxes)


def card_form(
    kind: Kind,
    typed: Typed,
    roles: Iterable[str],
    money: str,
    faults: Mapping[str, list[str]] | None = None,
    *,
    new: bool = False,
    first: str = "",
) -> CardForm:
    """The form of a card. money: the currency of amounts; first: the box in which to go on."""
    told = faults or {}
    roles = frozenset(roles)
    columns = [one for one in kind.columns(roles) if new or one.field != "code" or kind.is_about]
    rows = tuple(
        form_row(kind.sheet, one, box(one.field), typed.fields.get(one.field, ""), money, told, first)
        for one in columns
    )
    tables = tuple(_table(kind, sheet, own, typed, money, told, first) for sheet, own in kind.rows(roles))
    boxes = [(row.id, row.label) for row in rows if row.faults]
    for table in tables:
        for place, cells in enumerate(table.rows, 1):
            boxes += [(cell.id, f"{cell.label} of {table.title}, row {place}") for cell in cells if cell.faults]
    placed = {row.name for row in rows} | {cell.name for table in tables for line in table.rows for cell in line}
    placed |= {row_box(table.field, place, "") for table in tables for place in range(len(table.rows))}
    general = [says for name, sentences in told.items() if name not in placed for says in sentences]
    return CardForm(rows, tables, _lists(kind, roles), tuple(general), tuple(boxes))


def form_row(
    sheet: Sheet, column: Column, name: str, value: str, money: str, faults: Mapping[str, list[str]], first: str = ""
) -> FormRow:
    """One box, from what its column holds."""
    usual = (
        f"{column.usual[0]:g} to {column.usual[1]:g} {unit_of(column, sheet, money)}".strip() if column.usual else ""
    )
    longest = _longest(sheet, column.field)
    return FormRow(
        name=name,
        label=column.plain,
        value=value,
        box=_box(column, value, longest),
        unit=unit_of(column, sheet, money),
        meaning=column.meaning,
        usual=usual,
        choices=_choices(column, value),
        listed=list_id(column.refers) if column.refers else "",
        needed=column.needed,
        faults=tuple(faults.get(name, ())),
        longest=longest if column.holds == "text" else 0,
        first=name == first,
    )


def unit_of(column: Column, sheet: Sheet, money: str = "") -> str:
    """The unit as people read it; of an amount the works' currency, unless the card names its own."""
    if column.holds == "money" and column.field != "exchange_rate":
        return "" if "currency" in sheet.model.model_fields else money
    told = column.unit in column.plain.split()  # live turns need no turns behind them
    return "" if told else _UNITS.get(column.unit, column.unit)


def list_id(refers: tuple[str, ...]) -> str:
    """Id of the list of suggestions for mentions of these kinds."""
    return "codes-" + "-".join(kind.replace(" ", "_") for kind in refers)


def _box(column: Column, value: str, longest: int) -> Box:
    if column.refers:
        return "listed"
    match column.holds:
        case "choice" | "yes or no":
            return "choice"
        case "date":
            return "date" if _is_day(value) else "line"
        case "number" | "whole" | "money":
            return "number"
        case "text":
            return "long" if column.field == "note" or longest > 400 or len(value) > 60 or "\n" in value else "line"
    return "line"


def _is_day(value: str) -> bool:
    """A browser's own box for days shows nothing of what it cannot read; then a plain box keeps what was typed."""
    if not value:
        return True
    try:
        return date.fromisoformat(value).isoformat() == value
    except ValueError:
        return False


def _choices(column: Column, value: str) -> tuple[tuple[str, str], ...]:
    if column.holds == "choice":
        found = [(choice, choice) for choice in column.choices]
    elif column.holds == "yes or no":
        found = [("yes", "yes"), ("no", "no")]
    else:
        return ()
    if column.needed and not value:
        found.insert(0, ("", "choose"))
    elif not column.needed and column.default is None:
        found.insert(0, ("", "not said"))
    if value not in dict(found):
        found.append((value, value))  # what was typed stays, with its fault below
    return tuple(found)


def _longest(sheet: Sheet, name: str) -> int:
    found = [getattr(one, "max_length", None) for one in sheet.model.model_fields[name].metadata]
    return max((int(one) for one in found if one is not None), default=0)


def _table(
    kind: Kind,
    sheet: Sheet,
    columns: tuple[Column, ...],
    typed: Typed,
    money: str,
    faults: Mapping[str, list[str]],
    first: str,
) -> RowsTable:
    def cell(place: int, column: Column, value: str) -> FormRow:
        return form_row(sheet, column, row_box(sheet.field, place, column.field), value, money, faults, first)

    rows = typed.rows.get(sheet.field, [])
    return RowsTable(
        field=sheet.field,
        title=sheet.field.replace("_", " "),
        says=kind.sheet.model.model_fields[sheet.field].description or "",
        heads=tuple(form_row(sheet, one, f"h-{sheet.field}-{one.field}", "", money, {}) for one in columns),
        rows=tuple(
            tuple(cell(place, one, row.cells.get(one.field, "")) for one in columns) for place, row in enumerate(rows)
        ),
        whole=tuple("; ".join(faults.get(row_box(sheet.field, place, ""), ())) for place in range(len(rows))),
        was=tuple(row.was for row in rows),
        count=count_box(sheet.field),
    )


def _lists(kind: Kind, roles: frozenset[str]) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """Suggestions for every mention that the form can make."""
    wanted = {one.refers for one in kind.columns(roles) if one.refers}
    wanted |= {one.refers for _, columns in kind.rows(roles) for one in columns if one.refers}
    names: dict[str, tuple[tuple[str, str], ...]] = {}
    for word in {word for refers in wanted for word in refers}:
        found = cards.heads(word, most=MOST_SUGGESTED + 1)
        names[word] = tuple(_named(cards.card_in(head)) for head in found[:MOST_SUGGESTED])
    return tuple((list_id(refers), tuple(one for word in refers for one in names[word])) for refers in sorted(wanted))


def _named(card: Any) -> tuple[str, str]:
    assert isinstance(card, Card)
    return card.code, card.name
