"""How sure a lying is: each move goes the way it must, and draws of all figures at once fall inside."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest
from tests.mechanics.test_lying import MAN, bed

from bedwright.mechanics.bed_model import bed_model
from bedwright.mechanics.lying import Lies, lying
from bedwright.mechanics.lying_sure import TISSUE, LyingSure, figures_of, lying_sure
from bedwright.mechanics.posture import FLESH


@lru_cache(maxsize=2)
def sure(code: str) -> LyingSure:
    return lying_sure(bed(code), [Lies(MAN)])


def test_the_middle_is_the_lying_itself_and_lies_within() -> None:
    found = sure("WHIMBREL")
    for name, value in figures_of(lying(bed("WHIMBREL"), [Lies(MAN)]).persons[0]).items():
        assert found.value[0][name] == pytest.approx(value, rel=2e-3, abs=0.02), name
        assert found.low[0][name] <= found.value[0][name] <= found.high[0][name]


def test_each_move_goes_the_way_it_must() -> None:
    moves = {move.name: move for move in sure("WHIMBREL").moves}
    soft, hard = (
        figures_of(lying(bed("WHIMBREL"), [Lies(MAN)], flesh=replace(FLESH, modulus=FLESH.modulus * by)).persons[0])
        for by in TISSUE
    )
    here = sure("WHIMBREL").value[0]
    assert moves["tissue"].down[0]["contact_area"] == pytest.approx(
        hard["contact_area"] - here["contact_area"], abs=2e-3
    )
    assert moves["tissue"].up[0]["contact_area"] == pytest.approx(soft["contact_area"] - here["contact_area"], abs=2e-3)
    tension = moves["panel tension"]
    assert tension.up[0]["mean"] > 0.05 and tension.down[0]["contact_area"] < -0.01, "a tight panel bridges"
    assert set(sure("WHIMBREL").body) == {"tissue", "thickness of tissue", "pillow"}


def test_draws_of_all_figures_at_once_fall_inside_as_often_as_squares_say() -> None:
    # each drawn evenly within its range has a spread of its half width over sqrt 3, so nearly all lie within
    found, rng = sure("PLOVER"), np.random.default_rng(7)
    model = bed_model(bed("PLOVER"), "A")
    inside = {"contact_area": 0, "mean": 0, "sink_hip": 0, "spine_angle": 0}
    draws = 12
    for _ in range(draws):
        drawn = model.with_figure("tension", float(rng.uniform(model.tension.low, model.tension.high)))
        for code, ply in model.fillings.items():
            drawn = drawn.with_filling(code, 1 + float(rng.uniform(-1, 1)) * ply.tolerance)
        flesh = replace(FLESH, modulus=FLESH.modulus * float(np.exp(rng.uniform(*np.log(TISSUE)))))
        figures = figures_of(lying(bed("PLOVER"), [Lies(MAN)], model=drawn, flesh=flesh, tolerance=1e-3).persons[0])
        for name in inside:
            inside[name] += found.low[0][name] <= figures[name] <= found.high[0][name]
    assert all(count >= 0.9 * draws for count in inside.values()), inside
