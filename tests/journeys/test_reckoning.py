"""The demo's whole job, reckoned once: the rooms agree with each other, and every figure can be walked back.

What is compared with what is counted here again from the CSV or the cards, never by the room's own code.
"""

from __future__ import annotations

import csv
import hashlib
import json
import math
import os
import subprocess
import sys
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import date, datetime, time
from itertools import pairwise
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from bedwright.cutting.solve import audit as audit_cut
from bedwright.identity import canonical
from bedwright.loading.audit import audit as audit_load
from bedwright.reckoning import Reckoning
from bedwright.schedule.audit import audit as audit_plan
from bedwright.summary import summary
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works

DEMO = Path(__file__).resolve().parents[2] / "demo"
KEYS = ["beds", "bill", "cost", "cuts", "loading", "orders", "papers", "plan", "version"]
SIX = 1e-5  # figures of the summary have 6 significant digits


@pytest.fixture(scope="module")
def works() -> Works:
    return read_csv_folder(DEMO)


@pytest.fixture(scope="module")
def job(works: Works) -> Reckoning:
    return Reckoning(works)


@pytest.fixture(scope="module")
def found(job: Reckoning) -> dict[str, Any]:
    return summary(job, {"bill.xlsx": "00"})


def rows_of(name: str) -> list[dict[str, str]]:
    with (DEMO / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def leaves(value: object, path: str = "") -> Iterator[tuple[str, object]]:
    if isinstance(value, dict):
        for key, inside in value.items():
            yield from leaves(inside, f"{path}.{key}")
    elif isinstance(value, list):
        for number, inside in enumerate(value):
            yield from leaves(inside, f"{path}[{number}]")
    else:
        yield path, value


# what is written


def test_the_summary_has_its_keys_and_plain_finite_figures_of_six_digits(found: dict[str, Any]) -> None:
    assert sorted(found) == KEYS
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    floats = [(path, value) for path, value in leaves(found) if isinstance(value, float)]
    assert len(floats) > 500
    assert [path for path, value in floats if not math.isfinite(value) or float(f"{value:.6g}") != value] == []


@pytest.mark.parametrize("name", ["starter", pytest.param("demo", marks=pytest.mark.full)])
def test_the_same_bytes_in_another_process_with_another_clock_zone_and_hash_seed(name: str) -> None:
    folder = DEMO.parent / name
    found = summary(Reckoning(read_csv_folder(folder)), {"bill.xlsx": "00"})
    program = (
        "import hashlib, sys; from pathlib import Path; from bedwright.identity import canonical;"
        "from bedwright.reckoning import Reckoning; from bedwright.summary import summary;"
        "from bedwright.works.workbook.csv_folder import read_csv_folder;"
        "job = Reckoning(read_csv_folder(Path(sys.argv[1])));"
        "print(hashlib.sha256(canonical(summary(job, {'bill.xlsx': '00'}))).hexdigest())"
    )
    other = {**os.environ, "PYTHONHASHSEED": "4711", "TZ": "Pacific/Apia", "LC_ALL": "C"}
    told = subprocess.run(
        [sys.executable, "-c", program, str(folder)], capture_output=True, text=True, env=other, check=True
    ).stdout
    assert told.strip() == hashlib.sha256(canonical(found)).hexdigest()


# what is ordered, made, loaded


def test_every_bed_that_is_confirmed_or_a_sample_is_in_one_run_of_its_line(job: Reckoning) -> None:
    states = {row["code"]: row["state"] for row in rows_of("orders")}
    wanted = Counter(
        {
            (row["code"], int(row["position"]), row["bed"], row["size"]): int(row["quantity [each]"])
            for row in rows_of("order_lines")
            if states[row["code"]] in ("confirmed", "sample")
        }
    )
    made: Counter[tuple[str, int, str, str]] = Counter()
    for run in job.runs:
        made[run.order, run.line, run.bed, run.size] += run.beds
    assert made == wanted
    assert sum(made.values()) >= 400
    assert len({run.id for run in job.runs}) == len(job.runs)


def test_a_works_order_is_due_at_its_vans_cut_off_across_the_clock_change(job: Reckoning, works: Works) -> None:
    zone = ZoneInfo(works.about.time_zone)
    midnight = datetime.combine(job.today, time(), zone).timestamp()
    due = {order.id: order.due for order in job.plan_problem.works_orders}
    assert due == {run.id: run.van.cut_off.replace(tzinfo=zone).timestamp() - midnight for run in job.runs}
    days = {run.van.cut_off.date() for run in job.runs}
    assert min(days) < date(2026, 3, 29) < max(days)  # the last Sunday of March: the clocks go forward


def test_every_bed_is_on_exactly_its_own_van_or_named_as_left(job: Reckoning) -> None:
    on_board: Counter[tuple[str, str, str]] = Counter()
    for load in job.loads:
        for placed in load.plan.goods:
            on_board[load.van_round, load.day.isoformat(), placed.bundle] += 1
        for left in load.plan.left:
            on_board[load.van_round, load.day.isoformat(), left.bundle] += left.count
            assert left.reason
        for placed in load.plan.collections:
            on_board[load.van_round, load.day.isoformat(), placed.bundle] += 1
    wanted = Counter({(run.van.van_round, run.van.day.isoformat(), run.id): run.beds for run in job.runs})
    collected = {row["code"]: int(row["quantity [each]"]) for row in rows_of("collections")}
    assert sum(collected.values()) > 0
    back = Counter({key: count for key, count in on_board.items() if key[2] in collected})
    assert on_board - back == wanted
    assert {code: count for (_, _, code), count in back.items()} == collected


def test_every_plan_cut_and_load_is_sound_by_its_independent_audit(job: Reckoning) -> None:
    assert audit_plan(job.plan_problem, job.plan) == ()
    assert len(job.cuts.cuts) > 50 and [cut.asked for cut in job.cuts.cuts if audit_cut(cut.plan)] == []
    assert len(job.loads) > 10 and [load.key for load in job.loads if audit_load(load.plan)] == []


def test_nobody_and_no_machine_is_at_two_works_orders_at_once(job: Reckoning) -> None:
    """By a sweep of its own; beds of one oven charge are there together."""
    busy: dict[tuple[str, int | str], list[tuple[int, int]]] = defaultdict(list)
    for slip in job.plan.slips:
        if slip.charge < 0:
            busy[slip.place, slip.index].append((slip.setup_start, slip.end))
            for who in slip.people:
                busy["person", who].append((slip.setup_start, slip.end))
    clashes = [key for key, spans in busy.items() for a, b in pairwise(sorted(spans)) if b[0] < a[1]]
    assert len(busy) > 20 and clashes == []


def test_every_late_works_order_has_a_reason_and_no_other(found: dict[str, Any], job: Reckoning) -> None:
    due = {order.id: order.due for order in job.plan_problem.works_orders}
    late = {one.works_order for one in job.plan.finishes if one.finish is None or one.finish > due[one.works_order]}
    told = {one["works_order"]: one["why"] for one in found["plan"]["late"]}
    pairs = {order.id for order in job.plan_problem.works_orders if order.pair}
    assert late <= set(told) <= late | pairs
    assert all(len(why) > 20 for why in told.values())
    assert {one["works_order"] for one in found["orders"]["works_orders"] if not one["makes_van"]} == set(told)
    missing = sum(run.beds for run in job.runs if run.id in told)
    assert found["plan"]["beds_missing_their_van"] == missing >= found["plan"]["bound_beds_missing"]


# what it takes, weighs, costs


def test_the_mass_of_every_bed_is_the_sum_of_its_rows(job: Reckoning) -> None:
    for key in job.keys:
        bill = job.bill(*key)
        dry, water = sum(row.mass for row in bill.rows), sum(row.regain_mass for row in bill.rows)
        assert bill.dry_mass == pytest.approx(dry, rel=1e-12)
        assert bill.mass == pytest.approx(dry + water, rel=1e-12)
        assert bill.mass_low < bill.mass < bill.mass_high
        assert bill.packed_mass > bill.mass


def test_the_total_of_every_cost_sheet_is_the_sum_of_its_printed_lines(job: Reckoning) -> None:
    for key in job.keys:
        sheet = job.cost(*key)
        assert sheet.total == sum(line.amount for line in sheet.lines)
        assert abs(sheet.total - sheet.price * (1 - float(sheet.margin))) <= 1  # one rounding of the price


def test_what_is_bought_is_beds_times_bill_over_yield_or_scrap(job: Reckoning, works: Works) -> None:
    net: dict[str, float] = defaultdict(float)
    for run in job.runs:
        for row in job.bill(run.bed, run.size).rows:
            net[row.code] += run.beds * row.quantity
    needs = {need.code: need for need in job.supply}
    assert set(needs) == {code for code, quantity in net.items() if quantity > 0}
    worst = max(works.rule(code) for code in ("scrap_quilting", "scrap_foam", "scrap_wire", "scrap_trim")) / 100
    for code, need in needs.items():
        share = job.cuts.yields.get(code)
        if share is not None:
            assert need.gross == pytest.approx(net[code] / share, rel=1e-9)
        else:
            assert net[code] * (1 - 1e-9) <= need.gross <= net[code] / (1 - worst) * (1 + 1e-9)
    for wire in works.wires:
        if wire.code in needs:
            exact = net[wire.code] / (1 - works.rule("scrap_wire") / 100)
            assert needs[wire.code].gross == pytest.approx(exact, rel=1e-9)


def test_the_bill_of_the_order_book_is_the_bills_of_its_beds(found: dict[str, Any]) -> None:
    """Spring count by wire: coils of each bed times beds, from the summary alone."""
    beds = {(one["bed"], one["size"]): one for one in found["beds"]}
    steel = sum(one["beds"] * beds[one["bed"], one["size"]]["steel_kg"] for one in found["orders"]["works_orders"])
    wires = sum(row["mass_kg"] for row in found["bill"]["materials"] if row["kind"] == "wire")
    clips = sum(row["mass_kg"] for row in found["bill"]["materials"] if row["code"] == "CLIP")
    assert steel == pytest.approx(wires + clips, rel=SIX)


def test_both_open_coil_cards_have_the_counts_of_the_trade_and_their_steel(found: dict[str, Any]) -> None:
    """Around 312 springs for 150 cm, and 900 in a fine-wire unit: common practice, no source.

    Which of the two takes less steel is what these cards give, and no rule: only that both are known is asked.
    """
    beds = {(one["bed"], one["size"]): one for one in found["beds"]}
    usual, fine = beds["WHIMBREL", "150x200"], beds["HERON", "150x200"]
    assert (usual["springs"], usual["springs_across"], usual["spring_rows"]) == (312, 13, 24)
    assert fine["springs"] == 900 == fine["springs_across"] * fine["spring_rows"]
    for one in (usual, fine):
        assert one["steel_kg"] > 0 and one["steel_not_known_of"] == []


def test_only_the_linked_pair_is_set_side_by_side_at_passing(job: Reckoning, works: Works) -> None:
    from bedwright.quality.bed_checks import bed_checks

    pairs = {
        bed
        for bed in ("PLOVER", "PLOVER-LINK")
        if any("both halves" in check.look_at for check in bed_checks(works, job.bill(bed, "90x190")))
    }
    assert pairs == {"PLOVER-LINK"}


# one number walked from its card to the end


@pytest.fixture(scope="module")
def thicker(works: Works) -> Reckoning:
    """The demo with the fine wire drawn to 1.6 mm in place of 1.5."""
    cards = [c.model_copy(update={"diameter": 1.6}) if c.called == "wire W15" else c for c in works.all_cards()]
    return Reckoning(Works.of(works.about, cards))


HERON = ("HERON", "150x200")


def test_a_thicker_wire_makes_heavier_coils_beds_and_costs_and_a_harder_bed(job: Reckoning, thicker: Reckoning) -> None:
    before, after = job.bill(*HERON), thicker.bill(*HERON)
    coils = [
        next(row for row in bill.rows if row.code == "W15" and row.group == "unit") for bill in (before, after)
    ]  # fmt: skip
    # the same path of wire, knots apart: mass goes with d squared; the knots' wraps are longer round thicker wire
    assert coils[1].mass / coils[0].mass == pytest.approx((1.6 / 1.5) ** 2, rel=0.01)
    apart = sum(b.mass - a.mass for a, b in zip(before.rows, after.rows, strict=True))
    assert after.mass - before.mass == pytest.approx(apart, rel=1e-9)
    assert apart == pytest.approx(coils[1].mass - coils[0].mass, rel=0.01)  # rod and lacing follow by grams
    old, new = job.cost(*HERON), thicker.cost(*HERON)
    assert new.total > old.total
    lines = {line.code for a, line in zip(old.lines, new.lines, strict=True) if a.amount != line.amount}
    assert "W15" in lines
    assert not any(line.startswith(("TICK", "FOAM", "LABEL", "FILM")) for line in lines)
    soft, hard = job.curve(*HERON), thicker.curve(*HERON)
    assert not isinstance(soft, str) and not isinstance(hard, str)
    assert hard.hardness.tangent > 1.01 * soft.hardness.tangent


def test_a_thicker_wire_changes_no_bed_without_it_and_no_cut_but_rod_and_border(
    job: Reckoning, thicker: Reckoning
) -> None:
    changed = {key[0] for key in job.keys if job.bill(*key) != thicker.bill(*key)}
    assert changed == {"HERON"}
    assert [one.asked.code for one in job.cuts.cuts] == [one.asked.code for one in thicker.cuts.cuts]
    other = {a.asked.code for a, b in zip(job.cuts.cuts, thicker.cuts.cuts, strict=True) if a.plan != b.plan}
    # the unit is a wire's thickness larger all ways: the rod goes round it, the border stands as high as the bed
    assert other == {"W40", "BORDER-SAND"}
    higher = thicker.bed(*HERON).border.cut_height - job.bed(*HERON).border.cut_height
    assert higher == pytest.approx(1.6 - 1.5)


def test_the_first_run_page_shows_what_this_change_gives(job: Reckoning, thicker: Reckoning) -> None:
    page = (DEMO.parent / "docs" / "start" / "first-run.md").read_text(encoding="utf-8")
    found = {}
    for line in page.splitlines():
        cells = [cell.strip() for cell in line.strip("| ").split(" | ")]
        if len(cells) == 3 and cells[0] in ("steel", "mass of the bed", "H", "cost"):
            found[cells[0]] = tuple(float(cell.split()[0]) for cell in cells[1:])
    size = ("HERON", "135x190")
    curves = [one.curve(*size) for one in (job, thicker)]
    assert found == {
        "steel": tuple(round(one.bill(*size).steel_mass, 1) for one in (job, thicker)),
        "mass of the bed": tuple(round(one.bill(*size).mass, 1) for one in (job, thicker)),
        "H": tuple(round(curve.low, 1) for curve in curves if not isinstance(curve, str)),
        "cost": tuple(one.cost(*size).total / 100 for one in (job, thicker)),
    }
