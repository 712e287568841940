"""The solver against closed forms by other pads, pressures and links (books derived, hetenyi-1946), with their orders.

A pad is a face and an area through which each node is touched, so a sphere, an ellipsoid or a cylinder is a face of its
own. A pressure is a pad with a skin so soft that it hardly follows what it presses: skin x depth is the pressure.

    what                                error of the force or depth, coarse ... fine      order
    sphere on columns, by Protocol      -0.5 % ... -0.02 % at fineness 1 ... 4            about 2, uneven
    ellipsoid on columns                0.07 % at 25 mm, 0.002 % at 5 mm                  2
    cylinder on columns                 -0.5 % at 25 mm, 0.02 % at 5 mm                   2
    flat punch, sharp edge, membrane    -0.55 % ... -0.26 % at fineness 1 ... 4           below 1: a line load
    membrane under a disc of pressure   -0.22 % at 25 mm, -0.008 % at 5 mm                2
    beam on columns, middle and end     +2.5 % at 100 mm, +0.04 % at 12.5 mm              2
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.sparse import csr_matrix, diags

from bedwright.mechanics import closed_forms as forms
from bedwright.mechanics.field import (
    COIL_FIRST,
    COIL_STEP,
    Gap,
    Heads,
    field,
    no_heads,
    no_ties,
    straight_table,
)
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.mesh import Mesh, assembled
from bedwright.mechanics.pad import Protocol
from bedwright.mechanics.plain_bed import PlainBed, plain_bed
from bedwright.mechanics.plain_test import plain_pad_test
from bedwright.mechanics.solver import Bench, Pressed

Array = NDArray[np.float64]
NO_PAD = 1e18  # rise of a face that is not there [mm]
SOFT = 1e-9  # skin of a pressure [N/mm3]


def square_mesh(width: float, length: float, step: float) -> Mesh:
    """A plain grid of squares cut once, its middle at nothing."""
    across, along = round(width / step) + 1, round(length / step) + 1
    x, y = np.meshgrid(
        np.linspace(-width / 2, width / 2, across), np.linspace(-length / 2, length / 2, along), indexing="ij"
    )
    first = (np.arange(across - 1)[:, None] * along + np.arange(along - 1)).ravel()
    halves = [np.stack([first, first + along, first + along + 1]), np.stack([first, first + along + 1, first + 1])]
    points = np.stack([x.ravel(), y.ravel()], axis=1)
    return assembled(points, np.concatenate(halves, axis=1).T.astype(np.int32), np.hypot(x.ravel(), y.ravel()))


def columns(mesh: Mesh, stiffness: float, tension: float, face: Array, touch: Array, skin: float) -> Field:
    """Columns [N/mm3] under a membrane [N/mm]."""
    none = np.zeros(len(mesh.x))
    gaps = [Gap(straight_table(stiffness), 1.0, mesh.area)]
    lateral = np.array([tension])
    return field(mesh, gaps, lateral, [], no_heads(), np.zeros((1, 2, 2)), no_ties(), (none, none), face, touch, skin)


def orders(steps: tuple[float, ...], errors: list[float]) -> list[float]:
    """Order of each refinement."""
    pairs = zip(pairwise(steps), pairwise(errors), strict=True)
    return [float(np.log(abs(a / b)) / np.log(h / half)) for (h, half), (a, b) in pairs]


def test_sphere_on_columns() -> None:
    """B1, a true sphere: R 150 mm on 200 kPa/m gives 200 N at 48.786 mm and 9.7573 kPa in the middle."""
    plain = PlainBed(0.5, 50, 50, (), 0.0, 1500, 2000)
    sphere = Protocol(diameter=280.0, face_radius=150.0, edge_radius=0.0)
    depths = (20.0, 30.0, 40.0, 48.786)
    exact = np.array([forms.sphere_on_columns(plain.foundation, 150, depth).force for depth in depths])
    assert exact[-1] == pytest.approx(200, rel=1e-4)
    errors = []
    for fineness in (1.0, 2.0, 4.0):
        answer = plain_pad_test(plain, depths, fineness=fineness, protocol=sphere)
        errors.append(float(np.sqrt(np.mean((answer.force / exact - 1) ** 2))))
    assert errors[0] <= 0.007 and errors[2] <= 0.0006
    assert np.log2(errors[0] / errors[2]) / 2 >= 1.5


def test_ellipsoid_on_columns() -> None:
    """B2: radii 120 and 400 mm on 60 kPa/m give 250 N at 77.805 mm and 4.668 kPa in the middle."""
    exact = forms.ellipsoid_on_columns(60e-6, (120, 400), 77.805)
    assert exact.force == pytest.approx(250, rel=1e-4)
    steps, errors = (25.0, 10.0, 5.0), []
    for step in steps:
        mesh = square_mesh(700, 700, step)
        one = columns(mesh, 60e-6, 0.0, mesh.x**2 / 240 + mesh.y**2 / 800, mesh.area, 10.0)
        state = Bench(one).settled(77.805)
        errors.append(state.force / exact.force - 1)
    assert abs(errors[0]) <= 1e-3 and abs(errors[2]) <= 1e-4
    assert np.log(abs(errors[0] / errors[2])) / np.log(5) >= 1.5
    assert state.u.max() * 60 == pytest.approx(4668, rel=1e-4)  # Pa


def test_cylinder_on_columns() -> None:
    """B3: R 120 mm on 80 kPa/m gives 400 N/m at 38.840 mm; a strip 200 mm wide of it."""
    exact = forms.cylinder_on_columns(80e-6, 120, 38.840)
    assert exact.force * 1000 == pytest.approx(400, rel=1e-4)
    steps, errors = (25.0, 10.0, 5.0), []
    for step in steps:
        mesh = square_mesh(400, 200, step)
        one = columns(mesh, 80e-6, 0.0, mesh.x**2 / 240, mesh.area, 10.0)
        errors.append(Bench(one).settled(38.840).force / 200 / exact.force - 1)
    assert abs(errors[0]) <= 6e-3 and abs(errors[2]) <= 5e-4
    assert np.log(abs(errors[0] / errors[2])) / np.log(5) >= 1.5


def test_flat_punch_on_a_membrane() -> None:
    """A sharp edge is a line load: 230.863 N. Ours falls slowly, from one side, as the rings at the edge close up."""
    plain = plain_bed("springs 0.6 N/mm square 100 mm, tension 300 N/m, 1500x2000")
    punch = Protocol(face_radius=1e9, edge_radius=0.0)
    exact = forms.flat_punch(plain.foundation, 300, 177.5, 20)
    assert exact == pytest.approx(230.863, abs=1e-3)
    errors = [plain_pad_test(plain, [20.0], fineness=f, protocol=punch).force[0] / exact - 1 for f in (1.0, 2.0, 3.0)]
    assert -0.006 <= errors[0] < errors[1] < errors[2] < 0


def test_membrane_under_a_disc_of_pressure() -> None:
    """B10: 4 kPa over a radius of 100 mm, 300 N/m on 60 kPa/m: 37.044 mm in the middle."""
    exact = forms.membrane_under_disc(60e-6, 300, 100, 0.004)
    assert exact == pytest.approx(37.044, abs=1e-3)
    steps, errors = (25.0, 20.0, 10.0), []
    inside = (np.arange(20) + 0.5) / 20 - 0.5
    for step in steps:
        mesh = square_mesh(1000, 1000, step)
        # share of each node's square that lies in the disc
        share = np.mean([np.hypot(mesh.x + a * step, mesh.y + b * step) <= 100 for a in inside for b in inside], axis=0)
        one = columns(mesh, 60e-6, 0.3, np.where(share > 0, 0.0, NO_PAD), share * mesh.area, SOFT)
        state = Bench(one).settled(0.004 / SOFT)
        assert state.force == pytest.approx(0.004 * np.pi * 100**2, rel=1e-3)
        errors.append(state.u[np.argmin(mesh.radius), 0] / exact - 1)
    assert abs(errors[0]) <= 0.0025 and abs(errors[2]) <= 3e-4
    assert min(orders(steps, errors)) >= 1.7


BENDING, UNDER, LOAD = 12e6, 5e-3, 100.0  # EI 12 N m2, 5000 N/m2, 100 N


def beam(pitch: float, length: float, at: float) -> tuple[Pressed, Array, Array]:
    """A row of coils tied by second differences; its places and deflections [mm] under LOAD at one of them."""
    count = round(length / pitch) + 1
    points = np.array([(i * pitch, y) for i in range(count) for y in (0.0, pitch)])
    first = 2 * np.arange(count - 1)
    triangles = np.concatenate([np.stack([first, first + 2, first + 3]), np.stack([first, first + 3, first + 1])], 1)
    mesh = assembled(points, triangles.T.astype(np.int32), np.zeros(2 * count))
    node = np.empty((count, 2), np.int32)
    node[np.rint(mesh.x / pitch).astype(int), np.rint(mesh.y / pitch).astype(int)] = np.arange(2 * count)
    second = diags([1.0, -2.0, 1.0], [0, 1, 2], shape=(count - 2, count))
    links = csr_matrix(BENDING / pitch**3 * (second.T @ second))
    own = links.diagonal()
    links.setdiag(0)
    links.eliminate_zeros()
    links.sort_indices()
    share = np.ones(count)
    share[[0, -1]] = 0.5  # the end coils stand for half a pitch
    travel = COIL_FIRST + COIL_STEP * np.arange(400)
    laws = np.array(
        [np.stack([s * UNDER * pitch * travel, np.full(400, s * UNDER * pitch * COIL_STEP)], 1) for s in (0.5, 1)]
    )
    heads = Heads(
        starts=np.arange(0, 2 * count + 1, 2, dtype=np.int32),
        nodes=node.ravel(),
        shares=np.full(2 * count, 0.5),
        gap=np.zeros(count, np.int32),
        kind=(share == 1).astype(np.int32),
        link_starts=links.indptr.astype(np.int32),
        link_others=links.indices.astype(np.int32),
        link_couplings=links.data,
        link_own=own,
    )
    touch, none = np.zeros(2 * count), np.zeros(2 * count)
    touch[node[round(at / pitch)]] = 0.5
    face = np.where(touch > 0, 0.0, NO_PAD)
    one = field(mesh, [Gap(None, 1.0, none)], np.zeros(1), [], heads, laws, no_ties(), (none, none), face, touch, 1e-7)
    state = Bench(one).settled(LOAD / 1e-7)
    return state, pitch * np.arange(count), state.u[node, 0].mean(axis=1)


def test_beam_on_columns_by_links_of_coils() -> None:
    """B7: lambda 3.194716 /m, 31.947 mm under the load in the middle and 127.79 mm at a free end; four times."""
    exact = forms.Beam(BENDING, UNDER)
    middle, end = exact.deflection(LOAD), exact.end_deflection(LOAD)
    assert (middle, end) == (pytest.approx(31.947, abs=1e-3), pytest.approx(127.79, abs=0.01))
    pitches = (100.0, 50.0, 25.0, 12.5)
    errors: list[list[float]] = [[], []]
    for pitch in pitches:
        state, place, w = beam(pitch, 4000, 2000)
        assert state.force == pytest.approx(LOAD, rel=1e-6)
        errors[0].append(w[len(w) // 2] / middle - 1)
        errors[1].append(beam(pitch, 4000, 0)[2][0] / end - 1)
    assert abs(errors[0][0]) <= 0.025 and abs(errors[1][0]) <= 0.026
    assert abs(errors[0][-1]) <= 5e-4 and abs(errors[1][-1]) <= 5e-4
    for side in errors:
        assert min(orders(pitches, side)) >= 1.9
    # the whole line, the first zero at 737.5 mm among it; the far ends, 2 m off, move it by 0.15 mm
    assert w == pytest.approx([exact.deflection(LOAD, x - 2000) for x in place], abs=0.16)
