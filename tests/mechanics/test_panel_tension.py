"""Tension of a sewn panel: by hand where it can be, never under 0, its sensitivity, its interval against sampling."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import FaultsFound
from bedwright.mechanics.crown import Overheight, Rise, parabola_arc
from bedwright.mechanics.panel_tension import (
    SewnPanel,
    SewnTolerance,
    entered_tension,
    panel_tension,
    pulls,
)

FLAT = SewnPanel((1490.0, 1990.0), (1500.0, 2000.0), (20_000.0, 30_000.0))


def test_by_hand() -> None:
    # 20000 (1500/1490 - 1) = 134.228 N/m; 30000 (2000/1990 - 1) = 150.754
    found = panel_tension(FLAT)
    assert (found.across, found.along) == (pytest.approx(134.2282), pytest.approx(150.7538))
    assert found.mean == pytest.approx((134.2282 + 150.7538) / 2)
    assert found.fullness == (pytest.approx(1490 / 1500 - 1), pytest.approx(1990 / 2000 - 1))
    assert (found.low, found.high, found.crown) == (found.mean, found.mean, (0, 0))


def test_sensitivity_by_hand() -> None:
    # dT/dw = -J c/w^2; 1 % of stretch is 1 % of the tension
    found = panel_tension(FLAT)
    assert found.per_mm == (pytest.approx(-20_000 * 1500 / 1490**2), pytest.approx(-30_000 * 2000 / 1990**2))
    assert found.per_percent == (pytest.approx(found.across / 100), pytest.approx(found.along / 100))


def test_a_panel_larger_than_its_way_is_slack_and_says_by_how_much() -> None:
    found = panel_tension(replace(FLAT, panel=(1512.0, 1990.0)))
    assert found.across == 0 and found.along > 0
    assert found.per_mm[0] == 0
    assert "slack across: the panel is 12.0 mm larger than its way" in found.notes


def test_tape_pull_adds() -> None:
    # a panel of just the case's size, drawn with 80 N/m while sewn, keeps 80 N/m
    found = panel_tension(replace(FLAT, panel=(1500.0, 2000.0), tape_pull=80.0))
    assert (found.across, found.along) == (pytest.approx(80), pytest.approx(80))
    both = panel_tension(replace(FLAT, tape_pull=80.0))
    assert both.across == pytest.approx(134.2282 + 80 * 1500 / 1490)


def test_a_rim_that_gives() -> None:
    # T = J (c/w - 1)/(1 + 2 g J/w), derived
    found = panel_tension(replace(FLAT, rim_give=0.02))
    assert found.across == pytest.approx(134.2282 / (1 + 2 * 0.02 * 20_000 / 1490), rel=1e-6)
    assert not any("standing still" in note for note in found.notes)


def test_a_measured_crown_by_hand() -> None:
    found = panel_tension(replace(FLAT, crown=Rise(25.0)))
    assert found.across == pytest.approx(20_000 * (parabola_arc(1500, 25) / 1490 - 1))
    assert found.crown == (25, 25)
    assert panel_tension(replace(FLAT, crown=Rise(25.0, "circle"))).across == pytest.approx(found.across, rel=0.01)


@given(
    across=st.floats(1450, 1540),
    overheight=st.floats(0, 60),
    foundation=st.floats(10, 80),
    tape=st.floats(0, 150),
    contraction=st.floats(0, 0.6),
)
@settings(deadline=None)
def test_never_pushes_and_holds_its_own_balance(
    across: float, overheight: float, foundation: float, tape: float, contraction: float
) -> None:
    crown = Overheight(overheight, foundation)
    sewn = SewnPanel((across, 1995.0), (1500.0, 2000.0), (15_000.0, 25_000.0), tape, 0.005, contraction, crown)
    found = panel_tension(sewn)
    assert found.across >= 0 and found.along >= 0
    stretched = []
    for way, tension in enumerate((found.across, found.along)):
        chord = sewn.case[way] - 2 * 0.005 * tension
        reaches = crown.way(chord, tension) * (1 + tape / sewn.stretch[way])
        stretched.append(reaches / sewn.panel[way] - 1)
    assert pulls((stretched[0], stretched[1]), sewn.stretch, contraction) == pytest.approx(
        (found.across, found.along), abs=1e-5
    )


@given(across=st.floats(1400, 1600), more=st.floats(0.1, 30), contraction=st.floats(0, 0.5))
def test_a_larger_panel_is_never_tighter(across: float, more: float, contraction: float) -> None:
    sewn = replace(FLAT, panel=(across, 1990.0), contraction=contraction)
    larger = replace(sewn, panel=(across + more, 1990.0))
    assert panel_tension(larger).across <= panel_tension(sewn).across + 1e-9


@given(ex=st.floats(-0.05, 0.05), ey=st.floats(-0.05, 0.05), n=st.floats(0, 0.9), ratio=st.floats(0.2, 5))
def test_pulls_are_continuous_and_never_under_nothing(ex: float, ey: float, n: float, ratio: float) -> None:
    stretch = (10_000.0, 10_000.0 * ratio)
    here, near = pulls((ex, ey), stretch, n), pulls((ex + 1e-9, ey - 1e-9), stretch, n)
    assert min(here) >= 0
    assert near == pytest.approx(here, abs=1e-9 * 1e5 / (1 - n * n))


def test_two_taut_ways_help_each_other() -> None:
    # plane stress of an isotropic sheet: T = J e (1 + n)/(1 - n^2) = J e/(1 - n) both ways
    assert pulls((0.01, 0.01), (1e4, 1e4), 0.3) == pytest.approx((100 / 0.7, 100 / 0.7))
    # one way let go entirely: the other pulls alone
    assert pulls((0.01, -0.02), (1e4, 1e4), 0.3) == pytest.approx((100, 0))


def test_the_interval_holds_what_sampling_finds() -> None:
    """400 panels drawn normal, tolerances being two spreads: the interval is the middle 95 % of them."""
    sewn = SewnPanel((1500.0, 2000.0), (1500.0, 2000.0), (20_000.0, 30_000.0), 60.0, crown=Overheight(25.0, 30.0))
    open_figures = SewnTolerance(8.0, 0.2, 0.3, 6.0)
    told = panel_tension(sewn, open_figures)
    draw = np.random.default_rng(7).normal(0, 0.5, (400, 5))
    found = []
    for a, b, c, d, e in draw:
        stretch = (20_000 * (1 + 0.2 * c), 30_000 * (1 + 0.2 * c))
        found.append(
            panel_tension(
                SewnPanel(
                    (1500 + 8 * a, 2000 + 8 * b),
                    sewn.case,
                    stretch,
                    60 * (1 + 0.3 * d),
                    crown=Overheight(25 + 6 * e, 30.0),
                )
            ).mean
        )
    low, high = np.quantile(found, [0.025, 0.975])
    away = 0.1 * (high - low)  # of quantiles of 400, and of moves that are not straight
    assert told.low == pytest.approx(low, abs=away) and told.high == pytest.approx(high, abs=away)
    assert told.moves[0].name.startswith("cut")
    assert all(move.down <= 0 <= move.up for move in told.moves)


def test_a_slack_panel_may_still_be_taut_within_its_tolerance() -> None:
    told = panel_tension(replace(FLAT, panel=(1504.0, 2004.0)), SewnTolerance(10.0, 0.2))
    assert (told.mean, told.low) == (0, 0) and told.high > 0


def test_entered() -> None:
    told = entered_tension(120.0, 0.25)
    assert (told.mean, told.low, told.high, told.entered) == (120, 90, 150, True)
    assert entered_tension(0.0, 0.25).low == 0
    with pytest.raises(FaultsFound, match="give 0 or more of each"):
        entered_tension(-5.0)


def test_every_fault_at_once() -> None:
    bad = SewnPanel((0.0, 1990.0), (1500.0, -1.0), (1.0, 0.0), -3.0, -1.0, 1.0, Rise(-5.0))
    with pytest.raises(FaultsFound) as caught:
        panel_tension(bad, SewnTolerance(-1.0, 2.0))
    fields = [fault.field for fault in caught.value.faults]
    assert fields == [
        "panel", "case", "stretch", "tape_pull", "rim_give", "contraction", "crown", "cut", "stretch",
    ]  # fmt: skip
