"""EN 13906-1 (book `en-13906-1`): a printed verification sheet, S.198; and formulas remembered from it, marked so."""

import pytest

from bedwright.mechanics import coil_stress as stress
from bedwright.mechanics.coil_path import follow_down
from bedwright.mechanics.coil_rate import plain_rate
from bedwright.mechanics.coil_shape import CoilShape
from bedwright.mechanics.wire import strength

SHEET = CoilShape("cylinder", 34.6, 9.5, 105.8, 5.0)


def test_sheet_rate_index_and_way() -> None:
    rate = plain_rate(SHEET)
    assert rate == pytest.approx(16.181, abs=0.001)  # N/mm
    assert SHEET.end_diameter / SHEET.wire_diameter == pytest.approx(6.92)
    way = 280 / rate
    assert way == pytest.approx(17.3, abs=0.05)
    length = SHEET.free_height - way
    assert length == pytest.approx(88.5, abs=0.05)


def test_sheet_least_clearance_of_turns() -> None:
    # the sheet prints 12.3; the formula is from memory and gives 12.24
    assert stress.least_clearance(34.6, 5.0, 9.5, dynamic=True) == pytest.approx(12.3, abs=0.1)


def test_sheet_strength() -> None:
    assert strength("DM", 5.0).least == pytest.approx(1460, abs=5)


def test_curvature_factor_is_bergstraessers() -> None:
    for w in (4.0, 6.92, 20.0, 34.0):
        assert stress.bergstraesser(w) == pytest.approx((w + 0.5) / (w - 0.75), rel=1e-12)


@pytest.mark.parametrize(
    ("height", "seat", "way"), [(300, "both pivot", 35.61), (400, "both flat", 121.47), (200, "both flat", None)]
)
def test_buckling_from_memory(height: float, seat: stress.Seat, way: float | None) -> None:
    # the formula is from memory: this pins it, it does not prove it
    found = stress.buckling_compression(height, 60, seat, 206e3, 81.5e3)
    assert found == (None if way is None else pytest.approx(way, abs=0.05))


def test_buckling_begins_at_shigleys_stable_height() -> None:
    limit = stress.longest_stable_height(60, "both pivot", 206e3, 81.5e3)
    assert stress.buckling_compression(limit * 0.999, 60, "both pivot", 206e3, 81.5e3) is None
    assert stress.buckling_compression(limit * 1.001, 60, "both pivot", 206e3, 81.5e3) is not None


@pytest.mark.parametrize(
    ("diameter", "height", "turns", "wire"),
    [(30, 220, 8, 1.2), (40, 260, 12, 1.3), (30, 200, 12, 1.0), (30, 175, 12, 1.0), (34, 190, 7, 1.2)],
)
def test_a_wire_followed_down_bows_where_the_formula_says(
    diameter: float, height: float, turns: float, wire: float
) -> None:
    """The formula, from memory, against the wire followed down between held ends: within 5 %, 8 % near its limit."""
    path = follow_down(CoilShape("cylinder", diameter, turns, height, wire), 200)
    formula = stress.buckling_compression(height, diameter, "both flat", 206e3, 81.5e3)
    assert path.bows and path.compression[-1] == pytest.approx(formula, rel=0.08 if height < 5.6 * diameter else 0.05)


def test_a_wire_below_the_stable_height_does_not_bow() -> None:
    limit = stress.longest_stable_height(30, "both flat", 206e3, 81.5e3)
    for share, bows in ((0.97, False), (1.04, True)):
        assert follow_down(CoilShape("cylinder", 30, 12, share * limit, 1.0), 200).bows is bows
