import dataclasses
import math

import numpy as np
import pytest

from bedwright.errors import FaultsFound
from bedwright.mechanics.coil_shape import (
    CoilShape,
    diameter_at,
    field_faults,
    longest_way,
    mass,
    slope_at,
    solid_height,
    stations,
    turning_places,
    wire_length,
)

CYLINDER = CoilShape("cylinder", 60, 6, 200, 1.9)
CONE = CoilShape("cone", 75, 5, 130, 2.2, 45)
BARREL = CoilShape("barrel", 50, 5.5, 130, 2.0, 70)
PARABOLA = CoilShape("hourglass-parabolic", 75, 5, 130, 2.2, 45)
STRAIGHT = CoilShape("hourglass-straight", 75, 4.5, 130, 2.2, 45)
TABLE = CoilShape("table", 60, 5, 130, 2.0, diameters=(60, 50, 55, 70, 65))
ALL = [CYLINDER, CONE, BARREL, PARABOLA, STRAIGHT, TABLE]


@pytest.mark.parametrize("shape", ALL, ids=lambda shape: shape.profile)
def test_slope_is_the_diameters_derivative(shape: CoilShape) -> None:
    at = stations(shape)
    step = 1e-6
    rise = (diameter_at(shape, at.place + step) - diameter_at(shape, at.place - step)) / (2 * step)
    assert np.allclose(slope_at(shape, at.place), rise, atol=1e-4)


@pytest.mark.parametrize("shape", ALL, ids=lambda shape: shape.profile)
def test_weights_cover_the_coil_once(shape: CoilShape) -> None:
    at = stations(shape)
    assert at.weight.sum() == pytest.approx(1)
    assert np.all(np.diff(at.place) > 0)
    assert stations(shape, 3).weight.sum() == pytest.approx(1)


def test_ends_and_middle() -> None:
    ends = np.array([0.0, 0.5, 1.0])
    assert diameter_at(CONE, ends).tolist() == [75, 60, 45]
    assert diameter_at(BARREL, ends).tolist() == [50, 70, 50]
    assert diameter_at(PARABOLA, ends).tolist() == [75, 45, 75]
    assert diameter_at(STRAIGHT, ends).tolist() == [75, 45, 75]
    assert diameter_at(TABLE, ends).tolist() == [60, 55, 65]


def test_length_of_a_cylinder_is_a_hypotenuse() -> None:
    assert wire_length(CYLINDER) == pytest.approx(math.hypot(6 * math.pi * 60, 200))
    assert mass(CYLINDER) == pytest.approx(wire_length(CYLINDER) * math.pi * 1.9**2 / 4 * 7.85e-3)


def test_solid_heights() -> None:
    assert solid_height(CYLINDER) == pytest.approx(1.9 * 7)  # plain ends: n + 1 wires
    assert longest_way(CYLINDER) == pytest.approx(200 - 1.9 * 6)
    assert solid_height(CONE) == pytest.approx(2.2)  # 3 mm of radius a turn: each turn slips into the next
    assert solid_height(STRAIGHT) == pytest.approx(4.4)  # two turns of every radius, one upon the other
    assert solid_height(BARREL) == pytest.approx(4.0)
    steep = CoilShape("cone", 75, 10, 130, 2.2, 45)  # 1.5 mm of radius a turn
    assert solid_height(steep) == pytest.approx(10 * math.sqrt(2.2**2 - 1.5**2) + 2.2, rel=1e-6)


def test_where_the_diameter_turns() -> None:
    assert turning_places(CONE) == () == turning_places(CYLINDER)
    assert turning_places(PARABOLA) == (0.5,)
    assert turning_places(TABLE) == (0.25, 0.75)
    assert turning_places(CoilShape("barrel", 60, 5, 130, 2.0, 60)) == ()


def test_all_faults_of_single_fields_at_once() -> None:
    with pytest.raises(FaultsFound) as caught:
        CoilShape("square", -1, math.nan, math.inf, 0.0)
    assert [fault.field for fault in caught.value.faults] == [
        "profile",
        "end_diameter",
        "live_turns",
        "free_height",
        "wire_diameter",
    ]
    assert "live_turns: live_turns nan turns is outside 2 to 30; give 2 to 30 turns" in str(caught.value)


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"middle_diameter": 50.0}, "middle_diameter 50 mm differs from end_diameter 60 mm, and a cylinder has one"),
        ({"profile": "cone"}, "middle_diameter is empty, and a cone needs it"),
        ({"profile": "cone", "middle_diameter": 70.0}, "the large end of a cone; swap the two"),
        ({"profile": "hourglass-parabolic", "middle_diameter": 70.0}, "swap the two, or choose barrel"),
        ({"profile": "barrel", "middle_diameter": 50.0}, "and a barrel is wider in the middle; swap the two"),
        (
            {"wire_diameter": 9.0, "free_height": 150.0},
            "use a mean coil diameter of 4 wires or more: 36 mm",
        ),
        (
            {"free_height": 9.0},
            "does not fit the pitch of 1.5 mm a turn: the free coil is solid; give a free_height above",
        ),
        ({"end_diameter": 10.0, "free_height": 300.0}, "the pitch angle may be 30 degrees at most"),
        ({"diameters": (50.0, 60.0)}, "diameters are for profile 'table' only; leave them out"),
        ({"profile": "table"}, "diameters has 0 values, 0 of them outside 3 to 500 mm; give 2 to 1000 diameters"),
        ({"live_turns": True}, "live_turns True turns is outside 2 to 30"),
    ],
)
def test_faults_say_what_would_do(fields: dict[str, object], says: str) -> None:
    base: dict[str, object] = {
        "profile": "cylinder",
        "end_diameter": 60.0 if "wire_diameter" not in fields else 35.0,
        "live_turns": 6.0,
        "free_height": 200.0,
        "wire_diameter": 1.9,
    }
    with pytest.raises(FaultsFound) as caught:
        CoilShape(**{**base, **fields})  # type: ignore[arg-type]
    assert says in str(caught.value)


def test_a_form_can_judge_the_boxes_it_could_read() -> None:
    assert field_faults("cone", {"end_diameter": 75.0}) == []
    assert [fault.field for fault in field_faults("cone", {"live_turns": 1.0, "wire_diameter": 2.0})] == ["live_turns"]


def test_a_shape_is_still() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        CYLINDER.live_turns = 7  # type: ignore[misc]
