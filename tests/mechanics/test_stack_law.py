"""The way back of a filling: whatever the supplier's table, the stress rises with compression, whatever the greatest.

Once a share that dipped towards the greatest compression made a stress that fell, and a bed that did not settle.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.mechanics.energy import table_value
from bedwright.mechanics.field import BACK_POINTS, LAW_STEP, filling_table, hermite
from bedwright.mechanics.filling import filling_law
from bedwright.mechanics.stack_law import ON_THE_WAY, way_back
from bedwright.works.materials import Filling

AT = (10, 25, 40, 55, 65)


def foam(**changes: Any) -> Filling:
    values: dict[str, Any] = {"code": "F", "family": "foam", "thickness": 30.0, "density": 30.0, "sheet_width": 2000.0}
    return Filling.make(**{**values, **changes})


@st.composite
def fillings(draw: st.DrawFn) -> Filling:
    """A table going down and one coming back below it, both rising, the gap between them as uneven as may be."""
    down = np.cumsum(draw(st.lists(st.floats(0.2, 5), min_size=5, max_size=5)))
    back = [draw(st.floats(0.3, 1)) * float(down[0])]
    for stress in down[1:]:
        back.append(draw(st.floats(min(back[-1] * 1.01, stress), stress)))
    going, coming = (
        [{"position": n, "compression": float(AT[n - 1]), "stress": float(v)} for n, v in enumerate(row, 1)]
        for row in (down, back)
    )
    return foam(points=tuple(going), returns=tuple(coming))


@settings(max_examples=60, deadline=None)
@given(fillings(), st.floats(0.02, 0.9))
def test_stress_on_the_way_back_rises(filling: Filling, most: float) -> None:
    law = filling_law(filling)
    back = way_back(filling, law)
    assert back is not None and len(back) == ON_THE_WAY == BACK_POINTS
    assert np.all(np.diff(back) >= 0) and back[0] > 0 and back[-1] == 1
    x = np.linspace(0, 1, 2001)
    going = table_value(filling_table(law.compression, law.stress), x * most / LAW_STEP)
    coming = going * table_value(hermite(np.array(back)), x * (BACK_POINTS - 1))
    assert np.all(np.diff(coming) >= -1e-12)
    assert np.all(coming <= going * (1 + 1e-9)) and coming[-1] == pytest.approx(going[-1])


@pytest.mark.parametrize("loss", [5.0, 20.0, 45.0])
def test_a_loss_loses_itself_to_sixty_percent(loss: float) -> None:
    filling = foam(hardness_40=3.0, loss_share=loss)
    law = filling_law(filling)
    back = way_back(filling, law)
    assert back is not None and np.all(np.diff(back) > 0)
    e = np.linspace(0, 0.6, 1201)
    going = np.interp(e, law.compression, law.stress)
    coming = going * np.interp(e / 0.6, np.linspace(0, 1, ON_THE_WAY), back)
    assert 1 - np.trapezoid(coming, e) / np.trapezoid(going, e) == pytest.approx(loss / 100, rel=2e-3)


def test_nothing_known_is_nothing_said() -> None:
    filling = foam(hardness_40=3.0)
    assert way_back(filling, filling_law(filling)) is None
