"""A plain bed by finite elements in space: scikit-fem's 20-node hexahedra, pad contact, no symmetry made use of.

The plan is meshed in rings about the pad, so that its rim is a line of the mesh, and layers are one element high. The
pad is touched through a stiff skin at the points of integration. Two ways to press it, both counted with assembly:
factorise anew whenever the contact changes, as a general program does; or factorise once, reduce the bed to the face
under the pad, and press that: what linear layers allow and nothing else does.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import skfem
from numpy.typing import NDArray
from scipy.sparse import csc_matrix, csr_matrix, diags
from scipy.sparse.linalg import SuperLU, splu
from skfem.helpers import ddot, div, grad, sym_grad

from bedwright.mechanics.pad import Protocol
from bedwright.mechanics.plain_bed import PlainBed

Array = NDArray[np.float64]
Matrix = Any
PAD = Protocol()
RADIUS = PAD.diameter / 2
SKIN = 1.0  # N/mm3: 0.01 mm at 10 kPa
CORE, GROWS = 0.55, 1.5  # half side of the square at the axis, as a share of the pad; from ring to ring outside it
Mesh = tuple[int, int, int]
"""Elements along a side of the core, rings from there to the rim, rings from there to the bed's edges."""


def rings_plan(size: tuple[float, float], spot: tuple[float, float], mesh: Mesh) -> tuple[Array, NDArray[np.int64]]:
    """Corners (points, 2) and quadrilaterals (elements, 4) of the plan, counter-clockwise."""
    side, inner, outer = mesh
    line = np.linspace(-1, 1, side + 1)
    points = [CORE * RADIUS * np.array([x * (1 - y * y / 4) ** 0.5, y * (1 - x * x / 4) ** 0.5])
              for y in line for x in line]  # fmt: skip
    at = np.arange((side + 1) ** 2).reshape(side + 1, side + 1)
    quads = [(at[j, i], at[j, i + 1], at[j + 1, i + 1], at[j + 1, i]) for j in range(side) for i in range(side)]
    loop = [*at[0, :-1], *at[:-1, -1], *at[-1, :0:-1], *at[:0:-1, 0]]
    n = len(loop)
    start, turn = np.array([points[k] for k in loop]), 2 * np.pi / n
    angle = -3 * np.pi / 4 + turn * np.arange(n)
    rim = RADIUS * np.sqrt(turn / np.sin(turn)) * np.column_stack([np.cos(angle), np.sin(angle)])  # a polygon as large
    low, high = -np.array(spot), np.array(size) - np.array(spot)
    s = np.arange(side)[:, None] / side
    corners = np.array([low, [high[0], low[1]], high, [low[0], high[1]]])
    edge = np.concatenate([corners[k] + (corners[(k + 1) % 4] - corners[k]) * s for k in range(4)])
    grown = np.cumsum(GROWS ** np.arange(outer))
    layers = [start + (rim - start) * (1 - (1 - k / inner) ** 1.3) for k in range(1, inner + 1)]
    layers += [rim + (edge - rim) * share for share in grown / grown[-1]]
    for layer in layers:
        first = len(points)
        points += list(layer)
        quads += [(loop[i], first + i, first + (i + 1) % n, loop[(i + 1) % n]) for i in range(n)]
        loop = list(range(first, first + n))
    return np.array(points) + np.array(spot), np.array(quads)


class SolidBed:
    """A plain bed as a solid; `seconds` of processor time so far, `unknowns`, `factorisations`."""

    def __init__(self, bed: PlainBed, mesh: Mesh) -> None:
        began = time.process_time()
        spot = bed.width / 2, bed.length / 2
        plan, quads = rings_plan((bed.width, bed.length), spot, mesh)
        heights = np.cumsum([0.0, *(layer.thickness for layer in reversed(bed.layers))])
        points = np.concatenate([np.column_stack([plan, np.full(len(plan), z)]) for z in heights])
        hexes = []
        for level in range(len(bed.layers)):
            a, b, c, d = quads.T + level * len(plan)
            A, B, C, D = quads.T + (level + 1) * len(plan)
            hexes.append(np.array([a, A, d, b, D, B, c, C]))
        solid = skfem.MeshHex(points.T, np.concatenate(hexes, axis=1))
        element = skfem.ElementVector(skfem.ElementHexS2())
        basis = skfem.Basis(solid, element, intorder=4)
        of = np.repeat(np.arange(len(bed.layers))[::-1], len(quads))
        E = np.array([layer.modulus_kpa / 1000 for layer in bed.layers])[of]
        nu = np.array([layer.poisson or 0.0 for layer in bed.layers])[of]
        flat = basis.with_element(skfem.ElementHex0())
        lame, shear = flat.interpolate(E * nu / ((1 + nu) * (1 - 2 * nu))), flat.interpolate(E / 2 / (1 + nu))

        @skfem.BilinearForm
        def elastic(u, v, w):  # type: ignore[no-untyped-def]
            return w["lame"] * div(u) * div(v) + 2 * w["shear"] * ddot(sym_grad(u), sym_grad(v))

        @skfem.BilinearForm
        def spring(u, v, w):  # type: ignore[no-untyped-def]
            return u[2] * v[2]

        @skfem.BilinearForm
        def membrane(u, v, w):  # type: ignore[no-untyped-def]
            return grad(u)[2, 0] * grad(v)[2, 0] + grad(u)[2, 1] * grad(v)[2, 1]

        faces = [solid.facets_satisfying(lambda x, z=z: np.abs(x[2] - z) < 1e-9) for z in (0.0, heights[-1])]
        below, above = (skfem.FacetBasis(solid, element, facets=facets, intorder=4) for facets in faces)
        K = elastic.assemble(basis, lame=lame, shear=shear)
        K = K + bed.stiffness / (bed.pitch_across * bed.pitch_along) * spring.assemble(below)
        K = csc_matrix(K + bed.tension / 1000 * membrane.assemble(above))
        middle = solid.p[:, solid.facets[:, faces[1]]].mean(axis=1)
        under = faces[1][np.hypot(middle[0] - spot[0], middle[1] - spot[1]) < RADIUS]
        touched = skfem.FacetBasis(solid, element, facets=under, intorder=6)
        on = np.asarray(touched.global_coordinates())
        self.rise = PAD.rise(np.minimum(np.hypot(on[0] - spot[0], on[1] - spot[1]).ravel(), RADIUS - 1e-9))
        self.push = SKIN * touched.dx.ravel()
        down = [-np.asarray(touched.basis[k][0])[2] for k in range(touched.Nbfun)]
        rows = np.tile(np.arange(self.push.size), touched.Nbfun)
        columns = np.concatenate([np.repeat(touched.element_dofs[k], down[k].shape[1]) for k in range(touched.Nbfun)])
        N = csr_matrix(
            (np.concatenate([part.ravel() for part in down]), (rows, columns)), shape=(rows.max() + 1, basis.N)
        )
        held = self._held(basis, bed)
        self.free = np.setdiff1d(np.arange(basis.N), held)
        self.K, self.N = K[self.free][:, self.free], csr_matrix(N[:, self.free])
        self.unknowns, self.factorisations = basis.N, 0
        self.seconds = time.process_time() - began

    def refactoring(self, depths: Sequence[float]) -> Array:
        """Forces [N]; the whole matrix factorised anew whenever the contact changes."""
        held: list[tuple[NDArray[np.bool_], SuperLU]] = []

        def step(touching: NDArray[np.bool_], out: Array) -> Array:
            if not held or not np.array_equal(held[0][0], touching):
                part = self.N[touching]
                held[:] = [(touching, self._factor(self.K + part.T @ diags(self.push[touching]) @ part))]
            return np.asarray(held[0][1].solve(-out))

        return self._pressed(self.K, self.N, step, depths)

    def condensing(self, depths: Sequence[float]) -> Array:
        """Forces [N]; factorised once and reduced to the deflections under the pad."""
        began = time.process_time()
        factor = self._factor(self.K)
        face = np.unique(self.N.indices[np.abs(self.N.data) > 1e-14])
        give = np.empty((len(face), len(face)))
        for first in range(0, len(face), 32):
            some = face[first : first + 32]
            right = np.zeros((len(self.free), len(some)))
            right[some, np.arange(len(some))] = 1
            give[:, first : first + 32] = factor.solve(right)[face]
        K, N = np.linalg.inv((give + give.T) / 2), self.N[:, face].toarray()

        def step(touching: NDArray[np.bool_], out: Array) -> Array:
            part = N[touching]
            return np.asarray(np.linalg.solve(K + (part.T * self.push[touching]) @ part, -out))

        self.seconds += time.process_time() - began
        return self._pressed(K, N, step, depths)

    def _pressed(
        self, K: Matrix, N: Matrix, step: Callable[[NDArray[np.bool_], Array], Array], depths: Sequence[float]
    ) -> Array:
        """Newton on the energy of the bed and the skin, which is convex: steps are halved until it falls."""
        began = time.process_time()
        u, forces = np.zeros(K.shape[0]), []
        for depth in depths:
            for _ in range(60):
                gap = depth - self.rise - N @ u
                force = float(self.push @ np.maximum(gap, 0))
                out = K @ u - N.T @ (self.push * np.maximum(gap, 0))
                if np.abs(out).sum() <= 1e-6 * max(force, 1.0):
                    break
                way = step(gap > 0, out)
                bent, moved, share = K @ way, N @ way, 1.0
                before = self.push @ np.maximum(gap, 0) ** 2 / 2
                while share > 1e-3:
                    more = share * (u @ bent) + share**2 * (way @ bent) / 2
                    if more + self.push @ np.maximum(gap - share * moved, 0) ** 2 / 2 <= before:
                        break
                    share /= 2
                u = u + share * way
            else:
                raise AssertionError(f"hexahedra did not settle at {depth} mm")
            forces.append(force)
        self.seconds += time.process_time() - began
        return np.array(forces)

    def _factor(self, matrix: Matrix) -> SuperLU:
        self.factorisations += 1
        ordered = {"permc_spec": "MMD_AT_PLUS_A", "options": {"SymmetricMode": True}, "diag_pivot_thresh": 0.0}
        return splu(csc_matrix(matrix), **ordered)

    @staticmethod
    def _held(basis: Any, bed: PlainBed) -> NDArray[np.int64]:
        """Three unknowns at two corners of the base, so that the bed neither slides nor turns as a whole."""
        at, held = basis.doflocs, []
        for name, x in (("u^1", 0.0), ("u^2", 0.0), ("u^2", bed.width)):
            of = basis.get_dofs(elements=np.arange(basis.mesh.nelements)).all(name)
            held.append(of[np.argmin(np.abs(at[:, of] - np.array([[x], [0.0], [0.0]])).sum(axis=0))])
        return np.array(held)
