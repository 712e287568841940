"""The solver's stack that bends against a plate on columns (book derived): B11, a load of 100 N over a small disc.

D 5 N m on 60 kPa/m. A point load gives w0 = P / (8 sqrt(k D)) = 22.822 mm; the point's form -(P l^2 / 2 pi D) kei(r/l)
summed over a disc of radius a and pressure q gives w0 = (q/k) (1 + (a/l) ker'(a/l)). Difference of the solver, per
cent, at fineness 0.5, 1, 2: -5.4, -1.5, -0.5; order 1.7 in the mean.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import kerp

from bedwright.mechanics import closed_forms as forms
from bedwright.mechanics.field import Bent, Gap, field, no_heads, no_ties, seat, straight_table
from bedwright.mechanics.mesh import ring_mesh
from bedwright.mechanics.pad import Protocol
from bedwright.mechanics.solver import Bench

BENDING, COLUMNS, LOAD, RADIUS = 5000.0, 60e-6, 100.0, 60.0
RIGID_IN_SHEAR = 1e9
FAR = 1e5  # [mm]: a skin so soft that a body so deep presses evenly


def exact(radius: float) -> float:
    """Depth in the middle [mm] under the load spread over a disc."""
    ratio = radius / (BENDING / COLUMNS) ** 0.25
    return LOAD / (np.pi * radius**2) / COLUMNS * (1 + ratio * float(kerp(ratio)))


def solved(fineness: float) -> float:
    mesh = ring_mesh(1500, 2000, 750, 1000, RADIUS, fineness)
    _, touch = seat(mesh, Protocol(diameter=2 * RADIUS, face_radius=1e9, edge_radius=0.0))
    none = np.zeros(len(mesh.x))
    plate = Bent(np.array([1.0]), np.array([0.0]), BENDING, RIGID_IN_SHEAR)
    one = field(
        mesh,
        [Gap(straight_table(COLUMNS), 1.0, mesh.area)],
        np.zeros(1),
        [plate],
        no_heads(),
        np.zeros((1, 2, 2)),
        no_ties(),
        (none, none),
        none,
        touch,
        LOAD / (np.pi * RADIUS**2) / FAR,
    )
    state = Bench(one).settled(FAR)
    return float(state.u[np.argmin(mesh.radius), 0]) * LOAD / state.force


def test_the_disc_comes_to_the_point_load() -> None:
    assert forms.plate_under_point(COLUMNS, BENDING, LOAD) == pytest.approx(22.822, abs=1e-3)
    assert exact(1.0) == pytest.approx(22.822, abs=0.01)


def test_a_plate_on_columns() -> None:
    coarse, default = (abs(solved(fineness) / exact(RADIUS) - 1) for fineness in (0.5, 1.0))
    assert default <= 0.02 and np.log2(coarse / default) >= 1.4


@pytest.mark.full
def test_a_finer_plate() -> None:
    coarse, fine = (abs(solved(fineness) / exact(RADIUS) - 1) for fineness in (0.5, 2.0))
    assert fine <= 0.007 and np.log2(coarse / fine) / 2 >= 1.5
