"""The open figures as standard normals: the same ones as the pad test moves, to the same ends."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.mechanics.base import SOLID, base
from bedwright.mechanics.bed_model import BedModel, bed_model
from bedwright.mechanics.intervals import changes
from bedwright.mechanics.learn_figures import COVERED, figures, moved, ranged, through
from bedwright.works.workbook.csv_folder import read_csv_folder

ROOT = Path(__file__).resolve().parents[2]
BEDS = ("WHIMBREL", "HERON", "PLOVER", "TEAL", "DUNLIN", "AVOCET", "REDSHANK")


@lru_cache
def bed(code: str) -> BedAtSize:
    works = read_csv_folder(ROOT / "demo")
    return bed_at_size(works, works.beds[code], works.sizes["150x200"])


@pytest.mark.parametrize("code", BEDS)
@pytest.mark.parametrize("words", ["solid", "sprung 40 kPa/m"])
def test_the_same_figures_as_the_pad_test_moves(code: str, words: str) -> None:
    model, on = bed_model(bed(code)), base(words)
    found = [one.name for one in figures(model, bed(code).tolerances, on)]
    assert sorted(found) == sorted(one.name for one in changes(model, bed(code).tolerances, on))
    assert len(set(found)) == len(found)


def facts(model: BedModel) -> list[float]:
    """What a figure can change in a model, as numbers."""
    main = model.main
    told = [model.tension.value, model.bending.value, model.rim.value, main.tie.value, main.ring.value, model.untufted]
    for kind in main.kinds:
        told += [kind.scale, kind.heat.value, kind.pocket_height or 0.0]
    return told + [float(ply.law.stress[-1]) for ply in model.fillings.values()]


@pytest.mark.parametrize("code", BEDS)
def test_a_tolerance_is_where_95_of_100_lie(code: str) -> None:
    """At plus and minus 1.96 a figure with a tolerance stands at the pad test's limits; a filling at its upper one."""
    model, off = bed_model(bed(code)), bed(code).tolerances
    ends = {one.name: [facts(end) for end in one.ends] for one in changes(model, off)}
    for one in figures(model, off, SOLID):
        if one.bends or one.name == "bending of the fillings":
            continue
        low, high = (facts(one.on(model, sign * COVERED)) for sign in (-1, 1))
        assert high == pytest.approx(ends[one.name][1], rel=1e-9), one.name
        if one.acts != "filling":
            assert low == pytest.approx(ends[one.name][0], rel=1e-9, abs=1e-12), one.name
        assert facts(one.on(model, 0.0)) == pytest.approx(facts(model), rel=1e-12), one.name


def test_what_is_moved_is_put_together() -> None:
    model, off = bed_model(bed("WHIMBREL")), bed("WHIMBREL").tolerances
    found = figures(model, off, SOLID)
    z = {one.name: 0.5 for one in found}
    both, by_name = moved(model, found, z), {one.name: one for one in found}
    assert both.tension.value == by_name["panel tension"].value(0.5)
    heat, height = by_name["heat of OC-70"].value(0.5), by_name["coil height"].value(0.5)
    assert both.main.kinds[0].heat.value == pytest.approx(heat + height)
    assert moved(model, found, {}) is model


ENDS = st.tuples(st.floats(0, 1e3), st.floats(0.01, 1e3), st.floats(0.01, 1e3)).map(
    lambda one: (one[0], one[0] + one[1], one[0] + one[1] + one[2])
)


@given(ENDS, st.floats(-5.9, 5.8))
def test_maps_rise_and_stay_in_their_ranges(ends: tuple[float, float, float], z: float) -> None:
    low, middle, high = ends
    inside, wide = ranged(*ends), through(*ends)
    assert low <= inside(z) <= inside(z + 0.1) <= high
    assert wide(z) <= wide(z + 0.1) and wide(z) >= 0
    assert wide(0.0) == pytest.approx(middle)
    if 0.2 < (middle - low) / (high - middle) < 5:
        assert [wide(-COVERED), wide(COVERED)] == pytest.approx([low, high], rel=1e-6, abs=1e-9)
    if 0.01 < (middle - low) / (high - low) < 0.99:
        assert inside(0.0) == pytest.approx(middle)


def test_nine_of_ten_of_an_unmeasured_figure() -> None:
    """What the docstring says of a range from nothing to three times the plausible value."""
    value = ranged(0.0, 1.0, 3.0)
    assert [value(-1.645), value(1.645)] == pytest.approx([0.057, 2.66], abs=0.01)
    draws = np.array([value(z) for z in np.random.default_rng(1).standard_normal(4000)])
    assert np.mean(draws < 1.0) == pytest.approx(0.5, abs=0.03)


def test_only_what_a_card_has_a_field_for_names_one() -> None:
    found = figures(bed_model(bed("REDSHANK")), bed("REDSHANK").tolerances, base("sprung 40 kPa/m"))
    homes = {one.name: (one.card, one.field) for one in found}
    assert homes["lacing"] == ("unit OPEN-CONTRACT", "lacing_tie") and homes["end rings"][1] == "ring_bending"
    assert homes["panel tension"][1] == "panel_tension" and homes["filling FELT"] == ("filling FELT", "stress")
    for name in ("lower panel tension", "bending of the fillings", "wire diameter", "live turns", "coil height"):
        assert homes[name] == ("", ""), name
