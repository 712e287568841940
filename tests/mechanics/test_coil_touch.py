import numpy as np
import pytest

from bedwright.mechanics import coil_touch
from bedwright.mechanics.coil_force import force_table
from bedwright.mechanics.coil_rate import rate
from bedwright.mechanics.coil_shape import CoilShape, longest_way
from bedwright.mechanics.coil_touch import touching

STRAIGHT = CoilShape("hourglass-straight", 75, 5, 130, 2.2, 45)
CONE = CoilShape("cone", 75, 5, 130, 2.2, 45)
BARREL = CoilShape("barrel", 45, 5, 130, 2.0, 70)
CYLINDER = CoilShape("cylinder", 60, 6, 200, 1.9)
ALL = pytest.mark.parametrize("shape", [STRAIGHT, CONE, BARREL, CYLINDER], ids=lambda shape: shape.profile)


@ALL
def test_the_held_beam_has_the_exact_rate(shape: CoilShape) -> None:
    stiffness, sink, yielding, _ = coil_touch._held_beam(shape, shape.free_height)
    assert stiffness == pytest.approx(rate(shape), rel=2e-3)  # twelve straight pieces a turn
    assert np.allclose(yielding, yielding.T, rtol=1e-9, atol=1e-9)
    assert np.min(np.linalg.eigvalsh(yielding)) > 0
    assert 0 < sink[0] < 0.05 < 0.95 < sink[-1] < 1


@ALL
def test_touching_only_stiffens(shape: CoilShape) -> None:
    found = touching(shape, 0.5 * shape.free_height, longest_way(shape))
    assert found.ratio[0] == pytest.approx(1, abs=1e-9)
    assert found.touches > 10
    slopes = np.diff(found.compression * found.ratio) / np.diff(found.compression)
    assert np.mean(slopes) > 1
    assert np.min(slopes) > 0.999  # a touch adds stiffness; none can make the coil softer than a free one
    before = np.linspace(0, found.compression[0], 5)
    assert found.at(before) == pytest.approx(np.ones(5))


@ALL
def test_pushes_and_gaps_are_never_of_the_wrong_sign(shape: CoilShape) -> None:
    """Every touch solved again from nothing, place by place, at a few compressions."""
    height = 0.4 * shape.free_height
    stiffness, sink, yielding, place = coil_touch._held_beam(shape, height)
    part, gap = coil_touch._limits(shape, place)
    v = part @ sink + (part.sum(axis=1) < -0.5)
    S = part @ yielding @ part.T + np.eye(len(part)) * coil_touch.YIELDING * np.max(np.diag(yielding))
    found = touching(shape, height, longest_way(shape))
    for s in np.linspace(0.6, 0.97, 4) * longest_way(shape):
        push = np.zeros(len(v))
        for _ in range(20_000):  # projected Gauss-Seidel, another way to the same answer
            old = push.copy()
            for i in np.flatnonzero((push > 0) | (gap - s * v + S @ push < 0)):
                push[i] = max(0.0, push[i] - (gap[i] - s * v[i] + S[i] @ push) / S[i, i])
            if np.max(np.abs(push - old)) < 1e-9 * (1 + np.max(push)):
                break
        again = 1 + float(v @ push) / (stiffness * s)
        assert float(found.at(np.array([s]))[0]) == pytest.approx(again, rel=2e-3)


def test_finer_places_change_little(monkeypatch: pytest.MonkeyPatch) -> None:
    way = np.linspace(0.5, 0.95, 40) * longest_way(STRAIGHT)
    coarse = touching(STRAIGHT, 50, longest_way(STRAIGHT)).at(way)
    monkeypatch.setattr(coil_touch, "PLACES_A_TURN", 24)
    fine = touching(STRAIGHT, 50, longest_way(STRAIGHT)).at(way)
    assert np.max(np.abs(coarse / fine - 1)) < 5e-3


def test_a_coil_turned_over_has_the_same_force() -> None:
    up = CoilShape("table", 60, 4.5, 130, 2.0, diameters=(45, 60, 75))
    down = CoilShape("table", 60, 4.5, 130, 2.0, diameters=(75, 60, 45))
    way = np.linspace(0, 125, 60)[1:]
    assert force_table(up, way) == pytest.approx(force_table(down, way), rel=1e-4)


def test_touch_comes_before_the_mean_rise_is_used_up() -> None:
    """A held end turn dips: its deepest place reaches the seat while the piece that closes first is not yet flat."""
    assert touching(CONE, 60, 130).compression[0] < 0.95 * 72
