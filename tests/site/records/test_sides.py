"""Two hands on one card: every way of clashing, settling, repeating; nothing lost, nothing turned back unasked."""

from __future__ import annotations

from pathlib import Path

import pytest

from bedwright.errors import FaultsFound
from bedwright.works.springs import Wire


def wire(diameter: float, code: str = "W22", name: str = "spring wire 2.2") -> Wire:
    return Wire(code=code, name=name, diameter=diameter, grade="SM", supplier="FERRUM", carbon="C-STEEL")


def open_numbers(code: str = "W22") -> list[int]:
    from bedsite.records import cards

    return [row.number for row in cards.open_asides("wire", code)]


def diameter() -> float:
    from bedsite.records import cards

    card = cards.card_in(cards.head("wire", "W22"))
    assert isinstance(card, Wire)
    return card.diameter


def test_a_merge_that_comes_late_is_kept_aside_itself(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, chain

    cards.put(wire(2.3), expected=1, who=me)
    theirs = cards.put(wire(2.4), expected=1, who="b" * 32)
    cards.put(wire(2.5), expected=2, who=me)
    late = cards.merge(wire(2.35), aside=theirs.number, expected=2, who=me)
    assert (late.state, late.head) == ("aside", 4)
    assert open_numbers() == [theirs.number, late.number] and diameter() == 2.5
    assert cards.head("wire", "W22").asides == 2
    for number in (theirs.number, late.number):
        cards.merge(wire(2.6), aside=number, expected=cards.head("wire", "W22").number, who=me)
    assert (open_numbers(), diameter(), cards.head("wire", "W22").asides) == ([], 2.6, 0)
    chain.verify()


def test_a_merge_may_keep_what_counts_already_and_still_settles(works_folder: Path, me: str) -> None:
    from bedsite.records import cards

    cards.put(wire(2.3), expected=1, who=me)
    aside = cards.put(wire(2.4), expected=1, who=me)
    assert cards.merge(wire(2.3), aside=aside.number, expected=2, who=me).state == "changed"
    assert (open_numbers(), diameter()) == ([], 2.3)


def test_a_card_taken_out_meanwhile_is_settled_in_use_or_out_of_it(works_folder: Path, me: str) -> None:
    from bedsite.records import cards

    cards.take_out("wire", "W22", expected=1, who=me)
    one = cards.put(wire(2.4), expected=1, who=me)
    two = cards.put(wire(2.5), expected=1, who=me)
    assert (one.state, two.state, cards.head("wire", "W22").gone) == ("aside", "aside", True)
    out = cards.merge(wire(2.4), aside=one.number, expected=2, who=me, gone=True)
    assert (out.state, cards.head("wire", "W22").gone) == ("changed", True)
    cards.merge(wire(2.5), aside=two.number, expected=out.number, who=me)
    assert (cards.head("wire", "W22").gone, diameter(), open_numbers()) == (False, 2.5, [])


def test_taking_out_late_is_kept_aside_and_can_be_agreed_to(works_folder: Path, me: str) -> None:
    from bedsite.records import cards

    cards.put(wire(2.3), expected=1, who=me)
    late = cards.take_out("wire", "W22", expected=1, who=me)
    assert late.state == "aside" and not cards.head("wire", "W22").gone
    cards.merge(wire(2.3), aside=late.number, expected=2, who=me, gone=True)
    assert cards.head("wire", "W22").gone and open_numbers() == []


def test_the_same_form_sent_twice_is_kept_aside_once(works_folder: Path, me: str) -> None:
    from bedsite.records import cards

    cards.put(wire(2.3), expected=1, who=me)
    first = cards.put(wire(2.4), expected=1, who=me)
    assert cards.put(wire(2.4), expected=1, who=me) == first
    assert cards.put(wire(2.4), expected=1, who="b" * 32).number == first.number + 1  # somebody else said so too
    assert cards.put(wire(2.5), expected=1, who=me).number == first.number + 2
    cards.merge(wire(2.4), aside=first.number, expected=2, who=me)
    assert cards.put(wire(2.45), expected=1, who=me).state == "aside"


def test_a_stale_form_left_as_it_was_turns_nothing_back(works_folder: Path, me: str) -> None:
    from bedsite.records import cards

    cards.put(wire(2.3), expected=1, who=me)
    put = cards.put(wire(2.2), expected=1, who=me)
    assert (put.state, put.head, diameter(), open_numbers()) == ("same", 2, 2.3, [])
    agreed = cards.put(wire(2.3), expected=1, who=me)  # both changed it to the same
    assert (agreed.state, agreed.number, open_numbers()) == ("same", 2, [])


def test_edited_from_an_aside_it_is_kept_beside_too(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, chain

    cards.put(wire(2.3), expected=1, who=me)
    aside = cards.put(wire(2.4), expected=1, who=me)
    again = cards.put(wire(2.45), expected=aside.number, who=me)
    assert (again.state, open_numbers(), diameter()) == ("aside", [aside.number, again.number], 2.3)
    chain.verify()


def test_a_code_keeps_the_form_it_was_first_written_in(works_folder: Path, me: str) -> None:
    from bedsite.records import cards

    assert cards.put(wire(2.2, code="w22"), expected=1, who=me).state == "same"
    put = cards.put(wire(2.3, code="w22"), expected=1, who=me)
    assert (put.code, cards.card_in(cards.head("wire", "W22")).code) == ("W22", "W22")
    cards.put(wire(1.1, code="Stra\xdfe"), expected=0, who=me)
    assert cards.put(wire(1.2, code="STRASSE"), expected=1, who=me).code == "Stra\xdfe"
    cards.put(wire(1.1, code="\xc9TE"), expected=0, who=me)
    assert cards.put(wire(1.3, code="e\u0301te"), expected=1, who=me).code == "\xc9TE"


def test_the_longest_folded_code_fits(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, chain

    for sign in ("\ufb04", "\u0390", "\U00010400"):
        code = sign * 24
        assert cards.put(wire(1.1, code=code), expected=0, who=me).state == "new"
        assert cards.card_in(cards.head("wire", code)).code == code
    chain.verify()


def test_a_number_from_outside_is_never_taken_for_untouched(works_folder: Path, me: str) -> None:
    from bedsite.records import cards

    for expected in (-1, -2, 2, 10**30):
        with pytest.raises(cards.Moved, match="has no revision"):
            cards.put(wire(2.9), expected=expected, who=me)
    assert cards.put(wire(2.9), expected=cards.UNTOUCHED, who=me).state == "changed"


def test_what_a_works_says_of_itself_is_never_taken_out(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, ledger

    with pytest.raises(FaultsFound, match="not taken out"):
        cards.take_out("about", "works", expected=1, who=me)
    about = ledger.read_works().about
    changed = cards.put(about.model_copy(update={"name": "Other"}), expected=1, who=me)
    aside = cards.put(about.model_copy(update={"name": "Third"}), expected=1, who=me)
    with pytest.raises(FaultsFound, match="not taken out"):
        cards.merge(about, aside=aside.number, expected=changed.number, who=me, gone=True)
    assert ledger.read_works().about.name == "Other"


@pytest.mark.parametrize("asked", ["\0", "W\0", "\ud800", "", "x" * 5000, "%", "_", "\\", "'", "\u0130" * 24])
def test_texts_from_outside_find_nothing_and_break_nothing(works_folder: Path, me: str, asked: str) -> None:
    from bedsite.records import cards

    assert cards.history("wire", asked) == [] == cards.open_asides("wire", asked)
    for call in (lambda: cards.head("wire", asked), lambda: cards.revision("wire", asked, 10**40)):
        with pytest.raises(cards.Moved):
            call()
    assert cards.heads("wire", holding=asked) == ([] if asked else cards.heads("wire"))
    cards.heads("wire", after=asked)


def test_cards_are_found_by_their_words_in_any_case_and_never_by_money(works_folder: Path, me: str) -> None:
    from bedsite.records import cards

    cards.put(wire(1.1, code="Z1", name="\xc9lan \u2116 1"), expected=0, who=me)
    assert [head.code for head in cards.heads("wire", holding=" \xe9LAN")] == ["Z1"]
    assert [head.code for head in cards.heads("wire", holding="z1")] == ["Z1"]
    assert [head.code for head in cards.heads("wire", holding="1.1")] == ["Z1"]
    assert cards.heads("wire", holding="diameter") == []  # the name of a field is in no card
    price = next(head for head in cards.heads("price") if "FELT" in head.body)
    assert '"1.1"' in price.body and cards.heads("price", holding="1.1") == []
    assert [head.code for head in cards.heads("order", holding="knot")] == ["O-1", "O-2"]  # nested rows too
    cards.put(wire(1.2, code="Z1", name="brief"), expected=1, who=me)
    assert cards.heads("wire", holding="\xe9lan") == []


def test_lists_stand_in_the_order_of_signs_on_either_engine(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, ledger

    for code in ("b", "A-1", "A1", "_", "\xe4", "a 1", "Z", "10", "9"):
        cards.put(wire(1.1, code=code), expected=0, who=me)
    shown = [head.code for head in cards.heads("wire")]
    assert shown == [card.code for card in ledger.read_works().wires]
    step: list[str] = []
    while more := cards.heads("wire", after=cards.head("wire", step[-1]).folded if step else "", most=2):
        step += [head.code for head in more]
    assert step == shown


def test_the_works_of_an_earlier_revision_has_what_was_released_by_then(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, ledger

    first = ledger.revision_now()
    cards.put(wire(2.3), expected=1, who=me)
    _release(me)
    now = ledger.read_works()
    assert now.released and ledger.works_at(first).released == ()
    assert ledger.works_at(ledger.revision_now()).content() == now.content()


def _release(me: str) -> None:
    from datetime import date

    from bedsite.records import ledger, release

    line = release.ToRelease(
        order="O-1", line=1, customer="QUIET", bed="SNIPE", size="150", run_beds=(2,), due=date(2026, 3, 12),
        van_round="NORTH", rank=1, steps=(),
    )  # fmt: skip
    release.release([line], revision=ledger.revision_now(), who=me)


def test_a_changed_paper_is_not_served(works_folder: Path, me: str) -> None:
    from django.db import connection

    from bedsite.records import snapshots
    from bedwright.errors import NotReadable

    kept = snapshots.keep(paper="p", name="n.pdf", subject="s", data=b"%PDF", media="m", results={}, who=me, revision=1)
    assert snapshots.again(kept.id)[1] == b"%PDF"
    for none in ("", "\0", "x" * 32, kept.id + " "):
        with pytest.raises(NotReadable, match="no paper was kept"):
            snapshots.again(none)
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("DROP TRIGGER records_blob_no_update")
        else:
            cursor.execute("SET session_replication_role = replica")
        cursor.execute("UPDATE records_blob SET data = %s", (b"%PDX",))
    with pytest.raises(NotReadable, match="behind the program's back"):
        snapshots.again(kept.id)
