"""Two contents of one card side by side: what counts, what was kept aside, what each changed, and what is to count.

Somebody had changed the card while another was at it. Both are kept. For each field in which they differ a person
takes one or the other, or types a third; where only one of them changed it, that one is offered.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from bedsite.office.cards import boxes, kinds, reading
from bedsite.office.cards.boxes import Typed, TypedRow
from bedsite.office.cards.form import unit_of
from bedsite.office.cards.kinds import Kind
from bedsite.office.cards.views import REFUSED, number_in, why_in
from bedsite.records import cards, judge, people
from bedsite.records.models import Head, Revision
from bedwright.errors import Fault
from bedwright.works.card import Card
from bedwright.works.workbook.layout import Column, Sheet

NOW, ASIDE, OTHER = "now", "aside", "other"
NO_ROW = "no such row"
IN_USE, OUT = "in-use", "out of use"
_ROW_KEPT = "this row"


@dataclass(slots=True)
class Choice:
    """One box in which the two differ: its text in what both were made from, in what counts, in what was kept aside."""

    name: str
    label: str
    unit: str
    base: str
    now: str
    aside: str
    typeable: bool = True
    picked: str = ""
    other: str = ""
    faults: list[str] = field(default_factory=list)

    @property
    def offered(self) -> str:
        """The side that changed it; nothing where both did, for then a person must say."""
        if self.now == self.base:
            return ASIDE
        return NOW if self.aside == self.base else ""

    @property
    def text(self) -> str:
        """What is to count."""
        return {NOW: self.now, ASIDE: self.aside}.get(self.picked, self.other)


@dataclass(slots=True)
class Sides:
    """The three contents as boxes, and every choice that is open between them."""

    base: Typed
    now: Typed
    aside: Typed
    choices: dict[str, Choice] = field(default_factory=dict)


def merge(request: Any, name: str, code: str, number: int) -> HttpResponse:
    """Show both, and write what a person decides."""
    kind = kinds.asked(request, name)
    head = kinds.head_of(kind, code)
    kept = kinds.revision_of(kind, code, number)
    if number not in {row.number for row in cards.open_asides(kind.kind, head.code)}:
        return HttpResponseRedirect(reverse("office:card", args=(kind.name, head.code)))
    sides = _sides(kind, head, kept, request.roles)
    if request.method != "POST":
        for choice in sides.choices.values():
            choice.picked = choice.offered
        return _page(request, kind, head, kept, sides)
    kinds.asked(request, name, change=True)
    _pick(sides, request.POST)
    made_from = number_in(request.POST.get("made-from", ""))
    if made_from != head.number:
        return _page(request, kind, head, kept, sides, moved=True, status=REFUSED)
    return _decided(request, kind, head, kept, sides)


def _decided(request: Any, kind: Kind, head: Head, kept: Revision, sides: Sides) -> HttpResponse:
    typed, names = _merged(kind, sides, request.roles)
    open_ones = [choice for choice in sides.choices.values() if not choice.picked]
    for choice in open_ones:
        if not choice.faults:
            choice.faults.append("Both changed this; take one of them, or type another")
    taken = reading.take(kind, typed, kinds.content(head), request.roles)
    if not open_ones and taken.card is not None:
        put = _settle(request, kind, typed, taken, kept, head, sides)
        if put is not None:
            return put
    general = [f"Choose at {', '.join(choice.label for choice in open_ones)}."] if open_ones else []
    for box, told in taken.faults.items():
        choice_of = sides.choices.get(names.get(box, box))
        if choice_of is not None:
            choice_of.faults += told if choice_of.picked else []
        else:
            general += told
    return _page(request, kind, head, kept, sides, general=general, status=REFUSED)


def _settle(
    request: Any, kind: Kind, typed: Typed, taken: reading.Taken, kept: Revision, head: Head, sides: Sides
) -> HttpResponse | None:
    """Write the merge and go where it leads; None where the works as a whole refuses it."""
    made = taken.card
    assert made is not None
    in_use = sides.choices.get(IN_USE)
    gone = in_use.text == OUT if in_use is not None else head.gone
    faults: tuple[Fault, ...] = ()
    if isinstance(made, Card):
        faults = judge.new_faults([], [(kind.kind, head.code)]) if gone else judge.new_faults([made], [])
    reading.place_judged(kind, typed, made, faults, taken)
    if any(taken.faults.values()):
        return None
    why = why_in(request.POST) or f"revision {kept.number} merged"
    to = reverse("office:card", args=(kind.name, head.code))
    try:
        put = cards.merge(made, aside=kept.number, expected=head.number, who=request.person.key, why=why, gone=gone)
    except cards.Moved:  # somebody else settled it in this very moment
        return HttpResponseRedirect(to)
    if put.state == "aside":
        return HttpResponseRedirect(reverse("office:card-merge", args=(kind.name, put.code, put.number)))
    return HttpResponseRedirect(to + "?said=merged")


def _sides(kind: Kind, head: Head, kept: Revision, roles: Iterable[str]) -> Sides:
    roles = frozenset(roles)
    now, aside = (boxes.from_content(kind, kinds.content(row), roles) for row in (head, kept))
    base = _base(kind, kept, roles)
    sides = Sides(base, now, aside)
    money = kinds.currency()
    told = [OUT if gone else "in use" for gone in (_was_gone(kind, kept), head.gone, kept.gone)]
    _differ(sides, IN_USE, "the card is", "", told, typeable=False)
    for column in kind.columns(roles):
        if column.field != "code" or kind.is_about:
            texts = [side.fields.get(column.field, "") for side in (base, now, aside)]
            _differ(sides, boxes.box(column.field), column.plain, unit_of(column, kind.sheet, money), texts)
    for sheet, columns in kind.rows(roles):
        _row_choices(sides, sheet, columns, money)
    return sides


def _was_gone(kind: Kind, kept: Revision) -> bool:
    return bool(kept.onto and kinds.revision_of(kind, kept.code, kept.onto).gone)


def _base(kind: Kind, kept: Revision, roles: frozenset[str]) -> Typed:
    if kept.onto == 0:
        return Typed({}, {sheet.field: [] for sheet in kind.children})
    return boxes.from_content(kind, kinds.content(kinds.revision_of(kind, kept.code, kept.onto)), roles)


def _differ(sides: Sides, name: str, label: str, unit: str, texts: list[str], *, typeable: bool = True) -> None:
    base, now, aside = texts
    if now != aside:
        sides.choices[name] = Choice(name, label, unit, base, now, aside, typeable)


def _row_choices(sides: Sides, sheet: Sheet, columns: tuple[Column, ...], money: str) -> None:
    base, now, aside = (_by_key(side, sheet) for side in (sides.base, sides.now, sides.aside))
    for key in sorted(now.keys() | aside.keys(), key=_in_order):
        title = f"{sheet.field.replace('_', ' ')} {_key_words(key)}"
        if key not in now or key not in aside:
            there = [_line(side[key], columns) if key in side else NO_ROW for side in (base, now, aside)]
            _differ(sides, _row_name(sheet, key, ""), title, "", there, typeable=False)
            continue
        for column in columns:
            if column.field not in ("face", "position"):
                texts = [side[key].cells.get(column.field, "") if key in side else "" for side in (base, now, aside)]
                name = _row_name(sheet, key, column.field)
                _differ(sides, name, f"{title}, {column.plain}", unit_of(column, sheet, money), texts)


def _by_key(side: Typed, sheet: Sheet) -> dict[str, TypedRow]:
    return {row.was: row for row in side.rows.get(sheet.field, [])}


def _in_order(key: str) -> tuple[str, int]:
    face, _, position = key.partition("|")
    return face, int(position)


def _key_words(key: str) -> str:
    face, _, position = key.partition("|")
    return f"face {face}, position {position}" if face else position


def _row_name(sheet: Sheet, key: str, name: str) -> str:
    return f"r-{sheet.field}-{key.replace('|', '-')}-{name}"


def _line(row: TypedRow, columns: tuple[Column, ...]) -> str:
    told = [f"{one.plain} {row.cells[one.field]}" for one in columns if row.cells.get(one.field)]
    return "; ".join(told) or _ROW_KEPT


def _pick(sides: Sides, post: Mapping[str, Any]) -> None:
    for choice in sides.choices.values():
        picked = str(post.get(f"pick-{choice.name}", ""))
        choice.other = str(post.get(f"other-{choice.name}", "")).replace("\r\n", "\n")
        allowed = (NOW, ASIDE, OTHER) if choice.typeable else (NOW, ASIDE)
        choice.picked = picked if picked in allowed else ""
        if choice.typeable and choice.other.strip() and choice.picked != OTHER:
            choice.picked = ""
            choice.faults.append("You typed another; choose it, or empty its box")


def _merged(kind: Kind, sides: Sides, roles: Iterable[str]) -> tuple[Typed, dict[str, str]]:
    """The boxes as decided, and for each box of a nested row the name of its choice."""
    typed = Typed(dict(sides.now.fields), {})
    for name in typed.fields:
        choice = sides.choices.get(boxes.box(name))
        if choice is not None:
            typed.fields[name] = choice.text
    names: dict[str, str] = {}
    for sheet, columns in kind.rows(roles):
        now, aside = _by_key(sides.now, sheet), _by_key(sides.aside, sheet)
        rows: list[TypedRow] = []
        for key in sorted(now.keys() | aside.keys(), key=_in_order):
            whole = sides.choices.get(_row_name(sheet, key, ""))
            if whole is not None and whole.text == NO_ROW:
                continue
            row = now.get(key) or aside[key]
            cells = dict(row.cells)
            for column in columns:
                choice = sides.choices.get(_row_name(sheet, key, column.field))
                if choice is not None:
                    cells[column.field] = choice.text
                called = choice or whole
                if called is not None:
                    names[boxes.row_box(sheet.field, len(rows), column.field)] = called.name
            rows.append(TypedRow(row.was if key in now else "", cells))
        typed.rows[sheet.field] = rows
    return typed, names


def _page(
    request: Any,
    kind: Kind,
    head: Head,
    kept: Revision,
    sides: Sides,
    *,
    moved: bool = False,
    general: Iterable[str] = (),
    status: int = 200,
) -> HttpResponse:
    counts = kinds.revision_of(kind, head.code, head.number)
    names = people.names({counts.who, kept.who})
    context = {
        "kind": kind,
        "head": head,
        "counts": counts,
        "kept": kept,
        "counts_who": names.get(counts.who, "nobody known"),
        "kept_who": names.get(kept.who, "nobody known"),
        "mine": getattr(request.person, "key", "") == kept.who,
        "choices": list(sides.choices.values()),
        "moved": moved,
        "general": list(general),
        "why": why_in(request.POST) if request.method == "POST" else "",
        "may_change": kinds.may_change(request, kind),
    }
    return render(request, "office/cards/merge.html", context, status=status)
