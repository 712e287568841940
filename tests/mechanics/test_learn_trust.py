"""Predicted against measured, of the tests on the demo's bed cards and of some typed here."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from bedwright.design.buildup import bed_at_size
from bedwright.mechanics.learn_trust import HEIGHT, SECANT, TANGENT, Trust, trust
from bedwright.mechanics.pad_test import Curve, pad_test
from bedwright.works.beds import BedTest
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works

ROOT = Path(__file__).resolve().parents[2]


@lru_cache
def demo() -> Works:
    return read_csv_folder(ROOT / "demo")


@lru_cache
def curve() -> Curve:
    return pad_test(bed_at_size(demo(), demo().beds["AVOCET"], demo().sizes["150x200"]))


def of(*tests: dict[str, Any]) -> Trust:
    """Trust of a works whose only tests are these, all on one bed."""
    cards = []
    for card in demo().all_cards():
        if type(card).KIND == "bed":
            own = tuple(BedTest(position=n, **one) for n, one in enumerate(tests, 1)) if card.code == "AVOCET" else ()
            card = card.model_copy(update={"tests": own})
        cards.append(card)
    return trust(Works.of(demo().about, cards))


def row(**fields: Any) -> dict[str, Any]:
    return {"size": "150x200", "sample": "", "cycles": 100, **fields}


def pair(what: str, before: float) -> dict[str, float]:
    return {f"{what}_before": before, f"{what}_after": before - 1}


def test_each_figure_is_set_beside_its_own_prediction() -> None:
    h, tall = curve().hardness, curve().heights.tufted
    found = of(
        row(**pair("hardness", h.tangent), **pair("height", tall + 2)),
        row(sample="read as Secant", **pair("hardness", h.secant * 1.5)),
    )
    assert [one.what for one in found.rows] == [HEIGHT, TANGENT, SECANT]
    assert [one.predicted for one in found.rows] == pytest.approx([tall, h.tangent, h.secant])
    assert [one.inside for one in found.rows] == [True, True, False]
    assert [one.so_far for one in found.rows] == [1, 2, 2] and found.inside == 2
    by_what = {one.what: one for one in found.errors}
    assert by_what[HEIGHT].mean == pytest.approx(2) and by_what[SECANT].size == pytest.approx(0.5 * h.secant)
    assert "2 of 3 figures of 2 tests" in found.words and "too few" in found.words
    assert found.rows[2].off == pytest.approx(0.5)


def test_the_last_ten_and_one_sample_read_on() -> None:
    same = row(**pair("height", 200.0))
    found = of(*(row(**pair("height", 180.0 + n)) for n in range(12)), same, {**same, "cycles": 30000})
    assert [one.measured for one in found.rows] == [184.0 + n for n in range(8)] + [200.0]
    assert found.samples == 10 and any("carry no day" in note for note in found.notes)


def test_what_cannot_be_compared_is_said() -> None:
    found = of(row(size=None, **pair("height", 200.0)))
    assert found.rows == () and found.samples == 0
    assert "bed AVOCET, test 1: size is empty" in found.notes[0]
    assert "nothing was compared" in found.words
    assert of().words == found.words and of().notes == ()
