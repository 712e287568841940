"""What was learned from pad tests handed to its drawing: curve and band before and after, the readings; no sums."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from bedwright.mechanics.pad import Spot
from bedwright.papers.drawings.fit_band import Fit, fit_band
from bedwright.papers.typeset import Raw

Array = NDArray[np.float64]


class Curve(Protocol):
    """A curve with its band: depth [mm], force, low, high [N]."""

    @property
    def depth(self) -> Array: ...
    @property
    def force(self) -> Array: ...
    @property
    def low(self) -> Array: ...
    @property
    def high(self) -> Array: ...


class Test(Protocol):
    """Readings of one test: what it is called, its spot, depth [mm] and force [N]."""

    @property
    def called(self) -> str: ...
    @property
    def spot(self) -> Spot: ...
    @property
    def depth(self) -> Array: ...
    @property
    def force(self) -> Array: ...


class LearnedCurves(Protocol):
    """What the drawing takes of what was learned."""

    @property
    def before(self) -> Curve: ...
    @property
    def after(self) -> Curve: ...
    @property
    def tests(self) -> Sequence[Test]: ...


def draw_learned(learned: LearnedCurves, width: float = 110.0, height: float = 95.0) -> Raw:
    """The first test's spot before and after; readings of all tests at that spot, up to three series."""
    first = learned.tests[0].spot
    here = [test for test in learned.tests if test.spot == first][:3]
    measured = tuple(
        (_called(test, number), tuple(zip(test.depth.tolist(), test.force.tolist(), strict=True)))
        for number, test in enumerate(here, 1)
    )
    deepest = max(float(test.depth[-1]) for test in here)
    return fit_band(Fit(_rows(learned.before, deepest), _rows(learned.after, deepest), measured), width, height)


def _called(test: Test, number: int) -> str:
    spot = test.spot
    return f"measured{' ' + (test.called or str(number))}: face {spot.face}, {spot.x:.0f}, {spot.y:.0f} mm"


def _rows(curve: Curve, deepest: float) -> tuple[tuple[float, float, float, float], ...]:
    """Rows of a curve, as far as the first that lies beyond the deepest reading."""
    end = int(np.searchsorted(curve.depth, deepest)) + 1
    columns = (curve.depth[:end], curve.low[:end], curve.force[:end], curve.high[:end])
    return tuple((float(x), float(low), float(y), float(high)) for x, low, y, high in zip(*columns, strict=True))
