"""The pad test of a plain bed: springs smeared over the plan, linear layers, a membrane on top. The check of the room.

A plain bed has an exact solution while its layers do not bend (exact_plain), so its error is all the mesh's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.bending import bonded_modes, pressed_modulus
from bedwright.mechanics.field import Bent, Gap, field, no_heads, no_ties, seat, straight_table
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.mesh import Mesh, ring_mesh
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.plain_bed import PlainBed, PlainLayer
from bedwright.mechanics.solver import Bench, Pressed

Array = NDArray[np.float64]
MODES = 3  # of a bent stack: more do not show in its force
RIGID_SKIN = 10.0  # [N/mm3]: the pad sinks a hundredth of a millimetre into it at 100 kPa


@dataclass(frozen=True, slots=True)
class PlainAnswer:
    """Forces [N] at depths [mm], both (points,); worst residual as a share of the force; work it took."""

    depth: Array
    force: Array
    residual: float
    nodes: int
    newton: int
    conjugate: int


def plain_field(
    plain: PlainBed, spot: Spot, protocol: Protocol | None = None, fineness: float = 1.0, skin: float = RIGID_SKIN
) -> Field:
    """The arrays of a plain bed with the pad at a spot."""
    protocol = protocol or Protocol()
    mesh = ring_mesh(plain.width, plain.length, spot.x, spot.y, protocol.diameter / 2, fineness)
    return plain_field_on(plain, mesh, *seat(mesh, protocol), skin)


def plain_field_on(plain: PlainBed, mesh: Mesh, face: Array, touch: Array, skin: float = RIGID_SKIN) -> Field:
    """The arrays of a plain bed on a mesh; face, touch (nodes,): of a pad, out of reach where there is none."""
    gaps = []
    for layer in plain.layers:
        modulus = layer.modulus_kpa / 1000
        if layer.poisson is not None:
            modulus = pressed_modulus(modulus, layer.poisson)
        gaps.append(Gap(straight_table(modulus), layer.thickness, mesh.area))
    springs = plain.stiffness / (plain.pitch_across * plain.pitch_along)
    gaps.append(Gap(straight_table(springs), 1.0, mesh.area))
    levels = len(gaps)
    tension = np.zeros(levels)
    tension[0] = plain.tension / 1000
    none = np.zeros(len(mesh.x))
    return field(
        mesh,
        gaps,
        tension,
        _bent(plain.layers),
        no_heads(),
        np.zeros((1, 2, 2)),
        no_ties(),
        (none, none),
        face,
        touch,
        skin,
    )


def _bent(layers: Sequence[PlainLayer]) -> list[Bent]:
    """Layers with a Poisson's ratio bend; those next to each other are one glued stack, columns between part stacks."""
    found, at = [], 0
    for bends, run in groupby(layers, key=lambda layer: layer.poisson is not None):
        stack = list(run)
        if bends:
            for mode in bonded_modes([(one.modulus_kpa, one.thickness, one.poisson or 0.0) for one in stack], MODES):
                share, squeeze = np.zeros(len(layers) + 1), np.zeros(len(layers) + 1)
                share[at : at + len(stack) + 1] = mode.weights
                squeeze[at : at + len(stack) + 1] = mode.squeeze
                found.append(Bent(share, squeeze, mode.bending, mode.shear))
        at += len(stack)
    return found


def plain_pad_test(
    plain: PlainBed,
    depths: Sequence[float],
    spot: Spot | None = None,
    fineness: float = 1.0,
    skin: float = RIGID_SKIN,
    protocol: Protocol | None = None,
) -> PlainAnswer:
    """Forces at depths [mm], taken in the order given. Raises NotConverged."""
    spot = spot or Spot(plain.width / 2, plain.length / 2)
    one = plain_field(plain, spot, protocol, fineness, skin)
    bench = Bench(one)
    states: list[Pressed] = []
    for depth in depths:
        start, before = (states[-1] if states else None), (states[-2] if len(states) > 1 else None)
        states.append(bench.settled(float(depth), start, before))
    return PlainAnswer(
        depth=np.array([s.depth for s in states]),
        force=np.array([s.force for s in states]),
        residual=max((s.residual for s in states), default=0.0),
        nodes=len(one.area),
        newton=sum(s.newton for s in states),
        conjugate=sum(s.conjugate for s in states),
    )


__all__ = ["PlainAnswer", "plain_field", "plain_pad_test"]
