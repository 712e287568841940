"""A kind of card as these pages need it: its sheet, the sheets of its nested rows, and what a role may see of them."""

from __future__ import annotations

import functools
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest

from bedsite.doors import rights
from bedsite.records import cards, ledger
from bedsite.records.bodies import ABOUT_CODE, ABOUT_KIND, about_of
from bedsite.records.models import Head, Revision
from bedwright.works.about import About
from bedwright.works.card import Card
from bedwright.works.workbook.layout import ABOUT, Column, Sheet, sheets

OF_THE_LEDGER = ("format", "version", "works_id", "revision")
"""Fields of `about` that the ledger sets, never a person."""
Content = Card | About


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind: `about` is one too, with a single card that is never made anew or taken out."""

    kind: str
    sheet: Sheet
    children: tuple[Sheet, ...] = ()

    @property
    def name(self) -> str:
        """The kind in an address: the name of its sheet."""
        return self.sheet.name

    @property
    def plain(self) -> str:
        return self.sheet.name.replace("_", " ")

    @property
    def is_about(self) -> bool:
        return self.kind == ABOUT_KIND

    def columns(self, roles: Iterable[str]) -> tuple[Column, ...]:
        """Columns of the cards themselves that these roles may see, in the workbook's order."""
        return _columns(self, frozenset(roles))

    def rows(self, roles: Iterable[str]) -> tuple[tuple[Sheet, tuple[Column, ...]], ...]:
        """Sheets of the nested rows, with the columns that these roles may see; the card's own code left out."""
        return _rows(self, frozenset(roles))

    def code_of(self, content: Content) -> str:
        return content.code if isinstance(content, Card) else ABOUT_CODE


@functools.cache
def _columns(kind: Kind, roles: frozenset[str]) -> tuple[Column, ...]:
    left_out = OF_THE_LEDGER if kind.is_about else ()
    model = kind.sheet.model
    return tuple(
        column
        for column in kind.sheet.columns
        if column.field not in left_out and rights.may_see(roles, model, column.field)
    )


@functools.cache
def _rows(kind: Kind, roles: frozenset[str]) -> tuple[tuple[Sheet, tuple[Column, ...]], ...]:
    return tuple(
        (sheet, tuple(one for one in sheet.columns[1:] if rights.may_see(roles, sheet.model, one.field)))
        for sheet in kind.children
    )


@functools.cache
def every() -> dict[str, Kind]:
    """Name of its sheet -> kind, in the workbook's order, `about` first."""
    found: dict[str, Kind] = {}
    children: dict[str, list[Sheet]] = {}
    for sheet in sheets():
        if sheet.field and sheet.kind is not None:
            children.setdefault(sheet.kind.SHEET, []).append(sheet)
    for sheet in sheets():
        if sheet.name == ABOUT:
            found[ABOUT] = Kind(ABOUT_KIND, sheet)
        elif not sheet.field and sheet.kind is not None:
            found[sheet.name] = Kind(sheet.kind.KIND, sheet, tuple(children.get(sheet.name, ())))
    return found


@functools.cache
def by_word() -> dict[str, Kind]:
    """Word of the kind ("wire") -> kind."""
    return {kind.kind: kind for kind in every().values()}


def asked(request: Any, name: str, *, change: bool = False) -> Kind:
    """The kind of an address, if this person may look at it (or change it). Raises Http404, PermissionDenied."""
    kind = every().get(name)
    if kind is None:
        raise Http404(f"the works has no sheet {name!r}")
    if not kind.is_about and not rights.may_see_kind(request.roles, kind.kind):
        raise PermissionDenied(f"cards {kind.kind} hold prices, and your roles do not see them")
    if change and not rights.may_change(request.roles, kind.kind):
        raise PermissionDenied(f"your roles do not change cards {kind.kind}")
    return kind


def may_change(request: HttpRequest, kind: Kind) -> bool:
    """Whether a button that changes a card of this kind is shown."""
    return rights.may_change(getattr(request, "roles", frozenset()), kind.kind)


def content(row: Head | Revision) -> Content:
    """What a head or revision holds: a card, or `about` stamped as of now."""
    if row.kind == ABOUT_KIND:
        end = ledger.end()
        return about_of(row.body, row.schema, works_id=end.works_id, revision=end.cards_seq)
    return cards.card_in(row)


def head_of(kind: Kind, code: str) -> Head:
    """The head of a card. Raises Http404."""
    try:
        return cards.head(kind.kind, code)
    except cards.Moved as error:
        raise Http404(str(error)) from None


def revision_of(kind: Kind, code: str, number: int) -> Revision:
    """One revision of a card. Raises Http404."""
    try:
        return cards.revision(kind.kind, code, number)
    except cards.Moved as error:
        raise Http404(str(error)) from None


def currency() -> str:
    """The currency of amounts that name none."""
    about = content(cards.head(ABOUT_KIND, ABOUT_CODE))
    return about.currency if isinstance(about, About) else ""
