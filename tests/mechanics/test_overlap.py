"""Two bodies over the plan: the area they share is that of plain shapes, and told only where there is some."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.mechanics.overlap import overlap, overlap_words


def box(left: float, top: float, right: float, bottom: float) -> tuple[np.ndarray, np.ndarray]:  # type: ignore[type-arg]
    return np.array([left, right, right, left, left]), np.array([top, top, bottom, bottom, top])


def plan(*outlines: Any) -> Any:
    persons = tuple(SimpleNamespace(outline=outline) for outline in outlines)
    return SimpleNamespace(width=1500.0, length=2000.0, persons=persons)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 60), st.integers(0, 60), st.integers(10, 60))
def test_two_boxes_share_what_they_do(across: int, along: int, side: int) -> None:
    a, b, s = 10.0 * across, 10.0 * along, 10.0 * side
    shared = max(0.0, min(300.0, a + s) - max(100.0, a)) * max(0.0, min(900.0, b + s) - max(200.0, b))
    found = overlap(plan((box(100, 200, 300, 900),), (box(a, b, a + s, b + s),)))
    assert found == pytest.approx(shared * 1e-6, abs=1e-12)


def test_a_place_in_two_parts_of_one_body_counts_once() -> None:
    one = (box(100, 100, 300, 300), box(200, 100, 400, 300))
    assert overlap(plan(one, (box(150, 100, 350, 300),))) == pytest.approx(0.2 * 0.2)


def test_a_disc_has_its_area() -> None:
    turn = np.linspace(0, 2 * np.pi, 200)
    disc = (700 + 200 * np.cos(turn), 900 + 200 * np.sin(turn))
    assert overlap(plan((disc,), (box(0, 0, 1500, 2000),))) == pytest.approx(np.pi * 0.2**2, rel=0.01)


def test_only_what_lies_on_the_bed_counts() -> None:
    assert overlap(plan((box(-100, 0, 50, 100),), (box(-100, 0, 50, 100),))) == pytest.approx(0.05 * 0.1)


def test_one_alone_and_two_apart_say_nothing() -> None:
    assert overlap(plan((box(0, 0, 100, 100),))) == 0.0
    apart = plan((box(0, 0, 100, 100),), (box(100, 0, 200, 100),))
    assert overlap(apart) == 0.0
    assert overlap_words(apart) == ""


def test_what_lies_on_one_another_is_said() -> None:
    words = overlap_words(plan((box(0, 0, 200, 100),), (box(100, 0, 300, 100),)))
    assert "on 0.010 m2 of the plan" in words
