"""What of a body lies over a cell: means over the cell's samples, of the lowest rod at each."""

from __future__ import annotations

import numpy as np
import pytest
from tests.mechanics.test_lying import MAN, WOMAN

from bedwright.mechanics.body import SAMPLES, on_mesh
from bedwright.mechanics.lying import Lies, body_of
from bedwright.mechanics.lying_mesh import lying_mesh


@pytest.mark.parametrize("one", [Lies(MAN, x=480.0), Lies(WOMAN, "side", x=520.0, facing="left")])
def test_each_cell_holds_the_means_of_its_samples(one: Lies) -> None:
    # sample by sample, rod by rod, at some cells
    body = body_of(one, 2000.0)
    mesh = lying_mesh(1000.0, 2000.0, 100.0, 40.0, 900.0, 1960.0, 30.0)
    on = on_mesh([body], mesh)
    b = on.bodies
    steps = ((np.arange(SAMPLES) + 0.5) / SAMPLES - 0.5) * mesh.cell
    picked = np.random.default_rng(2).choice(len(b.nodes), 40, replace=False)
    several = 0
    for x, y in {(on.x[c], on.y[c]) for c in picked}:
        samples = []
        for sy in steps:
            for sx in steps:
                over = [[float(v[0]) for v in rod.over(np.array([x + sx]), np.array([y + sy]))] for rod in body.rods]
                lowest = min(range(len(over)), key=lambda r, over=over: over[r][1])
                if np.isfinite(over[lowest][1]):
                    samples.append((lowest, *over[lowest]))
        rods = sorted({sample[0] for sample in samples})
        several += len(rods) > 1
        contacts = np.flatnonzero((on.x == x) & (on.y == y))
        assert len(contacts) == len(rods)
        for contact, r in zip(contacts, rods, strict=True):
            along, rise, soft = np.array([sample[1:] for sample in samples if sample[0] == r]).T
            rod = body.rods[r]
            whole = mesh.mesh.area[b.nodes[contact]]
            assert b.touch[contact] == pytest.approx(whole * len(rise) / SAMPLES**2)
            assert b.rise[contact] == pytest.approx(np.mean(rise))
            assert b.thickness[contact] == pytest.approx(1 / np.mean(1 / soft))
            assert b.modulus[contact] == pytest.approx(rod.modulus / 1000)
            assert on.axis_y[contact] == pytest.approx(rod.start[1] + np.mean(along) * (rod.end[1] - rod.start[1]))
    assert several > 0
