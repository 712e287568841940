"""Two linked beds as one plan: every figure stays, the map and the cut lie where their bed does."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bedwright.mechanics.lain import Lain, Lying, Slice, Spine
from bedwright.mechanics.linked_map import joined
from bedwright.mechanics.zip_link import NOT_SAID, ZipLinked

SPINE = Spine(np.array([2.0, 1.0]), np.array([0.0, 0.0]), 1.0, 2.0, 1.0)


def half(called: str, x: np.ndarray, y: np.ndarray, at: float, hips: float, note: str) -> Lying:  # type: ignore[type-arg]
    """A bed of 750 x 2000 with one pressed cell at `at` across."""
    pressure = np.where(np.abs(x[None, :] - at) < 1, 5.0, 0.0) * np.ones((len(y), 1))
    square = np.array([at - 50, at + 50, at + 50, at - 50])
    one = Lain(
        called=called, posture="supine", contact_area=0.4, mean=2.0, p95=4.0, p99=6.0, weight=785.0, carried=785.0,
        share={"head": 0.1, "trunk": 0.4, "pelvis": 0.3, "legs": 0.2}, sink={"hip": 70.0}, spine=SPINE, lumbar_gap=30.0,
        above=(0.1, 0.0, 0.0), force_error=0.0, moment_error=0.0, roll=0.0, outline=((square, square),),
    )  # fmt: skip
    level = np.full(len(x), 250.0)
    body = np.where(np.abs(x - at) < 60, 180.0, np.nan)
    across = Slice("across", hips, x, level, level - 10, body)
    along = Slice("along", at, y, np.full(len(y), 250.0), np.full(len(y), 240.0), np.full(len(y), np.nan))
    return Lying(
        "TEAL 75x200", 750.0, 2000.0, (one,), x, y, 20.0, pressure, (along, across), 1e-7, 10, 900, "solid", "A", "m",
        (note, "both"), pressure / 10,
    )  # fmt: skip


@pytest.fixture
def link() -> ZipLinked:
    left = half("man", np.arange(100.0, 751.0, 20.0), np.arange(40.0, 1901.0, 20.0), 380.0, 900.0, "left")
    right = half("woman", np.arange(0.0, 661.0, 20.0), np.arange(40.0, 1761.0, 20.0), 380.0, 860.0, "right")
    zero = np.zeros(3)
    return ZipLinked(left, replace(right, residual=3e-7), zero, zero, zero)


def test_both_beds_lie_side_by_side(link: ZipLinked) -> None:
    found = joined(link)
    assert (found.width, found.length, found.cell) == (1500.0, 2000.0, 20.0)
    assert found.pressure.shape == found.face_down.shape == (len(found.y), len(found.x)) == (100, 75)
    pressed = found.x[(found.pressure > 0).any(axis=0)]
    assert np.abs(pressed[pressed < 750] - 380).max() <= 20
    assert np.abs(pressed[pressed > 750] - (750 + 380)).max() <= 20
    assert len(pressed[pressed < 750]) and len(pressed[pressed > 750])
    assert found.y[(found.pressure > 0).any(axis=1)].max() == pytest.approx(1900, abs=20)
    assert set(np.unique(found.pressure)) == {0.0, 5.0}


def test_figures_are_those_of_each_bed(link: ZipLinked) -> None:
    found = joined(link)
    assert [one.called for one in found.persons] == ["man", "woman"]
    assert found.residual == 3e-7
    assert found.nodes == 1800
    assert found.notes == ("left", "both", "right", NOT_SAID)
    assert found.bed == "two of TEAL 75x200, zip-linked"
    (x, _), *_ = found.persons[1].outline
    assert (x.min(), x.max()) == (1080.0, 1180.0)


def test_cuts_go_with_their_bed(link: ZipLinked) -> None:
    along_left, along_right, across = joined(link).slices
    assert (along_left.way, along_left.at, along_right.at) == ("along", 380.0, 1130.0)
    assert across.way == "across"
    assert across.place[0] == 100.0
    assert across.place[-1] == 750.0 + 660.0
    lain = across.place[np.isfinite(across.body)]
    assert len(lain[lain < 750]) == len(lain[lain > 750]) > 0
    assert (np.diff(across.place) >= 0).all()
