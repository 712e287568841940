"""Typed and shown: whatever is shown can be typed back, whatever is typed is read or refused, nothing else."""

import math
import re
from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import NotUnderstood
from bedwright.typed import (
    areal_mass,
    film_gauge,
    foam_grade,
    length_mm,
    mass_kg,
    number,
    show,
    size_mm,
    wire_diameter,
)

sensible = st.floats(min_value=1e-9, max_value=1e12) | st.floats(min_value=-1e12, max_value=-1e-9) | st.just(0.0)
READERS: tuple[Callable[[str], object], ...] = (
    number,
    length_mm,
    mass_kg,
    wire_diameter,
    foam_grade,
    film_gauge,
    areal_mass,
    size_mm,
)


@settings(max_examples=150)
@given(sensible, st.integers(1, 6))
def test_shown_then_typed(value: float, digits: int) -> None:
    back = number(show(value, digits))
    assert back == pytest.approx(value, rel=0.51 * 10 ** (1 - digits), abs=0)
    assert show(back, digits) == show(value, digits)


@settings(max_examples=150)
@given(sensible, st.integers(1, 6))
def test_no_more_figures_than_asked(value: float, digits: int) -> None:
    figures = re.sub(r"[.-]", "", show(value, digits)).strip("0")
    assert len(figures) <= digits


@settings(max_examples=100)
@given(sensible, st.floats(min_value=1e-6, max_value=1e6))
def test_never_finer_than_the_interval(value: float, interval: float) -> None:
    place = Decimal(1).scaleb(Decimal(repr(interval)).adjusted())
    assert Decimal(show(value, interval=interval)) % place == 0


@settings(max_examples=100)
@given(st.integers(0, 12), st.integers(0, 11))
def test_feet_and_inches_agree_with_inches(feet: int, inches: int) -> None:
    assert length_mm(f"{feet}'{inches}\"") == length_mm(f"{12 * feet + inches} in")


@settings(max_examples=100)
@given(st.integers(0, 40000))
def test_millimetres_typed_in_any_unit(tenths: int) -> None:
    millimetres = f"{tenths // 10}.{tenths % 10}"
    assert length_mm(f"{millimetres} mm") == tenths / 10
    assert length_mm(f"{tenths // 100}.{tenths % 100:02d} cm") == tenths / 10


@settings(max_examples=400)
@given(st.text(max_size=30) | st.text(alphabet="0123456789.,/'\"xX½ -cmftinSWGgaugeoz", max_size=14))
def test_read_or_refused_never_a_crash(text: str) -> None:
    for reader in READERS:
        try:
            read = reader(text)
        except NotUnderstood as refused:
            assert refused.fault.remedy
        else:
            if isinstance(read, float):
                assert math.isfinite(read)


@settings(max_examples=100)
@given(st.integers(11, 39))
def test_half_gauges_lie_between_their_neighbours(halves: int) -> None:
    thinner, this, thicker = (wire_diameter(f"{half / 2:g} SWG").mm for half in (halves + 1, halves, halves - 1))
    assert thinner < this < thicker
