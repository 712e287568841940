"""Persons as typed: every way of writing one, all faults at once, adults only; own measures in place."""

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import FaultsFound, OutsideRange
from bedwright.mechanics.body_tables import SEXES, Sex, measured, regressions, spelled
from bedwright.mechanics.person import MASSES, PLUMPNESS, STATURES, Person, person


@pytest.mark.parametrize(
    ("text", "called"),
    [
        ("man 1755 mm 80 kg", "man 1755 mm 80 kg"),
        ("woman 163 cm 62 kg", "woman 1630 mm 62 kg"),
        ("w 5'4\" 136 lb", "woman 1626 mm 61.69 kg"),
        ("m 1.75 m 12 st 8 lb", "man 1750 mm 79.83 kg"),
        ("m 1,75 m 80,5kg", "man 1750 mm 80.5 kg"),
        ("female, 5 ft. 4 in., 9 stone 10", "woman 1626 mm 61.69 kg"),
        ("5'4 62kg f", "woman 1626 mm 62 kg"),
        ("Man 6' 12 st", "man 1829 mm 76.2 kg"),
        ("man 5' 4 136 lb", "man 1626 mm 61.69 kg"),
        ("80 kg man 69 in", "man 1753 mm 80 kg"),
        ("man 5'10 1/2\" 12½ st", "man 1791 mm 79.38 kg"),
        ("man weight 80 kg height 1755 mm", "man 1755 mm 80 kg"),
    ],
)
def test_a_person_is_read(text: str, called: str) -> None:
    assert person(text).called == called


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", ["no person is typed here"]),
        ("baby 60 cm 6 kg", ["infants and children are out of scope", "600 mm is less than", "6 kg is less than"]),
        ("man 1390 mm 39 kg", ["stature: 1390 mm is less than the adults", "mass: 39 kg is less than the adults"]),
        ("pregnant woman 163 cm 62 kg", ["persons who are ill, injured, pregnant or bound to bed are out of scope"]),
        ("man 175 80", ["'175'", "'80'", "no stature is given", "no mass is given", "has no unit"]),
        ("1755 mm 80 kg", ["neither man nor woman"]),
        ("man woman 1 m 20 kg", ["both man and woman", "1000 mm is less", "20 kg is less"]),
        ("man 1,755 mm 80 kg", ["comma that may mark thousands"]),
        ("man 6'13\" 80 kg", ["not whole feet and less than 12 inches"]),
        ("man 1755 mm 12 st 15 lb", ["not whole stones and less than 14 pounds"]),
        ("man 1755 mm 200 lb 80 kg", ["mass is given twice"]),
        ("man 1755 m 80 kg", ["far outside the adults measured"]),
        ("man 1755 mm 45 kg", ["at that stature give 47 to 160 kg"]),
        ("man 1755 mm 80 kg €", ["is no part of a person's line"]),
        ("man 1755 mm 80 kg tall", ["is not understood here (found 'tall')"]),
        ("man 1755 mm 80 kg hip 36 cm", ["'hip' is no size", "known are hip_breadth, hip_breadth_sitting"]),
        ("man 1755 mm 80 kg hip breadth 14 cm", ["140 mm is far from 338 mm", "look whether unit and name are right"]),
        ("man 1755 mm 80 kg hip breadth 360", ["hip_breadth: has no unit"]),
        ("man 1755 mm 80 kg waist depth 30 kg", ["waist_depth: has no unit of length"]),
        ("man -1755 mm 80 kg", ["is less than nothing"]),
    ],
)
def test_all_that_is_wrong_is_said_at_once(text: str, says: list[str]) -> None:
    with pytest.raises(FaultsFound) as refused:
        person(text)
    assert [part for part in says if part not in str(refused.value)] == []


def test_own_measures_stand_in_place_of_the_regression() -> None:
    plain, own = person("woman 163 cm 62 kg"), person("woman 163 cm 62 kg hip breadth 36 cm, bideltoid_breadth 17 in")
    assert own.size("hip_breadth") == 360.0 and own.scatter("hip breadth") == 0.0
    assert own.size("bideltoid breadth") == pytest.approx(431.8) and own.size("waist_depth") == plain.size(
        "waist_depth"
    )
    assert plain.scatter("hip_breadth") == 14.88  # book ansur-2
    assert own != plain and Person("woman", 1630.0, 62.0, own={"hipbreadth": 360.0}).own == {"hip_breadth": 360.0}
    both = {"hip_breadth": 340.0, "hip breadth": 350.0, "elbow": 3.0, "waist_depth": math.nan, "stature": 1.0}
    with pytest.raises(FaultsFound) as refused:
        Person("man", 1755.0, 80.0, both)
    for says in ("hip_breadth is given twice", "'elbow' is no size", "nan mm is far from", "stature is given already"):
        assert says in str(refused.value)


def test_sizes_are_asked_by_name() -> None:
    man = Person("man", 1755.0, 80.0)
    assert man.size("stature") == 1755.0 and man.scatter("stature") == 0.0
    with pytest.raises(OutsideRange, match="no size in mm"):
        man.size("mass")
    with pytest.raises(OutsideRange, match="'ear' is no size of a person known here; known are abdominal"):
        man.size("ear")
    assert {spelled(name.replace("_", " ")) for name in measured("man")} == set(measured("woman"))


def test_outside_the_middle_of_those_measured_is_said() -> None:
    assert Person("man", 1755.0, 80.0).notes == ()
    notes = Person("woman", 1450.0, 94.0).notes
    assert [note.split(" lies")[0] for note in notes] == ["stature 1450 mm"]
    assert "1482 to 1778 mm" in notes[0]
    assert "mass 130 kg" in Person("man", 1755.0, 130.0).notes[0]


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("stature", STATURES)
@pytest.mark.parametrize("end", [0, 1])
def test_every_size_is_a_size_to_the_ends_of_what_is_taken(sex: Sex, stature: float, end: int) -> None:
    plump = PLUMPNESS[end] * (stature / 1000) ** 2
    mass = min(max(plump, MASSES[0]), MASSES[1])
    one = Person(sex, stature, mass)
    assert min(one.size(name) for name in regressions(sex)) > 15
    assert max(one.size(name) for name in regressions(sex) if "circumference" not in name) < stature
    heights = ("tibial", "knee_mid_patella", "crotch", "trochanterion", "iliocristale", "tenth_rib", "chest", "axilla")
    up = [one.size("tibial_height"), one.size("knee_height_mid_patella")]
    up += [one.size(f"{name}_height") for name in (*heights[2:], "acromial", "cervicale")]
    assert up == sorted(up)


sexes = st.sampled_from(["man", "woman", "m", "w", "f", "male", "female"])


@settings(max_examples=100)
@given(sexes, st.floats(1500, 2000), st.floats(60, 100), st.booleans(), st.sampled_from(["mm", "cm", "m"]))
def test_what_is_typed_in_any_unit_is_read_back(sex: str, stature: float, mass: float, first: bool, unit: str) -> None:
    tall = f"{stature / {'mm': 1, 'cm': 10, 'm': 1000}[unit]:.9f} {unit}"
    heavy = f"{mass:.9f}kg" if first else f"{mass / 0.45359237:.9f} lb"
    found = person(f"{sex} {tall} {heavy}" if first else f"{heavy}, {tall}; {sex}")
    assert found.stature == pytest.approx(stature, abs=1e-5) and found.mass == pytest.approx(mass, abs=1e-8)
    assert found.sex == ("man" if sex[0] == "m" else "woman")
    assert person(found.called).called == found.called


@settings(max_examples=100)
@given(st.integers(5, 6), st.integers(0, 6), st.integers(11, 14), st.integers(0, 13))
def test_feet_and_stones(feet: int, inches: int, stone: int, pounds: int) -> None:
    found = person(f"man {feet}'{inches}\" {stone} st {pounds}")
    assert found.stature == pytest.approx(304.8 * feet + 25.4 * inches)
    assert found.mass == pytest.approx((14 * stone + pounds) * 0.45359237)
    assert person(f"man {feet} ft {inches} in {stone} stone {pounds} lb") == found


@settings(max_examples=200)
@given(st.text(max_size=40) | st.from_regex(r"(man|f)? ?[0-9.,' ]{0,8} ?(mm|st|lb|kg|')? ?[0-9½/]{0,4} ?(kg|lb)?"))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        found = person(text)
    except FaultsFound as refused:
        assert refused.faults and all(fault.says and fault.remedy for fault in refused.faults)
    else:
        assert STATURES[0] <= found.stature <= STATURES[1] and re.match("(wo)?man ", found.called)
