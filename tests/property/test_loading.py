"""Van loads of any round: audits clean, bound <= answer, and a load that is tampered with is caught."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bedwright.loading.audit import audit
from bedwright.loading.problem import WAYS, Bundle, LoadProblem, Stop, Vehicle
from bedwright.loading.rows import rows, stop_rows
from bedwright.loading.solve import solve

quick = settings(max_examples=80, deadline=None)


@st.composite
def bundles(draw: st.DrawFn, prefix: str, stops: int, most: int) -> tuple[Bundle, ...]:
    out = []
    for i in range(draw(st.integers(0, most))):
        ways = tuple(draw(st.permutations(WAYS)))[: draw(st.integers(1, 3))]
        out.append(
            Bundle(
                f"{prefix}{i}",
                f"s{draw(st.integers(0, stops - 1))}",
                draw(st.integers(30, 220)),
                draw(st.integers(30, 200)),
                draw(st.integers(10, 60)),
                draw(st.integers(5, 60)),
                draw(st.integers(0, 4)),
                ways,
                draw(st.one_of(st.none(), st.integers(1, 5))),
            )
        )
    return tuple(out)


@st.composite
def rounds(draw: st.DrawFn) -> LoadProblem:
    size = draw(st.integers(150, 450)), draw(st.integers(100, 220)), draw(st.integers(100, 230))
    vehicle = Vehicle("v", *size, draw(st.integers(100, 900)))
    stops = draw(st.integers(1, 4))
    return LoadProblem(
        "any",
        vehicle,
        tuple(Stop(f"s{i}") for i in range(stops)),
        draw(bundles("g", stops, 5)),
        draw(bundles("c", stops, 3)),
        draw(st.integers(0, 20)),
        25,
        draw(st.booleans()),
    )


@quick
@given(rounds(), st.integers(1, 9), st.integers(0, 3))
def test_loads_audit_clean(problem: LoadProblem, budget: int, seed: int) -> None:
    plan = solve(problem, budget, seed)
    assert audit(plan) == ()
    assert plan.bound_length <= plan.used_length
    assert plan == solve(problem, budget, seed)
    told = sum(row.how_many for row in rows(plan))
    assert told == sum(b.count for b in (*problem.goods, *problem.collections))
    assert len(stop_rows(plan)) == len(problem.stops) + 1


@quick
@given(rounds(), st.data())
def test_tampered_loads_are_caught(problem: LoadProblem, data: st.DataObject) -> None:
    plan = solve(problem, 3)
    assume(plan.goods)
    k = data.draw(st.integers(0, len(plan.goods) - 1))
    p = plan.goods[k]
    vehicle = problem.vehicle
    changes = {
        "drop": None,
        "float": replace(p, z=p.z + 1),
        "through the wall": replace(p, y=vehicle.width - p.dy + 1),
        "through the doors": replace(p, x=vehicle.length - p.dx + 1),
        "shrunk": replace(p, dz=p.dz - 1),
        "another way": replace(p, way="standing"),
        "unknown": replace(p, bundle="nobody's"),
        "copy": replace(p, copy=p.copy + 10),
    }
    new = changes[data.draw(st.sampled_from(sorted(changes)))]
    goods = plan.goods[:k] + ((new,) if new else ()) + plan.goods[k + 1 :]
    assert audit(replace(plan, goods=goods))


@st.composite
def roomy(draw: st.DrawFn) -> LoadProblem:
    """Two stops, one bundle for each and old beds at the first, in a van that has room for all of it."""
    sizes = [(draw(st.integers(100, 200)), draw(st.integers(80, 150)), draw(st.integers(10, 30))) for _ in range(3)]
    goods = tuple(
        Bundle(f"g{i}", f"s{i}", *sizes[i], 20, draw(st.integers(1, 4)), draw(st.permutations(WAYS[:2])), 2)
        for i in range(2)
    )
    old = Bundle("c", "s0", *sizes[2], 20, draw(st.integers(1, 3)), WAYS[:2], 2)
    vehicle = Vehicle("v", 1_000, 220, 230, 1_000)
    return LoadProblem("roomy", vehicle, (Stop("s0"), Stop("s1")), goods, (old,), draw(st.integers(1, 20)))


@quick
@given(roomy())
def test_a_load_for_the_round_run_backwards_is_caught_where_order_matters(problem: LoadProblem) -> None:
    """The same places with the stops served in the opposite order: whatever stands before a piece of the other stop
    is now in its way."""
    plan = solve(replace(problem, collections=()), 3)
    blocked = any(
        q.stop == "s0" and p.stop == "s1" and q.x >= p.x + p.dx and q.y < p.y + p.dy and p.y < q.y + q.dy
        for p in plan.goods
        for q in plan.goods
        if p.z < q.z + q.dz and q.z < p.z + p.dz
    )  # fmt: skip
    backwards = replace(plan.problem, stops=tuple(reversed(problem.stops)))
    faults = [fault.says for fault in audit(replace(plan, problem=backwards))]
    assert not blocked or any("leaves later" in says for says in faults)
    assert plan.fits


@quick
@given(rounds())
def test_two_pieces_in_one_place_are_caught(problem: LoadProblem) -> None:
    plan = solve(problem, 2)
    assume(len(plan.goods) > 1)
    first, second = plan.goods[0], plan.goods[1]
    moved = replace(second, x=first.x, y=first.y, z=first.z)
    assert audit(replace(plan, goods=(first, moved, *plan.goods[2:])))


@quick
@given(roomy(), st.booleans())
def test_a_collection_moved_against_new_goods_is_caught(problem: LoadProblem, on_top: bool) -> None:
    plan = solve(problem, 3)
    assert audit(plan) == ()
    assert plan.collections
    c, g = plan.collections[0], next(p for p in plan.goods if p.stop == "s1")
    moved = replace(c, x=g.x, y=g.y, z=g.z + g.dz) if on_top else replace(c, x=g.x + g.dx, y=g.y)
    wrong = tuple(moved if q == c else q for q in plan.collections)
    assert any("from new" in fault.says for fault in audit(replace(plan, collections=wrong)))
