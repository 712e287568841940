"""Cards of the bed: what a maker measures of ties and of whole beds, and what may not be said."""

from __future__ import annotations

from typing import Any

import pytest

from bedwright.errors import CardRefused
from bedwright.works.beds import Bed, BedTest
from bedwright.works.works import Works


def made(bed: Bed, **changes: Any) -> Bed:
    values = {name: getattr(bed, name) for name in Bed.model_fields}
    return Bed.make(**{**values, **changes})


def test_a_test_needs_both_ends_of_a_change() -> None:
    whole = BedTest(position=1, cycles=30000, height_before=240.0, height_after=234.5)
    assert whole.hardness_before is None
    wrong: tuple[tuple[dict[str, float], str], ...] = (
        ({}, "both empty"),
        ({"height_before": 240.0}, "height_after is empty"),
        ({"height_before": 240.0, "height_after": 236.0, "hardness_after": 4.0}, "hardness_before is empty"),
    )
    for values, says in wrong:
        with pytest.raises(ValueError, match=says):
            BedTest(position=1, cycles=30000, **values)  # type: ignore[arg-type]


def test_fullness_goes_both_ways(small_works: Works) -> None:
    bed = next(iter(small_works.beds))
    assert [made(bed, panel_fullness=value).panel_fullness for value in (-1.5, 0.0, 2.0)] == [-1.5, 0.0, 2.0]
    with pytest.raises(CardRefused, match="panel_fullness"):
        made(bed, panel_fullness=11.0)
