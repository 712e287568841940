"""From the cells of a whole workbook to a works: cards made, mentions and doubles checked, all faults gathered."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from pydantic import ValidationError

from bedwright.errors import Fault, NotReadable
from bedwright.identity import fold
from bedwright.works.about import FORMAT, About
from bedwright.works.card import Card, Row, plain_faults
from bedwright.works.kinds import KINDS
from bedwright.works.workbook.cells import as_text, shown
from bedwright.works.workbook.grid import Grid, Taken
from bedwright.works.workbook.layout import ABOUT, OURS_TO_IGNORE, Column, Sheet, sheets
from bedwright.works.workbook.lines import Line, nearest, read_lines
from bedwright.works.workbook.notes import unusual
from bedwright.works.workbook.older import UPCASTERS, sheet_key
from bedwright.works.workbook.tables import in_order
from bedwright.works.works import Works, reference_faults

_WORD = re.compile(r"[a-z_0-9]+")


@dataclass(frozen=True, slots=True)
class Examination:
    """Every fault and mild note of a workbook; the works only where nothing grave was found."""

    faults: tuple[Fault, ...]
    works: Works | None

    @property
    def grave(self) -> tuple[Fault, ...]:
        return tuple(fault for fault in self.faults if fault.grave)


def assemble(taken: Taken, as_of: date | None = None, *, all_sheets: bool = True) -> Examination:
    """Judge the cells of a workbook. as_of overrides the day that counts as today.

    all_sheets: a sheet that is not there is a fault (a workbook); without it, it has no cards (a folder of CSV).
    Raises NotReadable for a newer format.
    """
    taken = _in_this_format(taken)
    grids, faults = _by_sheet(taken.grids, all_sheets)
    faults = [*taken.notes, *faults]
    lines: dict[str, list[Line]] = {}
    for sheet in sheets():
        grid = grids.get(sheet.name)
        lines[sheet.name], more = read_lines(sheet, grid) if grid else ([], [])
        faults += more
    codes = _codes(lines)
    faults += _doubles(lines)
    faults += _mentions(lines, codes)
    about, more = _about(lines[ABOUT], as_of, ABOUT in grids)
    faults += more
    cards, more = _cards(lines)
    faults += more
    faults += unusual(lines)
    works = Works.of(about or _nobody(), cards)
    faults += _cross_faults(works, lines, codes, faults)
    faults.sort(key=_order)
    grave = any(fault.grave for fault in faults)
    return Examination(tuple(faults), None if grave or about is None else works)


def _nobody() -> About:
    """Stands in for a faulty sheet `about` while the rest is examined; never handed out."""
    day = date(2000, 1, 1)
    return About(
        format=FORMAT, version="", works_id="?", name="", revision=0, time_zone="UTC", as_of=day, currency="XXX"
    )


def _in_this_format(taken: Taken) -> Taken:
    found = _format(taken.grids)
    if found is None:
        return taken
    if found > FORMAT:
        raise NotReadable(
            f"the workbook has format {found}, and this program reads formats up to {FORMAT}; use a newer bedwright"
        )
    for step in range(found, FORMAT):
        taken = UPCASTERS[step](taken)
    return taken


def _format(grids: Sequence[Grid]) -> int | None:
    """The format number in the sheet about, None where it cannot be read (its own fault follows)."""
    for grid in grids:
        if sheet_key(grid.name) == ABOUT and len(grid.rows) > 1:
            for heading, value in zip(grid.rows[0][1], grid.rows[1][1], strict=False):
                if isinstance(heading, str) and fold(heading.strip()) == "format":
                    text = shown(value).strip()
                    return int(text) if text.isascii() and text.isdigit() and int(text) >= 1 else None
    return None


def _by_sheet(grids: Sequence[Grid], all_sheets: bool) -> tuple[dict[str, Grid], list[Fault]]:
    known = {sheet.name for sheet in sheets()}
    found: dict[str, Grid] = {}
    faults = []
    for grid in grids:
        key = sheet_key(grid.name)
        if key in OURS_TO_IGNORE:
            continue
        if key not in known:
            says, remedy = (
                "is no sheet of a works and was left out",
                f"nothing is lost but what it holds{nearest(key, known)}",
            )
            faults.append(Fault(says, remedy, sheet=grid.name, grave=False))
        elif key in found:
            says = f"is there twice, as {found[key].name!r} and {grid.name!r}"
            faults.append(Fault(says, "join the two into one", sheet=key))
        else:
            found[key] = grid
    for sheet in sheets():
        if sheet.name not in found and (all_sheets or sheet.name == ABOUT):
            says = "is missing"
            remedy = f"add a sheet of this name ({sheet.says}), with headings only where there is nothing to say"
            faults.append(Fault(says, remedy, sheet=sheet.name))
    return found, faults


def _codes(lines: Mapping[str, list[Line]]) -> dict[str, dict[str, str]]:
    """Kind -> folded code -> code as typed, of every line that has one, faulty lines too."""
    codes: dict[str, dict[str, str]] = {kind.KIND: {} for kind in KINDS}
    for kind in KINDS:
        for line in lines[kind.SHEET]:
            if line.code:
                codes[kind.KIND].setdefault(fold(line.code), line.code)
    return codes


def _doubles(lines: Mapping[str, list[Line]]) -> list[Fault]:
    faults = []
    for sheet in sheets():
        if sheet.kind is None:
            continue
        by_key: dict[tuple[str, ...], list[Line]] = defaultdict(list)
        for line in lines[sheet.name]:
            if all(field in line.values for field in sheet.key):
                by_key[tuple(fold(as_text(line.values[field])) for field in sheet.key)].append(line)
        for same in by_key.values():
            rows = ", ".join(str(line.row) for line in same)
            for line in same if len(same) > 1 else ():
                line.doubled = True
                others = ", ".join(other.cell(sheet.key[-1]) for other in same if other is not line)
                named = " ".join(f"{field} {as_text(line.values[field])}" for field in sheet.key)
                says = f"{named} stands on rows {rows}, and it names one only (also at {others})"
                faults.append(line.fault(sheet.key[-1], says, "change it or delete the row"))
    return faults


def _mentions(lines: Mapping[str, list[Line]], codes: Mapping[str, Mapping[str, str]]) -> list[Fault]:
    """Every mention of a card that stands nowhere, at its cell; checked on faulty lines too."""
    faults = []
    for sheet in sheets():
        for column in (column for column in sheet.columns if column.refers):
            known = [codes[kind] for kind in column.refers]
            for line in lines[sheet.name]:
                code = line.values.get(column.field)
                if code is None or any(fold(str(code)) in of_kind for of_kind in known):
                    continue
                says = f"names {' or '.join(column.refers)} {str(code)!r}, and there is none"
                near = nearest(str(code), (name for of_kind in known for name in of_kind.values()))
                faults.append(line.fault(column.field, says, f"add it or name one that is there{near}"))
    return faults


def _about(lines: list[Line], as_of: date | None, there: bool) -> tuple[About | None, list[Fault]]:
    if not lines:
        says, remedy = "has no row of facts under its headings", "fill row 2"
        return None, [Fault(says, remedy, sheet=ABOUT, row=2)] if there else []
    first = lines[0]
    if as_of is not None:
        first.values["as_of"] = as_of
        first.bad.discard("as_of")
    faults = [line.fault("", "is a second row, and about has one", "delete it") for line in lines[1:]]
    about, more = _made(first, first.values)
    return about, faults + more


def _cards(lines: Mapping[str, list[Line]]) -> tuple[list[Card], list[Fault]]:
    cards: list[Card] = []
    faults: list[Fault] = []
    nested: dict[tuple[str, str], dict[str, list[Row]]] = defaultdict(lambda: defaultdict(list))
    broken: set[tuple[str, str]] = set()
    for sheet in sheets():
        if sheet.kind is None or not sheet.field:
            continue
        for line in lines[sheet.name]:
            own = {field: value for field, value in line.values.items() if field != "code"}
            if not line.code and "code" not in line.bad and "code" in line.places:
                faults.append(line.fault("code", "is needed and is empty", f"write {sheet.column('code').meaning}"))
            row, more = _made(line, own)
            faults += more
            key = (sheet.kind.KIND, fold(line.code))
            if row is None or line.doubled:
                broken.add(key)
            if row is not None:
                nested[key][sheet.field].append(row)
    for kind in KINDS:
        for line in lines[kind.SHEET]:
            key = (kind.KIND, fold(line.code))
            children = {field: tuple(in_order(rows)) for field, rows in nested[key].items()}
            card, more = _made(line, {**line.values, **children}, whole=key not in broken)
            faults += more
            if card is not None:
                cards.append(card)
    return cards, faults


def _made(line: Line, values: Mapping[str, object], *, whole: bool = True) -> tuple[Any, list[Fault]]:
    """The card, row or about of a line, else None and its faults.

    whole: nothing that belongs to it failed elsewhere; else what the card says of itself as a whole proves nothing.
    """
    model: Any = line.sheet.model
    try:
        made = model(**values)
    except ValidationError as error:
        faults = [
            fault
            for field, _, says in plain_faults(error)
            if (fault := _card_fault(line, field, says, whole and not line.bad)) is not None
        ]
        return None, faults
    return (None if line.bad else made), []


def _card_fault(line: Line, field: str, says: str, whole: bool) -> Fault | None:
    fields = {column.field for column in line.sheet.columns}
    if field in fields:
        if field in line.bad or (field not in line.places and says.startswith("is needed")):
            return None  # told already: the cell cannot be read, or the column is not there
        return line.fault(field, says, _remedy(line.sheet.column(field)))
    if not whole:
        return None
    first = _field_named(line.sheet, says)
    others = {line.cell(word) for word in _WORD.findall(says) if word in fields and word != first}
    also = ", ".join(sorted(others - {"", line.cell(first)}))
    return line.fault(first, f"{says} (also {also})" if also and first else says)


def _field_named(sheet: Sheet, says: str) -> str:
    """The field that a card's sentence about itself speaks of first, "" where it names none plainly."""
    fields = {column.field for column in sheet.columns}
    words = _WORD.findall(says)
    if words and words[0] in fields:
        return str(words[0])
    return next((str(word) for word in words if "_" in word and word in fields), "")


def _remedy(column: Column) -> str:
    gauge = ', or name a gauge with its system, as "13.5 SWG"' if column.word == "diameter" else ""
    if column.accepted:
        return f"use {column.accepted}{gauge}"
    return column.meaning


def _cross_faults(
    works: Works, lines: Mapping[str, list[Line]], codes: Mapping[str, Mapping[str, str]], told: Sequence[Fault]
) -> list[Fault]:
    """What the cards say of each other, put at its cell; left out where the card meant stands on a faulty line."""
    places = _places(lines)
    at = {(fault.sheet, fault.cell) for fault in told if fault.cell}
    faults = []
    for fault in reference_faults(works):
        where = places.get((fault.sheet, fault.field, fold(fault.value)), [])
        line = next((line for line in where if fault.card.startswith(line.called)), None)
        if line is None:
            faults.append(fault)
            continue
        where.remove(line)
        column = line.sheet.column(fault.field)
        meant = column.refers or (str(line.values.get("of", "")),)
        only_faulty = any(fold(fault.value) in codes.get(kind, {}) for kind in meant) and fault.field != "code"
        if not only_faulty and (fault.sheet, line.cell(column.field)) not in at:
            cell = line.cell(column.field)
            faults.append(replace(fault, row=line.row, column=column.heading, cell=cell, field=""))
    return faults


def _places(lines: Mapping[str, list[Line]]) -> dict[tuple[str, str, str], list[Line]]:
    """(sheet, field, folded value) -> lines, for the fields that may name other cards."""
    found: dict[tuple[str, str, str], list[Line]] = defaultdict(list)
    for name, of_sheet in lines.items():
        for line in of_sheet:
            for field, value in line.values.items():
                if isinstance(value, str):
                    found[name, field, fold(value)].append(line)
    return found


def _order(fault: Fault) -> tuple[bool, int, int, int, str]:
    """Grave before mild, then as they stand in the workbook."""
    names = [sheet.name for sheet in sheets()]
    place = names.index(fault.sheet) if fault.sheet in names else len(names)
    return (not fault.grave, place, fault.row, len(fault.cell), fault.cell)
