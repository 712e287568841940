"""What is found, group by group: at most one row more than is shown, so that a next page is known of.

Everything is asked of indexes or of one pass over the words of the heads; money is in none of these words, and kinds
and papers that a role may not see are left out of the question itself.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.db import connection
from django.db.models import Q, QuerySet
from django.urls import reverse
from pydantic import BaseModel

from bedsite.doors import rights
from bedsite.office.search.question import PAGE, Question
from bedsite.records.models import Head, Released, Snapshot
from bedwright.identity import fold
from bedwright.words import WORDS, Word
from bedwright.works.card import Card
from bedwright.works.kinds import BY_KIND, KINDS, child_rows
from bedwright.works.trading import Customer, Order

LOOKED_AT = 3000
"""Orders and customers whose own fields are looked at, of those that hold the words anywhere."""


@dataclass(frozen=True, slots=True)
class Found:
    """One row: what it is, its link ("" where this person has no page for it) and text, what else it says."""

    what: str
    text: str
    to: str = ""
    says: str = ""


Rows = list[Found]
Finder = Callable[[Question, frozenset[str], int, int], Rows]
"""(question, roles, rows to leave out, rows at most)."""


def _terms(asked: Question, roles: frozenset[str], skip: int, most: int) -> Rows:
    """Quantities by word, symbol or synonym, each with the lists that hold it; lists by their names."""
    found: Rows = []
    for kind in KINDS:
        names = fold(f"{kind.KIND} {kind.SHEET.replace('_', ' ')} {kind.SAYS}")
        if rights.may_see_kind(roles, kind.KIND) and all(word in names for word in asked.words):
            to = reverse("office:cards", args=[kind.SHEET])
            found.append(Found("list", kind.SHEET.replace("_", " "), to, kind.SAYS))
    for word in WORDS.values():
        if _means(word, asked):
            found += _quantity(word, roles)
    return found[skip : skip + most]


def _quantity(word: Word, roles: frozenset[str]) -> Rows:
    """A quantity with each list that shows it; alone where it stands in rows within cards."""
    plain = word.key.replace("_", " ")
    also = f"; also called {', '.join(word.synonyms)}" if word.synonyms else ""
    says = f"{word.meaning}{f', in {word.unit}' if word.unit else ''}{also}"
    lists = [kind.SHEET for kind in KINDS if word.key in kind.model_fields and rights.may_see_kind(roles, kind.KIND)]
    shown = f"?show=code&show=name&show={word.key}"
    return [
        Found("quantity", f"{plain} of {name.replace('_', ' ')}", reverse("office:cards", args=[name]) + shown, says)
        for name in lists
    ] or [Found("quantity", plain, "", says)]


def _means(word: Word, asked: Question) -> bool:
    names = (word.key.replace("_", " "), word.symbol, *word.synonyms)
    return any(asked.whole in fold(name) if len(asked.whole) > 2 else asked.whole == fold(name) for name in names)


def _cards(asked: Question, roles: frozenset[str], skip: int, most: int) -> Rows:
    """Cards in use by code, name or any other text of theirs; where every group is shown, codes that begin so first."""
    seen = _seen(roles)
    found: list[Head] = []
    rows = _holding(seen, asked.words)
    if not asked.group:
        starts = Head.objects.filter(kind__in=seen, gone=False).filter(_begins("folded", asked.whole))
        found = list(starts.order_by("folded", "kind").defer("words")[:most])
    first = {head.pk for head in found}
    more = rows.order_by("kind", "folded").defer("words")[skip : skip + most]
    found += [head for head in more if head.pk not in first]
    return [_card(head, asked, roles) for head in found[:most]]


def _card(head: Head, asked: Question, roles: frozenset[str]) -> Found:
    kind = BY_KIND[head.kind]
    body = json.loads(head.body)
    name = str(body.get("name") or "")
    to = reverse("office:card", args=[kind.SHEET, head.code])
    held = fold(f"{head.code} {name}")
    told = (
        list(dict.fromkeys(_where(kind, body, roles, asked.words))) if not all(w in held for w in asked.words) else []
    )
    return Found(head.kind, f"{head.code}{f', {name}' if name and name != head.code else ''}", to, "; ".join(told[:2]))


def _where(model: type[BaseModel], body: dict[str, Any], roles: frozenset[str], words: Iterable[str]) -> Iterator[str]:
    """ "field: text" of every field that holds one of the words and that these roles may see."""
    nested = child_rows(model) if issubclass(model, Card) else {}
    for field, value in body.items():
        if field in nested:
            for row in value:
                yield from _where(nested[field], row, roles, words)
        elif isinstance(value, (str, int, float)) and not isinstance(value, bool) and field not in ("code", "name"):
            text = str(value)
            seen = field in model.model_fields and rights.may_see(roles, model, field)
            if seen and any(word in fold(text) for word in words):
                yield f"{field.replace('_', ' ')} {text[:80]}"


def _holding(kinds: Iterable[str], words: Iterable[str]) -> QuerySet[Head]:
    rows = Head.objects.filter(kind__in=list(kinds), gone=False)
    for word in words:
        rows = rows.filter(words__contains=word)
    return rows


def _seen(roles: frozenset[str]) -> list[str]:
    return [kind.KIND for kind in KINDS if rights.may_see_kind(roles, kind.KIND)]


def _begins(field: str, text: str) -> Q:
    """Begins with a text, so that both engines look it up in an index: SQLite by a range, the other by its own."""
    if connection.vendor == "sqlite":
        return Q(**{f"{field}__gte": text, f"{field}__lt": text + "\U0010ffff"})
    return Q(**{f"{field}__startswith": text})


def _released(asked: Question, roles: frozenset[str], skip: int, most: int) -> Rows:
    """Works orders, runs and serials by the beginning of their id, works orders also by their order's code."""
    by_id = _begins("id", asked.whole.upper())
    rows = list(Released.objects.filter(by_id).order_by("id")[skip : skip + most])
    if len(rows) < most:
        of_order = Released.objects.filter(_begins("order_folded", asked.whole), what="works order").exclude(by_id)
        left = 0 if rows or not skip else skip - Released.objects.filter(by_id).count()
        rows += of_order.order_by("order_folded", "line", "id")[left : left + most - len(rows)]
    return [_id(row, roles) for row in rows]


def _id(row: Released, roles: frozenset[str]) -> Found:
    facts = json.loads(row.facts)
    looks = bool((rights.who_may("office:bookings", "GET") or frozenset()) & roles)
    to = f"{reverse('office:bookings')}?serial={row.id}" if looks and row.what != "bundle" else ""
    beds = f", {facts['beds']} beds" if facts.get("beds", 1) != 1 else ""
    of = f"of {row.of}, " if row.of else ""
    return Found(row.what, row.id, to, f"{of}{facts['bed']} {facts['size']}{beds}, order {row.order} line {row.line}")


def _theirs(asked: Question, roles: frozenset[str], skip: int, most: int) -> Rows:
    """Customers' own numbers, codes and names for our beds."""
    found: Rows = []
    rows = _holding((Customer.KIND, Order.KIND), asked.words).order_by("kind", "folded").defer("words")
    for head in rows[:LOOKED_AT].iterator(chunk_size=200):
        found += _own(head, asked.words)
        if len(found) >= skip + most:
            break
    return found[skip : skip + most]


def _own(head: Head, words: tuple[str, ...]) -> Iterator[Found]:
    body = json.loads(head.body)
    to = reverse("office:card", args=[BY_KIND[head.kind].SHEET, head.code])
    if head.kind == Order.KIND:
        theirs = str(body.get("their_number") or "")
        if theirs and all(word in fold(theirs) for word in words):
            yield Found("their number", theirs, to, f"order {head.code} of {body['customer']}, {body['state']}")
        return
    for row in body.get("beds", ()):
        told = [str(row.get(field) or "") for field in ("their_code", "their_name", "label_text")]
        if all(word in fold(" ".join(told)) for word in words):
            text = ", ".join(one for one in told[:2] if one) or told[2]
            yield Found("their bed", text, to, f"{head.code} for our {row['bed']} {row['size']}")


def _papers(asked: Question, roles: frozenset[str], skip: int, most: int) -> Rows:
    """Kept papers by name, kind of paper or what they are of, the newest first."""
    rows = Snapshot.objects.order_by("-seq").only("id", "paper", "name", "subject", "at")
    if not rights.SEE_MONEY & roles:
        rows = rows.filter(paper__in=[paper for paper in rights.PLAIN_PAPERS if rights.may_see_paper(roles, paper)])
    for word in asked.words:
        rows = rows.filter(Q(name__icontains=word) | Q(subject__icontains=word) | Q(paper__icontains=word))
    return [
        Found(row.paper, row.name, reverse("office:paper", args=[row.id]), f"of {row.subject}, kept {row.at:%Y-%m-%d}")
        for row in rows[skip : skip + most]
    ]


GROUPS: dict[str, tuple[str, Finder]] = {
    "cards": ("Cards", _cards),
    "released": ("Works orders, runs and serials", _released),
    "theirs": ("Customers' own numbers and names", _theirs),
    "papers": ("Kept papers", _papers),
    "terms": ("Lists and quantities", _terms),
}
"""Word in the address -> heading, what finds it."""


def found_in(group: str, asked: Question, roles: frozenset[str], most: int = PAGE) -> tuple[Rows, bool]:
    """A page of a group (its beginning, with a smaller `most`), and whether there is more."""
    rows = GROUPS[group][1](asked, roles, asked.first if asked.group else 0, most + 1)
    return rows[:most], len(rows) > most
