"""Coils of any sane shape: what must hold whatever the numbers."""

import dataclasses

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bedwright.errors import FaultsFound, NotConverged
from bedwright.mechanics.coil_force import capped_force, force_curve, force_table, free_diameter_at
from bedwright.mechanics.coil_rate import free_end_rate, plain_rate, rate
from bedwright.mechanics.coil_shape import CoilShape, diameter_at, longest_way, mass, solid_height, wire_length

PROFILES = ("cylinder", "cone", "barrel", "hourglass-parabolic", "hourglass-straight", "table")


@st.composite
def shapes(draw: st.DrawFn, profiles: tuple[str, ...] = PROFILES) -> CoilShape:
    profile = draw(st.sampled_from(profiles))
    large = draw(st.floats(20, 110))
    small = large * draw(st.floats(0.3, 1.0))
    end, middle = (small, large) if profile == "barrel" else (large, small)
    some = st.lists(st.floats(20, 100), min_size=2, max_size=8).map(tuple)
    try:
        return CoilShape(
            profile,
            end,
            draw(st.floats(2, 11)),
            draw(st.floats(30, 280)),
            draw(st.floats(0.8, 3.5)),
            None if profile in {"cylinder", "table"} else middle,
            diameters=draw(some) if profile == "table" else (),
        )
    except FaultsFound:
        assume(False)
        raise


def followed(shape: CoilShape) -> None:
    """Leaves out a table of diameters so wild that its coil cannot be followed; every other coil can."""
    try:
        force_curve(shape)
    except NotConverged:
        assert shape.profile == "table"
        assume(False)


@settings(max_examples=60, deadline=None)
@given(shapes())
def test_force_rises_from_nothing_to_solid(shape: CoilShape) -> None:
    followed(shape)
    way = np.linspace(0, longest_way(shape), 301)
    forces = force_table(shape, way)
    assert forces[0] == 0
    assert np.all(np.diff(forces) > 0)
    near = 1e-4 * longest_way(shape)
    assert force_table(shape, np.array([near]))[0] / near == pytest.approx(rate(shape), rel=2e-3)
    assert force_curve(shape).residual < 1e-7
    assert np.all(np.diff(free_diameter_at(shape, way)) <= 1e-9)


@settings(max_examples=40, deadline=None)
@given(shapes(), st.floats(0.5, 2.0))
def test_a_coil_twice_as_large_in_all_is_four_times_as_strong(shape: CoilShape, scale: float) -> None:
    try:
        larger = dataclasses.replace(
            shape,
            end_diameter=shape.end_diameter * scale,
            middle_diameter=None if shape.middle_diameter is None else shape.middle_diameter * scale,
            free_height=shape.free_height * scale,
            wire_diameter=shape.wire_diameter * scale,
            diameters=tuple(value * scale for value in shape.diameters),
        )
    except FaultsFound:
        assume(False)
        raise
    followed(shape)
    followed(larger)
    assert rate(larger) == pytest.approx(rate(shape) * scale, rel=1e-6)
    assert plain_rate(larger) == pytest.approx(plain_rate(shape) * scale, rel=1e-6)
    assert wire_length(larger) == pytest.approx(wire_length(shape) * scale, rel=1e-6)
    assert mass(larger) == pytest.approx(mass(shape) * scale**3, rel=1e-6)
    assert solid_height(larger) == pytest.approx(solid_height(shape) * scale, rel=1e-6)
    way = np.array([0.2, 0.5, 0.8]) * longest_way(shape)
    assert force_table(larger, way * scale) == pytest.approx(force_table(shape, way) * scale**2, rel=1e-3)


@settings(max_examples=40, deadline=None)
@given(shapes(("table",)))
def test_a_coil_turned_over_is_the_same_coil(shape: CoilShape) -> None:
    over = dataclasses.replace(shape, diameters=tuple(reversed(shape.diameters)))
    assert rate(over) == pytest.approx(rate(shape), rel=1e-6)
    assert wire_length(over) == pytest.approx(wire_length(shape), rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(shapes())
def test_holding_the_ends_never_softens(shape: CoilShape) -> None:
    assert rate(shape) >= free_end_rate(shape) * (1 - 1e-9)


@settings(max_examples=30, deadline=None)
@given(shapes(PROFILES[:-1]))
def test_many_slices_meet_the_smooth_profile(shape: CoilShape) -> None:
    sliced = CoilShape(
        "table",
        shape.end_diameter,
        shape.live_turns,
        shape.free_height,
        shape.wire_diameter,
        diameters=tuple(diameter_at(shape, np.linspace(0, 1, 81)).tolist()),
    )
    assert plain_rate(sliced) == pytest.approx(plain_rate(shape), rel=1e-3)
    assert rate(sliced) == pytest.approx(rate(shape), rel=2e-3)


@settings(max_examples=40, deadline=None)
@given(shapes(), st.floats(0.05, 0.95))
def test_capped_turns_rise_and_start_at_the_plain_rate(shape: CoilShape, share: float) -> None:
    way = longest_way(shape)
    low, high = capped_force(shape, share * way * 0.9), capped_force(shape, share * way)
    assert 0 < low < high
    near = 1e-3 * way
    assert capped_force(shape, near) / near == pytest.approx(plain_rate(shape), rel=1e-6)
