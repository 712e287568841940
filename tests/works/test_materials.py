"""Cards of soft goods: the branch coming back of a filling, its losses, and what may not be said together."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.errors import CardRefused
from bedwright.works.materials import Filling, FillingPoint, FillingReturn

DOWN = ((10, 1.5), (25, 2.0), (40, 2.4), (65, 5.0))


def down(*points: tuple[float, float]) -> tuple[FillingPoint, ...]:
    return tuple(FillingPoint(position=n, compression=float(e), stress=float(s)) for n, (e, s) in enumerate(points, 1))


def back(*points: tuple[float, float]) -> tuple[FillingReturn, ...]:
    return tuple(FillingReturn(position=n, compression=float(e), stress=float(s)) for n, (e, s) in enumerate(points, 1))


def foam(**changes: Any) -> Filling:
    values: dict[str, Any] = {
        "code": "F", "family": "foam", "thickness": 30.0, "density": 30.0, "sheet_width": 2000.0, "points": down(*DOWN),
    }  # fmt: skip
    return Filling.make(**{**values, **changes})


def test_a_branch_coming_back_lies_below() -> None:
    found = foam(returns=back((10, 0.4), (25, 1.0), (40, 1.6), (65, 5.0)))
    assert [point.stress for point in found.returns] == [0.4, 1.0, 1.6, 5.0]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"returns": back((10, 0.4), (25, 2.2))}, "2.2 kPa at 25 % lies above 2 kPa"),
        ({"returns": back((5, 0.8))}, "lies above 0.75 kPa"),  # halfway up to the first point of the way down
        ({"returns": back((10, 0.4), (25, 0.3))}, "the branch coming back must rise"),
        ({"points": down((10, 2), (25, 1))}, "the table must rise"),
        ({"points": (), "hardness_40": 3.0, "returns": back((40, 3.2))}, "lies above 3 kPa"),
        ({"returns": back((40, 1.0)), "loss_share": 30.0}, "loss_share is filled"),
        ({"set_share_high": 4.0}, "set_share is empty"),
        ({"set_share": 5.0, "set_share_high": 4.0}, "set_share_high 4 % is below set_share 5 %"),
        ({"first_press": 90.0}, "is below 100"),
        ({"poisson": 0.5}, "is above 0.45"),
    ],
)
def test_what_a_filling_may_not_say(changes: dict[str, Any], says: str) -> None:
    with pytest.raises(CardRefused) as refused:
        foam(**changes)
    assert says in str(refused.value)


def test_what_is_not_known_stays_empty() -> None:
    plain = foam()
    assert plain.returns == ()
    assert [plain.loss_share, plain.set_share, plain.set_share_high, plain.first_press, plain.poisson] == [None] * 5


@given(share=st.floats(0.01, 1.0), at=st.lists(st.floats(1, 65), min_size=1, max_size=6, unique=True))
def test_any_share_of_the_way_down_may_come_back(share: float, at: list[float]) -> None:
    """A share of the way down, straight between its points, is never above it."""
    known = [(0.0, 0.0), *DOWN]

    def stress(e: float) -> float:
        (a, low), (b, high) = next((x, y) for x, y in pairwise(known) if x[0] <= e <= y[0])
        return low + (high - low) * (e - a) / (b - a)

    points = [(e, share * stress(e)) for e in sorted(at)]
    rising = all(b[1] > a[1] for a, b in pairwise(points))
    if rising:
        assert len(foam(returns=back(*points)).returns) == len(at)
