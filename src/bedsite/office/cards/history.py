"""The chain of one card: every revision, any two side by side, an old one brought back, the card taken out of use."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from bedsite.doors import rights
from bedsite.office.cards import kinds
from bedsite.office.cards.form import unit_of
from bedsite.office.cards.kinds import Content, Kind
from bedsite.office.cards.views import REFUSED, number_in, why_in
from bedsite.records import cards, judge, people
from bedsite.records.chain import Pen, pen
from bedsite.records.models import Head
from bedwright.errors import Fault
from bedwright.works.card import Card
from bedwright.works.workbook.cells import as_text
from bedwright.works.workbook.layout import Sheet

MOST = 200
"""Revisions on one page of a history."""


@dataclass(frozen=True, slots=True)
class Differs:
    """One field in two revisions, as people read it."""

    label: str
    unit: str
    before: str
    after: str


def history(request: HttpRequest, name: str, code: str) -> HttpResponse:
    """Every revision of a card, the newest first."""
    kind = kinds.asked(request, name)
    head = kinds.head_of(kind, code)
    rows = cards.history(kind.kind, head.code, MOST + 1)
    names = people.names({row.who for row in rows})
    open_ones = {row.number for row in cards.open_asides(kind.kind, head.code)} if head.asides else set()
    context = {
        "kind": kind,
        "head": head,
        "lines": [
            {"row": row, "who": names.get(row.who, "nobody known"), "state": _state(row, head, open_ones)}
            for row in rows[:MOST]
        ],
        "more": len(rows) > MOST,
        "newest": rows[0].number,
        "before": rows[1].number if len(rows) > 1 else rows[0].number,
    }
    return render(request, "office/cards/history.html", context)


def _state(row: Any, head: Head, open_ones: set[int]) -> str:
    if row.number in open_ones:
        return "kept aside, waits for a merge"
    if row.aside:
        return "kept aside, merged since"
    words = ["out of use"] if row.gone else []
    if row.settles is not None:
        words.append(f"merges {row.settles}")
    if row.number == head.number:
        words.append("counts now")
    return ", ".join(words)


def compare(request: Any, name: str, code: str) -> HttpResponse:
    """Two revisions of a card side by side: ?before=1&after=3."""
    kind = kinds.asked(request, name)
    head = kinds.head_of(kind, code)
    numbers = [number_in(request.GET.get(which, "")) for which in ("before", "after")]
    rows = [kinds.revision_of(kind, head.code, number) for number in numbers]
    roles = frozenset(request.roles)
    names = people.names({row.who for row in rows})
    context = {
        "kind": kind,
        "head": head,
        "sides": [{"row": row, "who": names.get(row.who, "nobody known")} for row in rows],
        "differs": differences(kind, kinds.content(rows[0]), kinds.content(rows[1]), roles),
        "hidden": bool(_hidden(kind, roles)),
    }
    return render(request, "office/cards/compare.html", context)


def differences(kind: Kind, before: Content, after: Content, roles: Iterable[str]) -> list[Differs]:
    """What two contents differ in, of what these roles may see."""
    roles = frozenset(roles)
    money = kinds.currency()
    children = {sheet.field: sheet for sheet in kind.children}
    found = []
    for one in cards.compare(before, after):
        rows, _, key = one.row.partition(" ")
        sheet: Sheet = children.get(rows, kind.sheet)
        if (sheet is kind.sheet and one.field in kinds.OF_THE_LEDGER and kind.is_about) or not rights.may_see(
            roles, sheet.model, one.field
        ):
            continue
        column = sheet.column(one.field)
        label = f"{rows.replace('_', ' ')} {key.strip()}, {column.plain}" if rows else column.plain
        found.append(Differs(label, unit_of(column, sheet, money), as_text(one.before), as_text(one.after)))
    return found


def _hidden(kind: Kind, roles: frozenset[str]) -> list[str]:
    return [
        name
        for sheet in (kind.sheet, *kind.children)
        for name in sheet.model.model_fields
        if not rights.may_see(roles, sheet.model, name)
    ]


def back(request: Any, name: str, code: str, number: int) -> HttpResponse:
    """Bring an old revision back as a new one, unless the works as a whole refuses it."""
    kind = kinds.asked(request, name, change=True)
    head = kinds.head_of(kind, code)
    old = kinds.revision_of(kind, code, number)
    if old.gone:
        raise Http404(f"revision {number} takes the card out of use; bring back one that has it in use")
    content = kinds.content(old)
    with pen() as held:
        faults = judge.new_faults([content], []) if isinstance(content, Card) else ()
        if not faults:
            why = why_in(request.POST) or f"revision {number} brought back"
            return _after(kind, _put(cards.put_with, held, content, request, why), "back")
    says = f"Revision {number} of {kind.kind} {head.code} cannot count as the works stands now:"
    return _refused(request, kind, head, says, faults)


def out(request: Any, name: str, code: str) -> HttpResponse:
    """Take a card out of use, unless another one mentions it."""
    kind = kinds.asked(request, name, change=True)
    head = kinds.head_of(kind, code)
    if kind.is_about:
        raise Http404("what a works says of itself stays in use")
    with pen() as held:
        faults = judge.new_faults([], [(kind.kind, head.code)])
        if not faults:
            return _after(
                kind, _put(cards.take_out_with, held, kind.kind, request, why_in(request.POST), head.code), "out"
            )
    says = f"{kind.kind} {head.code} stays in use, because other cards mention it:"
    return _refused(request, kind, head, says[:1].upper() + says[1:], faults)


def _put(act: Any, held: Pen, what: object, request: Any, why: str, *more: object) -> cards.Put:
    expected = number_in(request.POST.get("made-from", ""))
    try:
        put: cards.Put = act(held, what, *more, expected=expected, who=request.person.key, why=why)
    except cards.Moved as error:
        raise Http404(str(error)) from None
    return put


def _after(kind: Kind, put: cards.Put, said: str) -> HttpResponse:
    if put.state == "aside":
        return HttpResponseRedirect(reverse("office:card-merge", args=(kind.name, put.code, put.number)))
    said = "same" if put.state == "same" else said
    return HttpResponseRedirect(reverse("office:card", args=(kind.name, put.code)) + f"?said={said}")


def _refused(request: Any, kind: Kind, head: Head, says: str, faults: Iterable[Fault]) -> HttpResponse:
    told = [f"{fault.card}: {fault.says}" for fault in faults]
    context = {"kind": kind, "head": head, "says": says, "told": told}
    return render(request, "office/cards/refused.html", context, status=REFUSED)
