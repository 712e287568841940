"""A kind of long work for tests: counts to a number, fails, waits, as its test says."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from pydantic import Field


@dataclass
class Counting:
    """The kind `count`; does is what its work does, calls how often it was called."""

    does: Callable[[Any, Any], Any]
    inputs: Any = None
    calls: int = 0

    def ask(self, to: int, who: str, name: str = "a") -> Any:
        from bedsite.longwork import queue

        return queue.ask("count", self.inputs(to=to, name=name), who)


def count(inputs: Any, told: Any) -> Any:
    for number in range(inputs.to):
        told(number, inputs.to, f"number {number}")
    return {"counted": inputs.to}


@pytest.fixture
def counting(works_folder: object, monkeypatch: pytest.MonkeyPatch) -> Iterator[Counting]:
    from bedsite.longwork import kinds

    held = Counting(count)

    class Inputs(kinds.Inputs):
        HANDLES = frozenset({"where"})
        to: int = Field(ge=0)
        name: str = ""
        where: int = 0

    class Kind(kinds.Kind):
        def function(self) -> Any:
            def called(inputs: Any, told: Any) -> Any:
                held.calls += 1
                return held.does(inputs, told)

            return called

    held.inputs = Inputs
    monkeypatch.setitem(kinds.KINDS, "count", Kind("count", "counting", Inputs, "1", "nowhere:count"))
    yield held


@pytest.fixture
def work_off(works_folder: object) -> Callable[[], int]:
    """Work off whatever waits, in this process."""
    from bedsite.longwork.working import Worker

    def all_of_it() -> int:
        worker, number = Worker(), 0
        while worker.one():
            number += 1
        return number

    return all_of_it
