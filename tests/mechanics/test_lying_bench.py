"""How persons come to rest where Newton's steps alone lose their way: on slats, at edges, on a knife's edge."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.mechanics.test_lying import MAN, bed
from tests.worked.test_body_closed_forms import MIDDLE, WIDTH, boards, flat, lain

from bedwright.errors import NotConverged
from bedwright.mechanics.base import base
from bedwright.mechanics.lying import Lies, Pillow, lying
from bedwright.mechanics.person import Person

LENGTH, FORCE, STIFFNESS = 390.0, 100.0, 100e-6
COLUMNS = STIFFNESS * LENGTH * WIDTH**3 / 12 / 100**2  # what they hold a board's roll with [N/mm]


def tipping(tip: float, aside: float) -> tuple[float, float]:
    """Depth and roll of a board on columns, loaded `aside` mm off its middle, that its weight turns with `tip`."""
    board = replace(flat(MIDDLE - LENGTH / 2, MIDDLE + LENGTH / 2, 0, 0), roll=1, middle=MIDDLE)
    body = boards((board,), (FORCE, FORCE * aside / 100), np.diag([0.0, -tip]))
    found, _, _ = lain(replace(body, heights=("down", "roll")), STIFFNESS, 10.0, 210.0)
    return float(found.w[0]), float(found.w[1])


@pytest.mark.parametrize(("share", "aside"), [(0.0, 8.0), (0.6, 4.0), (0.8, 2.0), (0.8, -2.0)])
def test_a_board_that_its_weight_turns_rests_where_columns_hold_it(share: float, aside: float) -> None:
    """Derived: (columns - tip) x roll = force x arm, while all of the board stays pressed."""
    depth, roll = tipping(share * COLUMNS, aside)
    assert depth == pytest.approx(FORCE / (STIFFNESS * LENGTH * WIDTH), rel=1e-3)
    assert roll == pytest.approx(FORCE * aside / 100 / (COLUMNS * (1 - share)), rel=0.05)


@pytest.mark.parametrize(("aside", "edge"), [(3.0, "right"), (-3.0, "left")])
def test_a_board_that_nothing_holds_rolls_off_the_way_it_is_loaded(aside: float, edge: str) -> None:
    with pytest.raises(NotConverged, match=f"at x = 600 mm, does not stay there: rolls off the bed over its {edge}"):
        tipping(1.5 * COLUMNS, aside)


@pytest.mark.parametrize("share", [1.02, 1.2, 3.0])
def test_a_balance_on_a_knifes_edge_is_none(share: float) -> None:
    # the nearer to what columns hold, the more slowly it turns away
    with pytest.raises(NotConverged, match=r"does not stay there.* too soft to hold them even there"):
        tipping(share * COLUMNS, 0.0)


@pytest.mark.parametrize("x", [60.0, 120.0, 1380.0])
def test_who_rolls_off_where_is_said(x: float) -> None:
    edge = "left" if x < 750 else "right"
    who = rf"man 1755 mm 80 kg, supine at x = {x:g} mm"
    says = rf"{who}, does not stay there: rolls off the bed over its {edge} edge.*nearer to the middle"
    with pytest.raises(NotConverged, match=says):
        lying(bed("PLOVER"), [Lies(MAN, x=x)])


def test_of_two_it_is_said_who_rolls_off() -> None:
    heavy = Lies(Person("man", 1900, 160), x=1035.0)
    with pytest.raises(NotConverged, match=r"man 1900 mm 160 kg, supine at x = 1035 mm.*over its right edge"):
        lying(bed("PLOVER", "120x190"), [Lies(Person("man", 1750, 60), x=395.0), heavy], cell=40.0)


@pytest.mark.parametrize(
    ("code", "size", "one", "under"),
    [
        ("TEAL", "150x200", Lies(MAN, "side"), "slats 30 mm gap 70 mm bend 4 N/mm"),
        ("AVOCET", "150x200", Lies(MAN, "side"), "slats 65 mm gap 55 mm bend 12 N/mm"),
        ("PLOVER", "120x190", Lies(Person("man", 2000, 100), "side", 301.0, pillow=Pillow(300, 2)),
         "slats 30 mm gap 70 mm bend 4 N/mm"),
    ],
)  # fmt: skip
def test_slats_that_bodies_leave_and_touch_take_few_steps(code: str, size: str, one: Lies, under: str) -> None:
    # the first two took 70 and 79 from hard slats, the third was not at rest after 80
    found = lying(bed(code, size), [one], base=base(under))
    assert found.residual <= 1e-6 and found.newton <= 40
