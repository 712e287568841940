"""What a file changed and what the ledger changed, three ways; taken in all or nothing; nothing is ever turned back."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

import pytest

from bedwright.errors import FaultsFound, NotReadable
from bedwright.works.card import Card
from bedwright.works.springs import Wire
from bedwright.works.workbook.reader import examine
from bedwright.works.workbook.writer import write_works
from bedwright.works.works import Works


def with_cards(works: Works, *cards: Card, without: Iterable[tuple[str, str]] = (), **about: object) -> Works:
    """The works with these cards in place of theirs, as somebody at a spreadsheet would leave it."""
    kept = {(card.KIND, card.code): card for card in works.all_cards()}
    for card in cards:
        kept[card.KIND, card.code] = card
    for key in without:
        del kept[key]
    return Works.of(works.about.model_copy(update=about), kept.values())


def again(card: Card, **changed: object) -> Card:
    return type(card).model_validate(card.model_dump() | changed)


@pytest.fixture
def view(me: str) -> Works:
    """The works as a view of now has it."""
    from bedsite.records import ledger

    return ledger.read_works()


def told(found: Works) -> list[tuple[str, str, str]]:
    from bedsite.records.difference import difference

    return [(one.what, one.kind, one.code) for one in difference(found).changes]


def test_a_view_has_no_difference_through_a_real_workbook(me: str, view: Works, tmp_path: Path) -> None:
    from bedsite.records.difference import apply, difference

    write_works(view, tmp_path / "view.xlsx")
    read = examine(tmp_path / "view.xlsx").works
    assert read is not None
    found = difference(read)
    assert found.empty and found.since == () and found.counts == ()
    assert apply(found, me, "").puts == ()


def test_added_changed_and_gone_are_told_and_taken_in(me: str, view: Works) -> None:
    from bedsite.records import chain, ledger
    from bedsite.records.difference import apply, difference

    thicker = again(view.wires["W22"], diameter=2.3)
    new = Wire(code="NEW", name="new", diameter=1.1)
    order = again(view.orders["O-2"], lines=view.orders["O-2"].lines[:1])
    file = with_cards(view, thicker, new, order, without=[("price", "PR01")], name="Another name")
    found = difference(file)
    assert [(one.what, one.kind, one.code) for one in found.changes] == [
        ("changed", "about", "works"), ("added", "wire", "NEW"), ("changed", "wire", "W22"), ("gone", "price", "PR01"),
        ("changed", "order", "O-2"),
    ]  # fmt: skip
    (field,) = found.of_kind("wire")[1].fields
    assert (field.field, field.row, field.before, field.after) == ("diameter", "", 2.2, 2.3)
    assert {one.row.split(" ")[0] for one in found.of_kind("order")[0].fields} == {"lines"}
    counts = {one.kind: one for one in found.counts}
    assert (counts["price"].gone, counts["price"].at_base) == (1, len(view.prices))
    assert not counts["price"].needs_number
    done = apply(found, me, "spring prices")
    assert [put.state for put in done.puts] == ["changed", "new", "changed", "changed", "changed"]
    after = ledger.read_works()
    assert after.wires["W22"].diameter == 2.3 and "NEW" in after.wires and "PR01" not in after.prices
    assert (after.about.name, after.about.revision) == ("Another name", done.revision)
    assert difference(with_cards(after)).empty
    chain.verify()


def test_a_stale_file_turns_nothing_back(me: str, view: Works) -> None:
    from bedsite.records import cards, ledger
    from bedsite.records.difference import apply, difference

    cards.put(again(view.wires["W22"], diameter=2.4), expected=1, who=me)
    cards.put(Wire(code="SINCE", name="since", diameter=1.2), expected=0, who=me)
    cards.take_out("price", "PR02", expected=1, who=me)
    file = with_cards(view, again(view.wires["W19"], name="changed in the file"))
    found = difference(file)
    assert [(one.what, one.code) for one in found.changes] == [("changed", "W19")]
    assert {(one.what, one.code) for one in found.since} == {("changed", "W22"), ("added", "SINCE"), ("gone", "PR02")}
    apply(found, me, "")
    after = ledger.read_works()
    assert after.wires["W22"].diameter == 2.4 and "SINCE" in after.wires and "PR02" not in after.prices
    assert after.wires["W19"].name == "changed in the file"


def test_what_both_changed_is_kept_side_by_side(me: str, view: Works) -> None:
    from bedsite.records import cards
    from bedsite.records.difference import apply, difference

    cards.put(again(view.wires["W22"], diameter=2.4), expected=1, who=me)
    cards.put(again(view.wires["W10"], name="by somebody"), expected=1, who=me)
    cards.put(Wire(code="BOTH", name="here", diameter=1.2), expected=0, who=me)
    cards.put(Wire(code="ALIKE", name="alike", diameter=1.2), expected=0, who=me)
    cards.take_out("price", "PR03", expected=1, who=me)
    file = with_cards(
        view,
        again(view.wires["W22"], diameter=2.1),
        again(view.prices["PR03"], note="still needed"),
        Wire(code="BOTH", name="there", diameter=1.2),
        Wire(code="ALIKE", name="alike", diameter=1.2),
        without=[("wire", "W10")],
    )
    found = difference(file)
    assert {(one.what, one.code) for one in found.changes} == {
        ("clashing", "W22"), ("clashing", "W10"), ("clashing", "BOTH"), ("clashing", "PR03"),
    }  # fmt: skip
    clash = next(one for one in found.changes if one.code == "W22")
    assert [(one.before, one.after) for one in clash.fields] == [(2.2, 2.1)]
    assert [(one.before, one.after) for one in clash.since] == [(2.2, 2.4)]
    done = apply(found, me, "", {"wire": 1})
    assert len(done.aside) == 4
    head = cards.head("wire", "W22")
    assert (cards.card_in(head).diameter, head.asides) == (2.4, 1)  # type: ignore[attr-defined]
    (kept,) = cards.open_asides("wire", "W22")
    assert cards.card_in(kept).diameter == 2.1 and kept.onto == 1  # type: ignore[attr-defined]
    (left_out,) = cards.open_asides("wire", "W10")
    assert left_out.gone and not cards.head("wire", "W10").gone
    assert difference(file).empty, "the same file again adds nothing"


def test_changed_and_turned_back_in_the_ledger_is_no_clash(me: str, view: Works) -> None:
    from bedsite.records import cards
    from bedsite.records.difference import apply, difference

    cards.put(again(view.wires["W22"], diameter=2.4), expected=1, who=me)
    cards.bring_back("wire", "W22", 1, expected=2, who=me)
    found = difference(with_cards(view, again(view.wires["W22"], diameter=2.1)))
    assert [(one.what, one.base) for one in found.changes] == [("changed", 3)]
    assert [put.state for put in apply(found, me, "").puts] == ["changed"]


def test_a_card_out_of_use_comes_back_by_a_file(me: str, view: Works) -> None:
    from bedsite.records import cards, ledger
    from bedsite.records.difference import apply, difference

    old = view.prices["PR04"]
    cards.take_out("price", "PR04", expected=1, who=me)
    file = with_cards(ledger.read_works(), old)
    assert told(file) == [("added", "price", "PR04")]
    apply(difference(file), me, "")
    assert "PR04" in ledger.read_works().prices and cards.head("price", "PR04").number == 3


def test_the_spelling_of_a_code_stays_as_it_was(me: str, view: Works) -> None:
    from bedsite.records import ledger
    from bedsite.records.difference import apply, difference

    low = Wire.model_validate(view.wires["W22"].model_dump() | {"code": "w22"})
    assert told(with_cards(view, low, without=[("wire", "W22")])) == []
    thin = again(low, diameter=2.0)
    apply(difference(with_cards(view, thin, without=[("wire", "W22")])), me, "")
    assert ledger.read_works().wires["W22"].code == "W22" and ledger.read_works().wires["w22"].diameter == 2.0


def test_rows_in_another_order_and_figures_past_nine_digits_are_no_difference(me: str, view: Works) -> None:
    turned = again(view.beds["SNIPE"], layers=tuple(reversed(view.beds["SNIPE"].layers)))
    nearly = again(view.wires["W22"], diameter=2.2000000000001)
    assert told(with_cards(view, turned, nearly)) == []


def test_more_than_a_tenth_gone_needs_the_number(me: str, view: Works) -> None:
    from bedsite.records import ledger
    from bedsite.records.difference import apply, difference

    many = [("price", f"PR{number:02d}") for number in range(1, 6)]
    found = difference(with_cards(view, without=[*many, ("closed day", "MAY-DAY")]))
    assert found.numbers == {"price": 5, "closed day": 1}
    before = ledger.revision_now()
    for typed in ({}, {"price": 5}, {"price": 4, "closed day": 1}):
        with pytest.raises(FaultsFound) as refused:
            apply(found, me, "", typed)
        assert "gone from the file" in str(refused.value)
        assert ledger.revision_now() == before
    apply(found, me, "", {"price": 5, "closed day": 1})
    assert len(ledger.read_works().prices) == len(view.prices) - 5


def test_faults_that_only_both_together_make_are_refused(me: str, view: Works) -> None:
    from bedsite.records import cards, ledger
    from bedsite.records.difference import apply, difference

    cards.put(Wire(code="SINCE", name="x", diameter=1.2, supplier="LATE"), expected=0, who=me)  # a fault it has already
    cards.put(again(view.stock["S-1"], part="W19"), expected=1, who=me)
    without = [("wire", "W10")]
    coil = again(view.coils["M10"], wire="W19")
    apply(difference(with_cards(view, coil, without=[*without, ("price", "PR03")])), me, "", {"wire": 1})
    cards.put(again(ledger.read_works().stock["S-1"], part="L13"), expected=2, who=me)
    file = ledger.works_at(ledger.revision_now() - 1)
    unit = again(file.units["OPEN"], lacing_wire="W19")
    found = difference(with_cards(file, unit, without=[("wire", "L13"), ("price", "PR04")]))
    before = ledger.revision_now()
    with pytest.raises(FaultsFound, match="L13") as refused:
        apply(found, me, "", {"wire": 1})
    assert "stock" in str(refused.value) and "LATE" not in str(refused.value)
    assert ledger.revision_now() == before


def test_a_ledger_that_moved_is_compared_anew(me: str, view: Works) -> None:
    from bedsite.records import cards, ledger
    from bedsite.records.difference import Shifted, apply, difference

    found = difference(with_cards(view, again(view.wires["W22"], diameter=2.3)))
    cards.put(again(view.wires["W19"], name="elsewhere"), expected=1, who=me)
    shown = difference(with_cards(view, again(view.wires["W22"], name="x")))
    cards.put(again(view.wires["W22"], diameter=2.5), expected=1, who=me)
    with pytest.raises(Shifted, match="changed meanwhile") as refused:
        apply(shown, me, "")
    assert [one.what for one in refused.value.difference.changes] == ["clashing"]
    with pytest.raises(Shifted):
        apply(found, me, "")
    other = difference(with_cards(view, again(view.wires["R40"], name="rod")))
    cards.put(again(view.wires["W19"], name="again"), expected=2, who=me)
    assert [put.state for put in apply(other, me, "").puts] == ["changed"], "moved elsewhere: the same difference"
    assert ledger.read_works().wires["R40"].name == "rod"


def test_files_of_another_works_or_of_a_ledger_further_on_are_refused(me: str, view: Works) -> None:
    from bedsite.records.difference import difference

    with pytest.raises(NotReadable, match="'other'"):
        difference(with_cards(view, works_id="other"))
    with pytest.raises(NotReadable, match="has reached"):
        difference(with_cards(view, revision=view.about.revision + 1))


def test_a_file_from_before_the_ledger_is_compared_with_what_was_taken_in(
    me: str, view: Works, small_works: Works
) -> None:
    from bedsite.records import cards
    from bedsite.records.difference import difference, taken_in_at

    assert taken_in_at() == view.about.revision
    cards.put(again(view.wires["W22"], diameter=2.4), expected=1, who=me)
    assert difference(small_works).empty
    found = difference(with_cards(small_works, again(view.wires["W22"], diameter=2.1)))
    assert [one.what for one in found.changes] == ["clashing"]


def test_an_older_schema_of_a_body_is_no_difference(
    me: str, view: Works, monkeypatch: pytest.MonkeyPatch, fresh_cards: Callable[[], None]
) -> None:
    """A kind whose stored bodies are raised when read: a view of today has the raised form, and nothing changed."""
    from bedsite.records import bodies, formats
    from bedsite.records.difference import difference

    def better(body: dict[str, object]) -> dict[str, object]:
        return body | {"name": f"{body['name']}, raised"}

    monkeypatch.setattr(formats, "SCHEMA", {"wire": 2})
    monkeypatch.setattr(formats, "UPCASTERS", {("wire", 1): better})
    bodies._card.cache_clear()
    from bedsite.records import ledger

    now = ledger.read_works()
    assert now.wires["W22"].name == "spring wire 2.2, raised"
    assert difference(now).empty


@pytest.fixture
def fresh_cards():  # type: ignore[no-untyped-def]
    from bedsite.records import bodies

    yield bodies._card.cache_clear
    bodies._card.cache_clear()
