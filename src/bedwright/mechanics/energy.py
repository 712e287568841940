"""What a pressed bed has stored, part by part, and what the pad has done: the balance that every path must keep.

Nothing here shares a line with the compiled loops: forces are theirs, energies are these, and the work of the pad over
a path must equal what is stored at its end less what was stored at its beginning. Both in N mm.
"""

from __future__ import annotations

from dataclasses import astuple, dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_matrix, csr_matrix, diags
from scipy.sparse.linalg import splu

from bedwright.mechanics.kernels import Field
from bedwright.mechanics.solver import Pressed

Array = NDArray[np.float64]
PANELS = 64  # of the integral of a way back, each by five points of Gauss
_POINTS, _WEIGHTS = np.polynomial.legendre.leggauss(5)


@dataclass(frozen=True, slots=True)
class Stored:
    """Energy [N mm] in each kind of part; contact is the thin skin between pad and bed."""

    fillings: float
    coils: float
    links: float
    tension: float
    bending: float
    contact: float
    ties: float
    rim: float
    slats: float

    @property
    def total(self) -> float:
        """Sum [N mm]."""
        return float(sum(astuple(self)))


def stored_energy(field: Field, state: Pressed) -> Stored:
    """Energy of the bed in a state.

    On the way back (field.returning) a filling's part is what it can still give, which is less than it was given:
    `lost_energy` is the difference.
    """
    u, q = state.u, state.q
    compression = compressions(field, u, q)
    volume = field.cover * field.thickness[:, None]
    per_volume = np.array([_back(field, g, compression[g]) for g in range(len(compression))])
    top, low = _heads(field, u)
    last = len(field.tension) - 1
    inner = field.coil_gap < last
    links = csr_matrix(
        (field.link_couplings, field.link_others, field.link_starts), shape=(len(top), len(top))
    ) + diags(field.link_own, shape=(len(top), len(top)))
    K = _membrane(field)
    pressed = np.maximum(state.depth - field.face - u[:, 0], 0.0)
    rim = np.where(u[:, 0] > 0, field.rim_push, field.rim_pull)
    short = np.maximum(field.tie_down - _gathered(field.tie_starts, field.tie_nodes, field.tie_shares, u[:, 0]), 0.0)
    return Stored(
        fillings=float(np.sum(volume * per_volume)),
        coils=_coils(field, top - low),
        links=float(top @ (links @ top) + low[inner] @ (links @ low)[inner]) / 2 if len(top) else 0.0,
        tension=float(sum(T * (u[:, i] @ (K @ u[:, i])) for i, T in enumerate(field.tension)) / 2),
        bending=sum(_bent(field, b, K, u) for b in range(len(field.bend_stiffness))),
        contact=float(np.sum(field.touch * field.skin * pressed**2) / 2),
        ties=float(np.sum(field.tie_stiffness * short**2) / 2),
        rim=float(np.sum(rim * u[:, 0] ** 2) / 2),
        slats=float(np.sum(field.slat_stiffness * q**2) / 2),
    )


def lost_energy(field: Field) -> float:
    """What the fillings will not give back once all is unloaded [N mm]: `field` on the way back, as Bench.unloading."""
    volume = field.cover * field.thickness[:, None]
    given = np.array([_given(field, g, most) for g, most in enumerate(field.greatest)])
    left = np.array([_back(field, g, most) for g, most in enumerate(field.greatest)])
    return float(np.sum(volume * (given - left)))


def work(depth: Array, force: Array, slope: Array | None = None) -> float:
    """Work of the pad over a path [N mm]: force [N] at depths [mm], by trapezoids.

    slope: of the force [N/mm] at the same depths; with it each step is integrated as a cubic.
    """
    step = np.diff(depth)
    done = np.sum(step * (force[1:] + force[:-1]) / 2)
    if slope is not None:
        done += np.sum(step**2 * (slope[:-1] - slope[1:]) / 12)
    return float(done)


def compressions(field: Field, u: Array, q: Array) -> Array:
    """Compression of every filling [share], (M, N)."""
    below = np.zeros_like(u)
    below[:, :-1] = u[:, 1:]
    on = field.slat >= 0
    below[on, -1] = field.slat_shape[on] * q[field.slat[on]]
    return np.asarray(((u - below) / field.thickness).T)


def table_integral(table: Array, at: Array | float) -> Array:
    """Integral of a table (points, 2) of values and slopes from 0 to `at` steps; straight beyond both ends."""
    at = np.asarray(at, dtype=np.float64)
    last = len(table) - 1
    value, slope = table[:, 0], table[:, 1]
    steps = (value[:-1] + value[1:]) / 2 + (slope[:-1] - slope[1:]) / 12
    total = np.concatenate([[0.0], np.cumsum(steps)])
    inside = np.clip(at, 0.0, last)
    i = np.minimum(inside.astype(int), last - 1)
    f = inside - i
    a = 2 * (value[i] - value[i + 1]) + slope[i] + slope[i + 1]
    b = 3 * (value[i + 1] - value[i]) - 2 * slope[i] - slope[i + 1]
    found = total[i] + f * (value[i] + f * (slope[i] / 2 + f * (b / 3 + f * a / 4)))
    over, under = np.maximum(at - last, 0.0), np.minimum(at, 0.0)
    found = found + over * (value[last] + over * slope[last] / 2) + under * (value[0] + under * slope[0] / 2)
    return np.asarray(found)


def table_value(table: Array, at: Array) -> Array:
    """Value of a table at `at` steps."""
    last = len(table) - 1
    inside = np.clip(at, 0.0, last)
    i = np.minimum(inside.astype(int), last - 1)
    f = inside - i
    y0, m0, y1, m1 = table[i, 0], table[i, 1], table[i + 1, 0], table[i + 1, 1]
    a, b = 2 * (y0 - y1) + m0 + m1, 3 * (y1 - y0) - 2 * m0 - m1
    found = y0 + f * (m0 + f * (b + f * a))
    return np.asarray(found + np.maximum(at - last, 0.0) * table[last, 1] + np.minimum(at, 0.0) * table[0, 1])


def _given(field: Field, gap: int, compression: Array) -> Array:
    """Energy per volume [N/mm2] that pressing the filling of a gap to a compression has taken."""
    return table_integral(field.law[gap], compression / field.law_step) * field.law_step


def _back(field: Field, gap: int, compression: Array) -> Array:
    """Energy per volume [N/mm2] that a filling has at a compression: of its way back where it is on it."""
    found = _given(field, gap, compression)
    if not field.returning or bool(np.all(field.back[gap, :, 0] == 1.0)):
        return found
    most = field.greatest[gap]
    on = (most > 0) & (compression > 0) & (field.cover[gap] > 0)
    to, greatest = np.minimum(compression, most)[on], most[on]
    knots = len(field.back[gap]) - 1
    share = np.zeros_like(to)
    for panel in range(PANELS):
        for point, weight in zip(_POINTS, _WEIGHTS, strict=True):
            e = to * (panel + (point + 1) / 2) / PANELS
            stress = table_value(field.law[gap], e / field.law_step)
            share += weight / 2 / PANELS * to * stress * table_value(field.back[gap], e / greatest * knots)
    found[on] += share - _given(field, gap, to)
    return found


def _coils(field: Field, travel: Array) -> float:
    """Energy of all coils from where they stand unpressed."""
    found = 0.0
    for kind in np.unique(field.coil_kind):
        at = (travel[field.coil_kind == kind] - field.coil_first) / field.coil_step
        table, zero = field.coil_law[kind], -field.coil_first / field.coil_step
        found += float(np.sum(table_integral(table, at) - table_integral(table, zero)) * field.coil_step)
    return found


def _bent(field: Field, b: int, K: csc_matrix, u: Array) -> float:
    """Energy of one bent stack: 1/2 m' D (A + D/S K)^-1 m; its factor is the field's own, taken as a matrix."""
    nodes = len(field.area)
    m = K @ (u @ field.bend_share[b]) + field.area * (u @ field.bend_squeeze[b])
    starts = field.bend_starts[b]
    part = slice(starts[0], starts[-1])
    lower = csc_matrix((field.bend_lower[part], field.bend_rows[part], starts - starts[0]), shape=(nodes, nodes))
    whole = csc_matrix(lower + diags(np.ones(nodes)))
    half = splu(whole, permc_spec="NATURAL", diag_pivot_thresh=0.0, options={"SymmetricMode": True}).solve(m)
    return float(field.bend_stiffness[b] * np.sum(half**2 * field.bend_inverse[b]) / 2)


def _membrane(field: Field) -> csc_matrix:
    count = len(field.area)
    off = csr_matrix((field.couplings, field.others, field.starts), shape=(count, count))
    return csc_matrix(off + diags(field.own))


def _heads(field: Field, u: Array) -> tuple[Array, Array]:
    """Mean movement of both ends of every coil [mm]; an end on the ground does not move."""
    widened = np.concatenate([u, np.zeros((len(u), 1))], axis=1)
    coil = np.repeat(np.arange(len(field.coil_gap)), np.diff(field.coil_starts))
    count = len(field.coil_gap)
    top, low = (
        np.bincount(coil, field.coil_shares * widened[field.coil_nodes, field.coil_gap[coil] + level], count)
        for level in (0, 1)
    )
    return np.asarray(top, dtype=np.float64), np.asarray(low, dtype=np.float64)


def _gathered(starts: NDArray[np.int32], nodes: NDArray[np.int32], shares: Array, values: Array) -> Array:
    """Sums over compressed rows."""
    rows = csr_matrix((shares, nodes, starts), shape=(len(starts) - 1, len(values)))
    return np.asarray(rows @ values)


__all__ = ["Stored", "compressions", "lost_energy", "stored_energy", "table_integral", "table_value", "work"]
