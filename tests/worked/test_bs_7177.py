"""Hazard table and limits for reading reports. Books: bs-7177, bs-5852, cfr-1632, cfr-1633, si-2025-531."""

import pytest

from bedwright.marks.fire import (
    CERTIFIES_NOTHING,
    evidence_gap,
    hazard_tests,
    read_bs_5852,
    read_cfr_1632,
    read_cfr_1633,
    uk_1988_scope,
)


def test_medium_hazard() -> None:
    assert set(hazard_tests("medium")) == {"EN 597-1", "EN 597-2", "BS 6807 cl. 9 source 5"}


def test_the_other_classes() -> None:
    assert hazard_tests("Low") == ("EN 597-1", "EN 597-2")
    assert hazard_tests("high") == ("EN 597-1", "EN 597-2", "BS 6807 cl. 9 source 7")
    assert hazard_tests("very high") == hazard_tests("high")


def test_evidence_is_named_when_missing() -> None:
    gap = evidence_gap("medium", ["EN 597-1", "BS 6807 cl. 9 source 7"])
    assert gap.missing == ("EN 597-2", "BS 6807 cl. 9 source 5")
    assert not gap.complete
    assert gap.says == CERTIFIES_NOTHING
    assert evidence_gap("medium", hazard_tests("medium")).complete


def test_very_high_asks_the_specifier() -> None:
    assert not evidence_gap("very high", hazard_tests("high")).complete
    assert evidence_gap("very high", hazard_tests("high"), specifier_set=["as set"]).missing == ("as set",)


@pytest.mark.parametrize(("peak", "total", "within"), [(200, 15, (True, True)), (200.1, 15.1, (False, False))])
def test_open_flame(peak: float, total: float, within: tuple[bool, bool]) -> None:
    assert tuple(reading.within for reading in read_cfr_1633(peak, total)) == within


@pytest.mark.parametrize(("char", "within"), [(5.1, True), (5.2, False)])
def test_cigarette(char: float, within: bool) -> None:
    assert read_cfr_1632(char).within is within


@pytest.mark.parametrize(
    ("source", "seconds", "within"),
    [(5, 600, True), (5, 601, False), (2, 120, True), (3, 121, False), (7, 780, True), (6, 781, False)],
)
def test_flaming(source: int, seconds: float, within: bool) -> None:
    assert read_bs_5852(source, seconds).within is within


@pytest.mark.parametrize(("size", "covered"), [((169, 74), False), ((170, 74), True), ((169, 75), True)])
def test_scope_cut_of_2025(size: tuple[float, float], covered: bool) -> None:
    assert uk_1988_scope(*size, for_child=True).covered is covered


def test_scope_of_parts_and_of_others() -> None:
    assert uk_1988_scope(190, 90, for_child=True, parts_cm=((120, 70), (70, 70))).covered is False
    assert uk_1988_scope(190, 90, for_child=True, parts_cm=((120, 75), (70, 70))).covered is True
    assert uk_1988_scope(150, 70, for_child=False).covered is True
