"""How far coils go down under a pad: heads of the main unit, whatever other unit lies above or below it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bedwright.design.buildup import bed_at_size
from bedwright.mechanics.base import SOLID
from bedwright.mechanics.bed_field import below_of, gap_items, layout, place
from bedwright.mechanics.bed_model import BedModel, bed_model
from bedwright.mechanics.coil_travel import CoilLaw, head_travel
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.unit_model import springs
from bedwright.works.workbook.csv_folder import read_csv_folder

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def models() -> tuple[BedModel, BedModel]:
    """Plover, and Plover on a second unit of other coils."""
    demo = read_csv_folder(ROOT / "demo")
    plover, teal = (bed_at_size(demo, demo.beds[bed], demo.sizes["150x200"]) for bed in ("PLOVER", "TEAL"))
    model = bed_model(plover)
    return model, replace(model, bottom=(springs(teal.unit, None, None, (plover.width, plover.length)),))


@pytest.mark.parametrize("which", [0, 1])
def test_a_flat_bed_pressed_evenly_presses_every_coil_alike(models: tuple[BedModel, BedModel], which: int) -> None:
    model = models[which]
    where = layout(model, Spot(750, 1000), Protocol())
    placed = place(model, where, SOLID)
    fields = len(gap_items(model, SOLID))
    u = np.tile(np.linspace(60.0, 10.0, fields), (where.nodes, 1))
    travel = head_travel(model, placed, u)
    gap = len(model.top)
    below = 0.0 if gap + 1 == fields else u[0, gap + 1]
    assert travel.shape == model.main.x.shape
    assert travel == pytest.approx(u[0, gap] - below)


def test_fillings_below_the_foot_take_a_part_of_the_heads_way(models: tuple[BedModel, BedModel]) -> None:
    model = models[0]
    kind = model.main.kinds[0]
    alone, seated = CoilLaw.of(kind, ()), CoilLaw.of(kind, below_of(model, SOLID))
    assert alone.coil_way(alone.head_way(40.0)) == pytest.approx(40.0, abs=0.05)
    assert seated.coil_way(seated.head_way(40.0)) == pytest.approx(40.0, abs=0.05)
    assert seated.head_way(40.0) > alone.head_way(40.0) + 0.5
