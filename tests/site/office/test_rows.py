"""Boxes and nested rows: read as the workbook reads cells, faults under their boxes, rows added and taken away."""

from __future__ import annotations

import html
from collections.abc import Callable
from typing import Any

from bedwright.works.works import Works


def fault(answer: Any, name: str) -> str:
    """The words under a box."""
    text = answer.content.decode()
    return text.partition(f'id="box-{name}-fault">')[2].partition("</div>")[0]


def test_a_gauge_is_read_and_a_nonsense_is_told_under_its_box(owner: Any, sheet: Callable[[Any], Any]) -> None:
    from bedsite.records import cards

    at = "/cards/wires/card/W22/edit/"
    sent = sheet(owner.get(at)).form("made-from") | {"act": ["save"], "f-diameter": ["13 1/2 SWG"]}
    assert owner.post(at, sent).status_code == 302
    wire: Any = cards.card_in(cards.head("wire", "W22"))
    assert wire.diameter == 2.1845
    sent = sheet(owner.get(at)).form("made-from") | {
        "act": ["save"], "f-diameter": ["22"], "f-grade": ["XX"], "f-supplier": ["NOBODY"],
    }  # fmt: skip
    answer = owner.post(at, sent)
    assert answer.status_code == 422
    sheet(answer)
    assert "22" in fault(answer, "f-diameter") and "13.5 SWG" in fault(answer, "f-diameter")
    assert "is not one of the choices here" in fault(answer, "f-grade")
    told = html.unescape(fault(owner.post(at, sent | {"f-diameter": ["1 inch"]}), "f-diameter"))
    assert told.startswith("<p>'1 inch' is above 8"), "what was typed is told, not what it was read as"
    sent |= {"f-diameter": ["2.2"], "f-grade": ["SM"]}
    answer = owner.post(at, sent)
    told = html.unescape(fault(answer, "f-supplier"))
    assert "Names supplier 'NOBODY', and there is none" in told
    assert cards.head("wire", "W22").number == 2


def test_rows_are_added_filled_and_removed_by_buttons_alone(
    owner: Any, sheet: Callable[[Any], Any], small_works: Works
) -> None:
    from bedsite.records import cards

    bed = next(bed for bed in small_works.beds if bed.layers)
    at = f"/cards/beds/card/{bed.code}/edit/"
    count = len(bed.layers)
    page = sheet(owner.get(at))
    page = sheet(owner.post(at, page.form("made-from") | {"act": ["add-layers"]}))
    sent = page.form("made-from")
    assert sent["n-layers"] == [str(count + 1)]
    face = sent[f"r-layers-{count}-face"][0]
    assert sent[f"r-layers-{count}-position"] == [str(max(one.position for one in bed.face_layers(face)) + 1)]
    answer = owner.post(at, sent | {"act": ["save"]})
    assert answer.status_code == 422
    assert "is needed and is empty" in fault(answer, f"r-layers-{count}-part").casefold()
    sent[f"r-layers-{count}-part"] = ["no-such-pad"]
    answer = owner.post(at, sent | {"act": ["save"]})
    assert "there is none" in fault(answer, f"r-layers-{count}-part"), "what only the works sees, under its box too"
    sent[f"r-layers-{count}-part"] = [bed.layers[0].part]
    sent[f"r-layers-{count}-position"] = [str(bed.face_layers(face)[0].position)]
    answer = owner.post(at, sent | {"act": ["save"]})
    assert "stands at" in fault(answer, f"r-layers-{count}-position")
    sent[f"r-layers-{count}-position"] = ["99"]
    assert owner.post(at, sent | {"act": ["save"]}).status_code == 302
    grown: Any = cards.card_in(cards.head("bed", bed.code))
    assert len(grown.layers) == count + 1 and {one.position for one in grown.layers} >= {99}
    page = sheet(owner.get(at))
    place = next(
        name.split("-")[2] for name, value in page.form("made-from").items()
        if name.endswith("-position") and name.startswith("r-layers-") and value == ["99"]
    )  # fmt: skip
    page = sheet(owner.post(at, page.form("made-from") | {"act": [f"remove-layers-{place}"]}))
    answer = owner.post(at, page.form("made-from") | {"act": ["save"]})
    assert answer.headers["Location"].endswith("said=saved")
    assert cards.content_of(cards.card_in(cards.head("bed", bed.code))) == cards.revision("bed", bed.code, 1).content


def test_a_sentence_of_the_card_itself_stands_under_the_box_it_names(
    owner: Any, sheet: Callable[[Any], Any], small_works: Works
) -> None:
    at = "/cards/coils/card/K22/edit/"
    answer = owner.post(at, sheet(owner.get(at)).form("made-from") | {"act": ["save"], "f-total_turns": ["2"]})
    told = fault(answer, "f-total_turns")
    assert "total turns 2 is below live turns" in told


def test_codes_of_any_sign_have_an_address(owner: Any, sheet: Callable[[Any], Any], me: str) -> None:
    from django.urls import reverse

    from bedsite.records import cards
    from bedwright.works.springs import Wire

    for code in ("..", "a/b", "?x#y", "50 %", "Ä~1", "new", "'\"<&>", "=1+1"):
        cards.put(Wire(code=code, diameter=2.0), expected=0, who=me)
        at = reverse("office:card", args=("wires", code))
        assert sheet(owner.get(at)).text.count(code) >= 1, code
    listed = sheet(owner.get("/cards/wires/"))
    for link in listed.links:
        if "/card/" in link:
            assert owner.get(link).status_code == 200, link
