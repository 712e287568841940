"""What is proposed for the cards, and what is not."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.mechanics.learn_known import Spread
from bedwright.mechanics.learn_revision import Told, proposals
from bedwright.works.workbook.csv_folder import read_csv_folder

ROOT = Path(__file__).resolve().parents[2]


@lru_cache
def bed() -> BedAtSize:
    works = read_csv_folder(ROOT / "demo")
    return bed_at_size(works, works.beds["HERON"], works.sizes["150x200"])


def told(**fields: object) -> Told:
    usual: dict[str, object] = {
        "name": "lacing", "card": "unit OPEN-900", "field": "lacing_tie", "unit": "N/mm", "old": 0.5,
        "after": Spread(0.8, 0.7, 0.9), "narrowed": 0.3, "alone": True,
    }  # fmt: skip
    return Told(**{**usual, **fields})  # type: ignore[arg-type]


def test_a_field_that_was_learned_is_proposed_with_its_interval() -> None:
    (one,) = proposals(bed(), [told()])
    assert (one.kind, one.code, one.sheet, one.field) == ("unit", "OPEN-900", "units", "lacing_tie")
    assert (one.old, one.new, one.low, one.high, one.unit) == (0.5, 0.8, 0.7, 0.9, "N/mm")
    assert one.words.startswith("unit OPEN-900, lacing_tie: 0.5 -> 0.8 N/mm (0.7 to 0.9)")


def test_an_empty_field_is_proposed_though_nothing_was_there() -> None:
    (one,) = proposals(bed(), [told(field="panel_tension", name="panel tension", unit="N/m", old=None)])
    assert (one.kind, one.code, one.old) == ("bed", "HERON", None) and ": empty -> " in one.words


@pytest.mark.parametrize(
    "fields",
    [
        {"card": ""},  # no card has a field for it
        {"narrowed": 0.8},  # hardly anything was learned
        {"alone": False},  # only together with others
        {"after": Spread(0.55, 0.4, 0.7)},  # the card lies inside
        {"field": "panel_fullness"},  # no field of ours
    ],
)
def test_what_was_not_learned_is_not_proposed(fields: dict[str, object]) -> None:
    assert proposals(bed(), [told(**fields)]) == ()


def test_a_filling_is_proposed_as_its_whole_table_by_one_factor() -> None:
    factor = {"field": "stress", "unit": "of the card's", "old": 1.0, "after": Spread(0.9, 0.85, 0.95)}
    found = proposals(bed(), [told(name="filling COTTON", card="filling COTTON", **factor)])
    card = next(layer.part for layer in bed().layers if layer.code == "COTTON")
    points = card.points  # type: ignore[union-attr]
    assert [one.row for one in found] == [point.position for point in points] and len(found) > 1
    assert [one.new for one in found] == pytest.approx([0.9 * point.stress for point in points])
    assert all(one.low < one.new < one.high and one.sheet == "filling_points" for one in found)
    (one,) = proposals(bed(), [told(name="filling WADDING", card="filling WADDING", **factor)])
    assert (one.field, one.old, one.unit) == ("hardness_40", 1.6, "kPa") and one.new == pytest.approx(1.44)
    assert proposals(bed(), [told(name="filling NONE", card="filling NONE", **factor)]) == ()
