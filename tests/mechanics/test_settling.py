"""Loss of height: fillings first, then border, then wire; the maker's own heights stand. Figures here are made up."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.errors import FaultsFound
from bedwright.mechanics import settling as room
from bedwright.mechanics.coil_shape import CoilShape
from bedwright.mechanics.published_grades import NO_YEARS
from bedwright.mechanics.settling import FillingSet, border_loss, filling_loss, pressed_share, settling, wire_loss

FOAM, FELT = FillingSet("foam", 40.0, 2.0, 5.0), FillingSet("felt", 10.0, 5.0, 12.0, pressed=0.5)


def test_fillings_by_thickness_where_the_roller_presses() -> None:
    # 40 x 2 % + 10 x 5 % x 0.5 = 1.05; upper ends in full: 40 x 5 % + 10 x 12 % = 3.2
    part = filling_loss((FOAM, FELT))
    assert (part.name, part.low, part.high) == ("fillings", pytest.approx(1.05), pytest.approx(3.2))


def test_parts_add_in_their_order() -> None:
    found = settling((FOAM, FELT), border_loss(0.5, 2.0, 0.5), wire_loss(1.2))
    assert tuple(part.name for part in found.parts) == room.ORDER == ("fillings", "border and edge", "wire")
    assert (found.low, found.high) == (pytest.approx(1.05 + 0.25), pytest.approx(3.2 + 1.0 + 1.2))
    assert (found.source, found.value, found.first) == ("reckoned", None, "fillings")
    assert found.grades == (1, 2)  # 1.3 to 5.4 mm: below 3, below 6


def test_what_is_not_known_leaves_the_upper_end_open_and_says_how() -> None:
    found = settling((FOAM, FillingSet("wool", 12.0)), border_loss(None, None, 0.0), wire_loss(None))
    assert found.high is None and found.grades == (1, None)
    assert found.not_known == ("fillings", "wire") and found.known_high == 0
    assert found.low == pytest.approx(0.8)
    text = " ".join(found.notes)
    assert "set of wool not known: ask the supplier" in text and "press ten coils of each wire lot" in text


def test_wire_is_nothing_up_to_its_first_set() -> None:
    part = wire_loss(1.5)
    assert (part.low, part.high) == (0.0, 1.5)
    assert wire_loss(-0.2).high == 0
    assert wire_loss(1.5, relaxation=(0.2, 0.6)).high == 0.6
    assert "not known" in border_loss(None, None).how and border_loss(None, None).high is None
    assert border_loss(None, None, 0.0).high == 0


def test_the_makers_heights_stand() -> None:
    before, after = (260.0, 261.0, 259.5), (257.0, 258.4, 256.3)  # losses 3.0, 2.6, 3.2
    found = settling((FOAM,), border_loss(0, 1, 0.0), wire_loss(0.5), before=before, after=after)
    assert found.source == "measured" and found.readings is not None
    assert found.value == pytest.approx(8.8 / 3)
    assert found.readings.spread == pytest.approx(0.305505, abs=1e-6)
    # t of 2 degrees 4.303: half width of the next bed 4.303 x 0.3055 x sqrt(4/3)
    assert found.high == pytest.approx(8.8 / 3 + 1.518, abs=2e-3)
    assert "does not hold the measured" in found.notes[0]  # reckoned 0.8 to 2.5 mm
    assert NO_YEARS in found.notes


def test_a_summary_serves_as_well_and_one_bed_has_no_upper_end() -> None:
    parts = (border_loss(0, 1, 0.0), wire_loss(0.5))
    assert settling((FOAM,), *parts, summary=(2.86, 0.4, 5)).high == pytest.approx(
        2.86 + 2.776 * 0.4 * 1.2**0.5, abs=1e-3
    )
    one = settling((FOAM,), *parts, before=(260.0,), after=(257.0,))
    assert (one.value, one.high, one.low) == (3.0, None, pytest.approx(0.8))
    assert "one bed says nothing of the spread" in one.notes[0]


def test_the_loss_in_words_says_what_is_not_known() -> None:
    here, flat = border_loss(0, 1, 0.0), wire_loss(0.5)
    assert settling((FOAM,), here, flat).told == "0.8 to 2.5 mm"
    open_ = settling((FOAM, FillingSet("wool", 12.0), FillingSet("wool", 9.0)), here, wire_loss(None))
    assert open_.told == "0.8 mm or more; not known: fillings, wire"
    assert "set of wool not known" in open_.parts[0].how  # said once, though two layers are of it
    assert settling((FOAM,), here, flat, before=(260.0,), after=(257.0,)).told == (
        "3 mm measured on 1 bed, which says nothing of the next"
    )
    # three beds: mean 8.8/3, half width of the next 1.518
    three = settling((FOAM,), here, flat, before=(260.0, 261.0, 259.5), after=(257.0, 258.4, 256.3))
    assert three.told == "2.9 mm measured on 3 beds, the next 1.4 to 4.5 mm"


@given(
    thickness=st.floats(1, 100),
    low=st.floats(0, 50),
    more=st.floats(0, 50),
    pressed=st.floats(0, 1),
    share=st.floats(0, 1),
    first=st.floats(-1, 5),
)
def test_the_interval_is_one(
    thickness: float, low: float, more: float, pressed: float, share: float, first: float
) -> None:
    filling = FillingSet("x", thickness, low, low + more, pressed)
    found = settling((filling,), border_loss(0.1, 0.9, share), wire_loss(first))
    assert found.high is not None and 0 <= found.low <= found.high
    assert found.high <= thickness + 0.9 + 5


def test_pressed_share() -> None:
    assert pressed_share(0.2, 0.4) == pytest.approx(0.5)
    assert (pressed_share(0.9, 0.4), pressed_share(0.2, 0.0), pressed_share(-0.1, 0.4)) == (1.0, 1.0, 0.0)


def test_a_wire_bound_above_the_fillings_is_unusual() -> None:
    found = settling((FillingSet("thin", 5.0, 0.0, 2.0),), border_loss(0, 0, 0.0), wire_loss(4.0))
    assert found.first == "wire" and any("unusual" in note for note in found.notes)


def test_no_word_promises_years() -> None:
    found = settling((FOAM,), border_loss(0, 1), wire_loss(0.5))
    assert [note for note in found.notes if "year" in note] == [NO_YEARS]
    assert "promises no years" in NO_YEARS


def test_faults_all_at_once() -> None:
    with pytest.raises(FaultsFound) as caught:
        filling_loss((FillingSet("a", 0.0, -1.0), FillingSet("b", 5.0, 7.0, 2.0, pressed=2.0)))
    assert [fault.field for fault in caught.value.faults] == ["set", "thickness", "set", "pressed"]
    with pytest.raises(FaultsFound, match="give both heights of every bed"):
        settling((), border_loss(0, 1), wire_loss(0), before=(260.0,), after=())
    with pytest.raises(FaultsFound, match="give heights above 0"):
        settling((), border_loss(0, 1), wire_loss(0), before=(260.0,), after=(-1.0,))
    with pytest.raises(FaultsFound, match="give a number of mm"):
        wire_loss(float("nan"))
    with pytest.raises(FaultsFound, match="give 0 \\(middle\\) to 1"):
        border_loss(0, 1, 1.5)


def test_a_pocket_coil_under_the_roller() -> None:
    coil = CoilShape("cylinder", 60, 6, 200, 1.9)
    found = room.roller_check(coil, "SM", 40, 0, 70)
    assert min(found.goodman.factor, found.gerber.factor) > 1  # far from fatigue, as mattress wire is (derived)
    assert found.cycle.low > 0 and found.cycle.high > found.cycle.low
    assert room.ROLLER_FORCE == (1400.0, 7.0)
