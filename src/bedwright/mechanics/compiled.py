"""Machine code that is kept of the loops: thrown away once any of their sources is newer.

What is kept of a loop is looked up by its own file alone, so a loop that calls one of another file would go on with the
old one after that file has changed: wrong figures, or a crash.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

COMPILED = ("kernels", "preparing", "newton", "body_loops", "coil_line")
"""Files of this room with loops that are compiled; some call others'."""


def drop_stale(folder: Path = Path(__file__).parent) -> int:
    """Throws kept code away that is older than the newest of the sources; returns how many files went.

    What cannot be removed (another's installation) is left: there nothing is kept beside the sources either.
    """
    newest = max(one.stat().st_mtime_ns for one in (folder / f"{name}.py" for name in COMPILED))
    gone = 0
    for kept in (folder / "__pycache__").glob("*.nb[ci]"):
        with suppress(OSError):
            if kept.stat().st_mtime_ns < newest:
                kept.unlink()
                gone += 1
    return gone
