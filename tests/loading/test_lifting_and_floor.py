"""Refusals of the lifting filter and the vehicle floor."""

import pytest

from bedwright.errors import OutsideRange
from bedwright.loading.lifting import lift_filter, people_needed, team_filter
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
