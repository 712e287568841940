"""One card: looked at, made, edited, taken out of use."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from bedsite.office.cards import boxes, kinds, reading
from bedsite.office.cards.form import card_form, unit_of
from bedsite.office.cards.kinds import Content, Kind
from bedsite.records import cards, judge, people, release
from bedsite.records.chain import pen
from bedsite.records.models import Head, Revision
from bedwright.works.card import Card
from bedwright.works.trading import Order
from bedwright.works.workbook.cells import as_text
from bedwright.works.workbook.layout import Column
from bedwright.works.workbook.tables import in_order

SAID = {
    "same": "Nothing differs from what counts already, so no new revision was written.",
    "saved": "Saved. The revision below is the one that counts now.",
    "out": "Taken out of use. Everything it said is kept, and it can be brought back.",
    "back": "Brought back as a new revision.",
    "merged": "Merged. The revision below is the one that counts now.",
}
REFUSED = 422
"""The answer to a form with faults: nothing was written."""


@dataclass(frozen=True, slots=True)
class Fact:
    """One field of a card as its page shows it."""

    label: str
    text: str
    unit: str
    meaning: str
    to: str = ""


@dataclass(frozen=True, slots=True)
class Rows:
    """Nested rows of a card as its page shows them."""

    title: str
    says: str
    heads: tuple[tuple[str, str, bool], ...]
    rows: tuple[tuple[tuple[str, bool], ...], ...]


def card(request: HttpRequest, name: str, code: str) -> HttpResponse:
    """The revision of a card that counts."""
    kind = kinds.asked(request, name)
    head = kinds.head_of(kind, code)
    return _shown(request, kind, head, kinds.revision_of(kind, code, head.number))


def revision(request: HttpRequest, name: str, code: str, number: int) -> HttpResponse:
    """Any revision of a card."""
    kind = kinds.asked(request, name)
    return _shown(request, kind, kinds.head_of(kind, code), kinds.revision_of(kind, code, number))


def _shown(request: Any, kind: Kind, head: Head, row: Revision) -> HttpResponse:
    content = kinds.content(row)
    context = {
        "kind": kind,
        "head": head,
        "row": row,
        "counts": head.number == row.number,
        "card": content,
        "facts": facts(kind, content, request.roles),
        "tables": rows_shown(kind, content, request.roles),
        "who": people.names({row.who}).get(row.who, "nobody known"),
        "asides": cards.open_asides(kind.kind, head.code) if head.asides else [],
        "may_change": kinds.may_change(request, kind),
        "said": SAID.get(request.GET.get("said", ""), ""),
        "released": release.of_order(head.code) if kind.kind == Order.KIND else [],
    }
    return render(request, "office/cards/one.html", context)


def facts(kind: Kind, content: Content, roles: Iterable[str]) -> list[Fact]:
    """The fields of a card that these roles may see; empty ones too, so that a sheet says what is not known."""
    money = kinds.currency()
    return [
        Fact(
            column.plain,
            as_text(getattr(content, column.field)),
            unit_of(column, kind.sheet, money),
            column.meaning,
            _mention(column, getattr(content, column.field)),
        )
        for column in kind.columns(roles)
        if column.field != "code"
    ]


def _mention(column: Column, code: object) -> str:
    """Where a mentioned card stands, if it stands in one kind; else ""."""
    if not isinstance(code, str) or not column.refers:
        return ""
    for word in column.refers:
        if len(column.refers) == 1 or _is_there(word, code):
            return reverse("office:card", args=(kinds.by_word()[word].name, code))
    return ""


def _is_there(word: str, code: str) -> bool:
    try:
        return not cards.head(word, code).gone
    except cards.Moved:
        return False


def rows_shown(kind: Kind, content: Content, roles: Iterable[str]) -> list[Rows]:
    """The nested rows of a card that these roles may see."""
    money = kinds.currency()
    return [
        Rows(
            sheet.field.replace("_", " "),
            kind.sheet.model.model_fields[sheet.field].description or "",
            tuple((one.plain, unit_of(one, sheet, money), _is_number(one)) for one in columns),
            tuple(
                tuple((as_text(getattr(row, one.field)), _is_number(one)) for one in columns)
                for row in in_order(list(getattr(content, sheet.field)))
            ),
        )
        for sheet, columns in kind.rows(roles)
    ]


def _is_number(column: Column) -> bool:
    return column.holds in ("number", "whole", "money")


def new(request: Any, name: str) -> HttpResponse:
    """Make a card: from nothing, or from one like it (?like=CODE)."""
    kind = kinds.asked(request, name, change=True)
    if kind.is_about:
        raise Http404("a works says one thing of itself")
    if request.method != "POST":
        typed = boxes.empty(kind, request.roles)
        like = request.GET.get("like", "")
        if like:
            typed = boxes.from_content(kind, kinds.content(kinds.head_of(kind, like)), request.roles)
            typed.fields["code"] = ""
        return _form(request, kind, typed, first=boxes.box("code"))
    return _posted(request, kind, None)


def edit(request: Any, name: str, code: str) -> HttpResponse:
    """Change a card: what is saved is a new revision, made from the one that the page showed."""
    kind = kinds.asked(request, name, change=True)
    head = kinds.head_of(kind, code)
    if request.method != "POST":
        typed = boxes.from_content(kind, kinds.content(head), request.roles)
        return _form(request, kind, typed, head=head, made_from=head.number)
    return _posted(request, kind, head)


def _posted(request: Any, kind: Kind, head: Head | None) -> HttpResponse:
    typed = boxes.from_post(kind, request.POST, request.roles)
    made_from = number_in(request.POST.get("made-from", "")) if head is not None else 0
    base = kinds.content(kinds.revision_of(kind, head.code, made_from)) if head is not None and made_from else None
    if head is not None and base is None:
        raise Http404("the form does not say which revision it was made from; open it again")
    go_on = boxes.act(kind, typed, request.POST.get("act", ""), request.roles)
    if go_on:
        return _form(request, kind, typed, head=head, made_from=made_from, first=go_on, status=200)
    taken = reading.take(kind, typed, base, request.roles)
    put = _put(request, kind, typed, taken, made_from)
    if put is None:
        return _form(request, kind, typed, head=head, made_from=made_from, taken=taken, status=REFUSED)
    if put.state == "aside":
        return HttpResponseRedirect(reverse("office:card-merge", args=(kind.name, put.code, put.number)))
    said = "same" if put.state == "same" else "saved"
    return HttpResponseRedirect(reverse("office:card", args=(kind.name, put.code)) + f"?said={said}")


def _put(request: Any, kind: Kind, typed: boxes.Typed, taken: reading.Taken, made_from: int) -> cards.Put | None:
    """Write the card, unless it or the works as a whole refuses it; the judging and the writing are one act."""
    made = taken.card
    if made is None:
        return None
    with pen() as held:
        found = _head(kind, kind.code_of(made))
        if made_from == 0 and found is not None:
            where = "out of use; bring it back, or" if found.gone else "in use;"
            says = f"{kind.kind} {found.code} is there already, {where} take another code"
            taken.refuse(boxes.box("code"), says[:1].upper() + says[1:])
            return None
        counts = made_from == (found.number if found is not None else 0)
        if isinstance(made, Card) and counts:  # what is kept aside changes nothing until it is merged
            reading.place_judged(kind, typed, made, judge.new_faults([made], []), taken)
            if any(taken.faults.values()):
                return None
        return cards.put_with(held, made, expected=made_from, who=request.person.key, why=why_in(request.POST))


def _head(kind: Kind, code: str) -> Head | None:
    try:
        return cards.head(kind.kind, code)
    except cards.Moved:
        return None


def _form(
    request: Any,
    kind: Kind,
    typed: boxes.Typed,
    *,
    head: Head | None = None,
    made_from: int = 0,
    taken: reading.Taken | None = None,
    first: str = "",
    status: int = 200,
) -> HttpResponse:
    faults = taken.faults if taken is not None else None
    form = card_form(kind, typed, request.roles, kinds.currency(), faults, new=head is None, first=first)
    context = {
        "kind": kind,
        "head": head,
        "made_from": made_from,
        "form": form,
        "why": request.POST.get("why", "")[:400] if request.method == "POST" else "",
        "back": reverse("office:card", args=(kind.name, head.code)) if head is not None
        else reverse("office:cards", args=(kind.name,)),
    }  # fmt: skip
    return render(request, "office/cards/edit.html", context, status=status)


def why_in(post: Any) -> str:
    """Why somebody did something, in his own words."""
    return str(post.get("why", "")).replace("\r\n", "\n").replace("\0", "").strip()[:400]


def number_in(text: str) -> int:
    """A revision number from a post; 0 for what is none."""
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0
