"""A maker's own pad test from a file, set beside the predicted one."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bedwright import typed
from bedwright.errors import Fault, FaultsFound, NotReadable, NotUnderstood, OutsideRange

if TYPE_CHECKING:
    from bedwright.mechanics.hardness import Hardness
    from bedwright.mechanics.pad_test import Curve

LARGEST = 2_000_000  # bytes
MOST_ROWS = 20_000
MOST_FAULTS = 10


@dataclass(frozen=True, slots=True)
class Measured:
    """The branch going down as measured: depth [mm], force [N], and its H."""

    depth: tuple[float, ...]
    force: tuple[float, ...]
    hardness: Hardness


def read_measured(file: Path) -> Measured:
    """The branch going down of a CSV of depth [mm] and force [N]; a heading and what comes back are left out.

    Columns are parted by semicolons, tabs or commas; with semicolons or tabs a decimal comma is read. Raises
    NotReadable for a file that is no such list, FaultsFound naming the rows.
    """
    import numpy as np

    from bedwright.mechanics.hardness import hardness

    rows = _rows(file)
    points: list[tuple[float, float]] = []
    faults: list[Fault] = []
    for number, row in enumerate(rows, 1):
        try:
            depth, force = (typed.number(cell) for cell in row[:2])
        except (NotUnderstood, ValueError):
            if number > 1:  # the first may be a heading
                how = "write depth [mm] and force [N] in the first two columns"
                faults.append(Fault(says=f"row {number} has no two numbers", remedy=how, value=";".join(row)[:60]))
            continue
        points.append((depth, force))
    if faults:
        raise FaultsFound(faults[:MOST_FAULTS])
    if len(points) < 3:
        raise FaultsFound(
            [Fault(says=f"{len(points)} points are too few", remedy="give every point of the branch down")]
        )
    deepest = max(range(len(points)), key=lambda index: points[index][0])
    down = np.array(points[: deepest + 1])
    try:
        return Measured(tuple(down[:, 0].tolist()), tuple(down[:, 1].tolist()), hardness(down[:, 0], down[:, 1]))
    except OutsideRange as error:
        raise FaultsFound([Fault(says=str(error))]) from None


def _rows(file: Path) -> list[list[str]]:
    try:
        if file.stat().st_size > LARGEST:
            raise NotReadable(f"{file} is larger than {LARGEST // 1_000_000} MB; give the points of one test")
        text = file.read_text(encoding="utf-8-sig")
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "it is no text in UTF-8"
        raise NotReadable(f"{file} cannot be read: {why}; give a CSV file") from None
    parts = next((mark for mark in (";", "\t") if mark in text), ",")
    try:
        rows = [row for row in csv.reader(text.splitlines(), delimiter=parts) if any(cell.strip() for cell in row)]
    except csv.Error as error:
        raise NotReadable(f"{file} cannot be read as CSV ({error}); give two columns, depth and force") from None
    if len(rows) > MOST_ROWS:
        raise NotReadable(f"{file} has {len(rows)} rows; give {MOST_ROWS} or fewer")
    return rows


@dataclass(frozen=True, slots=True)
class Beside:
    """A measured test beside the predicted one.

    tangent_inside, secant_inside: whether the measured H lies in the predicted interval; apart: predicted less measured
    force [N] at the three depths of the measured test; points, inside: measured points, and how many lie in the band.
    """

    tangent_inside: bool
    secant_inside: bool
    apart: tuple[float, ...]
    points: int
    inside: int


def beside(measured: Measured, curve: Curve, low: object, high: object) -> Beside:
    """Set a measured test beside a predicted curve with its band low, high [N] at the curve's depths."""
    import numpy as np

    found = measured.hardness
    depth, force = np.array(measured.depth), np.array(measured.force)
    within = (depth >= curve.depth[0]) & (depth <= curve.depth[-1])
    lower, upper = (np.interp(depth, curve.depth, np.asarray(edge)) for edge in (low, high))
    there = np.interp(np.array(found.depths), curve.depth, curve.force)
    measured_there = np.interp(np.array(found.depths), depth, force)
    return Beside(
        tangent_inside=curve.low <= found.tangent <= curve.high,
        secant_inside=curve.secant_low <= found.secant <= curve.secant_high,
        apart=tuple(float(gap) for gap in there - measured_there),
        points=len(depth),
        inside=int(np.sum(within & (lower <= force) & (force <= upper))),
    )
