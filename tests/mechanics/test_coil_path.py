"""The wire followed down as one line: its free shape, its balance, its touches, and a coil that bows out."""

import numpy as np
import pytest

from bedwright.mechanics import coil_path
from bedwright.mechanics.coil_force import force_curve, force_table
from bedwright.mechanics.coil_line import put_together
from bedwright.mechanics.coil_path import follow_down, touches, wire_line
from bedwright.mechanics.coil_shape import CoilShape, diameter_at, longest_way

STRAIGHT = CoilShape("hourglass-straight", 75, 5, 130, 2.2, 45)
CONE = CoilShape("cone", 75, 5, 130, 2.2, 45)
BARREL = CoilShape("barrel", 45, 5, 130, 2.0, 70)
CYLINDER = CoilShape("cylinder", 60, 6, 200, 1.9)
SLENDER = CoilShape("cylinder", 30, 8, 220, 1.2)
ALL = pytest.mark.parametrize("shape", [STRAIGHT, CONE, BARREL, CYLINDER], ids=lambda shape: shape.profile)


@ALL
def test_the_free_wire_is_the_coil(shape: CoilShape) -> None:
    line, held = wire_line(shape)  # straight pieces, twelve a turn: their corners stand out a little
    places, frame = np.zeros((len(line.length) + 1, 3)), np.zeros((3, 3))
    put_together(line, np.zeros(6), np.zeros(len(line.length) + 1), places, frame)
    place = np.linspace(0, 1, len(places))
    assert np.hypot(places[:, 0], places[:, 1]) == pytest.approx(diameter_at(shape, place) / 2, rel=0.045)
    assert places[:, 2] == pytest.approx(shape.free_height * place, abs=0.01 * shape.free_height)
    assert held.place == pytest.approx(places[-1])
    assert frame @ frame.T == pytest.approx(np.eye(3), abs=1e-12)


@ALL
def test_coarse_pieces_cost_little_of_the_rate(shape: CoilShape, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the scale to the exact rate takes up: 1.3 % at 12 pieces a turn, a quarter of it at 24."""
    found = []
    for places in (12, 24):
        monkeypatch.setattr(coil_path, "PLACES_A_TURN", places)
        monkeypatch.setattr(coil_path, "MOST_PLACES", 288)
        found.append(follow_down(shape, 20).scale - 1)
    assert 0.005 < found[0] < 0.013
    assert found[1] == pytest.approx(found[0] / 4, abs=0.001)


@ALL
def test_finer_pieces_change_little(shape: CoilShape, monkeypatch: pytest.MonkeyPatch) -> None:
    way = np.linspace(0.1, 0.95, 30) * longest_way(shape)
    coarse = follow_down(shape)
    monkeypatch.setattr(coil_path, "PLACES_A_TURN", 24)
    monkeypatch.setattr(coil_path, "MOST_PLACES", 288)
    fine = follow_down(shape)
    found = [np.interp(way, one.compression, one.force / one.compression) for one in (coarse, fine)]
    assert found[0] == pytest.approx(found[1], rel=8e-3)


@ALL
def test_followed_to_the_last_wire_without_a_fall(shape: CoilShape) -> None:
    path = follow_down(shape)
    assert path.whole and not path.bows
    assert path.compression[-1] == pytest.approx(min(longest_way(shape), shape.free_height - shape.wire_diameter))
    assert np.all(np.diff(path.force) > 0)
    assert path.residual <= coil_path.TOLERANCE * shape.free_height
    assert path.onset is not None and 0 < path.onset < path.compression[-1]


@ALL
def test_a_touch_only_stiffens(shape: CoilShape) -> None:
    path = follow_down(shape)
    slopes = np.diff(path.force) / np.diff(path.compression)
    assert path.onset is not None
    before = slopes[path.compression[1:] < path.onset]
    after = slopes[path.compression[:-1] > path.onset]
    assert np.min(after) > 0.98 * before[-1] and np.mean(after) > 1.3 * before[-1]


def test_touches_are_those_of_the_coil() -> None:
    count = len(wire_line(CONE)[0].length)
    cone = touches(CONE, count)
    inner = count + 1 - 2 * round(coil_path.FREE_TURN * count / CONE.live_turns)  # places on and within the free turns
    assert len(cone.least) == 2 * inner  # turns of a telescoping cone slip into one another
    assert np.sum(cone.seat) == inner == np.sum(cone.upper)
    cylinder = touches(CYLINDER, len(wire_line(CYLINDER)[0].length))
    apart = (cylinder.seat == 0) & (cylinder.upper == 0)
    assert np.all(cylinder.least[apart] == CYLINDER.wire_diameter)
    assert cylinder.weight[apart].sum(axis=1) == pytest.approx(0)  # what pushes one turn up pushes the other down


def test_a_coil_turned_over_has_the_same_force() -> None:
    up = CoilShape("table", 60, 4.5, 130, 2.0, diameters=(45, 60, 75))
    down = CoilShape("table", 60, 4.5, 130, 2.0, diameters=(75, 60, 45))
    way = np.linspace(0, 125, 60)[1:]
    assert force_table(up, way) == pytest.approx(force_table(down, way), rel=5e-3)


def test_touch_comes_before_the_mean_rise_is_used_up() -> None:
    """A held end turn dips: its deepest place reaches the seat while the piece that closes first is not yet flat."""
    assert force_curve(CONE).closing < 0.95 * 72


def test_a_slender_coil_alone_bows_and_is_then_held_upright() -> None:
    path, curve = follow_down(SLENDER), force_curve(SLENDER)
    assert path.bows and curve.bows == pytest.approx(path.compression[-1])
    assert curve.compression[-1] == pytest.approx(longest_way(SLENDER))
    helix = curve.force / np.maximum(curve.compression, 1e-9) / curve.rate
    before_flat = (curve.compression > 1) & (curve.compression < 0.8 * longest_way(SLENDER))
    assert np.all((helix[before_flat] > 0.9) & (helix[before_flat] <= 1.001))  # upright, as Love's helix


def test_a_coil_that_is_nearly_closed_still_has_a_curve() -> None:
    tight = CoilShape("table", 48.6, 13.1, 50.87, 3.81, diameters=(48.6, 50.2, 57.0, 57.4))
    assert force_curve(tight).force[-1] > 0
