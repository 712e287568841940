"""From a coil card to its shape and wire: a table that says what a plain profile says gives the same coil."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from bedwright.mechanics.card_coil import shape_of, wire_of
from bedwright.mechanics.coil_rate import rate
from bedwright.works.springs import Coil, CoilPoint, Wire

WIRE = Wire(code="W", diameter=2.2)


def coil(**values: Any) -> Coil:
    plain: dict[str, Any] = {
        "code": "C", "wire": "W", "end_diameter": 74.0, "live_turns": 5.0, "total_turns": 7.0, "free_height": 130.0,
        "hand": "alternate",
    }  # fmt: skip
    return Coil.make(**{**plain, **values})


def table(diameters: list[float], **values: Any) -> Coil:
    rows = tuple(CoilPoint(position=place, diameter=float(one)) for place, one in enumerate(diameters, 1))
    return coil(profile="table", points=rows, **values)


def test_a_table_of_a_cone_is_the_cone() -> None:
    cone = coil(profile="cone", middle_diameter=44.0)
    same = table([74, 59, 44])
    assert rate(shape_of(same, WIRE)) == pytest.approx(rate(shape_of(cone, WIRE)), rel=1e-9)
    assert wire_of(same, WIRE).live == pytest.approx(wire_of(cone, WIRE).live, rel=1e-9)


def test_a_fine_table_of_a_parabola_is_the_parabola() -> None:
    waisted = coil(profile="hourglass-parabolic", middle_diameter=44.0)
    steps = np.linspace(-1, 1, 81)
    same = table(list(44 + 30 * steps**2))
    assert rate(shape_of(same, WIRE)) == pytest.approx(rate(shape_of(waisted, WIRE)), rel=1e-3)
    assert wire_of(same, WIRE).live == pytest.approx(wire_of(waisted, WIRE).live, rel=1e-3)


def test_dead_turns_of_a_table_lie_at_its_two_ends() -> None:
    """One dead turn at 74 mm, one at 44: two of 59 on the mean (derived)."""
    assert wire_of(table([74, 59, 44]), WIRE).dead == pytest.approx(np.pi * (74 + 44))
