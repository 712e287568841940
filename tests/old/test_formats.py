"""Every stored format so far is read for ever: a frozen sample of each, made by the program of its day.

Never make a sample anew: when a format changes, add the next sample and the upcaster that reads the older ones.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import load_workbook

from bedwright.works.about import FORMAT
from bedwright.works.workbook.older import NEW_IN_2
from bedwright.works.workbook.reader import examine

SAMPLES = sorted(Path(__file__).parent.glob("works-format-*.xlsx"))


def test_there_is_a_sample_of_every_format() -> None:
    assert [sample.stem.rsplit("-", 1)[1] for sample in SAMPLES] == [str(number) for number in range(1, FORMAT + 1)]


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.stem)
def test_a_sample_is_read_whole(sample: Path) -> None:
    found = examine(sample)
    assert found.grave == ()
    works = found.works
    assert works is not None
    assert works.about.works_id == "old-sample"
    assert (len(works.beds), len(works.sizes), len(works.orders)) == (2, 3, 1)
    assert works.wires["W22"].diameter == 2.2
    assert works.beds["OPEN-2"].face_layers("A")[0].part == "INSULATOR"
    assert [step.position for step in works.routes["ROUTE-OPEN"].ordered()][:3] == [110, 120, 130]


def test_format_1_is_whole_without_the_sheets_that_came_later() -> None:
    """They are empty, the works is stamped with today's format, and nothing else is told of it."""
    found = examine(SAMPLES[0])
    assert found.works is not None and found.works.about.format == FORMAT
    assert [fault for fault in found.faults if fault.sheet in NEW_IN_2] == []
    assert all(not coil.points and not coil.heats for coil in found.works.coils)


def test_a_workbook_of_today_must_have_every_sheet(tmp_path: Path) -> None:
    book = load_workbook(SAMPLES[-1])
    book.remove(book["coil_points"])
    book.save(tmp_path / "works.xlsx")
    assert [(fault.sheet, fault.says) for fault in examine(tmp_path / "works.xlsx").grave] == [
        ("coil_points", "is missing")
    ]
