"""A maker's own pad tests from a CSV file: depth [mm] and force [N], and where, on which face, at which press.

A heading may name the columns: depth (or mm), force (or N), x, y, face, cycle, test, in any order. Without one, the
first two columns are depth and force. Rows that agree in test, x, y, face and cycle are one test; a file may hold
several tests of one bed. Each goes down to its deepest point; what follows comes back.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from bedwright.errors import Fault, FaultsFound, NotUnderstood
from bedwright.mechanics.learn_csv import Cells, cells_of, heading_words, refused

DEPTHS, FORCES = (-100.0, 900.0), (-100.0, 20_000.0)  # what a reading can be [mm], [N]
MOST_TESTS = 20
FEWEST = 3  # points of a branch that goes down
MOST_CYCLES = 1000
_COLUMNS = {
    "depth": ("depth", "mm", "depth mm", "depth in mm", "sink", "sinking", "indentation"),
    "force": ("force", "n", "force n", "force in n", "load", "newton", "newtons"),
    "x": ("x", "x mm", "spot x", "across"),
    "y": ("y", "y mm", "spot y", "along"),
    "face": ("face", "side"),
    "cycle": ("cycle", "press", "pressing"),
    "test": ("test", "curve", "run"),
}


@dataclass(frozen=True, slots=True)
class PadReadings:
    """One test as it was read: depth [mm] and force [N] going down and coming back.

    x, y [mm], face, cycle (1: the first press): None where the file does not say. called: what the file calls it.
    """

    depth: tuple[float, ...]
    force: tuple[float, ...]
    depth_back: tuple[float, ...] = ()
    force_back: tuple[float, ...] = ()
    x: float | None = None
    y: float | None = None
    face: str | None = None
    cycle: int | None = None
    called: str = ""


class _Key(NamedTuple):
    """What rows of one test agree in."""

    test: str
    x: float | None
    y: float | None
    face: str | None
    cycle: int | None

    def __str__(self) -> str:
        named = (("", self.test or None), ("x", self.x), ("y", self.y), ("face", self.face), ("cycle", self.cycle))
        said = [
            f"{name} {value:g}" if isinstance(value, float) else f"{name} {value}" for name, value in named if value
        ]
        return ", ".join(said).strip() or "without a name"


def read_pad_readings(file: Path) -> tuple[PadReadings, ...]:
    """Every test of a file. Raises NotReadable for a file that is no CSV, FaultsFound naming the rows."""
    return pad_readings(cells_of(file))


def pad_readings(cells: Cells) -> tuple[PadReadings, ...]:
    """Every test in the cells of a file. Raises FaultsFound, all faults gathered."""
    at, rows = _columns(cells)
    faults: list[Fault] = []
    tests: dict[_Key, list[tuple[float, float]]] = {}
    for number, row in rows:
        point = _point(cells, at, number, row, faults)
        key = _key(cells, at, number, row, faults)
        if point is not None:
            tests.setdefault(key, []).append(point)
    if len(tests) > MOST_TESTS:
        says = f"{len(tests)} tests differ in spot, face or cycle"
        faults.append(Fault(says=says, remedy=f"give {MOST_TESTS} or fewer tests of one bed in a file"))
    if faults:
        raise refused(faults)
    if not tests:
        tests = {_Key("", None, None, None, None): []}
    found = tuple(_test(key, points, len(tests) > 1, faults) for key, points in tests.items())
    if faults:
        raise refused(faults)
    return found


def _columns(cells: Cells) -> tuple[dict[str, int], list[tuple[int, tuple[str, ...]]]]:
    """Where each column stands, and the rows below the heading."""
    rows = list(cells.rows)
    at = {"depth": 0, "force": 1}
    if not rows:
        return at, rows
    first = rows[0][1]
    if len(first) > 1 and all(_reads(cells, cell) for cell in first[:2]):
        return at, rows
    words = heading_words(first)
    named = {what: words.index(one) for what, names in _COLUMNS.items() for one in names[::-1] if one in words}
    if ("depth" in named) != ("force" in named):
        other = next(iter({"depth", "force"} - named.keys()))
        taken = named["force" if other == "depth" else "depth"]
        named[other] = 0 if taken != 0 else 1
    return {**at, **named}, rows[1:]


def _reads(cells: Cells, cell: str) -> bool:
    try:
        cells.number(cell)
    except NotUnderstood:
        return False
    return True


def _point(
    cells: Cells, at: dict[str, int], number: int, row: tuple[str, ...], faults: list[Fault]
) -> tuple[float, float] | None:
    """Depth and force of a row, or None with a fault."""
    try:
        depth, force = (cells.number(row[at[what]]) for what in ("depth", "force"))
    except (NotUnderstood, IndexError):
        how = "write depth [mm] and force [N] in the first two columns, or name the columns in a heading"
        faults.append(Fault(says=f"row {number} has no two numbers", remedy=how, value=cells.echo(row)))
        return None
    for what, value, (low, high), unit in (("depth", depth, DEPTHS, "mm"), ("force", force, FORCES, "N")):
        if not low <= value <= high:
            says = f"row {number}: a {what} of {value:g} {unit} is outside {low:g} to {high:g} {unit}"
            faults.append(Fault(says=says, remedy="give depth in mm and force in N", value=cells.echo(row)))
    return depth, force


def _key(cells: Cells, at: dict[str, int], number: int, row: tuple[str, ...], faults: list[Fault]) -> _Key:
    """(test, x, y, face, cycle) of a row; None for what is not said."""

    def said(what: str) -> str:
        return row[at[what]] if what in at and at[what] < len(row) else ""

    def number_of(what: str) -> float | None:
        if not said(what):
            return None
        try:
            return cells.number(said(what))
        except NotUnderstood as error:
            faults.append(Fault(says=f"row {number}, {what}: {error.fault.says}", remedy=error.fault.remedy))
            return None

    face = said("face").upper() or None
    if face not in (None, "A", "B"):
        faults.append(Fault(says=f"row {number} names no face", remedy="write A or B", value=said("face")[:20]))
        face = None
    cycle = number_of("cycle")
    if cycle is not None and not (1 <= cycle <= MOST_CYCLES and cycle == int(cycle)):
        says = f"row {number}: cycle {cycle:g} is no whole number from 1 to {MOST_CYCLES}"
        faults.append(Fault(says=says, remedy="1 is the first press"))
        cycle = None
    return _Key(said("test")[:40], number_of("x"), number_of("y"), face, None if cycle is None else int(cycle))


def _test(key: _Key, points: list[tuple[float, float]], several: bool, faults: list[Fault]) -> PadReadings:
    deepest = max(range(len(points)), key=lambda index: points[index][0], default=-1)
    down, back = points[: deepest + 1], points[deepest + 1 :]
    if len(down) < FEWEST:
        where = f" of test {key}" if several else ""
        remedy = "give every point of the branch down, from the first touch"
        faults.append(Fault(says=f"{len(down)} points{where} are too few", remedy=remedy))
    elif down[-1][1] <= 0:
        where = f"test {key}: " if several else ""
        faults.append(Fault(says=f"{where}no force at the deepest point", remedy="give force in newtons, pushing up"))
    return PadReadings(
        depth=tuple(depth for depth, _ in down),
        force=tuple(force for _, force in down),
        depth_back=tuple(depth for depth, _ in back),
        force_back=tuple(force for _, force in back),
        x=key.x, y=key.y, face=key.face, cycle=key.cycle, called=key.test,
    )  # fmt: skip


def one_pad_test(tests: tuple[PadReadings, ...]) -> PadReadings:
    """The only test of a file. Raises FaultsFound where there are several."""
    if len(tests) != 1:
        says = f"{len(tests)} tests in the file, and one is set beside a prediction"
        raise FaultsFound([Fault(says=says, remedy="give a file with one test")])
    return tests[0]
