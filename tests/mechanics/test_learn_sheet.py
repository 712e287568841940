"""Pressure sheets of a maker: what is read, cleared, rescaled and said; and beside the prediction of one."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.errors import FaultsFound, NotReadable
from bedwright.mechanics.learn_csv import cells_in
from bedwright.mechanics.learn_lain import beside_lying
from bedwright.mechanics.learn_sheet import (
    GRAVITY,
    PressureSheet,
    SheetMap,
    cleared,
    linearity,
    middle_along,
    pressure_sheets,
    shares_along,
    sheet_map,
)
from bedwright.mechanics.lying import Lies, Lying, lying
from bedwright.mechanics.person import person
from bedwright.works.workbook.csv_folder import read_csv_folder

Array = NDArray[np.float64]
ROOT = Path(__file__).resolve().parents[2]
MAN = Lies(person("man 1755 mm 80 kg"))


@lru_cache
def bed() -> BedAtSize:
    works = read_csv_folder(ROOT / "demo")
    return bed_at_size(works, works.beds["AVOCET"], works.sizes["150x200"])


@lru_cache
def lain() -> Lying:
    return lying(bed(), [MAN], cell=25.0)


GRIDS = st.integers(4, 12).flatmap(
    lambda wide: st.lists(st.lists(st.integers(0, 4095), min_size=wide, max_size=wide), min_size=4, max_size=12)
)


@settings(max_examples=50, deadline=None)
@given(GRIDS, st.sampled_from([";", "\t", ","]), st.sampled_from(["", "supine", "left side"]))
def test_what_is_written_is_read(rows: list[list[int]], by: str, name: str) -> None:
    text = "\n".join([*([name] if name else []), *(by.join(map(str, row)) for row in rows)])
    (sheet,) = pressure_sheets(cells_in(text))
    assert sheet.cells.tolist() == rows
    assert sheet.posture == {"": "", "supine": "supine", "left side": "side"}[name]


@settings(max_examples=50, deadline=None)
@given(GRIDS, st.floats(0.5, 200), st.floats(45, 130))
def test_the_sum_is_the_weight_whatever_the_sheet_read(rows: list[list[int]], pitch: float, mass: float) -> None:
    sheet = PressureSheet(np.array(rows, dtype=np.float64))
    try:
        found = sheet_map(sheet, (max(2.0, min(pitch, 150.0)),) * 2, "mmHg", mass)
    except FaultsFound:
        return
    force = float(found.pressure.sum()) * found.pitch[0] * found.pitch[1] * 1e-3
    assert force == pytest.approx(mass * GRAVITY, rel=1e-9)
    assert found.mean <= found.p95 * 2 + 1e9 * (found.p95 == 0) and found.p95 <= found.p99
    # what the sheet read over the weight is its own sum in kPa over the same area
    own = float(cleared(sheet.cells)[0].sum()) * 0.133322 * found.pitch[0] * found.pitch[1] * 1e-3
    assert found.read == pytest.approx(own / (mass * GRAVITY), rel=1e-3)


@given(st.text(max_size=150))
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    try:
        assert pressure_sheets(cells_in(text))
    except (FaultsFound, NotReadable) as error:
        assert str(error)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "has 0 rows of 0 cells"),
        ("1;2;3;4\n1;2;3;4\n1;2;3;4", "has 3 rows of 4 cells"),
        ("1;2;3;4\n1;2;3\n1;2;3;4\n1;2;3;4", "row 2 has 3 cells, and the frame's first row 4"),
        ("1;2;3;4\n1;x;3;4\n1;2;3;4\n1;2;3;4", "row 2 is no row of readings"),
        ("1;2;3;4\n1;-2;3;4\n1;2;3;4\n1;2;3;4", "row 2 has a reading under 0"),
    ],
)
def test_what_is_not_right_is_named(text: str, says: str) -> None:
    with pytest.raises(FaultsFound, match=says):
        pressure_sheets(cells_in(text))


def test_spikes_are_cleared_and_peaks_are_not() -> None:
    x, y = np.meshgrid(np.arange(12.0), np.arange(16.0))
    smooth = 100 * np.exp(-((x - 6) ** 2 + (y - 8) ** 2) / 20)
    assert cleared(smooth)[1] == 0
    spiked = smooth.copy()
    spiked[8, 3] = 4095.0
    clean, count = cleared(spiked)
    assert count == 1 and clean[8, 3] == pytest.approx(smooth[8, 3], rel=0.3)
    alone = np.zeros((6, 6))
    alone[3, 3] = 50.0  # one heel on one cell
    assert cleared(alone)[1] == 0


def test_what_nothing_can_be_made_of() -> None:
    sheet = PressureSheet(np.zeros((5, 5)))
    with pytest.raises(FaultsFound) as found:
        sheet_map(sheet, (1.0, 500.0), "kPa", 80.0)
    text = str(found.value)
    assert "a pitch of 1 mm along" in text and "a pitch of 500 mm across" in text and "nothing presses" in text


def test_shares_cut_rows_where_they_must() -> None:
    pressure = np.ones((10, 3))
    along: Array = np.arange(10, dtype=np.float64) * 20.0 + 10.0  # 0 to 200 mm
    shares = shares_along(pressure, along, np.array([25.0, 100.0, 130.0]))
    assert list(shares.values()) == pytest.approx([0.125, 0.375, 0.15, 0.35])
    assert middle_along(pressure, along) == pytest.approx(100.0)


def of(answer: Lying, by: float = 1.0, posture: str = "") -> PressureSheet:
    return PressureSheet(answer.pressure * by, posture)


def test_the_predictions_own_map_comes_back() -> None:
    """A sheet that reads a quarter too little of a person as predicted: area, mean and peaks come back. The map lies
    further up the bed, with a spike in it."""
    cells = of(lain(), 0.75).cells
    cells = np.concatenate([cells[1:], cells[:1]])
    cells[5, 0] = cells[30, 2] = 0.0
    row, column = np.unravel_index(np.argsort(cells.ravel())[-60], cells.shape)
    cells[row, column] *= 20
    sheet = sheet_map(PressureSheet(cells, "supine"), (25.0, 25.0), "kPa", 80.0)
    # steep edges of the touched area are cleared too, and so a little more than the quarter is missing
    assert sheet.read == pytest.approx(0.74, abs=0.02) and "less than the weight" in sheet.words
    assert 1 <= sheet.spikes < 30 and "spikes cleared" in sheet.words
    found = beside_lying(bed(), sheet, MAN)
    pairs = {pair.what: pair for pair in found.pairs}
    for what, near in (("touched area", 0.05), ("mean pressure", 0.05), ("P95", 0.08), ("P99", 0.12)):
        assert pairs[what].off == pytest.approx(0.0, abs=near), what
    for part in ("trunk", "pelvis", "legs"):
        assert pairs[f"share of {part}"].measured == pytest.approx(pairs[f"share of {part}"].predicted, abs=0.02)
    # heels stand on a cell or two, which the clearing takes for spikes: the middle goes some way up
    assert found.moved == pytest.approx(25.0 + float(lain().y[0] - 12.5), abs=16.0)
    assert any("no medical claim" in note for note in found.notes)


def test_a_short_sheet_and_another_posture_are_said() -> None:
    half = sheet_map(PressureSheet(lain().pressure[: len(lain().y) // 2]), (25.0, 25.0), "raw", 80.0)
    assert half.read is None and "raw counts: one is" in half.words
    assert any("a part of the body lies off it" in note for note in beside_lying(bed(), half, MAN).notes)
    whole = sheet_map(of(lain(), posture="side"), (25.0, 25.0), "kPa", 80.0)
    with pytest.raises(FaultsFound, match="a person side, and supine was asked"):
        beside_lying(bed(), whole, MAN)


def scaled(by: float, posture: str) -> SheetMap:
    return sheet_map(of(lain(), by, posture), (25.0, 25.0), "kPa", 80.0)


def test_a_sheet_that_is_not_linear_is_said_to_be() -> None:
    assert linearity((scaled(1.0, "supine"),)) == ""
    told = linearity((scaled(1.0, "supine"), scaled(1.25, "side")))  # as the open maps of book pmat-data read
    assert "side +25 %" in told and "not linear" in told
    assert "as near as sheets come" in linearity((scaled(1.0, "supine"), scaled(1.04, "side")))


def test_a_sheet_that_is_cut_off_at_its_greatest_reading_is_said() -> None:
    cells = np.minimum(lain().pressure, float(np.quantile(lain().pressure, 0.99)))
    assert "peaks are cut off" in sheet_map(PressureSheet(cells), (25.0, 25.0), "kPa", 80.0).words
