"""Filling laws: what the supplier printed comes back, stress always rises, nothing is guessed."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.errors import CardRefused, NotKnown
from bedwright.mechanics.filling import INDENTER_M2, filling_law
from bedwright.works.materials import Filling, FillingPoint


def filling(**fields: Any) -> Filling:
    return Filling.make(
        **{"code": "F", "family": "foam", "thickness": 30.0, "density": 30.0, "sheet_width": 2000.0, **fields}
    )


def at(law_of: Filling, e: float) -> float:
    law = filling_law(law_of)
    return float(np.interp(e, law.compression, law.stress))


@pytest.mark.parametrize("family", ["foam", "latex", "fibre", "felt", "insulator"])
def test_hardness_at_40_percent_comes_back(family: str) -> None:
    assert at(filling(family=family, hardness_40=3.2), 0.40) == pytest.approx(3.2, rel=1e-3)


def test_a_table_comes_back_at_its_points() -> None:
    points = tuple(
        FillingPoint(position=i, compression=c, stress=s)
        for i, (c, s) in enumerate([(10.0, 1.1), (25.0, 1.6), (40.0, 2.1), (65.0, 4.9)], 1)
    )
    for point in points:
        assert at(filling(points=points), point.compression / 100) == pytest.approx(point.stress, rel=1e-3)


def test_indentation_is_read_as_a_mean_stress() -> None:
    # PFA: 25 lbf on 50 square inches = 111.21 N = 3.447 kPa
    assert pytest.approx(3.447, rel=1e-3) == 111.21 / INDENTER_M2 / 1000
    assert at(filling(indentation_25=111.21), 0.25) == pytest.approx(3.447, rel=1e-3)


def test_no_figure_is_not_known_and_says_how_to_measure() -> None:
    with pytest.raises(NotKnown, match=r"filling F: no figure of firmness .* press a 380 x 380 mm piece"):
        filling_law(filling())


@pytest.mark.parametrize("family", ["wool", "cotton", "coir"])
def test_one_figure_says_nothing_of_a_natural_filling(family: str) -> None:
    with pytest.raises(NotKnown, match=r"filling F: one figure says nothing .* type them as points"):
        filling_law(filling(family=family, hardness_40=3.2))


def test_a_falling_table_is_refused_at_the_card() -> None:
    falling = tuple(
        FillingPoint(position=i, compression=c, stress=s) for i, (c, s) in enumerate([(10.0, 2.0), (25.0, 1.9)], 1)
    )
    with pytest.raises(CardRefused, match=r"the table must rise: 1\.9 kPa at 25 %"):
        filling(points=falling)


@given(
    figures=st.lists(st.floats(0.2, 30), min_size=1, max_size=3, unique=True).map(sorted),
    family=st.sampled_from(["foam", "latex", "felt", "fibre"]),
)
def test_stress_rises_always(figures: list[float], family: str) -> None:
    places = (25.0, 40.0, 65.0)
    points = tuple(
        FillingPoint(position=i + 1, compression=places[i], stress=s + 0.01 * i) for i, s in enumerate(figures)
    )
    law = filling_law(filling(family=family, points=points))
    assert np.all(np.diff(law.stress) > 0)
    assert np.all(np.diff(law.compression) > 0)
