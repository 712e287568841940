"""The pressure map read back: every cell its step, one hue that grey can tell apart, figures, threshold and caution."""

from __future__ import annotations

import base64
import io
import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp
from PIL import Image

from bedwright.errors import OutsideRange
from bedwright.mechanics.lain import CAUTION, THRESHOLD
from bedwright.papers.drawings.png import png
from bedwright.papers.drawings.pressure_map import HUES, POINTS, STEPS, pressure_map, steps_of


def picture(svg: str) -> Image.Image:
    """The picture inside, as a decoder that is not ours reads it."""
    data = re.search(r'href="data:image/png;base64,([^"]+)"', svg)
    assert data is not None
    return Image.open(io.BytesIO(base64.b64decode(data[1]))).convert("RGB")


def lightness(hue: str) -> float:
    """CIE L* of a colour (CIE 1976; sRGB as IEC 61966-2-1; both from memory)."""
    channels = [int(hue[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    y = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    return 116 * (y ** (1 / 3) if y > 216 / 24389 else y * 841 / 108 + 4 / 29) - 16


def one_line(drawing) -> str:  # type: ignore[no-untyped-def]
    return drawing.says.replace(" | ", " ")


class TestMap:
    def test_every_cell_is_read_back_in_its_step(self, made) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made(("man 1755 mm 80 kg", "supine", 80, 420), ("woman 1630 mm 62 kg", "side", 62, 1080))
        image = np.asarray(picture(pressure_map(lying)))
        seen = image[POINTS // 2 :: POINTS, POINTS // 2 :: POINTS]
        assert seen.shape[:2] == lying.pressure.shape
        colours = np.array([[int(hue[at : at + 2], 16) for at in (1, 3, 5)] for hue in HUES])
        for step, low, high in zip(range(len(HUES)), (-1, *STEPS), (*STEPS, np.inf), strict=True):
            cells = (seen == colours[step]).all(axis=2)
            assert ((lying.pressure[cells] >= low) & (lying.pressure[cells] <= high)).all()
        assert ((seen != colours[0]).any(axis=2) == (lying.pressure > THRESHOLD)).all()

    def test_the_picture_lies_where_its_cells_do(self, made) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made()
        whole = pressure_map(lying, 112.0)
        part = replace(lying, x=lying.x[20:60], y=lying.y[5:95], pressure=lying.pressure[5:95, 20:60])
        box = r'<image x="(.+?)" y="(.+?)" width="(.+?)" height="(.+?)"'
        found = [re.search(box, svg) for svg in (whole, pressure_map(part, 112.0))]
        places = [[float(value) for value in one.groups()] for one in found if one is not None]
        mm = places[0][2] / 1500
        expected = [places[0][0] + 400 * mm, places[0][1] + 100 * mm, 800 * mm, 1800 * mm]
        assert places[1] == pytest.approx(expected, abs=0.02)

    def test_figures_threshold_cell_and_caution_are_said(self, made, seen) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made(("man 1755 mm 80 kg", "supine", 80, 420), ("woman 1630 mm 62 kg", "side", 62, 1080))
        for width in (84.0, 112.0):
            drawing = seen(pressure_map(lying, width))
            says = one_line(drawing)
            for index, one in enumerate(lying.persons):
                assert f"{index + 1}: {one.called}, {'on the side' if one.posture == 'side' else 'supine'}" in says
                assert f"mean {one.mean:.3g} kPa" in says
                assert f"P99 {one.p99:.3g} kPa" in says
                assert f"touched {one.contact_area:.2f} m²" in says
            assert "Cells of 20 mm; touched: more than 0.5 kPa" in says
            assert "Base solid, face A up" in says
            assert f"greatest {lying.pressure.max():.3g} kPa" in says
            assert CAUTION in says
            for step in STEPS:
                assert f"| {step:g} |" in drawing.says
            assert drawing.outside() == []
            assert drawing.over_each_other() == []
            assert min(text.size for text in drawing.texts) >= 1.68

    def test_the_caution_stands_unless_the_sheet_bears_it(self, made, seen) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made()
        bare = seen(pressure_map(lying, caution=False))
        assert "comparing beds" not in one_line(bare)
        assert "more than 0.5 kPa" in one_line(bare)
        assert bare.height < seen(pressure_map(lying)).height - 8

    def test_one_hue_that_grey_tells_apart(self) -> None:
        falls = [lightness(a) - lightness(b) for a, b in pairwise(HUES)]
        assert min(falls) > 7
        assert len(STEPS) == len(HUES) - 1
        for hue in HUES[1:]:
            red, green, blue = (int(hue[at : at + 2], 16) for at in (1, 3, 5))
            assert green <= red <= blue or blue - max(red, green) > 40, hue

    def test_the_threshold_itself_is_not_touched(self) -> None:
        steps = steps_of(np.array([[0.0, THRESHOLD, THRESHOLD + 1e-9, 1.0, 8.999, 9.0, 500.0]]))
        assert steps.tolist() == [[0, 0, 1, 2, 7, 8, 8]]

    def test_what_cannot_be_drawn_is_refused(self, made) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made()
        holed = lying.pressure.copy()
        holed[3, 4] = np.nan
        with pytest.raises(OutsideRange, match="cannot be drawn"):
            pressure_map(replace(lying, pressure=holed))
        with pytest.raises(OutsideRange, match="do not go with"):
            pressure_map(replace(lying, x=lying.x[1:]))

    def test_a_long_name_stays_on_the_paper(self, made, seen) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made()
        long = replace(lying.persons[0], called="man of " + "a very long description " * 8)
        drawing = seen(pressure_map(replace(lying, persons=(long,), bed="<&>", base='sprung "40" kPa/m'), 84.0))
        assert drawing.outside() == []
        assert drawing.over_each_other() == []

    @pytest.mark.parametrize(("wide", "long"), [(750.0, 1900.0), (1800.0, 2000.0), (2000.0, 2200.0)])
    def test_beds_of_every_size(self, made, seen, wide, long) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made(("man 1755 mm 80 kg", "side", 80, wide / 2), width=wide, length=long)
        drawing = seen(pressure_map(lying))
        assert drawing.outside() == []
        assert drawing.over_each_other() == []


class TestPng:
    @settings(max_examples=60, deadline=None)
    @given(hnp.arrays(np.uint8, hnp.array_shapes(min_dims=2, max_dims=2, max_side=40), elements=st.integers(0, 8)))
    def test_another_decoder_reads_every_point(self, numbers) -> None:  # type: ignore[no-untyped-def]
        data = png(numbers, HUES)
        image = Image.open(io.BytesIO(data))
        image.verify()
        found = np.asarray(Image.open(io.BytesIO(data)).convert("RGB"))
        colours = np.array([[int(hue[at : at + 2], 16) for at in (1, 3, 5)] for hue in HUES], dtype=np.uint8)
        assert (found == colours[numbers]).all()
        assert data == png(numbers.copy(), HUES)

    def test_numbers_without_colour_and_no_points_are_refused(self) -> None:
        with pytest.raises(OutsideRange, match="every number needs its colour"):
            png(np.array([[9]], dtype=np.uint8), HUES)
        with pytest.raises(OutsideRange, match="0 x 3"):
            png(np.zeros((0, 3), dtype=np.uint8), HUES)
