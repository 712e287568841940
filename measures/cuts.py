"""Cut plans: what they take against the best value known and against our own bound."""

from __future__ import annotations

from collections import defaultdict

from bedwright.cutting.lays.problem import LayProblem, Panel, Ply
from bedwright.cutting.sheets.problem import Piece, Sheet, SheetProblem
from bedwright.cutting.slits.problem import Bar, SlitProblem, Strip
from bedwright.cutting.solve import solve
from measures._demo import demo_reckoning, timed
from measures._published import DATA, Figure, absent, table

TITLE = "cuts against the best known and the bound"
FOLDER = DATA / "cutting"
HOPPER = {"C1": 20, "C2": 30, "C3": 15, "C4": 60}
"""Optimum length of each class: every instance is a perfect cut of its strip (book hopper-turton-2001)."""


def run() -> list[Figure]:
    found = [*_slits(), *_sheets(), *_strips()] if FOLDER.is_dir() else [absent("published cutting instances")]
    return [*found, *_demo()]


def _slits() -> list[Figure]:
    told = []
    for path in sorted(FOLDER.glob("PM_*.txt")):
        _, capacity, *lengths = (int(word) for word in path.read_text().split())
        strips = tuple(Strip(str(i), length, 20) for i, length in enumerate(lengths))
        plan = solve(SlitProblem(path.stem, strips, (Bar("bar", capacity),)), 48)
        told.append((path.stem, len(plan.bars), plan.bars_bound))
    return [
        (f"slits {name}, each length 20 times", f"{bars} bars; {bars / bound:.4f} of our bound {bound}")
        for name, bars, bound in told
    ]


def _sheets() -> list[Figure]:
    listed = {
        row["Path"]: row["Best known solution value"] for row in table(FOLDER / "BEST_data_bin_packing_oriented.csv")
    }
    told = []
    for path in sorted(FOLDER.glob("BW_*_items.csv")):
        name = path.name.removesuffix("_items.csv")
        group, size, number = name.removeprefix("BW_Class").split("_")
        sheet = table(FOLDER / f"{name}_bins.csv")[0]
        pieces = tuple(Piece(r["ID"], int(r["HEIGHT"]), int(r["WIDTH"]), 1) for r in table(path))
        plan = solve(SheetProblem(name, pieces, (Sheet("sheet", int(sheet["HEIGHT"]), int(sheet["WIDTH"])),)), 48)
        best = int(listed[f"berkey1987/Class_{group}.2bp_{size}_{number}"])
        told.append((f"sheets {name}, two cuts, not turned", _ratio(len(plan.sheets), best, plan.sheets_bound)))
    return told


def _strips() -> list[Figure]:
    ratios: dict[str, list[float]] = defaultdict(list)
    for path in sorted(FOLDER.glob("hopper*_items.csv")):
        name = path.name.removesuffix("_items.csv")
        strip, items = table(FOLDER / f"{name}_bins.csv")[0], table(path)
        group = name.removeprefix("hopper").split("_")[0]
        panels = tuple(Panel(r["ID"], int(r["HEIGHT"]), int(r["WIDTH"]), 1, True) for r in items)
        plan = solve(LayProblem(name, panels, (Ply("roll", int(strip["WIDTH"])),)), 48)
        ratios[group].append(plan.length / HOPPER[group])
    return [
        (
            f"lays hopper {group}, rows straight across, optimum {HOPPER[group]} free",
            f"length {', '.join(f'{ratio:.2f}' for ratio in found)} of the optimum",
        )
        for group, found in sorted(ratios.items())
    ]


def _demo() -> list[Figure]:
    reckoning = demo_reckoning()
    cuts, seconds = timed(lambda: reckoning.cuts)
    told = []
    for kind in ("lay", "sheet", "slit"):
        of_kind = cuts.of_kind(kind)
        taken = sum(cut.plan.proof.value for cut in of_kind)
        bound = sum(cut.plan.proof.bound for cut in of_kind)
        proven = sum(cut.plan.proof.proven for cut in of_kind)
        if bound:
            told.append(
                (
                    f"demo, {len(of_kind)} questions of kind {kind}",
                    f"taken {taken / bound:.4f} of the bound; {proven} proven least; "
                    f"{sum(len(cut.faults) for cut in of_kind)} faults found by the audit",
                )
            )
    return [*told, ("demo, all cuts", f"{seconds:.2f} s")]


def _ratio(ours: int, best: int, bound: int) -> str:
    return f"{ours} sheets; {ours / best:.3f} of the best known {best}; our bound {bound}"
