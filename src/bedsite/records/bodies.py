"""Between a card and its stored body: canonical JSON one way, the card class (strict) the other."""

from __future__ import annotations

import functools
import json
from collections.abc import Iterator
from decimal import Decimal
from typing import Any, get_args

from pydantic import BaseModel

from bedsite.records.formats import raised
from bedwright import __version__
from bedwright.identity import canonical, content_id, fold
from bedwright.works.about import FORMAT, About
from bedwright.works.card import Card, Row
from bedwright.works.kinds import BY_KIND, child_rows

ABOUT_KIND, ABOUT_CODE = "about", "works"
"""What a works says of itself is kept in the same chains: a card of its own kind."""
_OF_THE_LEDGER = ("format", "version", "works_id", "revision")


def body_of(card: Card | About) -> str:
    """The canonical text of a card; of `about`, only what people write there."""
    left_out = set(_OF_THE_LEDGER) if isinstance(card, About) else set()
    return canonical(card.model_dump(exclude=left_out)).decode()


def content_of(card: Card | About) -> str:
    """The content id of a card as stored."""
    return content_id(json.loads(body_of(card)))


def words_in(kind: str, body: str) -> str:
    """What a card is found by: its texts and figures, folded, a space between; no names of fields, no money.

    Amounts of money are left out so that nobody finds by searching what he may not see.
    """
    return fold(" ".join(_values(BY_KIND.get(kind, About), json.loads(body)))).replace("\0", " ")


def _values(model: type[BaseModel], plain: dict[str, Any]) -> Iterator[str]:
    money, nested = _apart(model)
    for name, value in plain.items():
        if name in nested:
            for row in value:
                yield from _values(nested[name], row)
        elif name not in money and value is not None and not isinstance(value, (bool, list, dict)):
            yield str(value)


@functools.cache
def _apart(model: type[BaseModel]) -> tuple[frozenset[str], dict[str, type[Row]]]:
    money = {
        name
        for name, info in model.model_fields.items()
        if info.annotation is Decimal or Decimal in get_args(info.annotation)
    }
    return frozenset(money), child_rows(model) if issubclass(model, Card) else {}


def named(card: Card | About) -> tuple[str, str]:
    """(kind, code) of a card."""
    return (ABOUT_KIND, ABOUT_CODE) if isinstance(card, About) else (card.KIND, card.code)


def card_of(kind: str, schema: int, body: str) -> Card:
    """The card of a stored body. Cards are frozen, so the same body gives the same object while it is remembered."""
    return _card(kind, schema, body)


@functools.lru_cache(maxsize=20_000)
def _card(kind: str, schema: int, body: str) -> Card:
    plain = raised(kind, schema, json.loads(body))
    return BY_KIND[kind].model_validate_json(json.dumps(plain), strict=True)


def about_of(body: str, schema: int, *, works_id: str, revision: int) -> About:
    """The sheet `about` of a stored body, stamped with the works and its revision."""
    plain: dict[str, Any] = raised(ABOUT_KIND, schema, json.loads(body))
    stamped = plain | {"format": FORMAT, "version": __version__, "works_id": works_id, "revision": revision}
    return About.model_validate_json(json.dumps(stamped), strict=True)


def plain(model: BaseModel) -> Any:
    """A card or row as plain JSON data, in its canonical form."""
    return json.loads(canonical(model.model_dump()))
