"""The demo works and its reckoning, made once for all measures of a run."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import cache
from typing import TypeVar

from bedwright.reckoning import Reckoning
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works
from measures._published import ROOT

T = TypeVar("T")


@cache
def demo() -> Works:
    """The invented demo, from its CSV."""
    return read_csv_folder(ROOT / "demo")


@cache
def demo_reckoning() -> Reckoning:
    """One reckoning of the demo, shared: what a measure has worked out, the next reads."""
    return Reckoning(demo())


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """What the work gives, and seconds of processor time of this process."""
    began = time.process_time()
    return work(), time.process_time() - began
