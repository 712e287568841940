"""Cards of steel: a coil as a table of diameters, what the heat does by wire lot, zones of a unit."""

from __future__ import annotations

from typing import Any

import pytest

from bedwright.errors import CardRefused
from bedwright.works.springs import Coil, CoilHeat, CoilPoint


def points(*diameters: float) -> tuple[CoilPoint, ...]:
    return tuple(CoilPoint(position=place, diameter=one) for place, one in enumerate(diameters, 1))


def coil(**changes: Any) -> Coil:
    values: dict[str, Any] = {
        "code": "T", "profile": "table", "wire": "W22", "end_diameter": 70.0, "live_turns": 4.0, "total_turns": 6.0,
        "free_height": 140.0, "hand": "alternate", "points": points(70, 52, 44, 50, 66),
    }  # fmt: skip
    return Coil.make(**{**values, **changes})


def test_a_table_gives_its_diameters_in_the_order_of_their_positions() -> None:
    turned = tuple(reversed(points(70, 52, 44, 50, 66)))
    assert coil(points=turned).diameters == (70, 52, 44, 50, 66)
    assert (coil().widest, coil().ends) == (70, (70, 66))


def test_plain_profiles_have_no_table() -> None:
    plain = coil(profile="barrel", end_diameter=50.0, middle_diameter=62.0, points=())
    assert (plain.diameters, plain.widest, plain.ends) == ((), 62, (50, 50))


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"points": ()}, "a table needs 2 or more"),
        ({"points": points(70)}, "1 diameters, and a table needs 2 or more"),
        ({"end_diameter": 60.0}, "end_diameter 60 is not the largest diameter of the table, 70"),
        ({"middle_diameter": 44.0}, "middle_diameter is filled"),
        ({"profile": "cylinder"}, "points are the diameters of a table, and this is a cylinder"),
        ({"profile": "barrel", "points": ()}, "middle_diameter is empty"),
    ],
)
def test_what_a_table_may_not_say(changes: dict[str, Any], says: str) -> None:
    with pytest.raises(CardRefused) as refused:
        coil(**changes)
    assert says in str(refused.value)


def test_heat_is_by_wire_lot_and_each_lot_once() -> None:
    first = CoilHeat(position=1, wire_lot="L-7", height_shift=1.5, first_set=4.0)
    assert coil(heats=(first,)).heats == (first,)
    with pytest.raises(CardRefused, match="wire_lot L-7 stands twice"):
        coil(heats=(first, CoilHeat(position=2, wire_lot="l-7", first_set=3.0)))
    with pytest.raises(ValueError, match="both empty"):
        CoilHeat(position=1, wire_lot="L-8")
