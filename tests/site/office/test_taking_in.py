"""A workbook by the pages: out, changed, sent, its difference looked at, taken in all or nothing."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
from django.core.files.uploadedfile import SimpleUploadedFile

AT = "/workbook/take-in/"


def exported(client: Any) -> Any:
    return openpyxl.load_workbook(io.BytesIO(client.get("/workbook/").content))


def send(client: Any, book: Any) -> Any:
    data = io.BytesIO()
    book.save(data)
    client.post(AT, {"workbook": SimpleUploadedFile("mine.xlsx", data.getvalue())})
    return client.get(AT)


def cell(book: Any, sheet: str, code: str, heading: str) -> Any:
    page = book[sheet]
    column = next(one.column for one in page[1] if str(one.value).startswith(heading))
    row = next(one.row for one in page["A"] if one.value == code)
    return page.cell(row, column)


def apply(client: Any, sheet: Callable[[Any], Any], shown: Any, **more: str) -> Any:
    page = sheet(shown)
    form = next(one for one in page.forms if any(b.get("value") == "apply" for b in one["buttons"]))
    return client.post(AT, dict(form["values"]) | {"act": "apply", **more})


def test_out_and_in_again_is_no_difference(owner: Any, sheet: Callable[[Any], Any]) -> None:
    from bedsite.records import ledger

    before = ledger.revision_now()
    shown = sheet(send(owner, exported(owner)))
    assert "no difference" in shown.text.casefold() or "changes nothing" in shown.text.casefold()
    assert ledger.revision_now() == before


def test_a_changed_cell_is_shown_and_taken_in(owner: Any, sheet: Callable[[Any], Any]) -> None:
    from bedsite.records import cards, ledger

    book = exported(owner)
    cell(book, "wires", "W22", "diameter").value = 2.25
    shown = send(owner, book)
    assert "W22" in sheet(shown).text and "2.25" in sheet(shown).text
    assert ledger.read_works().wires["W22"].diameter == 2.2, "looking changes nothing"
    done = apply(owner, sheet, shown)
    assert done.status_code == 200, sheet(done).text
    assert ledger.read_works().wires["W22"].diameter == 2.25
    assert len(cards.history("wire", "W22")) == 2


def test_faults_are_told_by_cell_and_nothing_is_taken_in(owner: Any, sheet: Callable[[Any], Any]) -> None:
    from bedsite.records import ledger

    book = exported(owner)
    bad = cell(book, "wires", "W22", "diameter")
    bad.value = "thick"
    cell(book, "wires", "W19", "diameter").value = 2.0
    shown = sheet(send(owner, book))
    assert bad.coordinate in shown.text and "thick" in shown.text
    assert ledger.read_works().wires["W19"].diameter == 1.9


def test_much_gone_needs_its_number_typed(owner: Any, sheet: Callable[[Any], Any]) -> None:
    from bedsite.records import ledger

    book = exported(owner)
    page = book["stock"]
    page.delete_rows(2, 2)
    shown = send(owner, book)
    assert "gone-stock" in {box.get("name") for box in sheet(shown).boxes}
    refused = apply(owner, sheet, shown)
    assert refused.status_code == 422 and len(ledger.read_works().stock) == 3
    wrong = apply(owner, sheet, owner.get(AT), **{"gone-stock": "3"})
    assert wrong.status_code == 422 and len(ledger.read_works().stock) == 3
    done = apply(owner, sheet, owner.get(AT), **{"gone-stock": "2"})
    assert done.status_code == 200 and len(ledger.read_works().stock) == 1


def test_what_others_changed_meanwhile_is_kept_and_a_clash_stands_aside(
    owner: Any, sheet: Callable[[Any], Any], me: str
) -> None:
    from bedsite.records import cards, ledger

    book = exported(owner)
    works = ledger.read_works()
    cards.put(works.wires["W22"].model_copy(update={"diameter": 2.3}), expected=1, who=me)
    cards.put(works.wires["W19"].model_copy(update={"diameter": 1.95}), expected=1, who=me)
    cell(book, "wires", "W22", "diameter").value = 2.4
    done = apply(owner, sheet, send(owner, book))
    assert done.status_code == 200, sheet(done).text
    assert "/cards/wires/card/W22/3/merge/" in sheet(done).links
    now = ledger.read_works()
    assert (now.wires["W22"].diameter, now.wires["W19"].diameter) == (2.3, 1.95)
    assert [row.number for row in cards.open_asides("wire", "W22")] == [3]


def test_who_may_not_change_a_kind_takes_in_none_of_it(
    owner: Any, signed_in: Callable[..., Any], sheet: Callable[[Any], Any]
) -> None:
    from bedsite.records import ledger

    book = exported(owner)
    cell(book, "wires", "W22", "diameter").value = 2.25
    buyer = signed_in("buyer")
    shown = send(buyer, book)
    answer = buyer.post(AT, {"act": "apply"})
    assert answer.status_code == 403 and "wire" in answer.content.decode(), sheet(shown).text
    assert ledger.read_works().wires["W22"].diameter == 2.2


def test_what_is_no_workbook_is_a_sentence_and_the_file_does_not_stay(
    owner: Any, sheet: Callable[[Any], Any], works_folder: Path
) -> None:
    for name, data in (("a.xlsx", b"PK\x03\x04nothing"), ("../../b.xlsx", b"<svg/>"), ("c.xlsx", b"")):
        owner.post(AT, {"workbook": SimpleUploadedFile(name, data)})
        answer = owner.get(AT)
        assert answer.status_code in (200, 422)
        sheet(answer)
    assert not [file for file in works_folder.rglob("*") if file.suffix == ".xlsx" and file.name != "works.xlsx"]
    assert not list(works_folder.parent.glob("b.xlsx"))


def test_formulas_go_out_as_text(owner: Any, sheet: Callable[[Any], Any]) -> None:
    from bedsite.records import ledger

    edit = "/cards/wires/card/W22/edit/"
    for text in ("=1+1", "+44 1", "-2", "@SUM(A1)", "'=2"):
        sent = sheet(owner.get(edit)).form("made-from") | {"f-note": [text], "act": ["save"]}
        assert owner.post(edit, sent).status_code == 302
        assert ledger.read_works().wires["W22"].note == text
        book = exported(owner)
        found = cell(book, "wires", "W22", "note")
        assert (found.value, found.data_type) == (text, "s")
        table = b"".join(owner.get("/cards/wires/table/").streaming_content).decode()
        assert f"'{text}" in table


def test_whatever_is_sent_as_a_workbook_is_answered(owner: Any, sheet: Callable[[Any], Any]) -> None:
    """A workbook with bytes turned, cut or doubled, and rubbish: a page with words, and no card changed."""
    import random

    from bedsite.records import ledger

    before = ledger.read_works().content()
    whole = owner.get("/workbook/").content
    chance = random.Random(11)
    for number in range(40):
        data = bytearray(whole)
        for _ in range(chance.choice([1, 5, 50])):
            data[chance.randrange(len(data))] = chance.randrange(256)
        if number % 4 == 1:
            data = data[: chance.randrange(len(data))]
        if number % 10 == 2:
            data = bytearray(chance.randbytes(500))
        answer = owner.post(AT, {"workbook": SimpleUploadedFile("spoilt.xlsx", bytes(data))}, follow=True)
        assert answer.status_code in (200, 422)
        sheet(answer)
    assert ledger.read_works().content() == before
