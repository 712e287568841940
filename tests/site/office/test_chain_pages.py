"""History, comparing, bringing back, taking out, two contents and their merge: by the pages alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from bedwright.works.works import Works

EDIT = "/cards/wires/card/W22/edit/"


def form(sheet: Callable[[Any], Any], client: Any, **values: str) -> dict[str, list[str]]:
    sent: dict[str, list[str]] = sheet(client.get(EDIT)).form("made-from")
    return sent | {"act": ["save"], **{name.replace("_", "-", 1): [value] for name, value in values.items()}}


def wire() -> Any:
    from bedsite.records import cards

    return cards.card_in(cards.head("wire", "W22"))


def test_two_contents_stand_side_by_side_until_merged(
    owner: Any, signed_in: Callable[..., Any], sheet: Callable[[Any], Any]
) -> None:
    from bedsite.records import cards

    other = signed_in("designer", name="Second Hand")
    first = form(sheet, owner, f_diameter="2.3")
    second = form(sheet, other, f_diameter="2.4", f_name="another name")
    assert owner.post(EDIT, first).headers["Location"].endswith("said=saved")
    answer = other.post(EDIT, second)
    assert answer.headers["Location"].split("?")[0] == "/cards/wires/card/W22/3/merge/"
    page = sheet(other.get("/cards/wires/card/W22/3/merge/"))
    assert "2.3" in page.text and "2.4" in page.text and "Second Hand" in page.text
    assert wire().diameter == 2.3
    assert "W22" in sheet(owner.get("/")).text
    sent = page.form("made-from")
    assert "pick-f-name" in sent and sent["pick-f-name"] == ["aside"], "who alone changed a field is chosen already"
    refused = other.post("/cards/wires/card/W22/3/merge/", sent)
    assert refused.status_code == 422 and "take one of them" in sheet(refused).text
    merged = other.post("/cards/wires/card/W22/3/merge/", sent | {"pick-f-diameter": ["aside"], "why": ["measured"]})
    assert merged.headers["Location"].endswith("said=merged")
    assert (wire().diameter, wire().name) == (2.4, "another name")
    assert cards.open_asides("wire", "W22") == []
    story = sheet(owner.get("/cards/wires/card/W22/history/")).text
    assert "measured" in story and "Second Hand" in story


def test_a_merge_against_a_head_that_moved_on_writes_nothing(
    owner: Any, signed_in: Callable[..., Any], sheet: Callable[[Any], Any], me: str
) -> None:
    from bedsite.records import cards

    other = signed_in("designer", name="Second Hand")
    first, second = form(sheet, owner, f_diameter="2.3"), form(sheet, other, f_diameter="2.4")
    owner.post(EDIT, first)
    other.post(EDIT, second)
    at = "/cards/wires/card/W22/3/merge/"
    sent = sheet(other.get(at)).form("made-from") | {"pick-f-diameter": ["aside"]}
    cards.put(wire().model_copy(update={"note": "moved on"}), expected=2, who=me)
    answer = other.post(at, sent)
    assert answer.status_code == 422 and "once more" in sheet(answer).text
    assert wire().diameter == 2.3 and len(cards.open_asides("wire", "W22")) == 1


def test_compare_bring_back_take_out_and_put_in_use_again(owner: Any, sheet: Callable[[Any], Any]) -> None:
    from bedsite.records import cards, ledger

    owner.post(EDIT, form(sheet, owner, f_diameter="2.3"))
    compared = sheet(owner.get("/cards/wires/card/W22/compare/?before=1&after=2")).text
    assert "diameter" in compared and "2.2" in compared and "2.3" in compared
    back = sheet(owner.get("/cards/wires/card/W22/1/"))
    sent = next(one for one in back.forms if one["attrs"].get("action", "").endswith("/back/"))
    answer = owner.post(sent["attrs"]["action"], dict(sent["values"]) | {"why": "it was right"})
    assert answer.status_code == 302 and wire().diameter == 2.2
    assert cards.head("wire", "W22").number == 3
    card = sheet(owner.get("/cards/wires/card/W22/"))
    named = owner.post("/cards/wires/card/W22/out/", {"made-from": "3"})
    assert named.status_code == 422, card.text
    told = sheet(named).text
    assert "K22" in told, "the cards that name it are named"
    owner.post("/cards/closed_days/card/MAY-DAY/out/", {"made-from": "1"})
    assert "MAY-DAY" not in ledger.read_works().closed_days
    assert "MAY-DAY" in sheet(owner.get("/cards/closed_days/?gone=1")).text


def test_a_number_that_never_was_is_refused(owner: Any, sheet: Callable[[Any], Any]) -> None:
    from bedsite.records import cards

    for number in ("-1", "99", "x", "", "1e3", "٣"):
        sent = form(sheet, owner, f_diameter="2.9") | {"made-from": [number]}
        assert owner.post(EDIT, sent).status_code in (302, 400, 404, 409, 422)
    assert cards.head("wire", "W22").number == 1 and wire().diameter == 2.2


def test_rows_that_each_of_two_took_away_are_both_gone_after_the_merge(
    owner: Any, sheet: Callable[[Any], Any], small_works: Works, me: str
) -> None:
    from bedsite.records import cards

    card = next(bed for bed in small_works.beds if len(bed.layers) > 2)
    cards.put(card.model_copy(update={"layers": card.layers[:-1]}), expected=1, who=me)
    cards.put(card.model_copy(update={"layers": card.layers[1:]}), expected=1, who=me)
    at = f"/cards/beds/card/{card.code}/3/merge/"
    sent = sheet(owner.get(at)).form("made-from")
    assert len([name for name in sent if name.startswith("pick-r-layers-")]) == 2, "both are chosen already"
    assert owner.post(at, sent).headers["Location"].endswith("said=merged")
    merged: Any = cards.card_in(cards.head("bed", card.code))
    assert set(merged.layers) == set(card.layers[1:-1])


def test_signs_that_nobody_sees_are_refused_under_their_box(owner: Any, sheet: Callable[[Any], Any]) -> None:
    for text in ("a\x01b", "\u202eabc", "x\ufffe"):
        for box in ("f_name", "f_note"):
            answer = owner.post(EDIT, form(sheet, owner, **{box: text}))
            assert answer.status_code == 422 and "nobody sees" in sheet(answer).text
    assert owner.post(EDIT, form(sheet, owner, f_note="two\r\nlines, 90 °C, ½, é, 床")).status_code == 302


def test_moments_are_shown_in_the_time_of_the_works(owner: Any, sheet: Callable[[Any], Any]) -> None:
    from datetime import UTC, datetime
    from zoneinfo import ZoneInfo

    from bedsite.records import cards
    from bedwright.works.springs import Wire

    wire = Wire(code="DUSK", diameter=2.0, grade="SM")
    at = datetime(2026, 7, 1, 21, 30, tzinfo=UTC)
    cards.put(wire, expected=0, who=owner.person.key, at=at)
    assert "2026-07-01 22:30 BST" in sheet(owner.get("/cards/wires/card/DUSK/history/")).text
    about = cards.head("about", "works")
    sent = sheet(owner.get("/cards/about/card/works/edit/")).form("made-from") | {"f-time_zone": ["Asia/Tokyo"]}
    assert owner.post("/cards/about/card/works/edit/", sent | {"act": ["save"]}).status_code == 302, about.code
    there = at.astimezone(ZoneInfo("Asia/Tokyo")).strftime("%Y-%m-%d %H:%M")
    assert there in sheet(owner.get("/cards/wires/card/DUSK/history/")).text


def test_a_merge_does_not_lose_what_was_typed_beside(
    owner: Any, signed_in: Callable[..., Any], sheet: Callable[[Any], Any]
) -> None:
    other = signed_in("designer", name="Second Hand")
    first, second = form(sheet, owner, f_diameter="2.3"), form(sheet, other, f_diameter="2.4")
    owner.post(EDIT, first)
    other.post(EDIT, second)
    at = "/cards/wires/card/W22/3/merge/"
    sent = sheet(other.get(at)).form("made-from") | {"pick-f-diameter": ["now"], "other-f-diameter": ["2.35"]}
    answer = other.post(at, sent)
    assert answer.status_code == 422 and "typed another" in sheet(answer).text
    assert other.post(at, sent | {"pick-f-diameter": ["other"]}).status_code == 302 and wire().diameter == 2.35


def test_a_released_order_says_so_on_its_card(owner: Any, sheet: Callable[[Any], Any], me: str) -> None:
    from datetime import date

    from bedsite.records.release import ToRelease, release

    at = "/cards/orders/card/O-1/"
    assert "Released" not in sheet(owner.get(at)).text
    due = date(2026, 3, 10)
    release([ToRelease("O-1", 1, "QUIET", "SNIPE", "150", (2,), due, "NORTH", 1, (), 0)], revision=7, who=me)
    assert "Released: W000001 (line 1)" in sheet(owner.get(at)).text
