"""The spreadsheets behind the pages: bill, cost, cuts, plan, loading. Rows and sums as the rooms gave them.

Same rows, same bytes. Units stand in the headings; text that begins like a formula stays text.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.utils import get_column_letter

from bedwright.bill.rows import Bill
from bedwright.cost.ladder import Rung
from bedwright.cost.money import to_major
from bedwright.cost.sheet import CostSheet
from bedwright.cutting.from_bills import Cuts
from bedwright.cutting.rows import rows as cut_rows
from bedwright.cutting.rows import total as cut_total
from bedwright.loading.from_orders import VanLoad
from bedwright.loading.rows import rows as load_rows
from bedwright.loading.rows import stop_rows
from bedwright.quality.bed_checks import BedCheck
from bedwright.schedule.plan import Plan
from bedwright.schedule.problem import Problem
from bedwright.schedule.rows import day_rows, finish_rows
from bedwright.schedule.why_late import LateReason
from bedwright.supply.net_requirements import ItemNeed
from bedwright.works.workbook.cells_out import headings, set_text, still_bytes

Value = str | int | float | date | datetime | None


@dataclass(frozen=True, slots=True)
class Leaf:
    """One sheet of a row book: its name, headings with units, rows."""

    name: str
    heads: tuple[str, ...]
    rows: tuple[Sequence[Value], ...]


def book_bytes(leaves: Iterable[Leaf]) -> bytes:
    """The spreadsheet of these sheets, the same bytes for the same rows."""
    book = Workbook()
    book.remove(book.active)
    for leaf in leaves:
        page = book.create_sheet(leaf.name)
        headings(page, leaf.heads)
        page.print_title_rows = "1:1"
        page.page_setup.orientation = "landscape"
        page.page_setup.fitToHeight = 0
        page.sheet_properties.pageSetUpPr.fitToPage = True
        for number, values in enumerate(leaf.rows, 2):
            for place, value in enumerate(values, 1):
                _put(page.cell(number, place), value)
        for place, head in enumerate(leaf.heads, 1):
            longest = max((len(str(values[place - 1] or "")) for values in leaf.rows), default=0)
            page.column_dimensions[get_column_letter(place)].width = min(max(len(head), longest, 6) + 2, 70)
    return still_bytes(book)


def _put(cell: Cell, value: Value) -> None:
    if value is None or value == "":
        return
    if isinstance(value, str):
        set_text(cell, value)
    elif isinstance(value, float):
        cell.value = float(f"{value:.6g}")
    else:
        cell.value = value


def bill_book(bills: Sequence[Bill], needs: Sequence[ItemNeed], checks: Mapping[str, Sequence[BedCheck]]) -> bytes:
    """Every row of every bill, the operations, the checks (by bill key), and what is needed against what is there."""
    rows = [
        (bill.bed.bed.code, bill.bed.size.code, row.line, row.group, row.kind, row.code, row.name, row.what, row.pieces,
         row.cut_width, row.cut_length, row.quantity, row.counted_in, row.mass, row.how)
        for bill in bills for row in bill.rows
    ]  # fmt: skip
    operations = [
        (bill.bed.bed.code, bill.bed.size.code, step.position, step.operation, step.stream, step.work_place,
         step.skill or "", step.hands, step.minutes, step.wait_minutes, ", ".join(map(str, step.after)), step.how)
        for bill in bills for step in bill.operations
    ]  # fmt: skip
    looked_at = [
        (bill.bed.bed.code, bill.bed.size.code, one.position, one.operation, one.work_place, one.look_at, one.record,
         one.limit, one.defect_class)
        for bill in bills for one in checks[bill.key]
    ]  # fmt: skip
    masses = [
        (bill.bed.bed.code, bill.bed.size.code, bill.mass, bill.mass_low, bill.mass_high, bill.packed_mass,
         bill.steel_mass, ", ".join(bill.steel_unknown), bill.carbon, ", ".join(bill.carbon_unknown), bill.minutes)
        for bill in bills
    ]  # fmt: skip
    needed = [
        (need.code, need.unit, need.gross, need.on_hand, need.net, need.lead_days,
         min((one.order_by for one in need.orders if one.order_by), default=None),
         ", ".join(one.works_order for one in need.starved))
        for need in needs
    ]  # fmt: skip
    return book_bytes(
        (
            Leaf("bill", ("bed", "size", "line", "part", "kind", "code", "name", "what", "pieces", "cut width [mm]",
                          "cut length [mm]", "quantity", "unit", "mass in the bed [kg]", "sum"), tuple(rows)),
            Leaf("operations", ("bed", "size", "position", "operation", "stream", "work place", "skill", "people",
                                "minutes [min]", "wait after [min]", "after", "sum"), tuple(operations)),
            Leaf("checks", ("bed", "size", "step", "after", "work place", "look at", "record", "limit", "class"),
                 tuple(looked_at)),
            Leaf("mass and carbon", ("bed", "size", "mass [kg]", "from [kg]", "to [kg]", "packed [kg]", "steel [kg]",
                                     "steel not known of", "carbon [kg CO2e]", "carbon not known of",
                                     "labour [min]"), tuple(masses)),
            Leaf("needs", ("item", "unit", "needed", "there", "short", "lead [days]", "order by", "starves"),
                 tuple(needed)),
        )
    )  # fmt: skip


def cost_book(sheets: Sequence[CostSheet], ladder: Sequence[Rung]) -> bytes:
    """Every line of every cost sheet, the sums, and the price ladder."""
    first = sheets[0] if sheets else None
    lines = [
        (sheet.bed, sheet.size, line.line, line.part, line.code, line.name, line.quantity, line.unit,
         float(line.price), _major(line.amount, sheet), line.how)
        for sheet in sheets for line in sheet.lines
    ]  # fmt: skip
    sums = [
        (sheet.bed, sheet.size, _major(sheet.total, sheet), _major(sheet.material_by_scrap, sheet),
         _major(sheet.material_by_yield, sheet),
         float(sheet.margin) * 100, _major(sheet.price, sheet),
         None if sheet.left is None or sheet.left.per_minute is None else float(sheet.left.per_minute), sheet.says)
        for sheet in sheets
    ]  # fmt: skip
    rungs = [
        (rung.bed, rung.size, rung.area, _major(rung.total, first), _major(rung.price, first),
         _major(rung.step, first), _major(rung.per_m2, first))
        for rung in ladder
    ]  # fmt: skip
    currency = first.currency if first is not None else ""
    money = f"[{currency}]"
    return book_bytes(
        (
            Leaf("sums", ("bed", "size", f"cost {money}", f"materials by scrap {money}", f"materials by yield {money}",
                          "margin on price [%]", f"price {money}", f"contribution a scarce minute {money}",
                          "how sure"), tuple(sums)),
            Leaf("lines", ("bed", "size", "line", "part", "code", "name", "quantity", "unit", f"price for one {money}",
                           f"amount {money}", "sum"), tuple(lines)),
            Leaf("ladder", ("bed", "size", "area [m2]", f"cost {money}", f"price {money}", f"step {money}",
                            f"price a m2 {money}"), tuple(rungs)),
        )
    )  # fmt: skip


def _major(minor: int | None, sheet: CostSheet | None) -> float | None:
    return None if minor is None or sheet is None else float(to_major(minor, sheet.currency))


def cuts_book(cuts: Cuts) -> bytes:
    """Every cut plan's sum and rows, and the yields that come of them."""
    sums, rows = [], []
    for cut in cuts.cuts:
        one = cut_total(cut.plan)
        sums.append((cut.asked.week, one.kind, cut.asked.code, one.name, one.taken, one.bound, one.unit,
                     one.yield_percent, one.short, one.words, "; ".join(map(str, cut.faults)) or "sound"))  # fmt: skip
        rows += [
            (cut.asked.week, one.kind, one.name, row.where, row.how_many, row.what, row.words)
            for row in cut_rows(cut.plan)
        ]
    yields = [(code, 100 * share) for code, share in sorted(cuts.yields.items())]
    return book_bytes(
        (
            Leaf("cuts", ("week", "cut", "material", "name", "taken", "at least", "unit", "yield [%]", "short",
                          "how sure", "audit"), tuple(sums)),
            Leaf("rows", ("week", "cut", "name", "where", "how many", "what", "words"), tuple(rows)),
            Leaf("yields", ("material", "yield [%]"), tuple(yields)),
        )
    )  # fmt: skip


def plan_book(problem: Problem, plan: Plan, late: Sequence[LateReason]) -> bytes:
    """Rows of the day, finish of each works order, why late."""
    days = [
        (row.day, row.place, row.machine, row.start, row.to, row.works_order, row.bed, row.work,
         ", ".join(row.people), row.setup_minutes, "yes" if row.goes_on else "", row.charge or None)
        for row in day_rows(problem, plan)
    ]  # fmt: skip
    finishes = [
        (row.works_order, row.van_round, row.bed, row.beds, row.due.replace(tzinfo=None),
         None if row.finish is None else row.finish.replace(tzinfo=None), "yes" if row.makes_van else "no",
         row.seconds_late / 3600)
        for row in finish_rows(problem, plan)
    ]  # fmt: skip
    reasons = [(one.works_order, one.seconds_late / 3600, one.words) for one in late]
    return book_bytes(
        (
            Leaf("rows of the day", ("day", "work place", "machine", "from", "to", "works order", "beds", "work",
                                     "people", "set-up [min]", "goes on", "oven charge"), tuple(days)),
            Leaf("finish", ("works order", "van", "beds", "how many", "cut-off", "ready", "makes its van", "late [h]"),
                 tuple(finishes)),
            Leaf("why late", ("works order", "late [h]", "why"), tuple(reasons)),
        )
    )  # fmt: skip


def loading_book(loads: Sequence[VanLoad]) -> bytes:
    """Every van load: steps in loading order, stops, and the sums."""
    steps, stops, sums = [], [], []
    for load in loads:
        key = (load.day, load.van_round)
        sums.append((*key, load.vehicle, load.beds, load.collected, load.plan.used_length / 1000,
                     load.plan.bound_length / 1000, load.plan.words(), "; ".join(load.not_ready),
                     "; ".join(map(str, load.faults)) or "sound"))  # fmt: skip
        steps += [
            (*key, row.step, row.act, row.stop, row.how_many, row.what, row.where, row.words)
            for row in load_rows(load.plan)
        ]
        stops += [
            (*key, row.stop or "the works", row.mass_kg, row.free_m, row.opened_m3, row.words)
            for row in stop_rows(load.plan)
        ]
    return book_bytes(
        (
            Leaf("loads", ("day", "round", "vehicle", "beds", "collected", "floor used [m]", "at least [m]", "says",
                           "not ready", "audit"), tuple(sums)),
            Leaf("steps", ("day", "round", "step", "act", "stop", "how many", "what", "where", "words"), tuple(steps)),
            Leaf("stops", ("day", "round", "leaving", "on board [kg]", "free at the doors [m]", "opened here [m3]",
                           "words"), tuple(stops)),
        )
    )  # fmt: skip
