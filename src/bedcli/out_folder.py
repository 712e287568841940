"""The results folder of a run: written whole beside the old one, then put in its place; other people's files stay."""

from __future__ import annotations

import fcntl
import json
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bedcli.places import folder_mode
from bedwright.errors import NotReadable

OURS = ("index.html", "summary.json", "timing.json")


@contextmanager
def only_run(folder: Path) -> Iterator[None]:
    """Hold the works for one run at a time. Raises NotReadable when another run is at work there."""
    with (folder / ".run.lock").open("a") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise NotReadable(f"another run is at work in {folder}; wait for it to end, then run again") from None
        yield


def refuse_strangers(out: Path) -> None:
    """Refuse a results folder that no run has written. Raises NotReadable."""
    if out.is_symlink() or (out.exists() and not out.is_dir()):
        raise NotReadable(f"{out} is no folder; move it away, or run in another folder")
    if out.is_dir() and any(out.iterdir()) and not (out / "summary.json").is_file():
        raise NotReadable(f"{out} was not written by a run; move it away, or run in another folder")


@contextmanager
def new_results(out: Path) -> Iterator[Path]:
    """A fresh folder to fill; on success it takes the place of `out`, else nothing of it is left."""
    fresh = Path(tempfile.mkdtemp(prefix=".out-", dir=out.parent))
    fresh.chmod(folder_mode())
    try:
        yield fresh
        _keep_strangers(out, fresh)
        gone = Path(tempfile.mkdtemp(prefix=".out-", dir=out.parent))
        if out.exists():
            out.rename(gone / "old")
        fresh.rename(out)
        shutil.rmtree(gone, ignore_errors=True)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def _keep_strangers(out: Path, fresh: Path) -> None:
    """Files in the old results that no run wrote go over to the new ones."""
    if not out.is_dir():
        return
    ours = {*OURS, *_papers(out / "summary.json")}
    for path in sorted(path for path in out.rglob("*") if path.is_file()):
        name = path.relative_to(out).as_posix()
        if name not in ours and not (fresh / name).exists():
            (fresh / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(path, fresh / name)


def _papers(summary: Path) -> tuple[str, ...]:
    try:
        return tuple(json.loads(summary.read_text(encoding="utf-8"))["papers"])
    except (OSError, ValueError, KeyError, TypeError):
        return ()
