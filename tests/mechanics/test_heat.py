"""Heat is a shift of height and of first set, by lots; never a stiffness. Lots here are made up."""

import dataclasses

import pytest

from bedwright.errors import FaultsFound
from bedwright.mechanics.heat import HeatedHeight, WireLot, heated_height

LOTS = (
    WireLot.of_heights("A", 131.0, 129.5, 127.5),
    WireLot.of_heights("B", 130.0, 128.0, 126.4),
    WireLot.of_heights("C", 130.5, 129.5, 127.8),
)


def test_height_after_heat_and_first_pressing() -> None:
    found = heated_height("whole unit", 130.0, LOTS)
    # shifts -1.5, -2.0, -1.0: mean -1.5, spread 0.5; next lot 4.303 x 0.5 x sqrt(4/3) = 2.484
    assert found.shift is not None and found.first_set is not None
    assert (found.shift.mean, found.shift.spread) == (pytest.approx(-1.5), pytest.approx(0.5))
    assert found.after_heat == pytest.approx(128.5)
    assert found.after_heat_interval == pytest.approx((128.5 - 2.484, 128.5 + 2.484), abs=2e-3)
    assert found.first_set.mean == pytest.approx((2.0 + 1.6 + 1.7) / 3)
    assert found.after_press == pytest.approx(130 - (3.5 + 3.6 + 2.7) / 3)


def test_no_heat_leaves_the_height_and_still_has_a_first_set() -> None:
    found = heated_height("none", 130.0, (WireLot("A", None, 4.0), WireLot.of_heights("B", 131.0, None, 127.5)))
    assert (found.after_heat, found.after_heat_interval, found.shift) == (130.0, (130.0, 130.0), None)
    assert found.first_set is not None and found.first_set.mean == pytest.approx(3.75)
    assert found.after_press == pytest.approx(126.25)


def test_lots_of_wire_differ_without_heat_too() -> None:
    found = heated_height("none", 130.0, (WireLot("A", 1.0, 4.0), WireLot("B", -1.0, 3.0)))
    assert found.after_heat == 130 and found.after_heat_interval is not None
    assert found.after_heat_interval[0] < 120  # two lots two millimetres apart say little: t is 12.7
    assert found.after_press == pytest.approx(130 - (3 + 4) / 2)


def test_a_first_set_alone_is_kept() -> None:
    found = heated_height("at the coiler", 130.0, (WireLot("A", None, 4.0), WireLot("B", -1.0, 3.0)))
    assert found.first_set is not None and found.first_set.mean == 3.5
    assert (found.after_press, found.after_press_interval) == (126.0, None)  # of the lot that was read whole


def test_not_measured_is_said_with_how() -> None:
    found = heated_height("at the coiler", 130.0)
    assert (found.after_heat, found.after_heat_interval, found.after_press) == (None, None, None)
    assert sum("not known: of each wire lot take ten coils" in note for note in found.notes) == 2


def test_one_lot_has_no_interval() -> None:
    found = heated_height("at the coiler", 130.0, LOTS[:1])
    assert (found.after_heat, found.after_heat_interval) == (pytest.approx(128.5), None)
    assert "shift of height by heat: one lot says nothing of the spread among lots: measure a second one" in found.notes


def test_it_holds_no_stiffness() -> None:
    names = {field.name for field in dataclasses.fields(HeatedHeight)}
    assert not {name for name in names if "rate" in name or "stiff" in name or "modulus" in name}
    assert "the rate stays that of the wire" in heated_height("none", 130.0).notes[0]


def test_faults_all_at_once() -> None:
    with pytest.raises(FaultsFound) as caught:
        heated_height("whole unit", 130.0, (WireLot("Q", 1300.0),), in_cloth=True)
    assert [fault.field for fault in caught.value.faults] == ["heat", "shift"]
    assert "wire lot Q" in str(caught.value) and "melts" in str(caught.value)


def test_coils_do_not_grow_by_pressing() -> None:
    found = heated_height("none", 130.0, (WireLot("A", None, -1.0), WireLot("B", None, -0.5)))
    assert any("do not grow" in note for note in found.notes)
