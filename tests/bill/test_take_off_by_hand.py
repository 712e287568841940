"""One two-sided tufted bed taken off by hand from its bed sheet: plain arithmetic with the figures on the cards.

No function of the program is called in the take-off. It stands on `SNIPE` at 1500 x 2000 of the shared small works.
Book: derived.
"""

from __future__ import annotations

import math

import pytest

from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill
from bedwright.design.buildup import bed_at_size
from bedwright.works.works import Works

PI = math.pi


@pytest.fixture(scope="module")
def bill(small_works: Works) -> Bill:
    return make_bill(small_works, bed_at_size(small_works, small_works.beds["SNIPE"], small_works.sizes["150"]))


def live_wire() -> float:
    """Wire of 3.5 live turns of a parabolic hourglass 70/46, 130 high [mm]: chords of the curve, added up."""
    steps, length, before = 7_000, 0.0, None
    for i in range(steps + 1):
        share = i / steps
        radius = (46 + (70 - 46) * (2 * share - 1) ** 2) / 2
        angle = 2 * PI * 3.5 * share
        point = (radius * math.cos(angle), radius * math.sin(angle), 130 * share)
        if before is not None:
            length += math.dist(before, point)
        before = point
    return length


def steel_grams_per_metre(diameter: float) -> float:
    return 7.85 * PI * diameter**2 / 4


# --- the take-off: what -> (code, quantity, counted in, dry kg in the bed)
# unit: label 1500 x 2000 - 40 = 1460 x 1960; head 70 + 2.2 = 72.2; 13 across at 112, 24 rows at 82
COILS = 13 * 24
UNIT_W, UNIT_L = 12 * 112 + 72.2, 23 * 82 + 72.2
COIL_WIRE = live_wire() + 2 * PI * 70 + 2 * (2 * PI * 2 * 2.2 + 10)
COIL_KG = COILS * COIL_WIRE / 1000 * steel_grams_per_metre(2.2) / 1000
LACING_M = 2 * 23 * (UNIT_W * math.sqrt((PI * 9) ** 2 + 12**2) / 12 + 40) / 1000
LACING_KG = LACING_M * steel_grams_per_metre(1.3) / 1000
ROD_M = 2 * (2 * (UNIT_W + UNIT_L) + 60) / 1000
ROD_KG = ROD_M * steel_grams_per_metre(4.0) / 1000
CLIPS = 2 * (2 * (13 + 24) - 4)
# layers: space 1460 x 1960 + 10
LAYER = 1.470 * 1.970
# height: coil 130 + 2.2; felt 6 and two wools 20 on each face, 4 % lost; panels 0.8 + 20 less 4 % + 0.2
HEIGHT = 130 + 2.2 + 2 * (6 * 0.96 + 2 * 20 * 0.96) + 2 * (0.8 + 20 * 0.96 + 0.2)
# deep panels: trimmed + 2 x 12; ticking + 2 x 25, before 0.5 % across and 1 % along
TICK = (1500 + 24 + 50) / 0.995 * (2000 + 24 + 50) / 0.99 / 1e6
BACKING = 1.524 * 2.024
QUILT_LINE = 8.0 * 1.5 * 2.0
QUILT_THREAD = QUILT_LINE * (3 + 2 * (0.4 * (0.8 + 19.2 + 0.2) / 10) * 1.5) * 1.125
# border: perimeter 7000 - 0.4 % + 30; height - 2 x 8 + 25
BORDER_H, BORDER_L = HEIGHT - 16 + 25, 7000 * 0.996 + 30
BORDER = BORDER_H * BORDER_L / 1e6
BORDER_THREAD = BORDER * 20 * (2 + 2 * (0.4 * (0.8 + 15 + 0.2) / 10) * 2) * 1.125
JOIN_THREAD = BORDER_H / 1000 * (2 + 2 * 0.8 * 2) * 1.125
CORD = 2 * 7.0 * 0.996 * 3
OVERLOCK = 2 * 7.0 * (4 * 2 * (0.8 + 0.8) + 5) * 1.125
TAPE = 2 * (7000 + 4 * 15 + 40) / 1000
TAPE_THREAD = 2 * 7.0 * (2 + 2 * 0.8 * 2) * 1.125
# tufts: gaps stand at 134 + 112 k across and 98 + 82 k along; 150 mm from the edge leaves k = 1 to 10 and 1 to 21;
# every second gap both ways: 11 rows, k = 1 3 5 7 9 and, between them, k = 2 4 6 8 10
TUFTS = 11 * 5
FILM = 2 * 2000 * (2000 + HEIGHT + 100) / 1e6  # a tube of 2000 mm, laid flat

BY_HAND: list[tuple[str, str, float, str, float]] = [
    ("coil K22, all rows", "W22", COIL_KG, "kg", COIL_KG),
    ("lacing across, top and bottom", "L13", LACING_KG, "kg", LACING_KG),
    ("edge rod", "R40", ROD_KG, "kg", ROD_KG),
    ("clips of the edge", "CLIP", CLIPS, "each", CLIPS * 0.0016),
    ("layer A1", "FELT", LAYER, "m2", LAYER * 0.9),
    ("layer A2", "WOOL", 2 * LAYER, "m2", 2 * LAYER * 0.9),
    ("layer B1", "FELT", LAYER, "m2", LAYER * 0.9),
    ("layer B2", "WOOL", 2 * LAYER, "m2", 2 * LAYER * 0.9),
    ("ticking, panel A", "TICK", TICK, "m2", TICK * 0.24),
    ("ply 1, panel A", "WOOL", 3.0, "m2", 3.0 * 0.9),
    ("ply 2, panel A", "BACK", BACKING, "m2", BACKING * 0.025),
    ("quilting thread, panel A", "THREAD", QUILT_THREAD, "m", QUILT_THREAD / 1.125 * 0.0001),
    ("ticking, panel B", "TICK", TICK, "m2", TICK * 0.24),
    ("ply 1, panel B", "WOOL", 3.0, "m2", 3.0 * 0.9),
    ("ply 2, panel B", "BACK", BACKING, "m2", BACKING * 0.025),
    ("quilting thread, panel B", "THREAD", QUILT_THREAD, "m", QUILT_THREAD / 1.125 * 0.0001),
    ("border cloth", "BORDER", BORDER, "m2", BORDER * 0.24),
    ("border filling", "WADDING", BORDER, "m2", BORDER * 0.2),
    ("border backing", "BACK", BORDER, "m2", BORDER * 0.025),
    ("quilting thread, border", "THREAD", BORDER_THREAD, "m", BORDER_THREAD / 1.125 * 0.0001),
    ("border join", "THREAD", JOIN_THREAD, "m", JOIN_THREAD / 1.125 * 0.0001),
    ("punched vents on the border", "VENT", 8, "each", 0.040),
    ("cord handles on the border", "HANDLE", 4, "each", 0.120),
    ("hand side-stitch", "TWINE", CORD, "m", CORD * 0.0015),
    ("product label", "LABEL", 1, "each", 0.003),
    ("overlock of the panels", "THREAD", OVERLOCK, "m", OVERLOCK / 1.125 * 0.0001),
    ("tape edge", "TAPE38", TAPE, "m", TAPE * 0.012),
    ("closing thread, taped", "THREAD", TAPE_THREAD, "m", TAPE_THREAD / 1.125 * 0.0001),
    ("tufts", "TUFT", TUFTS, "each", TUFTS * 0.006),
    ("film, flat", "FILM125", FILM, "m2", 0.0),
    ("edge guard", "GUARD", 7.0, "m", 0.0),
]


def test_bill_has_the_rows_of_the_take_off_and_no_other(bill: Bill) -> None:
    assert [(row.what, row.code) for row in bill.rows] == [(what, code) for what, code, *_ in BY_HAND]
    assert [row.line for row in bill.rows] == list(range(1, len(BY_HAND) + 1))


@pytest.mark.parametrize("hand", BY_HAND, ids=[row[0] for row in BY_HAND])
def test_row_matches_the_hand(bill: Bill, hand: tuple[str, str, float, str, float]) -> None:
    what, code, quantity, counted_in, mass = hand
    row = next(row for row in bill.rows if row.what == what)
    assert (row.code, row.counted_in) == (code, counted_in)
    # 7,000 chords stand in for the curve of the live turns: 1e-6 of the length; everything else is exact arithmetic
    assert row.quantity == pytest.approx(quantity, rel=2e-6)
    assert row.mass == pytest.approx(mass, rel=2e-6)


def test_mass_of_the_bed_matches_the_hand(bill: Bill) -> None:
    dry = sum(mass for *_, mass in BY_HAND)
    wool = (4 * LAYER + 2 * 3.0) * 0.9
    moist = dry + 0.14 * wool
    assert bill.dry_mass == pytest.approx(dry, rel=2e-6)
    assert bill.mass == pytest.approx(moist, rel=2e-6)
    # 7 % for natural fillings; the bed can dry out by 14 % of its wool, which is less than the tolerance
    assert (bill.mass_low, bill.mass_high) == pytest.approx((moist * 0.93, moist * 1.07), rel=2e-6)
    film_and_guard = FILM * 125 * 0.92 / 1000 + 7.0 * 0.040
    assert bill.packed_mass == pytest.approx(moist + film_and_guard, rel=2e-6)
    assert bill.steel_mass == pytest.approx(COIL_KG + LACING_KG + ROD_KG + CLIPS * 0.0016, rel=2e-6)


def test_carbon_matches_the_hand_and_names_what_it_lacks(bill: Bill) -> None:
    steel = COIL_KG + LACING_KG + ROD_KG + CLIPS * 0.0016
    fibre = 2 * LAYER * 0.9 + BORDER * 0.2
    film = FILM * 125 * 0.92 / 1000
    # rods, clips and felt have factors on their cards (3.0, 4.0, film 2.6); wool, cloths, threads have none
    assert bill.carbon == pytest.approx(3.0 * steel + 4.0 * fibre + 2.6 * film, rel=2e-6)
    assert {"WOOL", "TICK", "BORDER", "THREAD", "TAPE38"} <= set(bill.carbon_unknown)
    assert not set(bill.carbon_unknown) & {"W22", "FELT", "FILM125"}


def test_every_row_says_its_sum_with_the_figures_of_the_result(bill: Bill) -> None:
    for row in bill.rows:
        assert "=" in row.how, row.what
    coil = bill.rows[0].how
    assert "312 coils" in coil and "2 dead turns x pi x 70" in coil and "2 wraps x pi x 2 x 2.2 + tail 10" in coil


def test_route_of_that_bed_by_hand(bill: Bill) -> None:
    minutes = {step.operation: step.minutes for step in bill.operations}
    assert minutes["coil and knot"] == pytest.approx(0.5 + 0.017 * 312)
    assert minutes["lace"] == pytest.approx(1.0 + 0.04 * 46 * UNIT_W / 1000)
    assert minutes["quilt deep panels"] == pytest.approx(1.0 + 11.0 * 2)
    assert minutes["overlock panels"] == pytest.approx(0.5 + 0.4 * 14.0)
    assert minutes["fit handles and vents"] == pytest.approx(0.4 * 12)
    assert minutes["tape, first pass"] == pytest.approx(2.5 + 0.25 * 7.1)
    assert minutes["hand side-stitch"] == pytest.approx(2.0 + 2.4 * 2 * 7.0 * 0.996)
    assert minutes["tuft"] == pytest.approx(2.0 + 0.45 * TUFTS)
    assert minutes["heat-set"] == 0.0
    assert bill.minutes == pytest.approx(
        sum(step.minutes * step.hands for step in bill.operations if step.operation != "heat-set")
    )
