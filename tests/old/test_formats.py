"""Every stored format so far is read for ever: a frozen sample of each, made by the program of its day.

Never make a sample anew: when a format changes, add the next sample and the upcaster that reads the older ones.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from bedwright.works.about import FORMAT
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
