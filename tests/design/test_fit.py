"""Fit: each fault is found, names its card and field, echoes the value and says what would do."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bedwright.design.buildup import bed_at_size
from bedwright.design.fit import fit
from bedwright.errors import CardRefused, Fault
from bedwright.works.beds import BedClaim, Size
from bedwright.works.works import Works

Change = Callable[..., Works]


def faults_of(works: Works, bed: str, size: str = "150x200") -> tuple[Fault, ...]:
    return fit(works, bed_at_size(works, works.beds[bed], works.sizes[size]))


def grave(works: Works, bed: str, size: str = "150x200") -> list[str]:
    return [str(fault) for fault in faults_of(works, bed, size) if fault.grave]


def test_the_starter_fits(starter: Works) -> None:
    for bed in starter.beds:
        for size in starter.sizes:
            assert grave(starter, bed.code, size.code) == []


def test_whole_unit_heat_is_refused_for_anything_in_cloth(starter: Works, changed: Change) -> None:
    coil = starter.coils[starter.units["UNIT-POCKET"].coil]
    found = grave(changed(starter, coil, heat="whole unit"), "POCKET-1")
    assert len(found) == 1
    assert "would melt the pocket cloth" in found[0] and coil.code in found[0]


def test_a_coil_wider_than_its_pitch(starter: Works, changed: Change) -> None:
    coil = starter.coils[starter.units["UNIT-OPEN"].coil]
    unit = starter.units["UNIT-OPEN"]
    found = grave(changed(starter, unit, pitch_along=60.0), "OPEN-2")
    assert any("end_diameter" in text and coil.code in text and "leaves 60 mm" in text for text in found)


def test_a_pocket_higher_than_its_coil_and_one_too_low(starter: Works, changed: Change) -> None:
    unit = starter.units["UNIT-POCKET"]
    assert any(
        "the pocket is higher" in text for text in grave(changed(starter, unit, pocket_height=300.0), "POCKET-1")
    )
    assert any("is solid at about" in text for text in grave(changed(starter, unit, pocket_height=9.0), "POCKET-1"))


def test_laced_tufted_rodded_beds_may_not_be_rolled(starter: Works, changed: Change) -> None:
    found = grave(changed(starter, starter.beds["OPEN-2"], wrap="rolled"), "OPEN-2")
    text = "\n".join(found)
    assert "edge rod" in text and "laced open coil" in text and "hand tufts" in text
    assert "not known to recover" in text


def test_tufts_longer_than_the_bed_is_high(starter: Works, changed: Change) -> None:
    found = grave(changed(starter, starter.beds["OPEN-2"], tufted_height=400.0), "OPEN-2")
    assert any("would hang loose" in text and "'400'" in text for text in found)


def test_tufts_that_pull_too_deep(starter: Works, changed: Change) -> None:
    found = grave(changed(starter, starter.beds["OPEN-2"], tufted_height=70.0), "OPEN-2")
    assert any("below 60 %" in text for text in found)


def test_a_height_the_parts_do_not_give(starter: Works, changed: Change) -> None:
    found = grave(changed(starter, starter.beds["POCKET-1"], finished_height=260.0), "POCKET-1")
    assert any("the parts add up to 204 mm" in text for text in found)


def test_upper_bunk(starter: Works, changed: Change) -> None:
    found = grave(changed(starter, starter.beds["POCKET-1"], upper_bunk=True), "POCKET-1", "90x190")
    assert any("upper bunk's mark of 150 mm" in text for text in found)


def test_border_lower_than_the_unit_presses_it_down(starter: Works, changed: Change) -> None:
    found = grave(changed(starter, starter.beds["POCKET-1"], finished_height=160.0), "POCKET-1")
    assert any("would press the coils down" in text for text in found)


@pytest.mark.parametrize(
    ("claimed", "counts", "size", "expected"),
    [
        (660.0, "coils of the unit", "150x200", None),
        (1320.0, "coils of the unit", "150x200", "this size has 660"),
        (660.0, "coils of the unit", "90x190", None),  # claimed for another size than the one looked at
        (None, "not a count", None, "does not say how many"),
    ],
)
def test_a_spring_count_counts_what_it_says(
    starter: Works, changed: Change, claimed: float | None, counts: str, size: str | None, expected: str | None
) -> None:
    claim = BedClaim(position=1, claim="spring count", counts=counts, claimed=claimed, size=size)  # type: ignore[arg-type]
    found = grave(changed(starter, starter.beds["POCKET-1"], claims=(claim,)), "POCKET-1")
    assert (found == []) if expected is None else any(expected in text for text in found)


def test_a_panel_too_wide_for_its_roll(starter: Works, changed: Change) -> None:
    ticking = starter.cloths[starter.panels["PANEL-MULTI"].ticking]
    found = grave(changed(starter, ticking, roll_width=1000.0, usable_width=None), "POCKET-1")
    assert any("is fed" in text and "1000" in text for text in found)


def test_one_sided_without_base_cloth(starter: Works, changed: Change) -> None:
    closure = starter.closures[starter.beds["POCKET-1"].closure]
    found = grave(changed(starter, closure, base_cloth=None), "POCKET-1")
    assert any("no cloth under it" in text for text in found)


def test_sizes_of_cots_are_refused_at_the_card() -> None:
    with pytest.raises(CardRefused, match="out of scope"):
        Size.make(code="COT", width=700.0, length=1400.0)
    # the law takes out only what is both short and narrow; here one of the two is enough
    for width, length in ((750.0, 1690.0), (740.0, 1700.0), (760.0, 1400.0)):
        with pytest.raises(CardRefused, match="out of scope here, follow the cot standards"):
            Size.make(code="COT", width=width, length=length)
    assert Size.make(code="LEAST", width=750.0, length=1700.0).width == 750
