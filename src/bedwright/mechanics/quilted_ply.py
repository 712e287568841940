"""The law of a quilted ply: threads hold it thinner than it would be free, so pressing it starts with a step.

A ply of free thickness t0 that threads hold at t1 is compressed by e0 = 1 - t1/t0 with nothing on it: the filling
pushes with sigma(e0) and the threads carry it. Pressed from there, the threads go slack and the filling alone carries
sigma(e0 + s/t0): a step, then the law goes on, as with a pocketed coil (derived). Threads pull and never push: what
they carry is sigma(e0) at rest and falls to nothing.

What is left out: the hills between stitch lines (t1 is the mean thickness as measured), the pull of the quilted cloth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import Fault, FaultsFound

Array = NDArray[np.float64]

THREAD_WAY = 0.2
"""Way [mm] over which threads go slack where it was not measured: plausible, not measured."""
STEP_POINTS, STEP_WAYS = 24, 8.0
SHARPEST, APART = 1e-6, 1e-9  # of the free thickness: a shorter way is a sharp step; points nearer than this are one


@dataclass(frozen=True, slots=True)
class QuiltedPly:
    """Stress [kPa] against compression [share of the quilted thickness], (points,), never falling, 0 at nothing.

    thread: stress that the threads still carry [kPa], never under 0; step: sigma(e0) [kPa]; held: e0 [share of the free
    thickness]; thickness: as quilted [mm]; thread_way [mm]: 0 is a sharp step, whose first point has the step itself.
    """

    compression: Array
    stress: Array
    thread: Array
    step: float
    held: float
    thickness: float
    thread_way: float

    def stresses(self, compression: Array) -> Array:
        """Stress [kPa] at compressions of the quilted ply [share], any shape; straight between the points."""
        return np.asarray(np.interp(compression, self.compression, self.stress), dtype=np.float64)


def quilted_ply(
    compression: Array, stress: Array, free: float, quilted: float, *, thread_way: float = THREAD_WAY
) -> QuiltedPly:
    """The law of a ply as quilted, from its free law: compression [share], stress [kPa], (points,), rising.

    free, quilted: thickness t0 and t1 [mm], t1 no more than t0; thread_way [mm]: over which the threads go slack,
    sigma(e0) exp(-s/way), 0 for at once. The table ends where the free law ends. Derived. Raises FaultsFound.
    """
    e, p = np.asarray(compression, dtype=np.float64), np.asarray(stress, dtype=np.float64)
    faults = _faults(e, p, free, quilted, thread_way)
    if faults:
        raise FaultsFound(faults)
    held = 1 - quilted / free
    step = float(np.interp(held, e, p))
    last = (float(e[-1]) - held) * free
    way = np.concatenate([[0.0], (e[e > held] - held) * free])
    gives = thread_way > SHARPEST * free
    if gives:
        way = np.sort(np.concatenate([way, np.linspace(0, min(STEP_WAYS * thread_way, last), STEP_POINTS)]))
    way = way[np.append(True, np.diff(way) > APART * free)]
    thread = step * np.exp(-way / thread_way) if gives else np.zeros_like(way)
    pressed = np.interp(held + way / free, e, p)
    found = np.maximum.accumulate(np.maximum(pressed - thread, 0.0))
    return QuiltedPly(way / quilted, found, thread, step, held, quilted, thread_way)


def _faults(e: Array, p: Array, free: float, quilted: float, thread_way: float) -> list[Fault]:
    faults = []
    table = e.shape == p.shape and e.ndim == 1 and len(e) >= 2
    if not table or e[0] != 0 or p[0] < 0 or np.any(np.diff(e) <= 0) or np.any(np.diff(p) < 0) or e[-1] >= 1:
        says = "the free law does not rise from nothing to less than 1"
        faults.append(Fault(says=says, remedy="start it at 0, let it rise, end below 1", field="stress"))
    if not (0 < quilted <= free < math.inf):
        says = f"a ply of {free:g} mm quilted to {quilted:g} mm"
        faults.append(
            Fault(
                says=says,
                remedy="threads only pull: give a quilted thickness above 0 and no more than free",
                field="quilted_thickness",
            )
        )
    elif table and 1 - quilted / free >= e[-1]:
        says = f"quilting {free:g} mm to {quilted:g} mm presses the ply beyond its law, which ends at {e[-1]:.3g}"
        faults.append(
            Fault(
                says=says,
                remedy="give a law that goes further, or measure the thickness again",
                field="quilted_thickness",
            )
        )
    if not 0 <= thread_way < math.inf:
        faults.append(Fault(says=f"thread_way {thread_way:g} mm", remedy="give 0 or more", field="thread_way"))
    return faults
