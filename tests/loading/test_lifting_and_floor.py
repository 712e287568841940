"""Refusals of the lifting filter and the vehicle floor."""

import pytest

from bedwright.errors import OutsideRange
from bedwright.loading.lifting import lift_filter, lift_words, people_needed, team_filter, usual_people
from bedwright.loading.vehicle_floor import container_volume, loading_metres, pallets_on_floor

WAIST = ("knuckle to elbow", "close")


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (lambda: lift_filter("child", [WAIST]), "woman where it is not known"),
        (lambda: lift_filter("man", []), "no zone given"),
        (lambda: lift_filter("man", [("knee", "close")]), "'knee'"),
        (lambda: lift_filter("man", [WAIST], twist=200), "twist of 200"),
        (lambda: lift_filter("man", [WAIST], lifts_per_minute=float("nan")), "nan lifts"),
        (lambda: team_filter([lift_filter("man", [WAIST])] * 4), "not 4"),
        (lambda: people_needed(-1, lift_filter("man", [WAIST])), "mass -1"),
        (lambda: pallets_on_floor((0, 2400), (1200, 800)), "over 0"),
        (lambda: loading_metres((1200, 800), -1), "-1 pallets"),
        (lambda: container_volume("60"), "'60' is none of 20, 40"),
    ],
)
def test_refusals(wrong, says: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(OutsideRange, match=says):
        wrong()


def test_a_pallet_wider_than_the_floor() -> None:
    assert pallets_on_floor((5000, 700), (1200, 800)).count == 0
    # only endways on a narrow floor
    narrow = pallets_on_floor((5000, 1000), (1200, 800))
    assert (narrow.count, narrow.rows_short_along, narrow.rows_long_along) == (4, 0, 4)


@pytest.mark.parametrize(
    # hse-indg143: 16 kg between knuckle and elbow, close, a woman; two 2/3 of 32, three half of 48 (from-memory)
    ("mass", "people", "words"),
    [
        (16.0, 1, "one person (16 kg;"),
        (16.1, 2, "two people (16.1 kg;"),
        (21.3, 2, "two people (21.3 kg;"),
        (21.4, 3, "three people (21.4 kg;"),
        (24.0, 3, "three people (24 kg;"),
        (42.4, None, "more than people should lift by hand: use a trolley, sack truck or tail-lift (42.4 kg;"),
    ],
)
def test_the_usual_lift_in_words(mass: float, people: int | None, words: str) -> None:
    assert usual_people(mass) == people
    assert lift_words(mass) == f"{words} filter, not a limit; HSE INDG143)"


def test_a_stricter_house_rule_and_a_known_crew() -> None:
    assert usual_people(12.0, two_from=10.0) == 2
    # hse-indg143: 25 kg, a man; 33.3 for two and 37.5 for three (from-memory)
    assert [usual_people(mass, who="man") for mass in (25.0, 33.3, 37.5, 37.6)] == [1, 2, 3, None]


def test_a_mass_that_nobody_weighed_is_said_so() -> None:
    assert "(about 31 kg, not weighed; filter" in lift_words(31.2, weighed=False)
