"""Every kind of card, one set of pages: what the form shows and gets back is the card, unchanged."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bedwright.works.kinds import BY_KIND, KINDS
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works

SHEETS = [kind.SHEET for kind in KINDS]


def card_of(small_works: Works, sheet_name: str) -> Any:
    kind = next(kind for kind in KINDS if sheet_name == kind.SHEET)
    return next(iter(small_works.of_kind(kind)), None)


@pytest.mark.parametrize("name", [*SHEETS, "about"])
def test_a_list_shows_its_cards(owner: Any, sheet: Callable[[Any], Any], small_works: Works, name: str) -> None:
    page = sheet(owner.get(f"/cards/{name}/"))
    card = card_of(small_works, name) if name != "about" else None
    if card is not None:
        assert card.code in page.text
    assert page.text.count("Skip to the sheet") == 1


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.SHEET)
def test_every_card_of_the_works_comes_back_from_its_form_as_it_was(
    owner: Any, sheet: Callable[[Any], Any], small_works: Works, kind: Any
) -> None:
    from django.urls import reverse

    from bedsite.records import cards

    found = 0
    for card in small_works.of_kind(kind):
        at = reverse("office:card-edit", args=(kind.SHEET, card.code))
        page = sheet(owner.get(at))
        sent = page.form("made-from") | {"act": ["save"]}
        answer = owner.post(at, sent)
        assert (answer.status_code, answer.headers.get("Location", "")[-9:]) == (302, "said=same"), (
            sheet(answer).text if answer.status_code != 302 else ""
        )
        assert len(cards.history(kind.KIND, card.code)) == 1
        look = sheet(owner.get(answer.headers["Location"]))
        assert card.code in look.text
        found += 1
    assert found == len(small_works.of_kind(kind))


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.SHEET)
def test_the_same_boxes_under_another_code_make_an_equal_card(
    owner: Any, sheet: Callable[[Any], Any], small_works: Works, kind: Any
) -> None:
    """Here nothing is kept from a base: every value is read anew from what stands in its box."""
    from bedsite.office.cards import boxes, kinds, reading

    page_of = kinds.by_word()[kind.KIND]
    for card in small_works.of_kind(kind):
        typed = boxes.from_content(page_of, card, {"owner"})
        taken = reading.take(page_of, typed, None, {"owner"})
        assert taken.faults == {} or not any(taken.faults.values())
        assert taken.card is not None
        assert taken.card.model_dump() == card.model_dump() or _sorted(taken.card) == _sorted(card)


def test_every_card_of_the_demo_comes_back_from_its_boxes(works_folder: Path) -> None:
    from bedsite.office.cards import boxes, kinds, reading

    demo = read_csv_folder(Path(__file__).parents[3] / "demo")
    empty = [kind.SHEET for kind in KINDS if not len(demo.of_kind(kind))]
    assert empty == [], "the demo has cards of every kind"
    for card in demo.all_cards():
        page_of = kinds.by_word()[card.KIND]
        taken = reading.take(page_of, boxes.from_content(page_of, card, {"owner"}), None, {"owner"})
        assert taken.card is not None, (card.called, dict(taken.faults))
        assert _sorted(taken.card) == _sorted(card), card.called


def _sorted(card: Any) -> Any:
    from bedwright.works.workbook.tables import in_order

    return {name: in_order(list(value)) if isinstance(value, tuple) else value for name, value in card}


@pytest.mark.parametrize("name", SHEETS)
def test_an_empty_new_card_is_refused_box_by_box(owner: Any, sheet: Callable[[Any], Any], name: str) -> None:
    from bedsite.records import cards

    at = f"/cards/{name}/new/"
    sent = sheet(owner.get(at)).form("f-code")
    answer = owner.post(at, sent | {"act": ["save"]})
    assert answer.status_code == 422
    page = sheet(answer)
    assert "Nothing was saved yet" in page.text
    assert "box-f-code-fault" in page.ids
    kind = next(kind for kind in KINDS if name == kind.SHEET)
    assert cards.heads(kind.KIND, gone=True) == []


@pytest.mark.parametrize("name", SHEETS)
def test_one_like_another_is_made_and_listed(
    owner: Any, sheet: Callable[[Any], Any], small_works: Works, name: str
) -> None:
    from bedsite.records import cards

    card = card_of(small_works, name)
    if card is None:
        pytest.skip("the small works has none")
    at = f"/cards/{name}/new/?like={card.code}"
    sent = sheet(owner.get(at)).form("f-code") | {"f-code": ["New/one #1"], "act": ["save"], "why": ["trial"]}
    if name == "prices":
        sent["f-first_day"] = ["2031-05-06"]
    answer = owner.post(at, sent)
    assert answer.status_code == 302, sheet(answer).text
    assert cards.head(BY_KIND[card.KIND].KIND, "new/ONE #1").code == "New/one #1"
    look = sheet(owner.get(answer.headers["Location"]))
    assert "New/one #1" in look.text
    assert "trial" in look.text
    again = owner.post(at, sent)
    assert again.status_code == 422
    assert "is there already" in sheet(again).text


def test_what_the_works_says_of_itself_is_the_owners(
    owner: Any, signed_in: Callable[..., Any], sheet: Callable[[Any], Any]
) -> None:
    at = "/cards/about/card/works/edit/"
    sent = sheet(owner.get(at)).form("made-from")
    assert owner.post(at, sent).headers["Location"].endswith("said=same")
    sent["f-time_zone"] = ["Nowhere/Else"]
    assert "is not a time zone" in sheet(owner.post(at, sent)).text
    sent["f-time_zone"] = ["Europe/Paris"]
    assert owner.post(at, sent).headers["Location"].endswith("said=saved")
    assert "Europe/Paris" in sheet(owner.get("/works")).text
    assert signed_in("designer").get(at).status_code == 403
    assert sheet(owner.get("/cards/about/card/works/history/")).text
    compared = sheet(owner.get("/cards/about/card/works/compare/?before=1&after=2")).text
    assert "time zone" in compared and "works id" not in compared
