"""Taking a workbook in: sent, judged, its difference shown, then all of it or nothing."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from bedsite.doors import rights
from bedsite.office.cards import kinds, waiting_file
from bedsite.office.cards.form import unit_of
from bedsite.office.cards.history import Differs
from bedsite.office.cards.kinds import Kind
from bedsite.office.cards.views import REFUSED, why_in
from bedsite.records import cards
from bedsite.records.bodies import body_of
from bedsite.records.difference import ADDED, CHANGED, CLASHING, GONE, Change, Difference, Shifted, apply, difference
from bedwright.errors import Fault, FaultsFound, NotReadable
from bedwright.works.workbook.cells import as_text
from bedwright.works.workbook.gate import LARGEST_FILE
from bedwright.works.workbook.reader import examine

MOST_SHOWN = 200
"""Cards of a kind, and faults of a file, that a page lists one by one."""
SHOWN_OF = "shown-difference"


@dataclass(frozen=True, slots=True)
class Changed:
    """One card that a file changed, as the page lists it."""

    code: str
    differs: tuple[Differs, ...]


@dataclass(frozen=True, slots=True)
class OfKind:
    """What a file changed in one kind."""

    kind: Kind
    added: tuple[str, ...]
    gone: tuple[str, ...]
    changed: tuple[Changed, ...]
    clashing: tuple[Changed, ...]
    number: int
    """How many are gone, where that number must be typed; else 0."""
    typed: str
    cut: bool


def take_in(request: Any) -> HttpResponse:
    """Send a workbook, or look at the difference of the one that was sent."""
    if request.method == "POST":
        if request.POST.get("act") == "drop":
            waiting_file.drop(request.session)
            return HttpResponseRedirect(reverse("office:import"))
        if request.POST.get("act") == "apply":
            return _apply(request)
        return _sent(request)
    waits = waiting_file.kept(request.session)
    if waits is None:
        return _page(request)
    return _looked_at(request, *waits)


def _sent(request: HttpRequest) -> HttpResponse:
    file = request.FILES.get("workbook")
    if file is None:
        return _page(request, ["Choose a workbook first"], status=REFUSED)
    if file.size > LARGEST_FILE:
        says = f"{file.name} has {file.size / 1e6:.0f} MB, and a workbook has at most {LARGEST_FILE // 1_000_000} MB"
        return _page(request, [says], status=REFUSED)
    waiting_file.keep(request.session, file.read(), str(file.name))
    return HttpResponseRedirect(reverse("office:import"))


def _looked_at(request: Any, path: Any, called: str, note: str = "", status: int = 200) -> HttpResponse:
    examined = examine(path)
    if examined.works is None:
        waiting_file.drop(request.session)
        return _faulty(request, called, path.name, examined.faults)
    try:
        found = difference(examined.works)
    except (NotReadable, FaultsFound) as refused:
        waiting_file.drop(request.session)
        return _page(request, [str(refused).replace(path.name, called)], status=REFUSED)
    request.session[SHOWN_OF] = _mark(found)
    mild = [str(fault) for fault in examined.faults if not fault.grave]
    return _difference(request, called, found, mild, [note] if note else [], status)


def _apply(request: Any) -> HttpResponse:
    waits = waiting_file.kept(request.session)
    if waits is None:
        return _page(request, ["The file is no longer kept here; send it again"], status=REFUSED)
    path, called = waits
    examined = examine(path)
    if examined.works is None:
        return _looked_at(request, path, called)
    try:
        found = difference(examined.works)
    except (NotReadable, FaultsFound):
        return _looked_at(request, path, called)
    if request.session.get(SHOWN_OF) != _mark(found):
        says = "The works was changed meanwhile. Nothing was taken in; this is the difference as it is now."
        return _looked_at(request, path, called, says, REFUSED)
    _refuse_others(request, found)
    try:
        done = apply(
            found, request.person.key, why_in(request.POST) or f"from {called}"[:400], _numbers(request, found)
        )
    except Shifted as moved:
        return _looked_at(request, path, called, str(moved), REFUSED)
    except FaultsFound as refused:
        mild = [str(fault) for fault in examined.faults if not fault.grave]
        return _difference(request, called, found, mild, [_plain(fault) for fault in refused.faults], REFUSED)
    waiting_file.drop(request.session)
    context = {"called": called, "done": done, "asides": [_place(put) for put in done.aside]}
    return render(request, "office/cards/taken_in.html", context)


def _plain(fault: Fault) -> str:
    where = f"{fault.card}: " if fault.card else ""
    says = f"{where}{fault.says}"
    return says if not fault.remedy else f"{says}; {fault.remedy}"


def _place(put: cards.Put) -> dict[str, object]:
    return {"kind": put.kind, "name": kinds.by_word()[put.kind].name, "code": put.code, "number": put.number}


def _refuse_others(request: Any, found: Difference) -> None:
    """All or nothing: who may not change one of the kinds takes in none of it. Raises PermissionDenied."""
    others = sorted({one.kind for one in found.changes if not rights.may_change(request.roles, one.kind)})
    if others:
        raise PermissionDenied(
            f"The file changes cards {', '.join(others)}, and your roles do not; nothing was taken in."
        )


def _numbers(request: HttpRequest, found: Difference) -> dict[str, int]:
    """Kind -> number typed, where it is one."""
    numbers = {}
    for kind in found.numbers:
        text = str(request.POST.get(f"gone-{kinds.by_word()[kind].name}", "")).strip()
        if text.isascii() and text.isdigit() and len(text) < 10:
            numbers[kind] = int(text)
    return numbers


def _mark(found: Difference) -> str:
    """What was shown, as one sign: if it differs at the end, nothing is taken in."""
    told = hashlib.sha256()
    for one in found.changes:
        bodies = [body_of(side) if side is not None else "-" for side in (one.before, one.after, one.now)]
        told.update("\n".join((one.kind, one.code, one.what, str(one.base), *bodies, "")).encode())
    return told.hexdigest()


def _difference(
    request: Any, called: str, found: Difference, mild: list[str], faults: Iterable[str], status: int
) -> HttpResponse:
    context = {
        "called": called,
        "found": found,
        "kinds": [_of_kind(request, found, name) for name in dict.fromkeys(one.kind for one in found.changes)],
        "since": len(found.since),
        "others": sorted({one.kind for one in found.changes if not rights.may_change(request.roles, one.kind)}),
        "mild": mild[:MOST_SHOWN],
        "faults": list(faults),
        "why": why_in(request.POST) if request.method == "POST" else "",
    }
    return render(request, "office/cards/difference.html", context, status=status)


def _of_kind(request: Any, found: Difference, name: str) -> OfKind:
    kind = kinds.by_word()[name]
    changes = found.of_kind(name)
    by_what: Mapping[str, list[Change]] = {
        what: [one for one in changes if one.what == what] for what in (ADDED, CHANGED, GONE, CLASHING)
    }
    money = kinds.currency()
    return OfKind(
        kind,
        tuple(one.code for one in by_what[ADDED][:MOST_SHOWN]),
        tuple(one.code for one in by_what[GONE][:MOST_SHOWN]),
        tuple(Changed(one.code, _differs(kind, one.fields, money)) for one in by_what[CHANGED][:MOST_SHOWN]),
        tuple(Changed(one.code, _differs(kind, one.fields, money)) for one in by_what[CLASHING][:MOST_SHOWN]),
        found.numbers.get(name, 0),
        str(request.POST.get(f"gone-{kind.name}", ""))[:10],
        any(len(some) > MOST_SHOWN for some in by_what.values()),
    )


def _differs(kind: Kind, fields: Iterable[cards.Difference], money: str) -> tuple[Differs, ...]:
    children = {sheet.field: sheet for sheet in kind.children}
    found = []
    for one in fields:
        rows, _, key = one.row.partition(" ")
        column = children.get(rows, kind.sheet).column(one.field)
        label = f"{rows.replace('_', ' ')} {key.strip()}, {column.plain}" if rows else column.plain
        unit = unit_of(column, children.get(rows, kind.sheet), money)
        found.append(Differs(label, unit, as_text(one.before), as_text(one.after)))
    return tuple(found)


def _faulty(request: HttpRequest, called: str, stored: str, faults: tuple[Fault, ...]) -> HttpResponse:
    """Every fault by its cell: nothing of the file was taken in."""
    grave = [fault for fault in faults if fault.grave]
    lines = [{"place": _cell(one), "fault": one, "says": one.says.replace(stored, called)} for one in grave]
    context = {"called": called, "count": len(grave), "lines": lines[:MOST_SHOWN]}
    return render(request, "office/cards/faulty.html", context, status=REFUSED)


def _cell(fault: Fault) -> str:
    where = fault.cell or (f"row {fault.row}" if fault.row else "")
    return f"{fault.sheet} {where}".strip()


def _page(request: HttpRequest, faults: Iterable[str] = (), status: int = 200) -> HttpResponse:
    return render(request, "office/cards/import.html", {"faults": list(faults)}, status=status)
