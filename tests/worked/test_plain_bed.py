"""The plain bed without tension: exact forces of bed P4 (book plain-bed: columns good to 1e-6)."""

from __future__ import annotations

import numpy as np
import pytest

from bedwright.mechanics.pad import Protocol, pad_grid

# 900 x 1900 mm, springs 0.08 N/mm at 50 mm square, one layer 25 kPa x 30 mm, tension 0; springs and layer in series
SERIES_KPA_PER_M = 30.8166
EXACT = {10: 7.7128, 20: 30.3104, 40: 89.9893, 60: 150.9938, 80: 211.9983}


def test_series_of_springs_and_layer() -> None:
    springs = 0.08 / 50**2  # N/mm3
    layer = 25e-3 / 30  # MPa / mm
    assert 1 / (1 / springs + 1 / layer) * 1e6 == pytest.approx(SERIES_KPA_PER_M, abs=1e-4)


@pytest.mark.parametrize("depth", sorted(EXACT))
def test_pad_on_a_linear_foundation(depth: int) -> None:
    # the pad's grid has panels to the fillet's joint only, so a contact edge inside a panel costs up to 0.2 %
    grid = pad_grid(Protocol())
    gap = np.maximum(depth - grid.rise, 0)
    force = float(np.sum(SERIES_KPA_PER_M / 1e6 * gap * grid.area))
    assert force == pytest.approx(EXACT[depth], rel=2e-3)
