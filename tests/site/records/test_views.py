"""Whatever is edited, a view of the ledger comes back as no difference; what a file says is what is taken in."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from bedwright.works.about import About
from bedwright.works.card import Card
from bedwright.works.materials import Filling
from bedwright.works.springs import Wire
from bedwright.works.trading import Order, Price
from bedwright.works.workbook.csv_folder import examine_csv_folder, write_csv_folder
from bedwright.works.workbook.reader import examine
from bedwright.works.workbook.writer import write_works
from bedwright.works.works import Works

FEW = settings(
    max_examples=20, deadline=None, suppress_health_check=list(HealthCheck), phases=(Phase.explicit, Phase.generate)
)  # real files: shrinking would take minutes

ODD = (
    "=1+1", "+44", "-", "@home", "'quoted'", '"', "a\nb", "a\tb", "TRUE", "007", "1/2", "2026-01-02", "1e3", "_x0041_",
    "4'6\"", "Ünï çödé", "×", "\u200bnothing", "{{x}}", "<b>", "NaN", "£12", "%", "a,b;c", "a\r\nb", "\x1f", "\u2028",
)  # fmt: skip
texts = st.sampled_from(ODD) | st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), max_size=30)
figures = st.floats(0.5, 8, allow_nan=False) | st.sampled_from([4 / 3, 2.2000000001, 0.1 + 0.2 + 0.5, 7.000000001])
money = st.decimals(0, 999_999, places=6, allow_nan=False) | st.sampled_from([Decimal("0.10"), Decimal("1E+2")])


def edits(draw: Callable[..., Any], works: Works) -> list[Card | About]:
    """A few cards as somebody might leave them: new ones and changed ones, of kinds that hold every sort of value.

    works: always the same one, since the ledger moves on from example to example.
    """
    found: list[Card | About] = []
    for number in range(draw(st.integers(0, 2))):
        found.append(Wire.make(code=f"N{number}", name=draw(texts), diameter=draw(figures), note=draw(texts)))
    for code in draw(st.sets(st.sampled_from(sorted(one.code for one in works.wires)), max_size=2)):
        found.append(_again(works.wires[code], name=draw(texts), diameter=draw(figures)))
    for code in draw(st.sets(st.sampled_from(sorted(one.code for one in works.prices)), max_size=2)):
        found.append(_again(works.prices[code], price=draw(money), note=draw(texts)))
    points = tuple(
        {"position": n, "compression": n * 9.0 + draw(st.floats(0, 1)), "stress": n * 2.0}
        for n in range(1, draw(st.integers(1, 5)))
    )
    if draw(st.booleans()):
        found.append(_again(works.fillings["FELT"], points=points[::-1], may_be_rolled=draw(st.booleans())))
    if draw(st.booleans()):
        lines = works.orders["O-2"].lines[: draw(st.integers(1, 2))]
        found.append(_again(works.orders["O-2"], lines=lines, their_number=draw(texts)))
    if draw(st.booleans()):
        day = draw(st.dates(date(2026, 1, 1), date(2027, 1, 1)))
        found.append(works.about.model_copy(update={"words": _kept(draw(texts)), "as_of": day}))
    return found


def _kept(text: str) -> str:
    return text.strip()


def _again(card: Card, **changed: Any) -> Card:
    return type(card).make(**(card.model_dump() | changed))


def _put(cards_: list[Card | About], me: str) -> None:
    from bedsite.records import cards

    for card in cards_:
        cards.put(card, expected=cards.UNTOUCHED, who=me)


def _through_files(works: Works) -> list[Works]:
    with tempfile.TemporaryDirectory() as name:
        write_works(works, Path(name) / "view.xlsx")
        write_csv_folder(works, Path(name) / "csv")
        read = (examine(Path(name) / "view.xlsx"), examine_csv_folder(Path(name) / "csv"))
    for one in read:
        assert one.works is not None, [str(fault) for fault in one.grave]
    return [one.works for one in read if one.works is not None]


@FEW
@given(data=st.data())
def test_a_view_of_any_ledger_comes_back_as_no_difference(
    works_folder: Path, me: str, small_works: Works, data: st.DataObject
) -> None:
    from bedsite.records import ledger
    from bedsite.records.difference import difference

    _put(edits(data.draw, small_works), me)
    for read in _through_files(ledger.read_works()):
        found = difference(read)
        assert [(one.what, one.kind, one.code, one.fields) for one in found.changes] == []
        assert found.since == ()


@FEW
@given(data=st.data())
def test_what_a_file_says_is_what_the_ledger_says_after(
    works_folder: Path, me: str, small_works: Works, data: st.DataObject
) -> None:
    """Edits in a file are taken in as they are, edits in the ledger meanwhile stay, and what both touched is kept."""
    from bedsite.records import cards, chain, ledger
    from bedsite.records.difference import apply, difference
    from bedsite.records.sides import key_of

    view = ledger.read_works()
    theirs = {key_of(one): one for one in edits(data.draw, small_works)}
    ours = {key_of(one): one for one in edits(data.draw, small_works)}
    _put(list(ours.values()), me)
    kept = {key_of(card): card for card in view.all_cards()} | theirs
    about = kept.pop(("about", "works"), view.about)
    assert isinstance(about, About)
    about = about.model_copy(update={"revision": view.about.revision})
    file = Works.of(about, [card for card in kept.values() if isinstance(card, Card)])
    read = _through_files(file)[data.draw(st.integers(0, 1))]
    now = ledger.read_works()
    found = difference(read)
    done = apply(found, me, "")
    after = ledger.read_works()
    for change in found.changes:
        head = cards.head(change.kind, change.code)
        if change.what == "clashing":
            assert key_of(change.after) in ours  # type: ignore[arg-type]
            assert head.asides >= 1
        else:
            card = after.about if change.kind == "about" else after.find(change.code, [change.kind])
            assert card is not None and change.after is not None
            assert not cards.compare(card, change.after) or change.kind == "about"
    touched = {(one.kind, one.code) for one in found.changes if one.what != "clashing"}
    for card in now.all_cards():
        if (card.KIND, card.code) not in touched:
            assert after.find(card.code, [card.KIND]) == card, "nothing else moved"
    assert len(done.aside) == sum(one.what == "clashing" for one in found.changes)
    assert difference(read).empty, "taken in once, the file has nothing more to say"
    chain.verify()


def test_odd_texts_stay_texts(works_folder: Path, me: str) -> None:
    from bedsite.records import ledger
    from bedsite.records.difference import difference

    view = ledger.read_works()
    prices = list(view.prices)
    _put([_again(price, note=f"x{odd}x", name=odd) for price, odd in zip(prices, ODD, strict=False)], me)
    for read in _through_files(ledger.read_works()):
        assert difference(read).empty
        assert [read.prices[one.code].note for one in prices[: len(ODD)]] == [f"x{odd}x" for odd in ODD]


def test_the_kinds_that_are_edited_hold_every_sort_of_value() -> None:
    assert {Wire, Price, Filling, Order} <= set(Card.__subclasses__())
