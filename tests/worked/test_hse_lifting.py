"""The lifting filter. Book: hse-indg143; teams from memory, so they are checked by the arithmetic only."""

import pytest

from bedwright.loading.lifting import lift_filter, people_needed, team_filter


def test_man_once_a_minute_twisted() -> None:
    lift = lift_filter("man", [("knuckle to elbow", "close")], lifts_per_minute=1, twist=50)
    assert lift.kg == pytest.approx(15.75, abs=1e-12)


def test_woman_six_a_minute() -> None:
    assert lift_filter("woman", [("knuckle to elbow", "close")], lifts_per_minute=6).kg == 8.0


@pytest.mark.parametrize(
    ("zone", "kg"),
    [
        ("shoulder to head", (10, 5, 7, 3)),
        ("elbow to shoulder", (20, 10, 13, 7)),
        ("knuckle to elbow", (25, 15, 16, 10)),
        ("mid leg to knuckle", (20, 10, 13, 7)),
        ("below mid leg", (10, 5, 7, 3)),
    ],
)
def test_the_grid(zone: str, kg: tuple[int, int, int, int]) -> None:
    read = [lift_filter(who, [(zone, reach)]).kg for who in ("man", "woman") for reach in ("close", "extended")]  # type: ignore[arg-type,list-item]
    assert read == list(kg)


def test_the_smallest_zone_counts() -> None:
    lift = lift_filter("man", [("below mid leg", "close"), ("knuckle to elbow", "close")])
    assert lift.kg == 10
    assert "not a safe or legal limit" in lift.says


def test_between_the_printed_bands_the_stricter() -> None:
    waist = [("knuckle to elbow", "close")]
    factors = [lift_filter("man", waist, lifts_per_minute=f).frequency_factor for f in (0.5, 0.6, 2, 3, 8, 9, 13)]  # type: ignore[arg-type]
    assert factors == [1.0, 0.7, 0.7, 0.5, 0.5, 0.2, 0.2]
    twists = [lift_filter("man", waist, twist=t).twist_factor for t in (45, 46, 90, 91)]  # type: ignore[arg-type]
    assert twists == [1.0, 0.9, 0.9, 0.8]


def test_teams() -> None:
    man = lift_filter("man", [("knuckle to elbow", "close")])
    woman = lift_filter("woman", [("knuckle to elbow", "close")])
    assert team_filter([man, woman]) == pytest.approx(2 / 3 * 41)
    assert team_filter([man, man, man]) == pytest.approx(37.5)
    # a pocket king of 35 kg: two men 33.3, three 37.5
    assert [people_needed(mass, man) for mass in (25, 33, 35, 60)] == [1, 2, 3, None]
