"""The van sheet: what goes on in which order, last stop first, where it stands, and what rides back."""

from __future__ import annotations

from collections.abc import Sequence

from bedwright.loading.from_orders import VanLoad
from bedwright.loading.plan import LoadPlan, Placed
from bedwright.loading.rows import LoadRow, StopRow, hand_cautions, rows, stop_rows, way_cautions
from bedwright.papers.cautions import VAN_KEYS, cautions
from bedwright.papers.drawings.van import LoadedBox, stop_mark, van_drawing
from bedwright.papers.figures import Issue, Paper, day, figure, file_stem
from bedwright.papers.typeset import typeset

FIRST_KEYS = VAN_KEYS
"""Cautions that stand above the drawing and the first step, on page 1."""


def van_sheet(issue: Issue, load: VanLoad) -> Paper:
    """The sheet of one van load, A4. Raises NotPrinted."""
    plan = load.plan
    problem = plan.problem
    number = {stop.key: place for place, stop in enumerate(problem.stops, 1)}
    vehicle = problem.vehicle
    sure = plan.words()
    first = plan.states[0] if plan.states else None
    data = {
        "issue": issue.plain(),
        "name": load.van_round,
        "lines": [day(load.day), f"vehicle {load.vehicle}"],
        "facts": [
            ["new beds", str(load.beds)],
            ["beds that ride back", str(load.collected)],
            ["on board at departure", figure(first.mass / 1000, "kg", 4) if first is not None else "nothing"],
            ["payload by the plate", figure(vehicle.payload / 1000, "kg", 5)],
            ["floor used", figure(plan.used_length / 1000, "m", 3)],
            ["tail-lift", "yes" if vehicle.tail_lift else "no"],
        ],
        "sure": sure[:1].upper() + sure[1:] + ". Left and right are the driver's, facing forward.",
        "not_ready": list(load.not_ready),
        "stops": [
            {
                "mark": stop_mark(number[stop.key]),
                "alt": f"Hatch of stop {number[stop.key]}",
                "name": stop.key,
                "place": stop.place,
                "caution": stop.caution,
                "beds": str(sum(bundle.count for bundle in problem.goods if bundle.stop == stop.key)),
                "back": sum(bundle.count for bundle in problem.collections if bundle.stop == stop.key),
            }
            for stop in problem.stops
        ],
        "drawing": van_drawing(vehicle.length, vehicle.width, vehicle.height, _boxes(plan.goods, number, False)),
        "back": van_drawing(vehicle.length, vehicle.width, vehicle.height, _boxes(plan.collections, number, True))
        if plan.collections
        else "",
        "steps": [{"act": row.act, "row": _step(row, number)} for row in rows(plan)],
        "states": [_state(row) for row in stop_rows(plan)],
        "first_says": list(hand_cautions(plan)),
        "says": list(way_cautions(plan)),
        "faults": [str(fault) for fault in load.faults],
        "first_cautions": [one.plain() for one in cautions(FIRST_KEYS)],
        "cautions": [one.plain() for one in cautions(set(van_keys(plan)) - set(FIRST_KEYS))],
    }  # fmt: skip
    title = f"Van sheet {load.van_round} {load.day.isoformat()}"
    printed = typeset("van_sheet", data, title=title, as_of=issue.as_of)
    name = f"van-sheet_{load.day.isoformat()}_{file_stem(load.van_round)}.pdf"
    return Paper(name, printed.pdf, printed.written_out)


def van_keys(plan: LoadPlan) -> tuple[str, ...]:
    """Keys of the cautions that a load's sheet carries."""
    keys = [*VAN_KEYS]
    if plan.problem.collections:
        keys.append("returns")
    if any(placed.way == "rolled" for placed in plan.goods):
        keys += ["rolled", "recovery"]
    return (*keys, "film")


def _step(row: LoadRow, number: dict[str, int]) -> list[object]:
    what = {"b": f"{row.how_many} × {row.what}"}
    return [str(row.step), str(number.get(row.stop, "")), what, row.where, row.words]


def _state(row: StopRow) -> list[object]:
    return [row.stop, figure(row.mass_kg, "kg", 4), figure(row.free_m, "m", 3), row.words]


def _boxes(pieces: Sequence[Placed], number: dict[str, int], collected: bool) -> list[LoadedBox]:
    return [LoadedBox(p.x, p.y, p.z, p.dx, p.dy, p.dz, number[p.stop], collected) for p in pieces]
