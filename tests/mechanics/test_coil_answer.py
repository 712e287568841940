import pytest

from bedwright.errors import FaultsFound
from bedwright.mechanics.coil import coil_answer, graded_coil
from bedwright.mechanics.coil_force import force
from bedwright.mechanics.coil_notes import coil_notes

SIZES = {"end_diameter": 75.0, "middle_diameter": 45.0, "live_turns": 5.0, "free_height": 130.0, "wire_diameter": 2.2}


def test_answer_gathers_what_the_rooms_say() -> None:
    shape = graded_coil("hourglass-parabolic", grade="sm", **SIZES)
    answer = coil_answer(shape, "sm", (10, 125.0))
    assert answer.grade == "SM"
    assert [row.force for row in answer.at] == [force(shape, 10), force(shape, 125)]
    assert [row.checked for row in answer.at] == [True, False]
    assert answer.at[1].free_diameter < 75
    assert answer.set_limit == pytest.approx(0.45 * answer.strength.least)


def test_notes_say_what_is_not_verified() -> None:
    shape = graded_coil("hourglass-parabolic", grade="SM", **SIZES)
    near_solid = " ".join(coil_notes(coil_answer(shape, "SM", (125.0,))))
    assert "Not verified: force at 125 mm" in near_solid
    assert "coils lie flat one after another" in near_solid
    gentle = " ".join(coil_notes(coil_answer(shape, "SM", (10.0,))))
    assert "Not verified" not in gentle
    assert "D/d is 20.5 to 34.1, outside 4 to 12 of the textbook and 4 to 20 of EN 15800" in gentle
    assert "too close to call whether it takes a set" in gentle  # 732.8 MPa, 779 with curvature, against 777
    assert "nothing here is certified" in gentle


def test_notes_on_set_and_steel() -> None:
    sizes = {**SIZES, "end_diameter": 60.0, "middle_diameter": 30.0}
    small = graded_coil("cone", grade="SL", **sizes)
    assert "it takes a set" in " ".join(coil_notes(coil_answer(small, "SL")))
    wide = graded_coil("cylinder", grade="SM", **{**SIZES, "middle_diameter": None})
    assert "it may be pressed flat without a set" in " ".join(coil_notes(coil_answer(wide, "SM")))
    american = graded_coil("cone", grade="A227", **SIZES)
    assert american.shear_modulus == 79_300
    assert "G 79300 MPa of A227" in " ".join(coil_notes(coil_answer(american, "A227")))


def test_faults_of_shape_and_wire_come_together() -> None:
    with pytest.raises(FaultsFound) as caught:
        graded_coil("cone", grade="XX", **{**SIZES, "live_turns": 1.0})
    assert [fault.field for fault in caught.value.faults] == ["grade", "live_turns"]
    with pytest.raises(FaultsFound) as caught:
        graded_coil("cone", grade="SM", **{**SIZES, "wire_diameter": 12.0})
    assert [fault.field for fault in caught.value.faults] == ["wire_diameter"]


def test_every_compression_beyond_solid_is_named() -> None:
    shape = graded_coil("cone", grade="SM", **SIZES)
    with pytest.raises(FaultsFound) as caught:
        coil_answer(shape, "SM", (10.0, 140.0, -2.0))
    assert len(caught.value.faults) == 2
    assert "it is solid at 130 mm, so give 0 to 130" in str(caught.value)
    with pytest.raises(FaultsFound, match="1001 compressions asked for"):
        coil_answer(shape, "SM", (1.0,) * 1001)
