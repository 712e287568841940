"""Machine code older than any source of the loops goes; newer code stays; the list of files is the whole list."""

from __future__ import annotations

import os
from pathlib import Path

import bedwright.mechanics
from bedwright.mechanics.compiled import COMPILED, drop_stale

HERE = Path(bedwright.mechanics.__file__).parent


def test_every_file_with_compiled_loops_is_listed() -> None:
    found = {file.stem for file in HERE.glob("*.py") if "@njit" in file.read_text(encoding="utf-8")}
    assert found == set(COMPILED)


def test_old_code_goes_and_new_code_stays(tmp_path: Path) -> None:
    kept = tmp_path / "__pycache__"
    kept.mkdir()
    for name in COMPILED:
        (tmp_path / f"{name}.py").write_text("x = 1\n", encoding="utf-8")
        os.utime(tmp_path / f"{name}.py", (1000, 1000))
    for name, age in (("newton.one-3.nbi", 900), ("newton.one-3.1.nbc", 900), ("kernels.two-4.nbi", 1100)):
        (kept / name).write_bytes(b"")
        os.utime(kept / name, (age, age))
    other = kept / "newton.cpython-311.pyc"
    other.write_bytes(b"")
    os.utime(other, (900, 900))
    assert drop_stale(tmp_path) == 2
    assert {file.name for file in kept.iterdir()} == {"kernels.two-4.nbi", other.name}
    os.utime(tmp_path / "kernels.py", (1200, 1200))  # a source that newton calls has changed
    assert drop_stale(tmp_path) == 1
    assert drop_stale(tmp_path) == 0
