"""Read a works from its workbook: through the gate, then cell by cell in a child, then judged as a whole."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import date, datetime, time, timedelta
from pathlib import Path

from bedwright.errors import Fault, FaultsFound, NotReadable
from bedwright.works.workbook.assemble import Examination, assemble
from bedwright.works.workbook.gate import Gated, through_gate
from bedwright.works.workbook.grid import Grid, Taken, Value
from bedwright.works.works import Works

LONGEST_WAIT = 120  # seconds
_CHILD = Path(__file__).with_name("child.py")


def read_works(path: Path, as_of: date | None = None) -> Works:
    """The works in a workbook; as_of overrides the day that counts as today.

    Never a part of it: raises FaultsFound with every grave fault, or NotReadable for a file that is no such workbook.
    """
    found = assemble(take(path), as_of)
    if found.works is None:
        raise FaultsFound(found.grave)
    return found.works


def examine(path: Path, as_of: date | None = None) -> Examination:
    """Every fault and mild note of a workbook, and the works where none is grave. Raises nothing for a bad file."""
    try:
        return assemble(take(path), as_of)
    except NotReadable as refused:
        return Examination((Fault(str(refused)),), None)
    except FaultsFound as refused:
        return Examination(refused.faults, None)


def take(path: Path) -> Taken:
    """All cells of a workbook with their places. Raises NotReadable, and FaultsFound for one stray cell far out."""
    gated = through_gate(path)
    read = _in_child(gated, path.name)
    grids = []
    for findings, sheet in zip(gated.sheets, read, strict=True):
        rows = tuple((int(row), tuple(_value(value) for value in values)) for row, values in sheet["rows"])
        grids.append(
            Grid(
                name=findings.name,
                rows=tuple((row, values) for row, values in rows if any(not _empty(value) for value in values)),
                formulas=frozenset(findings.formulas),
                not_calculated=frozenset(findings.not_calculated),
                errors=frozenset(findings.errors),
                percents=frozenset(findings.percents),
                merged=tuple(findings.merged),
            )
        )
    return Taken(tuple(grids), gated.notes)


def _in_child(gated: Gated, name: str) -> list[dict[str, list[tuple[int, list[object]]]]]:
    wanted = json.dumps([findings.name for findings in gated.sheets])
    command = [sys.executable, "-P", str(_CHILD), wanted]
    try:
        done = subprocess.run(command, input=gated.data, capture_output=True, timeout=LONGEST_WAIT, check=False)
    except subprocess.TimeoutExpired:
        raise NotReadable(f"{name} took over {LONGEST_WAIT} s to read; take other sheets out of it") from None
    if done.returncode != 0:
        told = done.stderr.decode(errors="replace").strip().splitlines() if done.returncode == 3 else []
        reason = f" ({told[0]})" if told else ""
        raise NotReadable(f"{name} cannot be read{reason}; open it in a spreadsheet and save it again as .xlsx")
    answer: list[dict[str, list[tuple[int, list[object]]]]] = json.loads(done.stdout)
    return answer


def _empty(value: Value) -> bool:
    return value is None or (isinstance(value, str) and not value.strip())


def _value(found: object) -> Value:
    if isinstance(found, dict):
        (kind, text), *_ = found.items()
        if kind == "date":
            return date.fromisoformat(text)
        if kind == "moment":
            return datetime.fromisoformat(text)
        if kind == "time":
            return time.fromisoformat(text)
        return timedelta(seconds=text)
    if found is None or isinstance(found, (bool, str)):
        return found
    assert isinstance(found, (int, float))
    return float(found)
