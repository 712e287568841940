"""Energy of bodies that lie on a bed: of tissue pressed in, of joints, of weight; with the bed's (energy.py) the whole
whose least the solver must have found. Nothing here shares a line with the compiled loops. In N mm."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

from bedwright.mechanics.body import OnMesh
from bedwright.mechanics.body_loops import SOFT
from bedwright.mechanics.energy import stored_energy
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.solver import Pressed

Array = NDArray[np.float64]
NO_PAD = -1e6  # depth of a pad that touches nothing [mm]


def bodies_energy(on: OnMesh, top: Array, w: Array) -> float:
    """Energy of bodies at heights w (K,) [mm] over an upper face that lies `top` (nodes,) [mm] down [N mm]: tissue and
    joints, less what their weight has done."""
    bodies = on.bodies
    hangs = csr_matrix((bodies.shares, bodies.heights, bodies.starts), shape=(len(bodies.nodes), len(w)))
    e = np.maximum((hangs @ w - bodies.rise - top[bodies.nodes]) / bodies.thickness, 0.0)
    soft = np.minimum(e, SOFT)
    beyond = e - soft
    per_volume = -np.log1p(-soft) - soft + beyond * SOFT / (1 - SOFT) + beyond**2 / (2 * (1 - SOFT) ** 2)
    tissue = np.sum(bodies.touch * bodies.thickness * bodies.modulus * per_volume)
    return float(tissue + w @ bodies.joints @ w / 2 - bodies.weight @ w)


def whole_energy(one: Field, on: OnMesh, u: Array, q: Array, w: Array) -> float:
    """Energy of a bed with bodies on it [N mm], at fields u (nodes, M), q (slats) and heights w (K,) [mm]."""
    return stored_energy(one, Pressed(NO_PAD, 0.0, 0.0, u, q, 0, 0)).total + bodies_energy(on, u[:, 0], w)
