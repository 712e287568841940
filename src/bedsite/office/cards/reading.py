"""From the boxes of a form to a card: read as the workbook reads cells, every fault under its box, all at once."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from bedsite.office.cards.boxes import Typed, TypedRow, box, row_box, was
from bedsite.office.cards.kinds import Content, Kind
from bedwright.errors import Fault, NotUnderstood
from bedwright.works.card import Row, plain_faults
from bedwright.works.workbook.cells import as_text, read_cell, shown
from bedwright.works.workbook.layout import Column, Sheet
from bedwright.works.workbook.tables import in_order

_WORD = re.compile(r"[a-z_0-9]+")


@dataclass(slots=True)
class Taken:
    """A form as read: the card where nothing is wrong, and what is wrong by the name of its box; "" for the whole."""

    card: Content | None = None
    faults: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))

    def refuse(self, name: str, says: str) -> None:
        """Put a sentence under a box, once."""
        if says not in self.faults[name]:
            self.faults[name].append(says)


def take(kind: Kind, typed: Typed, base: Content | None, roles: Iterable[str]) -> Taken:
    """Read a form. base: the revision that it was made from, None for a new card.

    A box that still says what the page showed keeps the base's value to the last digit; a field that the roles may not
    see keeps it in any case.
    """
    taken = Taken()
    values = _values(kind.columns(roles), kind.sheet, base, typed.fields, taken, box)
    if base is not None and not kind.is_about:
        values["code"] = getattr(base, "code")  # noqa: B009
    for sheet, columns in kind.rows(roles):
        values[sheet.field] = _rows(sheet, columns, base, typed.rows.get(sheet.field, []), taken)
    whole = not any(taken.faults.values())
    model: Any = kind.sheet.model
    try:
        made = model(**values)
    except ValidationError as error:
        for name, value, says in plain_faults(error):
            _place(kind.sheet, name, typed.fields.get(name, value), says, taken, box, whole)
        return taken
    if whole:
        taken.card = made
    return taken


def _values(
    columns: Iterable[Column], sheet: Sheet, base: Any, texts: Mapping[str, str], taken: Taken, name_of: Any
) -> dict[str, object]:
    """Field -> value of what could be read; empty boxes are left out, so that the card's own default holds."""
    values: dict[str, object] = {}
    seen = set()
    for column in columns:
        seen.add(column.field)
        text = texts.get(column.field, "")
        if base is not None and text in _unchanged(as_text(getattr(base, column.field))):
            values[column.field] = getattr(base, column.field)
            continue
        try:
            value = read_cell(column, text)
            refuse_unseen(text)
        except NotUnderstood as refused:
            fault = refused.fault
            taken.refuse(name_of(column.field), _sentence(shown(fault.value), fault.says, fault.remedy))
            continue
        if value is not None:
            values[column.field] = value
    if base is not None:
        fields = {name for name in sheet.model.model_fields if name not in seen}
        nested = {name for name in fields if isinstance(getattr(base, name), tuple)}
        values |= {name: getattr(base, name) for name in fields - nested}
    return values


def refuse_unseen(text: str) -> None:
    """Refuse signs that nobody sees and that disguise what stands there: controls, turns of direction, no signs at all.

    Raises NotUnderstood. Line ends and tabs may stay; what a card holds already is left alone.
    """
    for sign in text:
        if sign in "\n\r\t":
            continue
        if unicodedata.category(sign) in ("Cc", "Cs", "Cn") or unicodedata.bidirectional(sign) in _TURNS:
            raise NotUnderstood(
                text.replace(sign, "?"), f"holds a sign that nobody sees (U+{ord(sign):04X})", "type it again without"
            )


_TURNS = frozenset({"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"})


def _unchanged(text: str) -> tuple[str, ...]:
    """What a browser sends back for a value that nobody touched: its line ends may be others, or lost in a line box."""
    plain = text.replace("\r\n", "\n")
    return text, plain, plain.replace("\r", "\n"), plain.replace("\r", "").replace("\n", "")


def _rows(sheet: Sheet, columns: tuple[Column, ...], base: Any, rows: list[TypedRow], taken: Taken) -> tuple[Row, ...]:
    before = list(getattr(base, sheet.field)) if base is not None else []
    known = {was(row): row for row in before}
    found: list[Row] = []
    places: dict[tuple[str, str], int] = {}
    for place, row in enumerate(rows):
        made = _row(sheet, columns, known.get(row.was), place, row, taken)
        if made is None:
            continue
        found.append(made)
        key = (str(getattr(made, "face", "")), str(getattr(made, "position", place)))
        if key in places:
            on = f"face {key[0]} " if key[0] else ""
            says = f"row {places[key] + 1} stands at {on}position {key[1]} already; give this one another"
            taken.refuse(row_box(sheet.field, place, "position"), says)
        places.setdefault(key, place)
    ordered = in_order(found)
    return tuple(before) if ordered == in_order(before) else tuple(ordered)


def _row(
    sheet: Sheet, columns: tuple[Column, ...], base: Row | None, place: int, row: TypedRow, taken: Taken
) -> Row | None:
    def name_of(name: str) -> str:
        return row_box(sheet.field, place, name)

    bad = {name for name, told in taken.faults.items() if told}
    values = _values(columns, sheet, base, row.cells, taken, name_of)
    whole = {name for name, told in taken.faults.items() if told} == bad
    model: Any = sheet.model
    try:
        made: Row = model(**values)
    except ValidationError as error:
        for name, value, says in plain_faults(error):
            if name and name not in {column.field for column in columns}:
                says, name = f"{name.replace('_', ' ')} {says}, and your roles do not see it; ask who does", ""
            _place(sheet, name, row.cells.get(name, value), says, taken, name_of, whole)
        return None
    return made if whole else None


def _place(sheet: Sheet, name: str, value: str, says: str, taken: Taken, name_of: Any, whole: bool) -> None:
    """Put a fault that the card class found under the box it speaks of."""
    fields = {column.field: column for column in sheet.columns}
    if name in fields:
        if not taken.faults.get(name_of(name)):  # what cannot be read is told already
            taken.refuse(name_of(name), _sentence(value, says, _remedy(fields[name])))
        return
    if not whole:
        return  # with a field missing, what the card says of itself as a whole proves nothing
    for part in says.split("; "):
        first = _field_named(fields, part)
        taken.refuse(name_of(first) if first else name_of("") if sheet.field else "", _in_words(fields, part))


def _field_named(fields: Mapping[str, Column], says: str) -> str:
    """The field that a card's sentence about itself speaks of first, "" where it names none plainly."""
    words = _WORD.findall(says)
    if words and words[0] in fields:
        return str(words[0])
    return next((str(word) for word in words if "_" in word and word in fields), "")


def _in_words(fields: Mapping[str, Column], says: str) -> str:
    return _WORD.sub(lambda word: fields[word[0]].plain if word[0] in fields else word[0], says)


def _remedy(column: Column) -> str:
    gauge = ', or name a gauge with its system, as "13.5 SWG"' if column.word == "diameter" else ""
    return f"use {column.accepted}{gauge}" if column.accepted else ""


def _sentence(value: str, says: str, remedy: str) -> str:
    text = f"{shown(value)!r} {says}" if value and value not in ("None", "{}") else says[:1].upper() + says[1:]
    return f"{text}; {remedy}" if remedy else text


def place_judged(kind: Kind, typed: Typed, card: Content, faults: Iterable[Fault], taken: Taken) -> None:
    """Put faults of the works as a whole under the boxes that they speak of; of other cards, above the form."""
    called = f"{kind.kind} {kind.code_of(card)}"
    for fault in faults:
        whose, _, where = fault.card.partition(", ")
        says = f"{fault.says}; {fault.remedy}" if fault.remedy else fault.says
        name = _judged_box(kind, typed, fault, where) if whose == called else ""
        if name:
            taken.refuse(name, says[:1].upper() + says[1:])
        else:
            taken.refuse("", f"{fault.card}: {says}")


def _judged_box(kind: Kind, typed: Typed, fault: Fault, where: str) -> str:
    if not where:
        return box(fault.field) if fault.field in typed.fields else ""
    rows, _, position = where.partition(" ")
    for place, row in enumerate(typed.rows.get(rows, [])):
        meant = row.cells.get(fault.field, "").strip() == fault.value
        if meant and (not position or row.cells.get("position", "").strip() == position):
            return row_box(rows, place, fault.field)
    return ""
