"""The rate of one coil: force per compression while it is hardly compressed.

Two forms side by side. The plain one is the handbook's, from torsion of the wire alone. The other holds both ends as a
laced or pocketed unit holds them (they come together and neither tilt nor turn nor shift), and solves the true curve.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bedwright.mechanics.coil_shape import Array, CoilShape, stations
from bedwright.mechanics.wire import tolerance

SHEAR_FORM = 10 / 9  # shear form factor of a round section
GOEHNER = 3 / 16  # a curved bar twists less by 3/(16 C^2), transverse shear included (Goehner, from memory)


@dataclass(frozen=True, slots=True)
class RateInterval:
    """Rate and its interval [N/mm] from wire tolerance, turns and diameter; the share of each, as a half width."""

    rate: float
    low: float
    high: float
    from_wire: float
    from_turns: float
    from_diameter: float
    wire_tolerance: float


def plain_rate(shape: CoilShape) -> float:
    """Rate from torsion alone [N/mm]: k = G d^4 / (8 * integral of D^3 over the live turns).

    Shigley eq. 10-9 for a cylinder; Castigliano for other profiles (books `shigley-11`, `conical-springs`).
    """
    at = stations(shape)
    G, d, n = shape.shear_modulus, shape.wire_diameter, shape.live_turns
    return float(G * d**4 / (8 * n * np.sum(at.weight * at.diameter**3)))


def rate(shape: CoilShape) -> float:
    """Rate with ends that move along the axis only, neither tilting nor turning [N/mm].

    Exact linear compliance of the wire's curve under a wrench at the top: torsion, bending, axial and shear strain,
    inverted with the ends held. Finite elements agree within 0.16 % (book `fe-coils`; 18 coils, C of 6 to 39).
    """
    stiffness = np.linalg.inv(_compliance(shape))
    return float(stiffness[2, 2])


def free_end_rate(shape: CoilShape) -> float:
    """Rate with the top free to tilt, shift and turn under a force along the axis [N/mm]: a coil alone on a bench."""
    return float(1 / _compliance(shape)[2, 2])


def rate_interval(shape: CoilShape, grade: str = "SM", *, turns: float = 0.25, diameter: float = 0.01) -> RateInterval:
    """The rate and what wire tolerance, a quarter turn and 1 % of diameter leave open [N/mm].

    Each cause moved both ways through `rate`, half widths joined as a root sum of squares. The quarter turn and the 1 %
    are common practice, no source; the tolerance is the grade's.
    """
    k = rate(shape)
    slack = min(tolerance(shape.wire_diameter, grade), 0.2 * shape.wire_diameter)
    wire = _half_width(shape, slack / shape.wire_diameter, 0.0, 0.0)
    live = _half_width(shape, 0.0, turns, 0.0)
    size = _half_width(shape, 0.0, 0.0, diameter)
    half = float(np.sqrt(wire**2 + live**2 + size**2))
    return RateInterval(k, k - half, k + half, wire, live, size, slack)


def _half_width(shape: CoilShape, wire: float, turns: float, diameter: float) -> float:
    """Half the spread of the exact rate when shares of wire and diameter and a number of turns move both ways.

    Through scale laws on the plain rate, so that a coil at the very edge of what is accepted can still be moved.
    """
    n = shape.live_turns
    low = (1 - wire) ** 4 * n / (n + turns) / (1 + diameter) ** 3
    high = (1 + wire) ** 4 * n / (n - turns) / (1 - diameter) ** 3
    return rate(shape) * (high - low) / 2


def _compliance(shape: CoilShape) -> Array:
    """Compliance (6, 6) at the top centre: (force, moment) -> (shift, turn) [mm/N, 1/N, 1/(N mm)]."""
    at = stations(shape)
    d, E, G, n, height = (
        shape.wire_diameter,
        shape.youngs_modulus,
        shape.shear_modulus,
        shape.live_turns,
        shape.free_height,
    )
    area, inertia = np.pi * d**2 / 4, np.pi * d**4 / 64
    radius, radius_slope = at.diameter / 2, at.slope / 2
    turn = 2 * np.pi * n
    cos, sin = np.cos(turn * at.place), np.sin(turn * at.place)
    along = np.stack(
        [radius_slope * cos - radius * turn * sin, radius_slope * sin + radius * turn * cos, np.full_like(cos, height)],
        axis=1,
    )
    speed = np.linalg.norm(along, axis=1)
    tangent = along / speed[:, None]
    length = at.weight * speed
    lever = np.stack([-radius * cos, -radius * sin, height * (1 - at.place)], axis=1)  # from the wire to the top centre

    axial = tangent[:, :, None] * tangent[:, None, :]
    across = np.eye(3) - axial
    curved = 1 - (GOEHNER + SHEAR_FORM / 2) * (d / at.diameter) ** 2
    stretch = axial / (E * area) + across * (SHEAR_FORM / (G * area))
    turning = axial * (curved / (2 * G * inertia))[:, None, None] + across / (E * inertia)
    arm = _cross_matrix(lever)
    arm_t = np.swapaxes(arm, 1, 2)
    compliance = np.empty((6, 6))
    compliance[:3, :3] = np.einsum("n,nij->ij", length, stretch + arm_t @ turning @ arm)
    compliance[:3, 3:] = np.einsum("n,nij->ij", length, arm_t @ turning)
    compliance[3:, :3] = compliance[:3, 3:].T
    compliance[3:, 3:] = np.einsum("n,nij->ij", length, turning)
    return compliance


def _cross_matrix(v: Array) -> Array:
    """Matrices (stations, 3, 3) that take a vector w to v x w."""
    matrix = np.zeros((len(v), 3, 3))
    matrix[:, 0, 1], matrix[:, 0, 2], matrix[:, 1, 2] = -v[:, 2], v[:, 1], -v[:, 0]
    return matrix - np.swapaxes(matrix, 1, 2)
