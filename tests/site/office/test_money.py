"""Amounts of money: on no page, in no list, no history and no file of a role that does not deal in them; kept by it."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from bedwright.works.trading import Brief, Customer

AMOUNT = "4321.09"
PAGES = (
    "/cards/briefs/", "/cards/briefs/?sort=price_max&show=price_max", "/cards/briefs/card/WISH/",
    "/cards/briefs/card/WISH/history/", "/cards/briefs/card/WISH/compare/?before=1&after=2",
    "/cards/briefs/card/WISH/1/", "/cards/briefs/table/", "/cards/customers/card/QUIET/",
    "/cards/customers/table/?rows=beds", "/cards/customers/card/QUIET/compare/?before=1&after=2",
)  # fmt: skip
HIDDEN = ("/cards/prices/", "/cards/prices/card/PR01/", "/cards/prices/table/", "/cards/offers/", "/workbook/")


@pytest.fixture
def dear(works_folder: Any, me: str) -> None:
    """A brief and a customer that hold an amount, the brief in two revisions."""
    from datetime import date

    from bedsite.records import cards

    brief = Brief(
        code="WISH", customer="QUIET", size="150", quantity=3, due=date(2026, 4, 1), price_max=Decimal(AMOUNT)
    )
    cards.put(brief, expected=0, who=me)
    cards.put(brief.model_copy(update={"price_max": Decimal("4321.10"), "name": "dearer"}), expected=1, who=me)
    row = {
        "position": 1, "bed": "SNIPE", "size": "150", "price": Decimal(AMOUNT), "first_day": date(2026, 1, 1),
    }  # fmt: skip
    cards.put(Customer.make(code="QUIET", name="The Quiet Corner", beds=(row,)), expected=1, who=me)


def told(client: Any, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200, (path, answer.status_code)
    content = b"".join(answer.streaming_content) if answer.streaming else answer.content
    return str(content.decode())


@pytest.mark.parametrize("role", ["viewer", "inspector"])
def test_who_deals_in_none_sees_none(dear: None, signed_in: Callable[..., Any], role: str) -> None:
    client, buyer = signed_in(role), signed_in("buyer")
    assert any(AMOUNT in told(buyer, path) for path in PAGES), "the amount is there for who may see it"
    for path in PAGES:
        page = told(client, path)
        assert "4321" not in page, path
    for path in HIDDEN:
        assert client.get(path).status_code in (403, 404), path


@pytest.mark.parametrize("role", ["viewer", "inspector"])
def test_nobody_finds_by_searching_what_he_may_not_see(dear: None, signed_in: Callable[..., Any], role: str) -> None:
    client = signed_in(role)
    assert "/card/WISH/" in told(client, "/cards/briefs/?search=wish")
    assert "/card/WISH/" not in told(client, f"/cards/briefs/?search={AMOUNT[:4]}")


def test_an_edit_by_who_does_not_see_it_keeps_it(
    dear: None, signed_in: Callable[..., Any], sheet: Callable[[Any], Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """No role may change a brief without seeing its price today; the form must not depend on that."""
    from bedsite.doors import rights
    from bedsite.records import cards

    monkeypatch.setitem(rights.CHANGES, "brief", frozenset({"inspector"}))
    client = signed_in("inspector")
    at = "/cards/briefs/card/WISH/edit/"
    page = sheet(client.get(at))
    assert "f-price_max" not in {box.get("name") for box in page.boxes}
    sent = page.form("made-from") | {"f-name": ["by an inspector"], "f-price_max": ["1"], "act": ["save"]}
    assert client.post(at, sent).status_code == 302
    brief = cards.card_in(cards.head("brief", "WISH"))
    assert isinstance(brief, Brief)
    assert (brief.name, brief.price_max) == ("by an inspector", Decimal("4321.10"))


def test_a_maker_has_no_desk(dear: None, signed_in: Callable[..., Any]) -> None:
    maker = signed_in("maker")
    for path in (*PAGES, *HIDDEN, "/", "/work", "/papers", "/release"):
        assert maker.get(path).status_code == 403, path
