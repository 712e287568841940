"""A pressure sheet that a maker laid on a bed under a person: read, cleared of spikes, rescaled to the body's weight.

Raw sheets are off by a quarter less to more than twice the weight, and not linear: one person's sum is a fifth and more
higher on the side than on the back (book `pmat-data`). So only the shape of a map is taken from the sheet, its sum from
the person's weight, and by how much it was off is said. A cell that reads more than three times the middle of its
three by three is a spike, and that middle stands in for it (as the figures of that book were cleared); on coarse cells
that takes a part of the heels with it, and so what share of the sum went is said.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import Fault, FaultsFound, NotUnderstood
from bedwright.mechanics.lain import PARTS, THRESHOLD
from bedwright.mechanics.learn_csv import Cells, cells_of, refused

Array = NDArray[np.float64]
Unit = Literal["kPa", "mmHg", "raw"]
KPA_PER = {"kPa": 1.0, "mmHg": 0.133322387415, "raw": None}
"""kPa of one; of raw counts nothing is known, and the weight alone gives it."""
GRAVITY = 9.80665
SPIKE = 3.0  # times the middle of three by three
FEWEST, MOST = 4, 400  # rows, and columns
PITCHES = (2.0, 150.0)  # [mm]
SATURATED = 3  # cells at one greatest reading from which the sheet is taken to be cut there
UNLIKE = 0.10  # of the weight, by which two sums of one person differ when the sheet is said not to be linear
_NAMES = {"supine": "supine", "back": "supine", "side": "side", "left": "side", "right": "side"}


@dataclass(frozen=True, slots=True)
class PressureSheet:
    """One frame as read: rows from the head, columns from the left with the head up (rows, columns), in the sheet's
    unit. posture: "supine", "side", or "" where the file does not name it."""

    cells: Array
    posture: str = ""


@dataclass(frozen=True, slots=True)
class SheetMap:
    """A frame made ready. pressure [kPa] (rows, columns), rescaled; pitch [mm] along the bed, across it.

    read: force of the sheet as it read, over the weight; None for raw counts. factor: kPa of one unit of the sheet.
    spikes: cells that were cleared, and cleared: the share of the sum that went with them; saturated: cells at the
    greatest reading where there are several. area [m2] of cells over THRESHOLD, mean, p95, p99 [kPa] there.
    """

    posture: str
    pressure: Array
    pitch: tuple[float, float]
    read: float | None
    raw_sum: float
    factor: float
    spikes: int
    cleared: float
    saturated: int
    area: float
    mean: float
    p95: float
    p99: float

    @property
    def words(self) -> str:
        """How far the sheet was off, in a sentence."""
        away = f"{100 * self.cleared:.1f} % of the sum"
        cleared = f"; {self.spikes} spikes cleared ({away})" if self.spikes else ""
        cut = f"; {self.saturated} cells at the greatest reading: peaks are cut off there" if self.saturated else ""
        if self.read is None:
            return f"raw counts: one is {self.factor:.3g} kPa by the weight{cleared}{cut}"
        more = "more" if self.read > 1 else "less"
        return f"the sheet read {100 * abs(self.read - 1):.0f} % {more} than the weight, and was rescaled{cleared}{cut}"


def read_pressure_sheets(file: Path) -> tuple[PressureSheet, ...]:
    """Every frame of a file. Raises NotReadable for a file that is no CSV, FaultsFound naming the rows."""
    return pressure_sheets(cells_of(file))


def pressure_sheets(cells: Cells) -> tuple[PressureSheet, ...]:
    """Every frame in the cells of a file: rows of numbers; a row with one word before a frame names its posture.

    Raises FaultsFound, all faults gathered.
    """
    faults: list[Fault] = []
    frames: list[tuple[str, list[list[float]]]] = []
    for number, row in cells.rows:
        words = [cell for cell in row if cell]
        name = _NAMES.get(words[0].lower().split()[0]) if len(words) == 1 else None
        if name is not None:
            frames.append((name, []))
            continue
        try:
            values = [cells.number(cell) for cell in row]
        except NotUnderstood:
            remedy = "give a number in every cell, or one word, supine or side, in the row before a frame"
            faults.append(Fault(says=f"row {number} is no row of readings", remedy=remedy, value=cells.echo(row)))
            continue
        if min(values) < 0:
            faults.append(Fault(says=f"row {number} has a reading under 0", remedy="take the sheet's zero off first"))
        if not frames:
            frames.append(("", []))
        if frames[-1][1] and len(values) != len(frames[-1][1][0]):
            says = f"row {number} has {len(values)} cells, and the frame's first row {len(frames[-1][1][0])}"
            faults.append(Fault(says=says, remedy="give every row of the sheet whole"))
            continue
        frames[-1][1].append(values)
    for name, rows in frames or [("", [])]:
        wide = len(rows[0]) if rows else 0
        if not (FEWEST <= len(rows) <= MOST and FEWEST <= wide <= MOST) and not faults:
            says = f"{f'frame {name}' if name else 'the frame'} has {len(rows)} rows of {wide} cells"
            faults.append(Fault(says=says, remedy=f"give {FEWEST} to {MOST} of each"))
    if faults:
        raise refused(faults)
    return tuple(PressureSheet(np.array(rows, dtype=np.float64), name) for name, rows in frames)


def cleared(cells: Array) -> tuple[Array, int]:
    """Cells without spikes, and how many there were: a cell over SPIKE times the middle of its three by three takes it.

    A cell alone among nothing stays: a median of nothing makes no spike of what a heel presses.
    """
    wide = np.pad(cells, 1, mode="edge")
    rows, columns = cells.shape
    near = np.stack([wide[i : i + rows, j : j + columns] for i in range(3) for j in range(3)])
    middle = np.median(near, axis=0)
    spike = (cells > SPIKE * middle) & (middle > 0)
    return np.where(spike, middle, cells), int(spike.sum())


def sheet_map(sheet: PressureSheet, pitch: tuple[float, float], unit: Unit, mass: float, zero: float = 0.0) -> SheetMap:
    """A frame made ready: pitch [mm] along the bed and across it, mass [kg] of the person, zero: what an untouched cell
    reads, in the sheet's unit. Raises FaultsFound."""
    faults = []
    for name, one in zip(("along", "across"), pitch, strict=True):
        if not PITCHES[0] <= one <= PITCHES[1]:
            says = f"a pitch of {one:g} mm {name}"
            faults.append(Fault(says=says, remedy=f"give {PITCHES[0]:g} to {PITCHES[1]:g} mm", field="pitch"))
    top = float(sheet.cells.max())
    if top - zero <= 0:
        faults.append(Fault(says="nothing presses on the sheet", remedy="give a frame with somebody lying on it"))
    if faults:
        raise FaultsFound(faults)
    at_top = int(np.sum(sheet.cells == top))
    own = np.maximum(sheet.cells - zero, 0.0)
    clean, spikes = cleared(own)
    cell = pitch[0] * pitch[1]  # mm2
    weight = mass * GRAVITY
    raw_sum = float(clean.sum())
    factor = weight / (raw_sum * cell * 1e-3)  # kPa times mm2 is 1e-3 N
    known = KPA_PER[unit]
    pressure = clean * factor
    touched = pressure[pressure > THRESHOLD]
    if not len(touched):
        says = f"no cell reads more than {THRESHOLD:g} kPa once the sum is the weight"
        raise FaultsFound([Fault(says=says, remedy="look at pitch and mass")])
    return SheetMap(
        posture=sheet.posture,
        pressure=pressure,
        pitch=pitch,
        read=None if known is None else known / factor,
        raw_sum=raw_sum,
        factor=factor,
        spikes=spikes,
        cleared=1 - raw_sum / float(own.sum()),
        saturated=at_top if at_top >= SATURATED else 0,
        area=len(touched) * cell * 1e-6,
        mean=float(touched.mean()),
        p95=float(np.percentile(touched, 95)),
        p99=float(np.percentile(touched, 99)),
    )


def shares_along(pressure: Array, along: Array, cuts: Array) -> dict[str, float]:
    """Share of the force by PARTS: pressure (rows, columns), along [mm] of the rows from the head's edge, cuts [mm]
    between the parts, rising. A row that a cut goes through is shared out."""
    force = pressure.sum(axis=1)
    pitch = float(along[1] - along[0])
    edges = np.concatenate([along - pitch / 2, along[-1:] + pitch / 2])
    so_far = np.concatenate([[0.0], np.cumsum(force)]) / force.sum()
    at = np.interp(np.concatenate([[edges[0]], cuts, [edges[-1]]]), edges, so_far)
    return dict(zip(PARTS, np.diff(at).tolist(), strict=True))


def middle_along(pressure: Array, along: Array) -> float:
    """Where the middle of the force lies along the bed [mm]."""
    force = pressure.sum(axis=1)
    return float(force @ along / force.sum())


def linearity(maps: tuple[SheetMap, ...]) -> str:
    """What several frames of one person say of the sheet: their sums should all be the weight; "" with one frame."""
    if len(maps) < 2:
        return ""
    first = maps[0]
    told = [
        f"{one.posture or 'frame'} {100 * (one.raw_sum / first.raw_sum - 1):+.0f} %" for one in maps[1:]
    ]  # fmt: skip
    apart = max(abs(one.raw_sum / first.raw_sum - 1) for one in maps[1:])
    words = f"the same person's sum, beside {first.posture or 'the first frame'}: {', '.join(told)}"
    if apart > UNLIKE:
        return f"{words}: the sheet is not linear, and its peaks are not to be compared between postures"
    return f"{words}: as near as sheets come"
