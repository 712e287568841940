"""Persons lying, made up for drawings and papers: ellipsoids that do not bend, on columns; no mechanics of ours."""

from __future__ import annotations

import numpy as np
from scipy.optimize import brentq

from bedwright.mechanics.lain import SHOWN_ABOVE, THRESHOLD, Lain, Lying, Slice, Spine

G = 9.80665
COLUMNS = 40e-6  # N/mm3: 40 kPa/m
# place along from the crown, half length, half breadth, height of the middle over the back's line, half depth; share
SUPINE = {
    "head": (110, 110, 75, 95, 95, 0.07), "trunk": (470, 300, 160, 115, 115, 0.43),
    "pelvis": (860, 200, 170, 118, 120, 0.32), "legs": (1370, 400, 130, 90, 70, 0.18),
}  # fmt: skip
SIDE = {
    "head": (110, 110, 95, 160, 75, 0.07), "trunk": (430, 260, 115, 185, 195, 0.45),
    "pelvis": (860, 210, 120, 170, 172, 0.32), "legs": (1350, 420, 90, 130, 90, 0.16),
}  # fmt: skip
PLACES = {"head": 110.0, "shoulder": 330.0, "waist": 700.0, "hip": 860.0, "knee": 1270.0, "heel": 1700.0}


def lying_made(
    *persons: tuple[str, str, float, float],  # called, posture, mass [kg], x of the middle [mm]
    width: float = 1500.0,
    length: float = 2000.0,
    cell: float = 20.0,
    columns: float = COLUMNS,
) -> Lying:
    """Persons on a bed of columns, each lying by itself; the head 130 mm from the head's edge."""
    x, y = np.arange(cell / 2, width, cell), np.arange(cell / 2, length, cell)
    pressure, lain, cuts = np.zeros((len(y), len(x))), [], []
    across = np.full(len(x), np.nan)
    at = 130.0 + 860.0
    for called, posture, mass, middle in persons or (("man 1755 mm 80 kg", "supine", 80.0, width / 2),):
        body = _lowest(posture, x - middle, y - 130.0)
        down = brentq(lambda z, b=body, m=mass: _force(b, z, cell, columns) - m * G, 0.0, 400.0)
        mine = columns * 1000 * np.clip(down - np.where(np.isfinite(body), body, np.inf), 0, None)
        pressure += mine
        lain.append(_lain(called, posture, mass, middle, mine, body, down, y, cell))
        along = np.where(np.isfinite(body).any(1), np.nanmin(np.where(np.isfinite(body), body, np.inf), axis=1), np.nan)
        along = np.where(np.isfinite(along), 250.0 - down + along, np.nan)
        cuts.append(Slice("along", middle, y, np.full(len(y), 250.0), np.fmin(250.0, along), along))
        row = body[int(at / cell)]
        across = np.where(np.isfinite(row), 250.0 - down + row, across)
    cuts.append(Slice("across", at, x, np.full(len(x), 250.0), np.fmin(250.0, across), across))
    return Lying(
        "PLOVER 150x200", width, length, tuple(lain), x, y, cell, pressure, tuple(cuts), 2e-7, 30, 5000, "solid", "A",
        "made up", ("the columns are made up",),
    )  # fmt: skip


def _lowest(posture: str, x, y):  # type: ignore[no-untyped-def]
    """Height of the lowest surface above the body's lowest line [mm], nan beside it."""
    parts = SIDE if posture == "side" else SUPINE
    found = np.full((len(y), len(x)), np.inf)
    for place, long, broad, middle, deep, _ in parts.values():
        inside = 1 - ((y[:, None] - place) / long) ** 2 - (x[None, :] / broad) ** 2
        with np.errstate(invalid="ignore"):
            found = np.fmin(found, np.where(inside > 0, middle - deep * np.sqrt(np.clip(inside, 0, None)), np.inf))
    return np.where(np.isfinite(found), found, np.nan)


def _force(body, down: float, cell: float, columns: float) -> float:  # type: ignore[no-untyped-def]
    return float(columns * cell * cell * np.nansum(np.clip(down - body, 0, None)))


def _lain(called, posture, mass, middle, pressure, body, down, y, cell):  # type: ignore[no-untyped-def]
    touched = pressure[pressure > THRESHOLD]
    parts = SIDE if posture == "side" else SUPINE
    along = 130.0 + np.linspace(900.0, 230.0, 12)
    spine = (
        np.linspace(-60.0, -20.0, 12) + 12.0 * np.sin(np.linspace(0, np.pi, 12)) + (170.0 if posture == "side" else 40)
    )
    line = np.polyfit(along, spine, 1)
    off = spine - np.polyval(line, along)
    theta = np.linspace(0, 2 * np.pi, 49)
    return Lain(
        called=called, posture=posture, contact_area=len(touched) * cell**2 / 1e6, mean=float(touched.mean()),
        p95=float(np.percentile(touched, 95)), p99=float(np.percentile(touched, 99)), weight=mass * G,
        carried=float(pressure.sum() * cell**2 / 1000), share={part: one[5] for part, one in parts.items()},
        sink={"head": 41.3, "shoulder": 78.2, "waist": 35.7, "hip": down, "knee": 22.4, "heel": 31.9},
        spine=Spine(along, spine, float(-np.degrees(np.arctan(line[0]))), float(np.abs(off).max()),
                    float(np.sqrt((off**2).mean()))),
        lumbar_gap=18.4 if posture == "supine" else None, clearance=7.3 if posture == "supine" else None,
        above=tuple(float((touched * 7.50062 > one).mean()) for one in SHOWN_ABOVE),
        force_error=1e-9, moment_error=1e-9, roll=2.4 if posture == "side" else 0.0,
        outline=tuple(
            (middle + broad * np.cos(theta), 130.0 + place + long * np.sin(theta))
            for place, long, broad, *_ in parts.values()
        ),
    )  # fmt: skip
