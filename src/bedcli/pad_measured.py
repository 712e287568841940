"""A maker's own pad test from a file, set beside the predicted one."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bedwright.errors import Fault, FaultsFound, OutsideRange

if TYPE_CHECKING:
    from bedwright.mechanics.hardness import Hardness
    from bedwright.mechanics.pad_test import Curve


@dataclass(frozen=True, slots=True)
class Measured:
    """The branch going down as measured: depth [mm], force [N], and its H."""

    depth: tuple[float, ...]
    force: tuple[float, ...]
    hardness: Hardness


def read_measured(file: Path) -> Measured:
    """The branch going down of the one test of a CSV (mechanics.learn_readings), and its H.

    Raises NotReadable for a file that is no such list, FaultsFound naming the rows.
    """
    import numpy as np

    from bedwright.mechanics.hardness import hardness
    from bedwright.mechanics.learn_readings import one_pad_test, read_pad_readings

    test = one_pad_test(read_pad_readings(file))
    try:
        return Measured(test.depth, test.force, hardness(np.array(test.depth), np.array(test.force)))
    except OutsideRange as error:
        raise FaultsFound([Fault(says=str(error))]) from None


@dataclass(frozen=True, slots=True)
class Beside:
    """A measured test beside the predicted one.

    tangent_inside, secant_inside: whether the measured H lies in the predicted interval; apart: predicted less measured
    force [N] at the three depths of the measured test; points, inside: measured points, and how many lie in the band.
    """

    tangent_inside: bool
    secant_inside: bool
    apart: tuple[float, ...]
    points: int
    inside: int


def beside(measured: Measured, curve: Curve, low: object, high: object) -> Beside:
    """Set a measured test beside a predicted curve with its band low, high [N] at the curve's depths."""
    import numpy as np

    found = measured.hardness
    depth, force = np.array(measured.depth), np.array(measured.force)
    within = (depth >= curve.depth[0]) & (depth <= curve.depth[-1])
    lower, upper = (np.interp(depth, curve.depth, np.asarray(edge)) for edge in (low, high))
    there = np.interp(np.array(found.depths), curve.depth, curve.force)
    measured_there = np.interp(np.array(found.depths), depth, force)
    return Beside(
        tangent_inside=curve.low <= found.tangent <= curve.high,
        secant_inside=curve.secant_low <= found.secant <= curve.secant_high,
        apart=tuple(float(gap) for gap in there - measured_there),
        points=len(depth),
        inside=int(np.sum(within & (lower <= force) & (force <= upper))),
    )
