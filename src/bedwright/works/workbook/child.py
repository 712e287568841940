"""The child that reads the cells of a workbook: bytes in on stdin, JSON out on stdout, little memory, little time.

Run by its file, alone: what it reads was made by others, and the reader behind it may fall over as a whole process.
Dates are written {"date": ...}, moments {"moment": ...}, times {"time": ...}, spans {"seconds": ...}.
"""

from __future__ import annotations

import io
import json
import sys
from datetime import date, datetime, time, timedelta

from python_calamine import CalamineWorkbook

try:
    import resource
except ImportError:  # a system without limits
    resource = None  # type: ignore[assignment]

MEMORY = 1 << 30  # bytes of address space
SECONDS = 60  # of processor time


def main() -> int:
    """Read stdin, write stdout; 3 with a sentence on stderr where the workbook cannot be read."""
    _limit()
    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(sys.stdin.buffer.read()))
        wanted = json.loads(sys.argv[1])
        sheets = [_sheet(book, name) for name in wanted]
    except MemoryError:
        raise
    except BaseException as error:  # a panic of the reader is no Exception
        sys.stderr.write(str(error)[:300])
        return 3
    json.dump(sheets, sys.stdout, allow_nan=False)
    return 0


def _limit() -> None:
    if resource is None:
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _sheet(book: CalamineWorkbook, name: str) -> dict[str, object]:
    sheet = book.get_sheet_by_name(name)
    first_row, first_column = sheet.start or (0, 0)
    rows = []
    for row, values in enumerate(sheet.to_python(skip_empty_area=True), first_row + 1):
        cells = [None if value == "" else _plain(value) for value in values]
        while cells and cells[-1] is None:
            cells.pop()
        if cells:
            rows.append([row, [None] * first_column + cells])
    return {"name": name, "rows": rows}


def _plain(value: object) -> object:
    if isinstance(value, datetime):
        return {"moment": value.isoformat()}
    if isinstance(value, date):
        return {"date": value.isoformat()}
    if isinstance(value, time):
        return {"time": value.isoformat()}
    if isinstance(value, timedelta):
        return {"seconds": value.total_seconds()}
    if isinstance(value, float) and not float("-inf") < value < float("inf"):
        return str(value)
    return value


if __name__ == "__main__":
    sys.exit(main())
