"""A pad test handed to its drawings: every figure of it is there, the layers stand for the right interfaces."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import pytest

from bedwright.mechanics.hardness import Hardness
from bedwright.mechanics.pad import Spot
from bedwright.papers.pad_figures import curve_of, draw_curve, draw_moves, draw_section, readings, section_fills


@dataclass(frozen=True)
class Move:
    name: str
    tangent: float
    secant: float


@dataclass(frozen=True)
class Heights:
    untufted: float = 250.0
    tufted: float = 245.0
    under_pad: float = 200.0
    at_force: float = 340.0


@dataclass(frozen=True)
class Section:
    x: Any
    names: tuple[str, ...]
    unloaded: Any
    tufted: Any
    under_pad: Any
    force: float = 340.0
    pad_low: float = 200.0


def section(width: float, tops: tuple[float, ...]) -> Section:
    x = np.linspace(0.0, width, 51)
    flat = np.array([np.full_like(x, top) for top in tops])
    return Section(x, tuple(f"interface {i}" for i in range(len(tops))), flat, flat, 0.8 * flat)


@dataclass(frozen=True)
class Pressed:
    depth: Any = field(default_factory=lambda: np.linspace(0.0, 125.0, 26))
    force: Any = field(default_factory=lambda: np.linspace(0.0, 1000.0, 26))
    depth_back: Any = field(default_factory=lambda: np.linspace(125.0, 3.0, 26))
    force_back: Any = field(default_factory=lambda: np.linspace(1000.0, 0.0, 26))
    force_low: Any = field(default_factory=lambda: np.linspace(0.0, 900.0, 26))
    force_high: Any = field(default_factory=lambda: np.linspace(0.0, 1100.0, 26))
    hardness: Hardness = field(default_factory=lambda: Hardness(8.0, 7.9, (26.25, 34.375, 42.5)))
    low: float = 7.2
    high: float = 8.8
    secant_low: float = 7.0
    secant_high: float = 9.1
    moves: tuple[Move, ...] = (Move("live turns", 0.61, 0.5), Move("wire diameter", 0.4, 0.3))
    heights: Heights = field(default_factory=Heights)
    section: Section = field(default_factory=lambda: section(1500.0, (250.0, 230.0)))
    closing_from: float = float("inf")
    spot: Spot = field(default_factory=lambda: Spot(750.0, 1000.0))


def test_the_curve_has_both_branches_band_readings_and_intervals() -> None:
    curve = curve_of(Pressed())
    assert curve.down[-1] == curve.back[0] == (125.0, 1000.0)
    assert curve.band[-1] == (125.0, 900.0, 1100.0)
    assert curve.tangent == (8.0, 7.2, 8.8)
    assert curve.secant == (7.9, 7.0, 9.1)
    assert curve.read_at == ((26.25, 210.0), (34.375, 275.0), (42.5, 340.0))
    assert curve.closes_from is None
    assert curve_of(replace(Pressed(), closing_from=620.0)).closes_from == 620.0
    assert "H as tangent 8.0 (7.2 to 8.8)" in draw_curve(Pressed())
    assert "live turns" in draw_moves(Pressed())


def test_readings_are_those_of_each_spot() -> None:
    found = readings([(0.0, replace(Pressed(), low=6.0)), (None, Pressed())])
    assert [(one.distance, one.value, one.low, one.high) for one in found] == [
        (0.0, 8.0, 6.0, 8.8), (None, 8.0, 7.2, 8.8),
    ]  # fmt: skip


class TestFills:
    def test_from_the_face_that_is_up_down_to_the_base(self, bed_of) -> None:  # type: ignore[no-untyped-def]
        bed = bed_of("SNIPE", "150")
        fills = section_fills(bed, Spot(750.0, 1000.0), 8)
        assert [fill.hatch for fill in fills] == ["panel", "wool", "felt", "", "felt", "wool", "panel"] or len(
            fills
        ) == 7
        assert fills[3].words.startswith("open-coil unit")
        turned = section_fills(bed, Spot(750.0, 1000.0, "B"), 8)
        assert turned[0].words.startswith("panel B")
        assert turned[3].words == fills[3].words

    def test_what_lies_under_the_unit_may_be_its_foot(self, bed_of) -> None:  # type: ignore[no-untyped-def]
        fills = section_fills(bed_of("SNIPE", "150"), Spot(750.0, 1000.0), 5)
        assert len(fills) == 5
        assert fills[-2].coils
        assert fills[-1].words.startswith("under the unit: B1")
        assert "panel B" in fills[-1].words
        assert not fills[-1].coils
        assert sum(share for share, _ in fills[-1].plies) == pytest.approx(1.0)
        assert fills[-1].plies[-1][1] == "panel"

    def test_the_row_of_coils_is_that_of_the_spot(self, bed_of) -> None:  # type: ignore[no-untyped-def]
        bed = bed_of("RUFF", "150")
        unit = bed.unit
        head = (bed.length - unit.length) / 2
        for row in (0, 1, unit.lattice.along - 1):
            y = head + unit.lattice.head / 2 + row * unit.lattice.pitch_along
            fills = section_fills(bed, Spot(bed.width / 2, y), 20)
            coils = next(fill.coils for fill in fills if fill.words.startswith("pocket unit"))
            assert len(coils) == unit.lattice.row_counts[row]
            start = (bed.width - unit.width) / 2 + unit.lattice.row_start(row)
            assert coils[0].x == pytest.approx(start)

    def test_a_rail_stands_beside_the_coils(self, bed_of) -> None:  # type: ignore[no-untyped-def]
        bed = bed_of("KNOT", "135")
        unit = next(fill for fill in section_fills(bed, Spot(600.0, 900.0), 20) if fill.coils)
        (left, right) = unit.beside
        assert left[1] - left[0] == right[1] - right[0] == 70.0
        assert left[0] + right[1] == pytest.approx(bed.width)
        assert left[2] == bed.edge.rail.family

    @pytest.mark.parametrize(("bed", "size"), [("SNIPE", "150"), ("KNOT", "135"), ("RUFF", "90")])
    def test_the_section_is_drawn_with_them(self, bed_of, bed, size) -> None:  # type: ignore[no-untyped-def]
        one = bed_of(bed, size)
        test = replace(Pressed(), section=section(one.width, (250.0, 230.0, 200.0)), spot=Spot(one.width / 2, 500.0))
        svg = draw_section(test, one)
        assert "panel A" in svg
        assert "under the pad" in svg


def test_a_measured_curve_is_laid_over() -> None:
    plain, over = draw_curve(Pressed()), draw_curve(Pressed(), measured=((20.0, 150.0), (40.0, 330.0)))
    assert "measured" not in plain and "measured" in over
