import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.errors import FaultsFound
from bedwright.mechanics.bending import Layer, bonded_modes, bonded_stack, loose_modes, pressed_modulus

layer = st.tuples(st.floats(5, 80), st.floats(5, 80), st.floats(0, 0.4))
stacks = st.lists(layer, min_size=1, max_size=4)


def test_one_layer_is_a_plate_with_reissners_shear() -> None:
    bent = bonded_stack([(20, 50, 0.3)])
    assert bent.bending == pytest.approx(0.020 * 50**3 / 12 / (1 - 0.3**2))  # N mm
    assert bent.shear == pytest.approx(5 / 6 * 0.020 / 2.6 * 50)  # N/mm
    assert bent.weights == pytest.approx((0.5, 0.5))
    assert bent.squeeze == pytest.approx((0, 0), abs=1e-15)


def test_one_layer_squeezed_unevenly_by_hand() -> None:
    # in-plane displacement z^2/2: section t^5/720 for the strain, (t^5/720)^2 / (t^7/30240) for the shear; the mode is
    # on half the difference of the two faces, so 4/t^2 times that
    bent, squeezed = bonded_modes([(20, 50, 0.0)])
    assert bent.bending == pytest.approx(bonded_stack([(20, 50, 0.0)]).bending)
    assert np.abs(squeezed.weights) == pytest.approx((0.5, 0.5))
    assert sum(squeezed.weights) == pytest.approx(0, abs=1e-12)
    assert squeezed.bending == pytest.approx(4 * 0.020 * 50**3 / 720)
    assert squeezed.shear == pytest.approx(4 * 0.010 * 50 * 30240 / 720**2)


def test_equal_layers_glued_together_are_one_thick_layer() -> None:
    one, two = bonded_stack([(20, 50, 0.0)]), bonded_stack([(20, 20, 0.0), (20, 30, 0.0)])
    assert (two.bending, two.shear) == pytest.approx((one.bending, one.shear))
    assert sum(two.weights) == pytest.approx(1)


def test_equal_layers_that_widen_are_one_thick_layer_once_the_interface_gives_way() -> None:
    # D of two layers is that with the squeeze of each held; the columns let it go, in series: 1/D + g^2 / columns
    one, two = bonded_stack([(20, 50, 0.3)]), bonded_stack([(20, 20, 0.3), (20, 30, 0.3)])
    columns = pressed_modulus(20, 0.3) / 1000 * (1 / 20 + 1 / 30)
    assert 1 / (1 / two.bending + two.squeeze[1] ** 2 / columns) == pytest.approx(one.bending)
    assert two.shear == pytest.approx(one.shear)


def test_two_layers_have_the_neutral_axis_of_the_book() -> None:
    # transformed section: E 60 kPa over 10 kPa, both 20 mm; axis at (60 * 10 + 10 * 30) / 70 from the top
    axis = 900 / 70
    D = sum(E / 1000 * ((low - axis) ** 3 - (high - axis) ** 3) / 3 for E, high, low in ((60, 0, 20), (10, 20, 40)))
    assert bonded_stack([(60, 20, 0.0), (10, 20, 0.0)]).bending == pytest.approx(D)


def test_a_stiff_layer_among_soft_ones_bends_alone() -> None:
    among = bonded_stack([(1e-6, 20, 0.0), (50, 10, 0.0), (1e-6, 30, 0.0)])
    assert among.bending == pytest.approx(0.050 * 10**3 / 12, rel=1e-5)
    assert among.weights == pytest.approx((0, 0.5, 0.5, 0), abs=1e-5)


def test_a_soft_layer_on_a_stiff_one_curves_when_pressed() -> None:
    # the soft one widens above the neutral axis: pressed (top down, mean interface at rest), it arches the stack
    stack = bonded_stack([(10, 60, 0.3), (60, 60, 0.3)])
    assert stack.squeeze[0] > 0
    assert sum(stack.squeeze) == pytest.approx(0, abs=1e-15)
    none = bonded_stack([(10, 60, 0.0), (60, 60, 0.0)])
    assert none.squeeze == pytest.approx((0, 0, 0), abs=1e-15)


def test_loose_layers_keep_their_own_interfaces() -> None:
    first, second = loose_modes([(10, 60, 0.0), (60, 20, 0.0)], most=1)
    assert first.weights == pytest.approx((0.5, 0.5, 0))
    assert second.weights == pytest.approx((0, 0.5, 0.5))
    assert second.bending == pytest.approx(0.060 * 20**3 / 12)
    assert len(loose_modes([(10, 60, 0.0), (60, 20, 0.0)])) == 4


@given(stacks)
def test_modes_together_are_the_whole_section(layers: list[Layer]) -> None:
    """Long waves see sum D s^2 and, at the next order, sum D^2 s^2 / S; s: what a mode takes of moving as one.

    With Poisson's ratio the modes find better stresses than the one shape of the whole section: never a softer stack.
    """
    for stack in (layers, [(E, t, 0.0) for E, t, _ in layers]):
        whole, modes = bonded_stack(stack), bonded_modes(stack)
        share = np.array([sum(mode.weights) for mode in modes])
        D, S = (np.array([getattr(mode, name) for mode in modes]) for name in ("bending", "shear"))
        assert len(modes) == len(stack) + 1
        assert np.all(D > 0) and np.all(S > 0)
        assert np.sum(D * share**2) >= whole.bending * (1 - 1e-6)
        for mode in modes:
            assert np.abs(mode.weights).sum() == pytest.approx(1)
            assert sum(mode.squeeze) == pytest.approx(0, abs=1e-12)
    assert np.sum(D * share**2) == pytest.approx(whole.bending, rel=1e-6)
    assert np.sum(D**2 * share**2 / S) == pytest.approx(whole.bending**2 / whole.shear, rel=1e-6)


@given(stacks)
def test_a_stack_turned_over_resists_the_same(layers: list[Layer]) -> None:
    up, down = bonded_stack(layers), bonded_stack(layers[::-1])
    assert (up.bending, up.shear) == pytest.approx((down.bending, down.shear))
    assert up.weights == pytest.approx(down.weights[::-1])
    assert up.squeeze == pytest.approx(down.squeeze[::-1], abs=1e-12)


@given(stacks, st.floats(0.2, 5), st.floats(0.2, 5))
def test_stiffer_and_larger_stacks_scale(layers: list[Layer], modulus: float, size: float) -> None:
    once, scaled = bonded_stack(layers), bonded_stack([(E * modulus, t * size, nu) for E, t, nu in layers])
    assert scaled.bending == pytest.approx(once.bending * modulus * size**3)
    assert scaled.shear == pytest.approx(once.shear * modulus * size)


def test_pressed_columns_are_held_one_way() -> None:
    assert pressed_modulus(20, 0.0) == 20
    assert pressed_modulus(20, 0.3) == pytest.approx(20 / 0.91)


def test_all_faults_at_once() -> None:
    with pytest.raises(FaultsFound) as refused:
        bonded_modes([(0, 20, 0.0), (20, -1, 0.7), (float("nan"), 10, 0.0)])
    assert [(fault.field, fault.value) for fault in refused.value.faults] == [
        ("modulus", "0"), ("thickness", "-1"), ("poisson", "0.7"), ("modulus", "nan"),
    ]  # fmt: skip
    with pytest.raises(FaultsFound, match="without a layer"):
        bonded_stack([])
