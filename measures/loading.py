"""Van loads: volume against the best known of container sets, floor length of the demo's loads against the bound."""

from __future__ import annotations

from bedwright.loading.problem import FLAT, Bundle, LoadProblem, Stop, Vehicle
from bedwright.loading.solve import solve
from measures._demo import demo_reckoning, timed
from measures._published import DATA, Box, Figure, absent, box_sets, table

TITLE = "loads against the best known and the bound"
INSTANCES = 5
"""Of each set, in order: enough to see the level, and short."""


def run() -> list[Figure]:
    folder = DATA / "loading"
    return [*(_sets() if folder.is_dir() else [absent("published container sets")]), *_demo()]


def _sets() -> list[Figure]:
    best = {row["Path"]: int(row["Best known solution value"]) for row in table(DATA / "loading" / "BEST_BR.csv")}
    told = []
    for name in ("BR1", "BR2", "BR3", "BR4", "BR5"):
        ratios, seconds = timed(
            lambda name=name: [
                _volume(container, boxes) / best[f"bischoff1995/{name}.txt_{number}"]
                for number, (container, boxes) in enumerate(box_sets(name, INSTANCES), 1)
            ]
        )
        mean = sum(ratios) / len(ratios)
        told.append(
            (
                f"{name}, {len(ratios)} containers, full stacks lying only",
                f"volume {mean:.3f} of the best known in the mean, {min(ratios):.3f} to {max(ratios):.3f}; "
                f"{seconds / len(ratios):.2f} s each",
            )
        )
    return told


def _volume(container: tuple[int, int, int], boxes: list[Box]) -> int:
    """Volume loaded, every box on a side that may be down and is the thinnest of those."""
    goods = []
    for number, (sides, upright, count) in enumerate(boxes, 1):
        down = min((place for place in range(3) if upright[place]), key=lambda place: sides[place])
        long, short = (sides[place] for place in range(3) if place != down)
        goods.append(Bundle(f"b{number}", "s", long, short, sides[down], 1, count, (FLAT,), 99))
    plan = solve(LoadProblem("set", Vehicle("container", *container, 10**9), (Stop("s"),), tuple(goods)))
    return sum(placed.dx * placed.dy * placed.dz for placed in plan.goods)


def _demo() -> list[Figure]:
    reckoning = demo_reckoning()
    _ = reckoning.plan_problem
    loads, seconds = timed(lambda: reckoning.loads)
    told = []
    for load in loads:
        plan = load.plan
        if plan.bound_length:
            ratio = f"{plan.used_length / plan.bound_length:.3f} of the bound {plan.bound_length / 1000:.2f} m"
        else:
            ratio = "no new bed on board"
        left = sum(one.count for one in plan.left)
        told.append(
            (
                f"demo {load.key}, {load.beds} beds, {load.collected} collected, {left} left",
                f"floor {ratio}; {plan.filled_percent:.0f} % of the volume; {len(load.faults)} faults by the audit",
            )
        )
    return [*told, (f"demo, {len(loads)} van loads", f"{seconds:.2f} s")]
