"""A seat on the edge: it is in balance, rolls off where the edge is soft, and less where a rail or rod holds it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.errors import OutsideRange
from bedwright.mechanics.bed_model import bed_model
from bedwright.mechanics.edge_sit import edge_sit
from bedwright.works.workbook.csv_folder import read_csv_folder

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def plover() -> BedAtSize:
    demo = read_csv_folder(ROOT / "demo")
    return bed_at_size(demo, demo.beds["PLOVER"], demo.sizes["150x200"])


def test_the_seat_balances_and_rolls_off_a_soft_edge(plover: BedAtSize) -> None:
    sat = edge_sit(plover)
    assert sat.residual < 2e-3
    assert 1 < sat.roll_off < 25 and sat.rim > 0
    assert sat.sink >= 0.95 * sat.level_sink


def test_a_heavier_person_sinks_and_rolls_farther(plover: BedAtSize) -> None:
    light, heavy = edge_sit(plover, mass=60), edge_sit(plover, mass=120)
    assert heavy.sink > light.sink


def test_a_border_that_stands_holds_the_edge(plover: BedAtSize) -> None:
    model = bed_model(plover)
    stiff = replace(model, rim=replace(model.rim, value=400.0))  # N/mm per m
    assert edge_sit(plover, model=stiff).roll_off < edge_sit(plover).roll_off - 1


def test_a_mass_of_no_person_is_refused(plover: BedAtSize) -> None:
    with pytest.raises(OutsideRange, match="5 kg on the edge is outside 20 to 300 kg"):
        edge_sit(plover, mass=5)
