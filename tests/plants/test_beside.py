"""Offers beside made beds: the remedy of the offer card is counted, and without its look-up nothing is final."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from bedwright.plants.beside import Beside, beside
from bedwright.works.bought import Offer
from bedwright.works.rules import Rule
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works

DEMO = Path(__file__).resolve().parents[2] / "demo"


@pytest.fixture(scope="module")
def demo() -> Works:
    return read_csv_folder(DEMO)


def offer(works: Works, code: str = "OFFER-3", **fields: Any) -> Beside:
    card = works.offers[code]
    new = Offer.make(**{**{name: getattr(card, name) for name in Offer.model_fields}, **fields})
    works = Works.of(works.about, [new if old is card else old for old in works.all_cards()])
    return next(one for one in beside(works, lambda _bed, _size: None) if one.offer.code == code)


def test_a_remedy_is_counted_on_the_customs_value(demo: Works) -> None:
    """By hand: goods 60 x 215 EUR x 0.86 and 1150 to the border are 12 244; half of that is 6122."""
    plain, dear = offer(demo), offer(demo, remedy=50.0)
    assert plain.final and dear.final
    lines = {line.what: line.amount for line in dear.landed.lines}
    assert lines["trade remedies"] == Decimal("6122")
    assert dear.landed_per_good > plain.landed_per_good + 100


@pytest.mark.parametrize("fields", [{"remedy": None}, {"remedy_checked": None}, {"remedy_from": ""}])
def test_not_looked_up_is_not_final(demo: Works, fields: dict[str, Any]) -> None:
    found = offer(demo, **fields)
    assert not found.final
    assert any("trade remedies were looked up" in point for point in found.open_points)


def test_a_remedy_without_its_source_still_counts(demo: Works) -> None:
    assert offer(demo, remedy=50.0, remedy_from="").landed_per_good == offer(demo, remedy=50.0).landed_per_good


def test_the_exchange_move_is_a_house_rule(demo: Works) -> None:
    ours = Rule(code="exchange_move", rule_value=0.0, unit="%")
    works = Works.of(
        demo.about, [*(card for card in demo.all_cards() if card is not demo.rules["exchange_move"]), ours]
    )
    still = beside(works, lambda _bed, _size: None)[0]
    moved = beside(demo, lambda _bed, _size: None)[0]
    assert still.landed_low == still.landed_per_good == still.landed_high
    assert moved.landed_low < moved.landed_per_good < moved.landed_high
