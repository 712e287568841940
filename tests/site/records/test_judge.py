"""What a change does to the works as a whole: faults that it brings, not those that were there."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from bedwright.works.beds import Bed
from bedwright.works.card import Card
from bedwright.works.springs import Coil, Wire
from bedwright.works.trading import Order, Price
from bedwright.works.works import Works


def change(card: Card, **values: object) -> Card:
    return type(card)(**(dict(card) | values))


CASES: dict[str, tuple[Callable[[Works], list[Card]], list[str]]] = {
    "no change": (lambda works: [works.wires["W22"]], []),
    "names nothing": (
        lambda works: [change(works.coils["K22"], wire="NONE")],
        ["names wire 'NONE'"],
    ),
    "names a new one": (
        lambda works: [change(works.coils["K22"], wire="NEW"), Wire(code="NEW", diameter=2.0)],
        [],
    ),
    "code of another stuff": (
        lambda works: [Wire(code="hotmelt", diameter=2.0)],
        ["has the code of"],
    ),
    "priced twice": (
        lambda works: [
            Price(code=f"X{n}", of="wire", item="w22", price=Decimal(2), per="kg", first_day=date(2031, 1, 1))
            for n in (1, 2)
        ],
        ["prices wire"],
    ),
    "priced from nowhere": (
        lambda works: [Price(code="X", of="wire", item="ZZ", price=Decimal(2), per="kg", first_day=date(2031, 1, 1))],
        ["prices wire 'ZZ', and there is none"],
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_a_change_is_judged_by_what_it_brings(works_folder: Path, small_works: Works, name: str) -> None:
    from bedsite.records import judge

    made, expected = CASES[name]
    cards = made(small_works)
    found = judge.new_faults(cards, [])
    assert len(found) == len(expected)
    for fault, says in zip(found, expected, strict=True):
        assert says in fault.says
    whole = judge.faults_gained(small_works.all_cards(), cards)
    assert [str(fault) for fault in found] == [str(fault) for fault in whole]


def test_a_bed_that_becomes_a_pair_is_judged_by_its_orders(works_folder: Path, small_works: Works, me: str) -> None:
    from bedsite.records import cards, judge

    order = next(iter(small_works.orders))
    line = order.lines[0]
    odd = Order(**(dict(order) | {"lines": (type(line)(**(dict(line) | {"quantity": 3})), *order.lines[1:])}))
    cards.put(odd, expected=1, who=me)
    bed = small_works.beds[line.bed]
    zip_of = next(trim.code for trim in small_works.trims)
    pair = Bed(**(dict(bed) | {"pair": "zip-linked", "pair_zip": zip_of}))
    found = judge.new_faults([pair], [])
    assert any("two by two" in fault.says for fault in found)
    assert not any("there is none" in fault.says for fault in found)


def test_a_card_that_others_name_leaves_them_pointing_at_nothing(works_folder: Path, small_works: Works) -> None:
    from bedsite.records import judge

    found = judge.new_faults([], [("wire", "w22")])
    assert "coil K22" in {fault.card for fault in found}
    assert judge.new_faults([], [("wire", "W22")]) == found


def test_faults_that_were_there_do_not_stand_in_the_way(works_folder: Path, small_works: Works, me: str) -> None:
    from bedsite.records import cards, judge

    coil = small_works.coils["K22"]
    broken = Coil(**(dict(coil) | {"wire": "NONE"}))
    cards.put(broken, expected=1, who=me)
    assert judge.new_faults([Coil(**(dict(broken) | {"note": "seen"}))], []) == ()
    assert judge.new_faults([small_works.wires["W22"]], []) == ()


def test_a_card_that_goes_is_judged_among_those_that_may_name_it(works_folder: Path, small_works: Works) -> None:
    """The few heads asked find the same faults as all of them; only what is near may differ."""
    from bedsite.records import judge

    for card in small_works.all_cards():
        gone = [(card.KIND, card.code)]
        whole = judge.faults_gained(list(small_works.all_cards()), [], gone)
        assert sorted(map(judge._told, judge.new_faults([], gone))) == sorted(map(judge._told, whole)), card.called
        assert len(judge.mentioning(gone)) < len(list(small_works.all_cards())) / 2


def test_an_order_with_released_beds_stays(works_folder: Path, me: str) -> None:
    from datetime import date

    from bedsite.records import judge, release
    from bedsite.records.release import ToRelease

    assert judge.new_faults([], [("order", "O-1")]) == ()
    due = date(2026, 3, 10)
    release.release([ToRelease("O-1", 1, "QUIET", "SNIPE", "150", (2,), due, "NORTH", 1, (), 0)], revision=7, who=me)
    (fault,) = judge.new_faults([], [("order", "o-1")])
    assert "W000001" in str(fault) and "cancelled" in str(fault)
