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
    book.remove(book["bed_tests"])
    book.save(tmp_path / "works.xlsx")
    assert [(fault.sheet, fault.says) for fault in examine(tmp_path / "works.xlsx").grave] == [
        ("bed_tests", "is missing")
    ]


def test_format_2_brings_its_new_rows() -> None:
    works = examine(SAMPLES[1]).works
    assert works is not None
    table = works.coils["TABLE"]
    assert table.diameters == (28, 26.5, 24, 26, 27.5)
    assert [(heat.wire_lot, heat.height_shift, heat.first_set) for heat in table.heats] == [("lot 7", -1.25, 2.5)]
    (zone,) = works.units[works.beds["POCKET-1"].unit].zones
    assert (zone.first_row, zone.last_row, zone.first_column, zone.last_column, zone.per_place) == (5, 8, 3, 6, 4)
    assert [point.stress for point in works.fillings["FOAM"].returns] == [0.1, 0.3]
    assert [(row.cycles, row.height_after) for row in works.beds["POCKET-1"].tests] == [(30000, 199.5)]
    assert works.beds["POCKET-1"].panel_fullness == -0.5
    (term,) = works.rules["firmness_rating"].terms
    assert (term.coefficient, term.power_of_hardness, term.power_of_work) == (2, -0.5, 0.25)
