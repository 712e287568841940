"""Wire gauges and UK sizes as typed. Books: bs-3737 (half gauges: midpoint by convention), uk-sizes, awg."""

import pytest

from bedwright.typed import length_mm, wire_diameter


@pytest.mark.parametrize(("gauge", "mm"), [(12, 2.642), (13, 2.337), (14, 2.032), (15, 1.829), (16, 1.626)])
def test_whole_gauges(gauge: int, mm: float) -> None:
    assert wire_diameter(f"{gauge} SWG").mm == pytest.approx(mm, abs=0.0005)


@pytest.mark.parametrize(
    ("gauge", "mm"),
    [("12 1/2", 2.489), ("13 1/2", 2.184), ("14.5", 1.930), ("15½", 1.727), ("16.5", 1.524), ("17.5", 1.321)],
)
def test_half_gauges(gauge: str, mm: float) -> None:
    # printed to 3 places from the inch table, hence 0.001
    assert wire_diameter(f"{gauge} SWG").mm == pytest.approx(mm, abs=0.001)


def test_the_systems_differ() -> None:
    assert wire_diameter("13 AWG").mm == 1.829
    assert wire_diameter("13 SWG").mm == 2.337


@pytest.mark.parametrize(("typed", "cm"), [("4 ft 6", 137.2), ("5 ft", 152.4), ("6 ft", 182.9)])
def test_uk_sizes_are_rounded_from_feet(typed: str, cm: float) -> None:
    # labels say 135, 150 and 180 cm; a bed ordered in feet is asked about, never silently turned
    assert length_mm(typed) / 10 == pytest.approx(cm, abs=0.05)
