"""The solver of persons lying against closed forms: single bodies of their weight on plain columns (book derived).

A sphere, an ellipsoid and a cylinder are rods as trunk and limbs are, hung on one height, with tissue as hard as stone;
the weight is given and the depth is found, as with a person. Check values 2 to 5 of the page of bodies, section 6.

    what                          error of the depth at cells of 20, 10, 5 mm
    sphere, 200 and 100 N         0.4, 0.2, 0.05 %;  1.4, 0.4, 0.08 %
    paraboloid, 200 and 100 N     0.5, 0.09, 0.03 %; 1.3, 0.2, 0.05 %
    ellipsoid                     0.2, 0.05, 0.02 %
    cylinder                      0.5, 0.03, 0.01 %
    boards off their middle, and on a hinge: 0.02 to 0.1 % at 10 mm
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from bedwright.errors import NotConverged
from bedwright.mechanics import closed_forms as forms
from bedwright.mechanics.body import Body, G, Rod, on_mesh
from bedwright.mechanics.field import Gap, field, no_heads, no_ties, straight_table
from bedwright.mechanics.lying_bench import Rested, rested
from bedwright.mechanics.lying_mesh import LyingMesh, lying_mesh

Array = NDArray[np.float64]
MIDDLE, SIDE = 600.0, 1200.0  # of the columns' square [mm]
WIDTH = 190.0  # of boards [mm], to the bounds of cells of 10 mm
STONE = 1e6  # [kPa] at 1 mm of thickness
CELLS = (20.0, 10.0, 5.0)


def alone(rod: Rod, weight: float) -> Body:
    """A body of one rod on one height, of a weight [N]."""
    hung = ((0, 1.0),)
    mass = weight / G
    return Body(
        called="a plain body", posture="supine", rods=(rod,), heights=("down",), masses=((mass, hung, MIDDLE),),
        joints=np.zeros((1, 1)), mass=mass, stature=SIDE, spine=(), marks=(), bounds=(0.0, 0.0, 0.0), middle=MIDDLE,
    )  # fmt: skip


def rod(half: float, rise: Array, half_width: Array, half_height: Array) -> Rod:
    """A rod along the columns, from `half` before the middle to as far beyond."""
    at = np.linspace(0, 1, len(rise))
    hung = ((0, 1.0),)
    return Rod(
        part="trunk", start=(MIDDLE, MIDDLE - half), end=(MIDDLE, MIDDLE + half), from_=hung, to=hung, at=at, rise=rise,
        half_width=half_width, half_height=half_height, thickness=np.ones(len(at)), modulus=STONE,
    )  # fmt: skip


def lain(body: Body, stiffness: float, cell: float, window: float) -> tuple[Rested, LyingMesh, Array]:
    """At rest on columns [N/mm3]: the answer, the mesh, the pressure on its cells [kPa]."""
    mesh = lying_mesh(SIDE, SIDE, MIDDLE - window, MIDDLE - window, MIDDLE + window, MIDDLE + window, cell)
    none = np.zeros(len(mesh.mesh.x))
    gaps = [Gap(straight_table(stiffness), 1.0, mesh.mesh.area)]
    one = field(
        mesh.mesh, gaps, np.zeros(1), [], no_heads(), np.zeros((1, 2, 2)), no_ties(), (none, none), none, none, 1.0
    )
    found = rested(one, on_mesh([body], mesh))
    return found, mesh, found.u[mesh.node, 0] * stiffness * 1000


def errors_of_depth(rod: Rod, weight: float, stiffness: float, depth: float, window: float) -> list[float]:
    """Of each cell of CELLS, in shares of the depth; what is carried is the weight, and the peak is the deepest."""
    errors = []
    for cell in CELLS:
        found, _, pressure = lain(alone(rod, weight), stiffness, cell, window)
        assert found.carried == pytest.approx(weight, rel=1e-6) and found.residual <= 1e-6
        assert pressure.max() == pytest.approx(found.w[0] * stiffness * 1000, rel=0.02)
        errors.append(float(found.w[0]) / depth - 1)
    return errors


@pytest.mark.parametrize(("weight", "stiffness", "depth"), [(200.0, 200e-6, 48.786), (100.0, 400e-6, 23.664)])
def test_sphere(weight: float, stiffness: float, depth: float) -> None:
    """B1, a true sphere of R 150 mm: check values 2 and 3."""
    assert forms.sphere_on_columns(stiffness, 150, depth).force == pytest.approx(weight, rel=1e-4)
    s = np.linspace(-149.9, 149.9, 301)
    up = np.sqrt(150**2 - s**2)
    errors = errors_of_depth(rod(149.9, 150 - up, up, up), weight, stiffness, depth, 160)
    assert abs(errors[0]) <= 0.02 and abs(errors[1]) <= 0.005 and abs(errors[2]) <= 1e-3


def parabola(radius: float) -> tuple[float, float]:
    """Half width and half height of a section so large that it is a parabola of this radius at its lowest [mm]."""
    return float(np.sqrt(radius * 1e5)), 1e5


@pytest.mark.parametrize(
    ("radii", "weight", "stiffness", "depth", "peak"),
    [
        ((120.0, 400.0), 250.0, 60e-6, 77.805, 4.668),
        ((150.0, 150.0), 200.0, 200e-6, 46.066, 9.2132),
        ((150.0, 150.0), 100.0, 400e-6, 23.033, 9.2132),
    ],
)
def test_ellipsoid(radii: tuple[float, float], weight: float, stiffness: float, depth: float, peak: float) -> None:
    """B2, and B1 as a paraboloid: check values 4, 1 and 3."""
    exact = forms.ellipsoid_on_columns(stiffness, radii, depth)
    assert (exact.force, exact.peak * 1000) == (pytest.approx(weight, rel=1e-4), pytest.approx(peak, rel=1e-4))
    s = np.linspace(-300, 300, 601)
    half_width, half_height = (np.full(len(s), value) for value in parabola(radii[0]))
    errors = errors_of_depth(rod(300, s**2 / (2 * radii[1]), half_width, half_height), weight, stiffness, depth, 280)
    assert abs(errors[0]) <= 0.02 and abs(errors[1]) <= 0.005 and abs(errors[2]) <= 1e-3


def test_cylinder() -> None:
    """B3, R 120 mm, 400 N/m: check value 5, a piece of 200 mm of it."""
    exact = forms.cylinder_on_columns(80e-6, 120, 38.840)
    assert (exact.force * 1000, exact.half_width) == (pytest.approx(400, rel=1e-4), pytest.approx(96.55, abs=0.01))
    half_width, half_height = (np.full(3, value) for value in parabola(120))
    errors = []
    for cell in CELLS:  # its flat ends on the bounds of cells: a column is a whole cell or none
        half = 100 - cell / 2
        body = alone(rod(half, np.zeros(3), half_width, half_height), 0.4 * 2 * half)
        errors.append(float(lain(body, 80e-6, cell, 160)[0].w[0]) / 38.840 - 1)
    assert abs(errors[0]) <= 0.02 and abs(errors[1]) <= 0.005 and abs(errors[2]) <= 1e-3


def flat(start: float, end: float, from_: int, to: int) -> Rod:
    """A flat board of WIDTH from start to end [mm], on two heights."""
    return Rod(
        part="trunk", start=(MIDDLE, start), end=(MIDDLE, end), from_=((from_, 1.0),), to=((to, 1.0),),
        at=np.array([0.0, 1.0]), rise=np.zeros(2), half_width=np.full(2, WIDTH / 2), half_height=np.full(2, 1e-9),
        thickness=np.ones(2), modulus=STONE,
    )  # fmt: skip


def boards(rods: tuple[Rod, ...], loads: tuple[float, ...], joints: Array) -> Body:
    """Boards under a load [N] on each height."""
    masses = tuple((load / G, ((k, 1.0),), MIDDLE) for k, load in enumerate(loads))
    names = tuple(f"joint {k}" for k in range(len(loads)))
    return Body(
        called="boards", posture="supine", rods=rods, heights=names, masses=masses, joints=joints,
        mass=sum(loads) / G, stature=SIDE, spine=(), marks=(), bounds=(0.0, 0.0, 0.0), middle=MIDDLE,
    )  # fmt: skip


def test_a_board_loaded_off_its_middle_tilts_as_columns_say() -> None:
    """Balance of moments, derived: a rigid board of length L, force F at e from its middle sinks
    F / (k A) (1 + 12 e y / L^2)."""
    length, force, stiffness = 390.0, 100.0, 100e-6
    mean = force / (stiffness * WIDTH * length)
    for off in (0.0, 20.0, 40.0):  # within a sixth of the length all of it stays pressed
        loads = force * (0.5 - off / length), force * (0.5 + off / length)
        body = boards((flat(405, 795, 0, 1),), loads, np.zeros((2, 2)))
        found, _, _ = lain(body, stiffness, 10.0, 210.0)
        assert found.w == pytest.approx([mean * (1 - 6 * off / length), mean * (1 + 6 * off / length)], rel=0.005)


@pytest.mark.parametrize("hinge", [20.0, 100.0, 1e4])
def test_two_boards_on_a_hinge(hinge: float) -> None:
    """Derived: two boards of length l, joined by a hinge of c [N m/rad], loaded there: the energy
    k b l (w0^2 + w0 w1 + w1^2) / 6 of each on its columns and c (2 (w0 - w1) / l)^2 / 2 of the hinge, least at two
    straight equations for the heights w0 of the hinge and w1 of the far ends."""
    arm, force, stiffness = 195.0, 60.0, 100e-6
    c = hinge * 1000
    bed = stiffness * WIDTH * arm / 3
    bend = 4 * c / arm**2
    w0, w1 = np.linalg.solve([[4 * bed / 2 + bend, bed - bend], [bed - bend, 2 * bed + bend]], [force, 0.0])
    across = np.array([1.0, -2.0, 1.0]) / arm
    body = boards((flat(405, 600, 0, 1), flat(600, 795, 1, 2)), (0.0, force, 0.0), c * np.outer(across, across))
    found, _, _ = lain(body, stiffness, 10.0, 210.0)
    assert w1 > 0
    assert found.w == pytest.approx([w1, w0, w1], rel=0.002)


def test_boards_that_nothing_holds_down_do_not_come_to_rest() -> None:
    """Without a hinge's stiffness no pressure balances their moment: they swing up, and that is said."""
    body = boards((flat(405, 600, 0, 1), flat(600, 795, 1, 2)), (0.0, 60.0, 0.0), np.zeros((3, 3)))
    with pytest.raises(NotConverged, match="do not come to rest"):
        lain(body, 100e-6, 10.0, 210.0)
