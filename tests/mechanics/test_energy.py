"""Energy against forces: the forces of the compiled loops are the slopes of energies that share no line with them, the
pad's work is what is stored, and what a lossy filling keeps is the loop between the two branches."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import quad

from bedwright.mechanics.energy import Stored, lost_energy, stored_energy, table_integral, table_value, work
from bedwright.mechanics.field import (
    BACK_POINTS,
    COIL_FIRST,
    COIL_STEP,
    Bent,
    Gap,
    Heads,
    Ties,
    field,
    filling_table,
    hermite,
    no_heads,
    no_ties,
    one_way_table,
    seat,
    straight_table,
)
from bedwright.mechanics.kernels import Field, forces, look_up, times
from bedwright.mechanics.laid import laid_out, room_for
from bedwright.mechanics.mesh import Mesh, ring_mesh
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.plain_bed import PlainBed, plain_bed
from bedwright.mechanics.plain_test import plain_field
from bedwright.mechanics.preparing import precondition
from bedwright.mechanics.solver import Bench, Pressed

Array = NDArray[np.float64]
FOAM = filling_table(np.array([0, 0.05, 0.1, 0.25, 0.4, 0.65, 0.75]), np.array([0, 0.9, 1.5, 2.0, 2.6, 8.0, 18.0]))
LOSSY = hermite(1 - 0.4 * (1 - np.linspace(0, 1, BACK_POINTS) ** 2))
P1 = "springs 0.25 N/mm square 100 mm, layer 20 kPa 50 mm, tension 300 N/m, 1500x2000"


def row_of_coils(mesh: Mesh, gap: int, rng: np.random.Generator) -> Heads:
    """A lattice of coils 90 mm apart, each over the nodes within 75 mm, tied to its neighbours in a row."""
    centres = [(x, y) for y in np.arange(100, 700, 90.0) for x in np.arange(100, 600, 90.0)]
    nodes = [np.flatnonzero(np.hypot(mesh.x - x, mesh.y - y) < 75) for x, y in centres]
    shares = [(weight := rng.uniform(0.5, 1.5, len(n))) / weight.sum() for n in nodes]
    count = len(centres)
    tied = [[j for j in (i - 1, i + 1) if 0 <= j < count] for i in range(count)]
    return Heads(
        starts=np.concatenate([[0], np.cumsum([len(n) for n in nodes])]).astype(np.int32),
        nodes=np.concatenate(nodes).astype(np.int32),
        shares=np.concatenate(shares),
        gap=np.full(count, gap, np.int32),
        kind=(np.arange(count) % 2).astype(np.int32),
        link_starts=np.concatenate([[0], np.cumsum([len(t) for t in tied])]).astype(np.int32),
        link_others=np.concatenate(tied).astype(np.int32),
        link_couplings=np.full(sum(map(len, tied)), -0.6),
        link_own=0.6 * np.array([len(t) for t in tied], dtype=float),
    )


def everything(on_slats: bool, returning: bool = False) -> Field:
    """A small bed with every kind of part: fillings of three laws, coils, links, bending, tension, ties, rim, slats."""
    rng = np.random.default_rng(5)
    mesh = ring_mesh(700, 800, 330, 420, fineness=0.5)
    nodes = len(mesh.x)
    foam, firm, hard = (
        Gap(FOAM, 40.0, mesh.area, LOSSY),
        Gap(straight_table(0.05), 25.0, mesh.area),
        Gap(one_way_table(0.2), 10.0, mesh.area),
    )
    coils = Gap(None, 1.0, np.zeros(nodes))
    gaps = [foam, firm, coils, hard] if on_slats else [foam, firm, coils]
    shapes = [(0.6, 0.3, 0.1, 0.0), (0.2, -0.7, 0.1, 0.0)]
    squeezes = [(0.0, 0.0, 0.0, 0.0), (1e-4, -2e-4, 1e-4, 0.0)]
    bent = [
        Bent(np.array(s[: len(gaps)]), np.array(q[: len(gaps)]), d, 3.0)
        for s, q, d in zip(shapes, squeezes, (2000.0, 900.0), strict=True)
    ]
    travel = COIL_FIRST + COIL_STEP * np.arange(500)
    coil_laws = np.stack([hermite(0.2 * travel + 1e-3 * np.abs(travel) * travel), hermite(0.5 * travel)])
    heads = row_of_coils(mesh, 2, rng)
    tie_nodes = rng.choice(nodes, 12, replace=False).astype(np.int32)
    ties = Ties(
        np.arange(0, 13, 3, dtype=np.int32),
        tie_nodes,
        np.full(12, 1 / 3),
        np.array([40.0, 8.0, 33.0, 0.1]),
        np.full(4, 5.0),
    )
    slat = np.where(np.arange(nodes) % 3 == 0, np.arange(nodes) % 4, -1).astype(np.int32)
    slats = (slat, rng.uniform(0.3, 1.0, nodes), np.array([3.0, 4.0, 5.0, 6.0])) if on_slats else None
    face, touch = seat(mesh, Protocol())
    one = field(
        mesh,
        gaps,
        np.array([0.1, 0.05, 0.0, 0.02])[: len(gaps)],
        bent,
        heads,
        coil_laws,
        ties,
        (0.02 * mesh.rim, 0.005 * mesh.rim),
        face,
        touch,
        0.05,
        slats,
    )
    if returning:
        greatest = rng.uniform(0.1, 0.5, (len(gaps), nodes)) * (one.cover > 0)
        one = one._replace(greatest=greatest, returning=True)
    return one


def state_of(one: Field, u: Array, q: Array, depth: float) -> Pressed:
    return Pressed(depth, 0.0, 0.0, u, q, 0, 0)


def some_state(one: Field, seed: int) -> tuple[Array, Array]:
    """Fields a bed might have: pressed more on top than below, uneven."""
    rng = np.random.default_rng(seed)
    nodes, levels = len(one.area), len(one.tension)
    u = rng.uniform(-1, 6, (nodes, levels)) + np.linspace(25, 5, levels)
    return u, rng.uniform(0, 3, len(one.slat_stiffness))


def pushed(one: Field, u: Array, q: Array, depth: float) -> tuple[float, Array, Array]:
    """The loops' forces: of the pad, on the fields, on the slats."""
    laid = laid_out(one)
    room = room_for(laid)
    pad = forces(laid, u.T.copy(order="C"), q, depth, room)
    return float(pad), room.g.T.copy(), room.gq.copy()


BEDS = pytest.mark.parametrize(("on_slats", "returning"), [(False, False), (True, False), (False, True), (True, True)])


@BEDS
def test_forces_are_the_slopes_of_the_energy(on_slats: bool, returning: bool) -> None:
    one, depth, h = everything(on_slats, returning), 28.0, 1e-4
    u, q = some_state(one, 1)
    rng = np.random.default_rng(2)
    pad, g, gq = pushed(one, u, q, depth)
    for _ in range(4):
        v, vq = rng.normal(size=u.shape), rng.normal(size=q.shape)
        ahead, behind = (stored_energy(one, state_of(one, u + s * h * v, q + s * h * vq, depth)).total for s in (1, -1))
        assert (ahead - behind) / (2 * h) == pytest.approx(float(np.sum(g * v) + gq @ vq), rel=2e-5)
    deeper, higher = (stored_energy(one, state_of(one, u, q, depth + s * h)).total for s in (1, -1))
    assert (deeper - higher) / (2 * h) == pytest.approx(pad, rel=1e-5)


def test_every_part_has_its_share() -> None:
    one = everything(True)
    stored = stored_energy(one, state_of(one, *some_state(one, 1), 28.0))
    for name in Stored.__slots__:
        assert getattr(stored, name) > 0, name


@BEDS
def test_stiffness_is_the_slope_of_the_forces(on_slats: bool, returning: bool) -> None:
    one, depth, h = everything(on_slats, returning), 28.0, 1e-6
    u, q = some_state(one, 3)
    laid = laid_out(one)
    room = room_for(laid)
    forces(laid, u.T.copy(order="C"), q, depth, room)
    rng = np.random.default_rng(4)
    found = []
    for _ in range(2):
        v, vq = rng.normal(size=u.shape), rng.normal(size=q.shape)
        out, outq = np.zeros((u.shape[1], len(u))), np.zeros_like(q)
        times(laid, room, v.T.copy(order="C"), vq, out, outq)
        out = out.T
        _, ahead, ahead_q = pushed(one, u + h * v, q + h * vq, depth)
        _, behind, behind_q = pushed(one, u - h * v, q - h * vq, depth)
        scale = np.abs(out).max()
        # all but the few nodes at a kink: just touched, just slack
        off = np.abs((ahead - behind) / (2 * h) - out) > 1e-4 * scale
        assert off.sum() <= 6
        assert outq == pytest.approx((ahead_q - behind_q) / (2 * h), rel=1e-4, abs=1e-4 * scale)
        found.append((v, vq, out, outq))
    (v, vq, hv, hvq), (w, wq, hw, hwq) = found
    assert np.sum(w * hv) + wq @ hvq == pytest.approx(np.sum(v * hw) + vq @ hwq, rel=1e-9, abs=1e-9)
    assert np.sum(v * hv) + vq @ hvq > 0


@BEDS
def test_the_preconditioner_is_symmetric_and_positive(on_slats: bool, returning: bool) -> None:
    one = everything(on_slats, returning)
    bench = Bench(one)
    bench.tangent(bench.settled(20.0))  # leaves factors behind that fit
    laid, room = bench._laid, bench._room
    rng = np.random.default_rng(6)
    shape, slats = (len(one.tension), len(one.area)), len(one.slat_stiffness)
    pairs = []
    for _ in range(2):
        r, rq = rng.normal(size=shape), rng.normal(size=slats)
        z, zq = np.zeros(shape), np.zeros(slats)
        precondition(laid, room, r, rq, z, zq)
        pairs.append((r, rq, z, zq))
    (r, rq, z, zq), (s, sq, y, yq) = pairs
    assert np.sum(s * z) + sq @ zq == pytest.approx(np.sum(r * y) + rq @ yq, rel=1e-8, abs=1e-8)
    assert np.sum(r * z) + rq @ zq > 0


def press(bench: Bench, depths: Array, first: Pressed | None = None) -> list[Pressed]:
    states = [bench.settled(float(depths[0]), first)]
    for depth in depths[1:]:
        states.append(bench.settled(float(depth), states[-1], states[-2] if len(states) > 1 else None))
    return states


@pytest.mark.parametrize(
    ("words", "x", "y"),
    [
        (P1, 750, 1000),
        ("springs 0.08 N/mm square 50 mm, layer 25 kPa 30 mm, 900x1900", 450, 0),
        (P1.replace("50 mm", "50 mm nu 0.2"), 60, 1900),
    ],
)
def test_work_is_stored_in_a_plain_bed(words: str, x: float, y: float) -> None:
    """240 steps by trapezoids: 4e-6; 60 steps with slopes: better still."""
    bench = Bench(plain_field(plain_bed(words), Spot(x, y)))
    states = press(bench, np.linspace(0, 90, 241))
    stored = stored_energy(bench.field, states[-1]).total
    depth, force = np.array([s.depth for s in states]), np.array([s.force for s in states])
    assert work(depth, force) == pytest.approx(stored, rel=1e-5)
    slope = np.array([bench.tangent(s).slope for s in states[::4]])
    assert work(depth[::4], force[::4], slope) == pytest.approx(stored, rel=3e-5)


def soft_bed(back: Array | None) -> Field:
    """A foam that loses on the way back, over columns, under a ticking."""
    mesh = ring_mesh(1400, 1900, 600, 900)
    none = np.zeros(len(mesh.x))
    gaps = [Gap(FOAM, 50.0, mesh.area, back), Gap(straight_table(40e-6), 1.0, mesh.area)]
    face, touch = seat(mesh, Protocol())
    return field(
        mesh,
        gaps,
        np.array([0.15, 0.0]),
        [],
        no_heads(),
        np.zeros((1, 2, 2)),
        no_ties(),
        (none, none),
        face,
        touch,
        0.02,
    )


@pytest.mark.parametrize("back", [None, LOSSY], ids=["no loss", "loss"])
def test_both_branches_balance(back: Array | None) -> None:
    bench = Bench(soft_bed(back))
    depths = np.linspace(0, 80, 241)
    down = press(bench, depths)
    up_bench = bench.unloading(down[-1])
    up = press(up_bench, depths[::-1], down[-1])
    gone = np.array([s.force for s in down])
    come = np.array([s.force for s in up])
    given = stored_energy(bench.field, down[-1]).total
    held = stored_energy(up_bench.field, up[0]).total
    assert come[0] == pytest.approx(gone[-1], rel=1e-6)
    assert work(depths, gone) == pytest.approx(given, rel=1e-5)
    left = stored_energy(up_bench.field, up[-1]).total
    assert -work(depths[::-1], come) == pytest.approx(held - left, rel=1e-5)
    lost = lost_energy(up_bench.field)
    assert given - held == pytest.approx(lost, rel=1e-9, abs=1e-6)
    loop = work(depths, gone) + work(depths[::-1], come)
    if back is None:
        assert lost == 0
        assert come[::-1] == pytest.approx(gone, rel=1e-5, abs=1e-4)
    else:
        assert loop == pytest.approx(lost + left, rel=1e-4)
        assert 0.04 < loop / work(depths, gone) < 0.05  # the foam is the smaller part of what is pressed
        assert np.all(come[1:] < gone[::-1][1:] + 1e-4)


@settings(max_examples=60)
@given(
    st.lists(st.just(0.0) | st.floats(1e-3, 5), min_size=3, max_size=12),
    st.floats(-4, 30),
)
def test_table_integral_against_a_quadrature(steps: list[float], at: float) -> None:
    table = hermite(np.cumsum(steps))
    value = table_value(table, np.array(at))
    assert value == pytest.approx(look_up(table, at)[0], rel=1e-12, abs=1e-12)
    knots = [float(i) for i in range(len(table)) if min(0, at) < i < max(0, at)]
    expected, _ = quad(lambda x: look_up(table, x)[0], 0, at, points=knots or None, limit=200)
    assert table_integral(table, at) == pytest.approx(expected, rel=1e-9, abs=1e-9)


def test_work_of_a_straight_and_of_a_cubic_curve() -> None:
    depth = np.array([0.0, 1.0, 3.0])
    assert work(depth, 2 * depth) == pytest.approx(9)
    assert work(depth, depth**3, 3 * depth**2) == pytest.approx(81 / 4)


def test_slope_of_the_force_is_exact() -> None:
    """Against differences: a slope read through the stiff skin must not lose its figures there."""
    for plain in (plain_bed(P1), PlainBed(0.1, 60, 60, plain_bed(P1).layers, 40.0, 1500, 2000)):
        bench = Bench(plain_field(plain, Spot(700, 300)), tolerance=1e-10)
        for depth in (0.3, 5.0, 41.0, 100.0):
            here = bench.settled(depth)
            there = bench.settled(depth + 1e-3, here)
            tangent = bench.tangent(here)
            assert tangent.slope == pytest.approx((there.force - here.force) / 1e-3, rel=1e-4)
            assert here.u + 1e-3 * tangent.du == pytest.approx(there.u, abs=1e-5)
