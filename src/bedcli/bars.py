"""Progress bars of a run, and the seconds that each step took."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from typing import TypeVar

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

T = TypeVar("T")
R = TypeVar("R")
STEPS = (
    ("beds", "beds at size, and whether their parts fit"),
    ("bill", "bills, mass, making routes"),
    ("pad tests", "pad tests"),
    ("cuts", "cuts: lays, slits, sheets"),
    ("plan", "plan: who, where, when"),
    ("loading", "van loads"),
    ("cost", "costs, supply, bought beds"),
    ("papers", "papers"),
)


class Bars:
    """Progress bars on stderr, one a step, and the seconds each took."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = {}
        self._progress = Progress(
            TextColumn("{task.description:<44}"),
            BarColumn(bar_width=28),
            TextColumn("{task.percentage:>3.0f} %"),
            TimeElapsedColumn(),
            console=Console(file=sys.stderr),
        )
        self._tasks = {
            name: self._progress.add_task(says, total=1.0, start=False, visible=False) for name, says in STEPS
        }

    def __enter__(self) -> Bars:
        self._progress.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()

    def stop(self) -> None:
        self._progress.stop()

    def told(self, name: str, done: int, of: int) -> None:
        if name in self._tasks and of:
            self._progress.update(self._tasks[name], completed=done / of)

    def each(self, name: str, things: tuple[T, ...], do: Callable[[T], R]) -> list[R]:
        found = []
        for number, thing in enumerate(things, 1):
            found.append(do(thing))
            self.told(name, number, len(things))
        return found

    def step(self, name: str, do: Callable[[], R]) -> R:
        self._progress.update(self._tasks[name], visible=True)
        self._progress.start_task(self._tasks[name])
        begun = time.perf_counter()
        result = do()
        self.seconds[name] = time.perf_counter() - begun
        self._progress.update(self._tasks[name], completed=1.0)
        return result
