"""Chains of revisions: nothing is lost, nothing is changed, what clashes is kept side by side."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.db import DatabaseError, connection, transaction

from bedwright.works.springs import Wire
from bedwright.works.works import Works


def wire(diameter: float, code: str = "W22", name: str = "spring wire 2.2") -> Wire:
    return Wire(code=code, name=name, diameter=diameter, grade="SM", supplier="FERRUM", carbon="C-STEEL")


def test_the_whole_works_comes_out_as_it_went_in(works_folder: Path, small_works: Works) -> None:
    from bedsite.records import chain, ledger

    found = ledger.read_works()
    assert [card.model_dump() for card in found.all_cards()] == [card.model_dump() for card in small_works.all_cards()]
    assert found.about.revision == ledger.revision_now() == len(list(small_works.all_cards())) + 1
    assert chain.verify().revisions == found.about.revision


def test_a_second_writer_is_kept_aside_until_a_person_merges(works_folder: Path, me: str) -> None:
    from bedsite.records import cards

    first = cards.put(wire(2.3), expected=1, who=me)
    second = cards.put(wire(2.4), expected=1, who=me)
    assert (first.state, second.state) == ("changed", "aside")
    assert cards.head("wire", "W22").number == first.number
    assert [row.number for row in cards.open_asides("wire", "w22")] == [second.number]
    merged = cards.merge(wire(2.35), aside=second.number, expected=first.number, who=me)
    assert merged.state == "changed"
    assert cards.open_asides("wire", "W22") == []
    assert cards.head("wire", "W22").asides == 0
    with pytest.raises(cards.Moved, match="settled already"):
        cards.merge(wire(2.5), aside=second.number, expected=merged.number, who=me)


def test_the_same_content_is_not_written_again(works_folder: Path, me: str) -> None:
    from bedsite.records import cards

    put = cards.put(wire(2.2), expected=1, who=me)
    assert (put.state, put.number) == ("same", 1)
    assert len(cards.history("wire", "W22")) == 1


def test_an_old_revision_comes_back_as_a_new_one(works_folder: Path, me: str) -> None:
    from bedsite.records import cards

    cards.put(wire(2.3), expected=1, who=me)
    back = cards.bring_back("wire", "W22", 1, expected=2, who=me)
    assert back.number == 3
    found = cards.card_in(cards.head("wire", "W22"))
    assert isinstance(found, Wire) and found.diameter == 2.2
    assert [(d.field, d.before, d.after) for d in cards.compare(wire(2.3), found)] == [("diameter", 2.3, 2.2)]


def test_a_card_out_of_use_is_kept_and_comes_back(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, ledger

    cards.take_out("wire", "L13", expected=1, who=me)
    assert "L13" not in ledger.read_works().wires
    cards.bring_back("wire", "L13", 1, expected=2, who=me)
    assert "L13" in ledger.read_works().wires


def test_the_works_can_be_read_as_it_stood(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, ledger

    before = ledger.revision_now()
    cards.put(wire(2.3), expected=1, who=me)
    cards.put(wire(1.1, code="NEW", name="new"), expected=0, who=me)
    then = ledger.works_at(before)
    assert then.wires["W22"].diameter == 2.2 and "NEW" not in then.wires
    assert ledger.works_at(ledger.revision_now()).content() == ledger.read_works().content()


@pytest.mark.parametrize("table", ["records_revision", "records_event", "records_snapshot", "records_blob"])
def test_what_is_written_is_never_changed_or_deleted(works_folder: Path, me: str, table: str) -> None:
    from bedsite.records import snapshots

    snapshots.keep(
        paper="bed sheet", name="x.pdf", subject="SNIPE", data=b"%PDF", media="application/pdf", results={}, who=me,
        revision=1,
    )  # fmt: skip
    from bedsite.records import events
    from bedsite.records.payloads import Claim

    events.append(Claim(says="dip"), sender="claim-0001", subject="O-1", who=me)
    key = "sha256" if table == "records_blob" else "seq"
    orders = [f"UPDATE {table} SET {key} = {key}", f"DELETE FROM {table}"]
    orders.append(
        f"INSERT OR REPLACE INTO {table} SELECT * FROM {table}"
        if connection.vendor == "sqlite"
        else f"TRUNCATE {table} CASCADE"
    )
    for order in orders:
        with pytest.raises(DatabaseError, match="never changed"), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(order)
