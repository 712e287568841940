"""Bodies on a plain bed: springs smeared over the plan, linear layers, a membrane on top. The check of the room.

A sphere, an ellipsoid or a cylinder on columns has a closed form (closed_forms.py), so its error is all the mesh's.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bedwright.mechanics.body import Body, OnMesh, on_mesh
from bedwright.mechanics.field import OUT_OF_REACH
from bedwright.mechanics.lying_bench import TOLERANCE, Rested, rested
from bedwright.mechanics.lying_mesh import LyingMesh, lying_mesh
from bedwright.mechanics.plain_bed import PlainBed
from bedwright.mechanics.plain_test import plain_field_on


def plain_lying(
    plain: PlainBed, bodies: Sequence[Body], cell: float, tolerance: float = TOLERANCE
) -> tuple[Rested, OnMesh, LyingMesh]:
    """Bodies at rest on a plain bed, over cells of so many mm. Raises NotConverged."""
    windows = np.array([body.window for body in bodies])
    left, head = windows[:, :2].min(axis=0) - 2 * cell
    right, foot = windows[:, 2:].max(axis=0) + 2 * cell
    mesh = lying_mesh(plain.width, plain.length, float(left), float(head), float(right), float(foot), cell)
    on = on_mesh(bodies, mesh)
    nodes = len(mesh.mesh.x)
    one = plain_field_on(plain, mesh.mesh, np.full(nodes, OUT_OF_REACH), np.zeros(nodes))
    return rested(one, on, tolerance), on, mesh
