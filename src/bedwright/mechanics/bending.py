"""How a stack of fillings resists being bent and squeezed unevenly, from elasticity, with no fitted factor.

Fillings slide under the pad's face and on the coils, so their sections turn with the slope: what is left is bending, in
series with a little shear, as in a thick plate. Here the interfaces' deflections say how much every height of the stack
would be drawn out in the plane; stresses of those shapes, with the shear that balances them, are put into the mixed
energy of elasticity (Hellinger-Reissner). Stresses that share neither bending nor shear energy are the modes of the
stack: each adds, over the plan,

    1/2 m' (A/D + K/S)^-1 m   with   m = K (weights . u) + A (squeeze . u)

u: deflection of the interfaces, from the top [mm]; K: membrane matrix of the plan (integral of grad N . grad N);
A: areas of the nodes [mm2]; D: bending stiffness [N mm]; S: shear stiffness [N/mm]. `squeeze` is what pressed fillings
that widen sideways (Poisson's ratio) do to bonded neighbours; all nothing where nu is 0. The columns between the
interfaces then have `pressed_modulus`: a wide sheet squeezed anywhere is held sideways by the rest of the sheet,
sigma = E / (1 - nu^2) eps, exactly so for any pattern of squeezing while nothing bends.

Small strain, isotropic layers. Against elasticity: tests/worked/test_elasticity.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import Fault, FaultsFound

Array = NDArray[np.float64]
Layer = tuple[float, float, float]
"""Modulus E [kPa], thickness [mm], Poisson's ratio."""

HIGHEST_POISSON = 0.45
"""Beyond it a layer hardly changes its volume and columns are no longer a picture of it; checked up to 0.3."""
TERMS = 3
"""Stress in a layer is a parabola of height; its shear has one term more."""


@dataclass(frozen=True, slots=True)
class Stack:
    """One way in which a stack resists.

    weights: share of each of its len(layers) + 1 interfaces, from the top, in the deflection that is bent; their sizes
    sum to 1. squeeze: curvature [1/mm2 per mm] that the deflection of each interface brings by widening; sums to 0.
    bending: D [N mm]. shear: S [N/mm].
    """

    weights: tuple[float, ...]
    squeeze: tuple[float, ...]
    bending: float
    shear: float


def pressed_modulus(modulus: float, poisson: float) -> float:
    """Modulus of the columns of a layer, in the unit of `modulus`: E / (1 - nu^2), held sideways in one direction.

    Raises FaultsFound for a modulus not above 0 or a Poisson's ratio outside 0 to 0.45.
    """
    _check([(modulus, 1.0, poisson)])
    return modulus / (1 - poisson**2)


def bonded_stack(layers: Sequence[Layer]) -> Stack:
    """The whole glued section bent as one, by the classical sums: true neutral axis, shear by Jourawski.

    One term in place of `bonded_modes`: what a thin stack does, and up to 13 % too soft for thick ones.
    Raises FaultsFound as `bonded_modes`.
    """
    section = _section(layers)
    whole = np.ones(len(layers) + 1)
    return _stack(section, whole)


def bonded_modes(layers: Sequence[Layer], most: int | None = None) -> tuple[Stack, ...]:
    """Every way in which a glued stack resists, the stiffest first, at most `most` of them; layers from the top.

    One layer has two (bent; squeezed more here than there), a stack one more for each further layer. The first three
    hold the same bounds against elasticity as all of them do. Raises FaultsFound for no layer, a modulus or thickness
    not above 0, or a Poisson's ratio outside 0 to 0.45.
    """
    section = _section(layers)
    size, way = np.linalg.eigh(section.yielding)
    kept = size > 1e-10 * size[-1]
    scaled = way[:, kept] / np.sqrt(size[kept])
    _, turned = np.linalg.eigh(scaled.T @ section.shearing @ scaled)
    modes = [_stack(section, way) for way in (scaled @ turned).T]
    modes.sort(key=lambda mode: -mode.bending * float(np.square(mode.weights).sum()))
    return tuple(modes[:most])


def loose_modes(layers: Sequence[Layer], most: int | None = None) -> tuple[Stack, ...]:
    """The same for layers that slide on each other: each its own modes on its own two interfaces.

    most: at most so many of each layer (1 bends it, 2 also resist uneven squeezing). Raises FaultsFound likewise.
    """
    _check(layers)
    found = []
    for at, layer in enumerate(layers):
        above, below = (0.0,) * at, (0.0,) * (len(layers) - 1 - at)
        for mode in bonded_modes([layer], most):
            weights, squeeze = (above + share + below for share in (mode.weights, mode.squeeze))
            found.append(Stack(weights, squeeze, mode.bending, mode.shear))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Section:
    """Sums over the height of the stack for stresses of unit shape, one for each interface that moves alone.

    yielding: integral of stress squared over modulus; shearing: the same of the shear that balances it; bent, squeezed:
    (stress, interface), the work of each stress on the curvature of, and on the widening by, each interface.
    """

    yielding: Array
    shearing: Array
    bent: Array
    squeezed: Array


def _section(layers: Sequence[Layer]) -> _Section:
    _check(layers)
    E, t, nu = np.array(layers, dtype=np.float64).T
    E = E / 1000
    plane, shear, held = E / (1 - nu**2), E / (2 * (1 + nu)), E * (1 - nu) / ((1 + nu) * (1 - 2 * nu))
    drawn = _drawn(t)
    mean = np.einsum("l,lpi,p->i", plane * t, drawn, 1 / np.arange(1, TERMS + 1)) / (plane @ t)
    drawn[:, 0, :] -= mean  # the neutral axis of every shape: nothing pulls a wide bed out as a whole
    stress = plane[:, None, None] * drawn
    of_layer = np.einsum("l,lpi,p->li", t, stress, 1 / np.arange(1, TERMS + 1))
    # a layer's mean stress meets the modulus at held squeeze; what varies over its height widens freely
    yielding = np.einsum("l,lpi,lqj,pq->ij", t / plane, stress, stress, _overlap(TERMS))
    yielding += np.einsum("l,li,lj->ij", (1 / held - 1 / plane) / t, of_layer, of_layer)
    bent = np.einsum("l,lpi,lqj,pq->ij", t, stress, drawn, _overlap(TERMS))
    widened = (nu / (1 - nu) / t)[:, None] * of_layer
    squeezed = np.zeros_like(bent)
    squeezed[:, :-1] -= widened.T
    squeezed[:, 1:] += widened.T
    flow = _flow(stress, t, of_layer)
    shearing = np.einsum("l,lpi,lqj,pq->ij", t / shear, flow, flow, _overlap(TERMS + 1))
    return _Section(yielding, shearing, bent, squeezed)


def _drawn(t: Array) -> Array:
    """How far each height is drawn out in the plane when one interface curves alone: (layer, power, interface).

    The integral from the top of its hat over the height, in powers of the share of the layer's own thickness.
    """
    layers = len(t)
    drawn = np.zeros((layers, TERMS, layers + 1))
    above = np.zeros(layers + 1)
    for at in range(layers):
        drawn[at, 0] = above
        drawn[at, 1, at] = t[at]
        drawn[at, 2, at] = -t[at] / 2
        drawn[at, 2, at + 1] = t[at] / 2
        above[at : at + 2] += t[at] / 2
    return drawn


def _flow(stress: Array, t: Array, of_layer: Array) -> Array:
    """The shear that balances stresses changing along the plan: their integral from the free top face downwards."""
    flow = np.zeros((stress.shape[0], TERMS + 1, stress.shape[2]))
    flow[:, 1:, :] = t[:, None, None] * stress / np.arange(1, TERMS + 1)[None, :, None]
    flow[1:, 0, :] = np.cumsum(of_layer, axis=0)[:-1]
    return flow


def _overlap(terms: int) -> Array:
    """Integral of s^p s^q over 0 to 1."""
    power = np.arange(terms)
    return 1 / (power[:, None] + power[None, :] + 1.0)


def _stack(section: _Section, way: Array) -> Stack:
    """The stresses of one shape as a Stack, scaled so that the weights' sizes sum to 1 and the largest is above 0."""
    weights, squeeze = way @ section.bent, way @ section.squeezed
    scale = float(np.abs(weights).sum())
    if weights[np.argmax(np.abs(weights).round(12))] < 0:
        scale = -scale
    # stress m/scale on the whole: energy m K w u - m^2 / (2 D) with w = weights / scale
    bending = scale**2 / float(way @ section.yielding @ way)
    shear = scale**2 / float(way @ section.shearing @ way)
    return Stack(tuple((weights / scale).tolist()), tuple((squeeze / scale).tolist()), bending, shear)


def _check(layers: Sequence[Layer]) -> None:
    """All faults at once: no layer, modulus or thickness not above 0 or not finite, Poisson's ratio out of range."""
    faults = []
    if not layers:
        faults.append(Fault("a stack without a layer does not bend", "give at least one layer", field="layers"))
    for at, (modulus, thickness, poisson) in enumerate(layers, start=1):
        for name, value, unit in (("modulus", modulus, "kPa"), ("thickness", thickness, "mm")):
            if not (np.isfinite(value) and value > 0):
                says = f"layer {at} needs a {name} above 0 {unit}"
                faults.append(Fault(says, f"give its {name} in {unit}", value=f"{value:g}", field=name))
        if not 0 <= poisson <= HIGHEST_POISSON:
            says = f"layer {at}: Poisson's ratio must be 0 to {HIGHEST_POISSON:g}"
            faults.append(
                Fault(says, "0 for open foam and fibre where not known", value=f"{poisson:g}", field="poisson")
            )
    if faults:
        raise FaultsFound(faults)
