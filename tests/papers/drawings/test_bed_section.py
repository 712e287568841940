"""The bed cut three times: one scale, layers where the heights say, the pad's face true to its two radii."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from bedwright.errors import OutsideRange
from bedwright.papers.drawings.bed_section import Fill, bed_section
from bedwright.papers.drawings.section_parts import bands, coils_in

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Section:
    x: Array
    names: tuple[str, ...]
    unloaded: Array
    tufted: Array
    under_pad: Array
    force: float
    pad_low: float


@dataclass(frozen=True)
class Heights:
    untufted: float
    tufted: float
    under_pad: float
    at_force: float


X = np.linspace(0.0, 1500.0, 301)
TOPS = (250.0, 230.0, 200.0)


def pressed(spot: float, depth: float, width: float = 1500.0) -> tuple[Section, Heights]:
    x = np.linspace(0.0, width, 301)
    flat = np.array([np.full_like(x, top) for top in TOPS])
    tufted = flat - np.array([[12.0], [8.0], [0.0]])
    well = depth * np.exp(-(((x - spot) / 200) ** 2))
    under = tufted - np.array([[1.0], [0.9], [0.8]]) * well
    names = ("upper face", "under the panel", "top of the unit")
    return Section(x, names, flat, tufted, under, 340.0, 238.0 - depth), Heights(250.0, 238.0, 238.0 - depth, 340.0)


FILLS = (Fill("panel A", "20 mm", "panel"), Fill("foam", "", "foam"), Fill("unit", beside=((0.0, 70.0, "foam"),)))


class TestViews:
    def test_titles_heights_names_and_one_scale_are_there(self, seen) -> None:  # type: ignore[no-untyped-def]
        drawing = seen(bed_section(*pressed(750.0, 70.0), 750.0, FILLS, tufts=(500.0, 900.0)))
        for words in (
            "unloaded", "tufted", "under the pad", "pressed with 340 N", "250 mm", "238 mm", "168 mm", "340 N",
            "pad 355, R 800, edge R 20 mm", "panel A", "20 mm", "foam", "unit",
        ):  # fmt: skip
            assert words in drawing.says
        assert len(re.findall(r"1 : ", drawing.says)) == 1
        assert drawing.outside() == []
        assert drawing.over_each_other() == []

    def test_a_bed_without_tufts_says_so(self, seen) -> None:  # type: ignore[no-untyped-def]
        assert "no tuft in the cut" in seen(bed_section(*pressed(750.0, 70.0), 750.0)).says

    def test_without_fills_the_interfaces_are_named(self, seen) -> None:  # type: ignore[no-untyped-def]
        drawing = seen(bed_section(*pressed(750.0, 70.0), 750.0))
        assert "upper face | under the panel | top of the unit" in drawing.says

    def test_the_face_of_the_pad_is_true_to_scale(self) -> None:
        svg = bed_section(*pressed(750.0, 70.0), 750.0, FILLS)
        scale = float(re.search(r"1 to ([\d.]+)", svg)[1])  # type: ignore[index]
        pad = next(m for m in svg.split("<path") if 'stroke="#35318f" stroke-width="0.5"' in m and "Z" in m)
        points = [tuple(map(float, one.split())) for one in pad.split('"')[1][1:-1].split("L")]
        xs, ys = np.array(points).T
        assert (xs.max() - xs.min()) * scale == pytest.approx(355.0, abs=0.03 * scale)
        axis = (xs.min() + xs.max()) / 2
        ball = np.abs(xs - axis) * scale < 150.0
        up = (ys.max() - ys[ball]) * scale
        assert up == pytest.approx(800 - np.sqrt(800**2 - ((xs[ball] - axis) * scale) ** 2), abs=0.015 * scale)

    def test_interfaces_lie_at_their_heights(self) -> None:
        section, heights = pressed(750.0, 70.0)
        svg = bed_section(section, heights, 750.0, FILLS)
        scale = float(re.search(r"1 to ([\d.]+)", svg)[1])  # type: ignore[index]
        heavy = [m.split('"')[1] for m in svg.split("<path") if 'stroke-width="0.45"' in m]
        lines = [[tuple(map(float, p.split())) for p in one[1:].split("L")] for one in heavy]
        face, base = lines[0], lines[1]
        assert {round((base[0][1] - y) * scale) for _, y in face} == {250}
        third = [line for line in lines if len(line) > 20][2]
        base = [line for line in lines if len(line) == 2][-1]
        dip = (base[0][1] - max(y for _, y in third)) * scale
        assert dip == pytest.approx(168.0, abs=0.02 * scale)

    def test_a_pad_half_off_the_bed_is_drawn_whole(self, seen) -> None:  # type: ignore[no-untyped-def]
        for spot in (0.0, 1500.0):
            drawing = seen(bed_section(*pressed(spot, 90.0), spot, FILLS))
            assert drawing.outside() == []

    def test_same_bytes_twice(self) -> None:
        first, second = (bed_section(*pressed(400.0, 60.0), 400.0, FILLS, (300.0,)) for _ in range(2))
        assert first == second


@pytest.mark.parametrize(("bed", "size"), [("SNIPE", "150"), ("KNOT", "135"), ("RUFF", "90")])
def test_the_layers_of_a_real_bed(seen, bed_of, bed, size) -> None:  # type: ignore[no-untyped-def]
    one = bed_of(bed, size)
    found = bands(one)
    x = np.linspace(0.0, one.width, 101)
    flat = np.array([np.full_like(x, band.top) for band in found])
    section = Section(x, tuple(band.words for band in found), flat, flat, 0.8 * flat, 340.0, 0.8 * one.reckoned_height)
    heights = Heights(one.reckoned_height, one.reckoned_height, 0.8 * one.reckoned_height, 340.0)
    fills = [Fill(band.words, band.lighter, band.hatch, coils_in(one, band)) for band in found]
    for reach in (450.0, None):
        drawing = seen(bed_section(section, heights, one.width / 2, fills, reach=reach))
        assert drawing.outside() == []
        assert drawing.over_each_other() == []
        for band in found:
            assert band.words.split("  ")[0] in drawing.says


class TestRefusals:
    def test_not_finite(self) -> None:
        section, heights = pressed(750.0, 70.0)
        section.under_pad[1, 3] = np.nan
        with pytest.raises(OutsideRange, match="under the pad has heights that are not finite"):
            bed_section(section, heights, 750.0)

    def test_shapes(self) -> None:
        section, heights = pressed(750.0, 70.0)
        wrong = Section(section.x[:-1], section.names, section.unloaded, section.tufted, section.under_pad, 340.0, 1.0)
        with pytest.raises(OutsideRange, match="unloaded has the shape"):
            bed_section(wrong, heights, 750.0)
        back = Section(section.x[::-1], section.names, section.unloaded, section.tufted, section.under_pad, 340.0, 1.0)
        with pytest.raises(OutsideRange, match="must rise"):
            bed_section(back, heights, 750.0)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(600, 2400), st.floats(0, 1), st.floats(1, 150), st.floats(0.2, 4.0),
    st.lists(st.text(max_size=60), min_size=3, max_size=3), st.floats(120, 200),
    st.one_of(st.none(), st.floats(100, 900)),
)  # fmt: skip
def test_any_bed_stays_on_the_paper(seen, wide, share, depth, tall, names, paper, reach) -> None:  # type: ignore[no-untyped-def]
    section, heights = pressed(share * wide, depth, wide)
    section = Section(section.x, section.names, *(tall * one for one in (section.unloaded, section.tufted)),
                      tall * section.under_pad, 340.0, tall * section.pad_low)  # fmt: skip
    heights = Heights(tall * 250, tall * 238, tall * (238 - depth), 340.0)
    fills = [Fill(names[0], names[1], "panel"), Fill(names[1], names[2], "foam"), Fill(names[2])]
    svg = bed_section(section, heights, share * wide, fills, (wide / 3,), width=paper, reach=reach)
    assert seen(svg).outside() == []
    assert svg == bed_section(section, heights, share * wide, fills, (wide / 3,), width=paper, reach=reach)
