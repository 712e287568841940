"""Rates and forces of coils against finite elements, and what the exact rate costs against the plain formula."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable

import numpy as np

from bedwright.mechanics.coil_force import force_curve, force_table
from bedwright.mechanics.coil_rate import plain_rate, rate
from bedwright.mechanics.coil_shape import CoilShape
from measures._demo import timed
from measures._published import DATA, ROOT, Figure, absent, table

TITLE = "one coil against finite elements"
TRADE = DATA.parent / "trade"
NAMES = {"cyl": "cylinder", "hourglass_parab": "hourglass-parabolic", "hourglass_lin": "hourglass-straight"}
NAMES["hourglass_parabolic"] = "hourglass-parabolic"
Points = list[tuple[CoilShape, float, float]]
"""(coil, compression [mm], force [N])."""


def our_own_runs() -> dict[str, Points]:
    """kind -> points of the runs kept beside the tests; for "rate" the force at 1 mm."""
    found: dict[str, Points] = defaultdict(list)
    for row in table(ROOT / "tests" / "worked" / "data" / "fe_coils_more.csv"):
        middle = None if row["profile"] == "cylinder" else float(row["middle_mm"])
        end, turns, height, wire = (float(row[name]) for name in ("end_mm", "turns", "height_mm", "wire_mm"))
        shape = CoilShape(
            row["profile"], end, turns, height, wire, middle, float(row["e_mpa"]), float(row["g_mpa"])
        )  # fmt: skip
        kind = "seats" if row["kind"].startswith("seats") else row["kind"]
        found[kind].append((shape, float(row["compression_mm"]), float(row["force_n"])))
    return found


def reference_runs() -> dict[str, Points]:
    """The same from the reference table beside the published data; empty where it is absent."""
    found: dict[str, Points] = defaultdict(list)
    path = TRADE / "springs_fe_reference.csv"
    shapes = {}
    for row in table(path) if path.is_file() else ():
        profile = NAMES.get(row["profile"], row["profile"])
        end, middle, turns, height, wire, e, g = (
            float(row[name])
            for name in ("D_end_mm", "D_waist_or_small_mm", "n_active", "L0_active_mm", "d_mm", "E_MPa", "G_MPa")
        )
        shape = CoilShape(profile, end, turns, height, wire, None if profile == "cylinder" else middle, e, g)
        shapes[profile] = shape
        found["rate"].append((shape, 1.0, float(row["k_FE_B32R_N_per_mm"])))
        found["ends held"] += [(shape, float(row[f"s{i}_mm"]), float(row[f"F{i}_FE_nlgeom_N"])) for i in (1, 2, 3)]
    contact = TRADE / "springs_fe_contact.csv"
    for row in table(contact) if shapes and contact.is_file() else ():
        shape = shapes[NAMES.get(row["case"], row["case"])]
        found["seats"].append((shape, float(row["s_mm"]), float(row["F_FE_seat_contact_N"])))
    return found


def run() -> list[Figure]:
    told = []
    for of, runs in (("reference coils", reference_runs()), ("our further coils", our_own_runs())):
        if not runs:
            told.append(absent(of))
            continue
        told.append((f"{of}, rate, ends held", _differences([(rate(c), k) for c, _, k in runs["rate"]])))
        told.append((f"{of}, rate, plain formula", _differences([(plain_rate(c), k) for c, _, k in runs["rate"]])))
        held = [point for point in runs["ends held"] if point[1] < force_curve(point[0]).closing]
        told.append((f"{of}, force, ends held, until wire would touch a seat", _forces(held)))
        told.append((f"{of}, force, between seats", _forces(runs["seats"])))
    return [*told, *_times()]


def _forces(points: Points) -> str:
    return _differences([(float(force_table(coil, np.array([way]))[0]), force) for coil, way, force in points])


def _differences(pairs: list[tuple[float, float]]) -> str:
    apart = [abs(ours / theirs - 1) * 100 for ours, theirs in pairs]
    return f"{max(apart):.2f} % at most, {sum(apart) / len(apart):.2f} % in the mean, of {len(apart)} figures"


def _times() -> list[Figure]:
    """Each on coils that nothing has reckoned before: what one coil shares between the sums is paid by each."""
    plain = _each(plain_rate, 60.0)
    exact = _each(rate, 70.0)
    curve = _each(lambda coil: float(force_table(coil, np.array([40.0]))[0]), 80.0)
    return [
        ("time of a rate, plain formula", f"{plain * 1e6:.0f} us a coil"),
        ("time of a rate, ends held", f"{exact / plain:.1f} times the plain formula"),
        ("time of a force curve up to solid", f"{curve / plain:.0f} times the plain formula"),
    ]


def _each(work: Callable[[CoilShape], float], from_diameter: float) -> float:
    coils = [CoilShape("hourglass-parabolic", from_diameter + k / 100, 5, 130, 2.2, 45) for k in range(200)]
    work(CoilShape("hourglass-parabolic", from_diameter - 1, 5, 130, 2.2, 45))
    _, seconds = timed(lambda: [work(coil) for coil in coils])
    return seconds / len(coils)
