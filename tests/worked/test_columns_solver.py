"""The solver of beds against closed forms of bodies, a membrane and a plate on columns (book derived), finer and finer.

Difference of the solver from the form, per cent, by the fineness of the mesh, and the mean order of two halvings:

    fineness                      0.5     1       2       order
    paraboloid, force            -3.8    -1.0    -0.3     1.9
    ellipsoid, force             -3.1    -1.2    -0.4     1.5
    lying cylinder, force         7.2     3.3     0.5     2.0
    disc under a membrane        -1.3    -0.4    -0.1     1.6
    disc on a plate              -5.4    -1.5    -0.5     1.7
    beam through coils, middle    8.4     2.4     0.6     1.9      coils 200, 100, 50 mm apart
    beam through coils, end      -9.6    -2.5    -0.6     2.0

The mesh has its rings round the pad, so a body that is not round meets it badly, a cylinder over the whole bed worst.
Of a beam no mesh errs: its bending is that of links between coils, and a real rod is held by its coils alone too.
Flat and sharp pads: test_plain_solver.py.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.sparse import csr_matrix, diags
from scipy.special import kerp

from bedwright.mechanics import closed_forms as forms
from bedwright.mechanics.field import (
    COIL_FIRST,
    COIL_STEP,
    Bent,
    Gap,
    Heads,
    field,
    hermite,
    no_heads,
    no_ties,
    seat,
    straight_table,
)
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.mesh import Mesh, assembled, ring_mesh
from bedwright.mechanics.pad import Protocol
from bedwright.mechanics.solver import Bench, Pressed

Array = NDArray[np.float64]
WIDTH, LENGTH = 1500.0, 2000.0
RIGID = 10.0  # [N/mm3]
FAR = 1e5  # [mm]: a skin so soft that a body so deep presses evenly


def bed(
    stiffness: float, tension: float, ring: float, fineness: float, bent: Sequence[Bent] = ()
) -> tuple[Mesh, Field, Array, Array]:
    """Columns [N/mm3] under one membrane [N/m], rings about a radius; x and y from the middle."""
    mesh = ring_mesh(WIDTH, LENGTH, WIDTH / 2, LENGTH / 2, ring, fineness)
    none = np.zeros(len(mesh.x))
    one = field(
        mesh,
        [Gap(straight_table(stiffness), 1.0, mesh.area)],
        np.array([tension / 1000]),
        list(bent),
        no_heads(),
        np.zeros((1, 2, 2)),
        no_ties(),
        (none, none),
        none,
        mesh.area.copy(),
        RIGID,
    )
    return mesh, one, np.asarray(mesh.x - WIDTH / 2), np.asarray(mesh.y - LENGTH / 2)


def pressed(one: Field, face: Array, depth: float) -> float:
    state = Bench(one._replace(face=face)).settled(depth)
    assert state.residual <= 1e-6
    return state.force


def evenly(mesh: Mesh, one: Field, radius: float, pressure: float) -> Pressed:
    """A disc of even pressure [MPa]."""
    _, touch = seat(mesh, Protocol(diameter=2 * radius, face_radius=1e9, edge_radius=0.0))
    soft = one._replace(face=np.zeros(len(mesh.x)), touch=touch, skin=pressure / FAR)
    return Bench(soft).settled(FAR)


def paraboloid(fineness: float) -> float:
    # R 150 mm, 200 kPa/m: 200 N at 46.066 mm
    _, one, x, y = bed(200e-6, 0, 117.56, fineness)
    return pressed(one, (x**2 + y**2) / 300, 46.066) / forms.paraboloid_on_columns(200e-6, 150, 46.066).force - 1


def ellipsoid(fineness: float) -> float:
    # R 120 and 400 mm, 60 kPa/m: 250 N at 77.805 mm
    _, one, x, y = bed(60e-6, 0, 250, fineness)
    return (
        pressed(one, x**2 / 240 + y**2 / 800, 77.805) / forms.ellipsoid_on_columns(60e-6, (120, 400), 77.805).force - 1
    )


def cylinder(fineness: float) -> float:
    # R 120 mm across the whole bed, 80 kPa/m: 400 N/m at 38.840 mm
    _, one, _, y = bed(80e-6, 0, 100, fineness)
    return pressed(one, y**2 / 240, 38.840) / (forms.cylinder_on_columns(80e-6, 120, 38.840).force * WIDTH) - 1


def disc(fineness: float) -> float:
    # q 4 kPa, a 100 mm, T 300 N/m, 60 kPa/m: 37.044 mm in the middle
    mesh, one, x, y = bed(60e-6, 300, 100, fineness)
    state = evenly(mesh, one, 100, 0.004)
    assert state.force == pytest.approx(0.004 * np.pi * 100**2, rel=2e-3)
    middle = float(state.u[np.argmin(x**2 + y**2), 0])
    return middle / forms.membrane_under_disc(60e-6, 300, 100, 0.004) - 1


def plate(fineness: float) -> float:
    # D 5 N m, 60 kPa/m, 100 N over a disc a = 60 mm: w0 = q/k (1 + a/l ker'(a/l)), the point's form summed over it
    bending, load, radius = 5000.0, 100.0, 60.0
    stack = Bent(np.array([1.0]), np.array([0.0]), bending, 1e9)
    mesh, one, x, y = bed(60e-6, 0, radius, fineness, [stack])
    pressure = load / (np.pi * radius**2)
    state = evenly(mesh, one, radius, pressure)
    ratio = radius / (bending / 60e-6) ** 0.25
    middle = float(state.u[np.argmin(x**2 + y**2), 0])
    return middle / (pressure / 60e-6 * (1 + ratio * float(kerp(ratio)))) - 1


def beam(fineness: float, *, end: bool = False) -> float:
    """EI 12 N m2 over coils that stand for 5000 N/m2, 100 N on one coil; links between coils are its only bending."""
    pitch, rod, load = 100 / fineness, forms.Beam(12e6, 5e-3), 100.0
    count = round(6000 / pitch) + 1
    along = np.arange(count) * pitch
    points = np.array([(x, y) for y in (0.0, pitch) for x in along])
    corners = [t for i in range(count - 1) for t in ((i, i + 1, count + i), (i + 1, count + i + 1, count + i))]
    mesh = assembled(points, np.array(corners, np.int32), np.zeros(len(points)))
    at = {(round(x), round(y)): node for node, (x, y) in enumerate(zip(mesh.x, mesh.y, strict=True))}
    nodes = np.array([at[round(x), 0] for x in along], np.int32)
    second = diags([1.0, -2.0, 1.0], [0, 1, 2], shape=(count - 2, count))
    links = csr_matrix(rod.bending / pitch**3 * (second.T @ second))
    own = np.array(links.diagonal())
    links.setdiag(0)
    links.eliminate_zeros()
    none, kinds = np.zeros(len(mesh.x)), np.array([1, *[0] * (count - 2), 1], np.int32)  # an end coil has half a pitch
    heads = Heads(
        np.arange(count + 1, dtype=np.int32), nodes, np.ones(count), np.zeros(count, np.int32), kinds,
        links.indptr.astype(np.int32), links.indices.astype(np.int32), links.data.copy(), own,
    )  # fmt: skip
    ways = rod.stiffness * pitch * np.arange(COIL_FIRST, 220.0, COIL_STEP)
    touch = none.copy()
    touch[nodes[0] if end else nodes[count // 2]] = 1.0
    ground = Gap(straight_table(1e-12), 1.0, mesh.area)  # nothing to speak of: the coils carry
    laws = np.stack([hermite(ways), hermite(ways / 2)])
    one = field(mesh, [ground], np.zeros(1), [], heads, laws, no_ties(), (none, none), none, touch, load / FAR)
    state = Bench(one).settled(FAR)
    down = float(state.u[touch > 0, 0][0]) * load / state.force
    return down / (rod.end_deflection(load) if end else rod.deflection(load)) - 1


def beam_end(fineness: float) -> float:
    return beam(fineness, end=True)


def test_the_disc_on_a_plate_comes_to_the_point_load() -> None:
    # the form used above, at a small radius, is the published 22.822 mm
    ratio = 1.0 / (5000 / 60e-6) ** 0.25
    small = 100 / np.pi / 60e-6 * (1 + ratio * float(kerp(ratio)))
    assert small == pytest.approx(22.822, abs=0.01)
    assert forms.plate_under_point(60e-6, 5000, 100) == pytest.approx(22.822, abs=1e-3)


@pytest.mark.parametrize(
    ("form", "most", "order"),
    [
        (paraboloid, 0.005, 1.5),
        (ellipsoid, 0.005, 1.2),
        (cylinder, 0.01, 1.5),
        (disc, 0.005, 1.0),
        pytest.param(plate, 0.01, 1.4, marks=pytest.mark.full),
        (beam, 0.01, 1.7),
        (beam_end, 0.01, 1.7),
    ],
    ids=["paraboloid", "ellipsoid", "cylinder", "disc under a membrane", "disc on a plate", "beam", "beam's end"],
)
def test_finer_meshes_come_nearer(form: Callable[[float], float], most: float, order: float) -> None:
    coarse, default, fine = (abs(form(fineness)) for fineness in (0.5, 1.0, 2.0))
    assert fine <= most
    assert fine < max(coarse, default)
    assert np.log2(coarse / fine) / 2 >= order, (coarse, default, fine)


@pytest.mark.full
@pytest.mark.parametrize("form", [paraboloid, ellipsoid, cylinder, disc, beam, beam_end])
def test_a_very_fine_mesh(form: Callable[[float], float]) -> None:
    assert abs(form(4.0)) <= 0.003
