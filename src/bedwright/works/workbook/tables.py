"""A works as tables: every sheet's rows as plain field values, in one order, for whichever writer."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.works.card import Row
from bedwright.works.workbook.layout import ABOUT, Sheet, sheets
from bedwright.works.works import Works


@dataclass(frozen=True, slots=True)
class Table:
    """One sheet and its rows; each row has a value for each column, None where empty."""

    sheet: Sheet
    rows: tuple[tuple[object, ...], ...]


def tables(works: Works) -> tuple[Table, ...]:
    """Every sheet of a works in the workbook's order, empty ones too; nested rows in the order of their positions."""
    return tuple(Table(sheet, tuple(_rows(works, sheet))) for sheet in sheets())


def in_order(rows: list[Row]) -> list[Row]:
    """Nested rows by face (where they have one) and position: their place in the sheet means nothing."""
    return sorted(rows, key=lambda row: (str(getattr(row, "face", "")), int(getattr(row, "position", 0))))


def _rows(works: Works, sheet: Sheet) -> list[tuple[object, ...]]:
    fields = [column.field for column in sheet.columns]
    if sheet.name == ABOUT:
        return [tuple(getattr(works.about, field) for field in fields)]
    assert sheet.kind is not None
    cards = works.of_kind(sheet.kind)
    if not sheet.field:
        return [tuple(getattr(card, field) for field in fields) for card in cards]
    return [
        (card.code, *(getattr(row, field) for field in fields[1:]))
        for card in cards
        for row in in_order(list(getattr(card, sheet.field)))
    ]
