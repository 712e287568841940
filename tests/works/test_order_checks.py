"""Halves of a zip-linked pair are ordered two by two: an odd line is a fault that names order, line and bed."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from bedwright.works.beds import Bed
from bedwright.works.card import Card
from bedwright.works.trading import Order
from bedwright.works.workbook.reader import examine
from bedwright.works.workbook.writer import workbook_bytes
from bedwright.works.works import Works, reference_faults


def with_line(works: Works, quantity: int, **values: object) -> Works:
    pair = Bed.make(**{**works.beds["KNOT"].model_dump(), "code": "PAIR", "pair": "zip-linked", "pair_zip": "ZIPPER"})
    rows = (
        {"position": 1, "bed": "KNOT", "size": "90", "quantity": 3},
        {"position": 2, "bed": "pair", "size": "90", "quantity": quantity},
    )
    given = {"customer": "QUIET", "ordered": date(2026, 2, 20), "due": date(2026, 3, 13), "van_round": "NORTH"}
    cards: list[Card] = [*works.all_cards(), pair, Order.make(code="P-1", lines=rows, **{**given, **values})]
    return Works.of(works.about, cards)


@pytest.mark.parametrize("quantity", [1, 7, 25])
def test_an_odd_line_of_a_pair_is_a_fault(small_works: Works, quantity: int) -> None:
    faults = reference_faults(with_line(small_works, quantity))
    assert len(faults) == 1 and faults[0].grave
    text = str(faults[0])
    assert "order P-1, lines 2" in text and "bed PAIR" in text and "zip-linked" in text
    assert f"asks for {quantity} " in text and f"order {quantity + 1}" in text
    assert (faults[0].sheet, faults[0].field) == ("order_lines", "quantity")


def test_even_lines_and_cancelled_ones_are_none(small_works: Works) -> None:
    assert reference_faults(with_line(small_works, 6)) == []
    assert reference_faults(with_line(small_works, 7, state="cancelled")) == []
    assert len(reference_faults(with_line(small_works, 7, state="held"))) == 1


def test_a_workbook_with_one_half_gives_no_works(small_works: Works, tmp_path: Path) -> None:
    (tmp_path / "works.xlsx").write_bytes(workbook_bytes(with_line(small_works, 5)))
    found = examine(tmp_path / "works.xlsx")
    assert found.works is None
    assert [fault.card for fault in found.grave] == ["order P-1, lines 2"]
