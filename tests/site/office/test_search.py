"""Search across everything: each group, by rights, paged, in the address."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from bedwright.works.springs import Wire
from bedwright.works.trading import Customer


@pytest.fixture
def theirs(works_folder: Any, me: str) -> None:
    """A customer with their own name for a bed, and their number on an order."""
    from bedsite.records import cards

    row = {
        "position": 1, "bed": "SNIPE", "size": "150", "price": Decimal("4321.09"), "first_day": date(2026, 1, 1),
        "their_code": "LK-77", "their_name": "Evening Ease",
    }  # fmt: skip
    cards.put(Customer.make(code="QUIET", name="The Quiet Corner", beds=(row,)), expected=1, who=me)
    order = cards.card_in(cards.head("order", "O-1"))
    cards.put(order.model_copy(update={"their_number": "PO-2026/44"}), expected=1, who=me)


def test_cards_are_found_by_code_name_and_what_they_say(owner: Any, sheet: Callable[[Any], Any]) -> None:
    page = sheet(owner.get("/search", {"q": "w22"}))
    assert "/cards/wires/card/W22/" in page.links and "diameter" not in page.text
    assert "/cards/wires/card/W22/" in sheet(owner.get("/search", {"q": "WIRE 2.2 spring"})).links, "in any order"
    assert "supplier FERRUM" in sheet(owner.get("/search", {"q": "ferrum"})).text, "why a card is there is said"
    assert "Nothing that you may see" in sheet(owner.get("/search", {"q": "nothing like it"})).text


def test_quantities_are_found_by_what_the_trade_calls_them(owner: Any, sheet: Callable[[Any], Any]) -> None:
    page = sheet(owner.get("/search", {"q": "gauge"}))
    assert "/cards/wires/?show=code&show=name&show=diameter" in page.links and "also called gauge" in page.text
    assert "/cards/van_rounds/" in sheet(owner.get("/search", {"q": "van rounds"})).links


def test_works_orders_and_serials_by_how_they_begin(
    floorish: tuple[str, ...], owner: Any, signed_in: Any, sheet: Any
) -> None:
    serial = floorish[0]
    page = sheet(owner.get("/search", {"q": serial.lower()}))
    assert f"/bookings?serial={serial}" in page.links and "order O-2" in page.text
    assert "W000001.1" in sheet(owner.get("/search", {"q": "w000001"})).text
    assert "W000001" in sheet(owner.get("/search", {"q": "o-2"})).text, "a works order by its order"
    looking = sheet(signed_in("viewer").get("/search", {"q": serial}))
    assert serial in looking.text and not any("/bookings" in link for link in looking.links)


@pytest.fixture
def floorish(works_folder: Any, me: str) -> tuple[str, ...]:
    from bedsite.longwork.releasing import lines_to_release, to_release
    from bedsite.records import ledger
    from bedsite.records.release import release
    from bedwright.reckoning import Reckoning

    reckoning = Reckoning(ledger.read_works())
    lines = tuple(line for line in lines_to_release(reckoning) if line.order == "O-2")
    made = release(to_release(reckoning, lines), revision=1, who=me)
    return tuple(serial for one in made for run in one.runs for serial in run.serials)


def test_customers_own_numbers_and_names(theirs: None, owner: Any, sheet: Callable[[Any], Any]) -> None:
    assert "order O-1 of QUIET" in sheet(owner.get("/search", {"q": "po-2026/44"})).text
    page = sheet(owner.get("/search", {"q": "evening ease"}))
    assert "LK-77, Evening Ease" in page.text and "for our SNIPE 150" in page.text


def test_money_is_neither_searched_nor_shown(theirs: None, owner: Any, signed_in: Any, sheet: Any) -> None:
    assert "Nothing that you may see" in sheet(owner.get("/search", {"q": "4321.09"})).text
    page = sheet(signed_in("inspector").get("/search", {"q": "PR01"}))
    assert not any("/prices/" in link for link in page.links)
    assert any("/prices/" in link for link in sheet(owner.get("/search", {"q": "PR01"})).links)
    assert signed_in("maker").get("/search", {"q": "w22"}).status_code == 403


def test_papers_by_name_for_those_who_may_open_them(
    works_folder: Any, me: str, owner: Any, signed_in: Any, sheet: Any
) -> None:
    from bedsite.records import snapshots

    for paper, name in (("bed sheet", "beds/snipe-150.pdf"), ("cost", "costs/snipe-150.pdf")):
        snapshots.keep(
            paper=paper, name=name, subject="SNIPE 150", data=name.encode(), media="application/pdf", results={},
            who=me, revision=1,
        )  # fmt: skip
    assert "costs/snipe-150.pdf" in sheet(owner.get("/search", {"q": "snipe pdf"})).text
    seen = sheet(signed_in("inspector").get("/search", {"q": "snipe pdf"})).text
    assert "beds/snipe-150.pdf" in seen and "costs/" not in seen


def test_pages_of_fifty_hold_every_card_once(
    works_folder: Any, me: str, owner: Any, sheet: Callable[[Any], Any]
) -> None:
    from bedsite.records import cards
    from bedsite.records.chain import pen

    with pen() as held:
        for number in range(120):
            card = Wire(code=f"ZZ{number:03d}", name="plenty", diameter=2.2, grade="SM", supplier="FERRUM")
            cards.put_with(held, card, expected=0, who=me)
    overview = sheet(owner.get("/search", {"q": "plenty"}))
    assert "/search?q=plenty&in=cards" in [f"/search{link}" for link in overview.links]
    seen: list[str] = []
    at = "?q=plenty&in=cards"
    while at:
        page = sheet(owner.get(f"/search{at}"))
        seen += [link for link in page.links if "/wires/card/ZZ" in link]
        at = next((link for link in page.links if f"page={len(seen) // 50 + 1}" in link and len(seen) % 50 == 0), "")
    assert len(seen) == len(set(seen)) == 120


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("x", "Type 2 signs or more"),
        ("x" * 101, "100 are searched"),
        ("a b c d e f g", "6 are searched"),
        ("a\0b", "signs that no"),
    ],
)
def test_what_cannot_be_searched_for_is_said_under_its_box(typed: str, says: str, owner: Any, sheet: Any) -> None:
    answer = owner.get("/search", {"q": typed})
    page = sheet(answer)
    assert answer.status_code == 422 and says in page.text
    assert next(box for box in page.boxes if box.get("id") == "q")["aria-describedby"] == "q-fault"


ODD = (
    "", "?q=", "?q=%25", "?q=%25_%25", "?q=w22&in=nothing", "?q=w22&in=cards&page=x", "?q=w22&page=99999&in=papers",
    "?q=%F4%8F%BF%BFx", "?q='\";--",
)  # fmt: skip


@pytest.mark.parametrize("odd", ODD)
def test_odd_addresses_are_answered(odd: str, owner: Any) -> None:
    assert owner.get(f"/search{odd}").status_code in (200, 422)


def test_every_page_has_the_box_for_those_who_may(owner: Any, sheet: Callable[[Any], Any]) -> None:
    for path in ("/", "/works", "/work", "/cards/wires/", "/search?q=w22"):
        page = sheet(owner.get(path))
        form = next(form for form in page.forms if form["attrs"].get("class") == "find")
        assert form["attrs"]["action"] == "/search" and form["attrs"]["method"] == "get"
