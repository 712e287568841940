"""A worker as `serve` starts it, with one kind of work more: counts ticks of 50 ms, says which process did it."""

from __future__ import annotations

import os
import sys
import time
from typing import Any

TICK = 0.05


def known(register: bool = True) -> tuple[Any, Any]:
    """The inputs' class and the kind `ticks`; registered for a worker."""
    from bedsite.longwork import kinds

    class Ticks(kinds.Inputs):
        ticks: int
        name: str

    kind = kinds.Kind("ticks", "counting ticks", Ticks, "1", "own_worker:tick")
    return Ticks, kinds.register(kind) if register else kind


def tick(inputs: Any, told: Any) -> Any:
    if inputs.name == "eats memory":
        held = bytearray(2**31)
        return {"never": len(held)}
    for number in range(inputs.ticks):
        told(number, inputs.ticks, f"tick {number}")
        time.sleep(TICK)
    return {"ticks": inputs.ticks, "name": inputs.name, "pid": os.getpid()}


if __name__ == "__main__":
    sys.modules["own_worker"] = sys.modules["__main__"]
    known()
    from bedsite.longwork import worker

    raise SystemExit(worker.main())
