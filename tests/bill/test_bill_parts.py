"""Parts of the bill that the hand take-off of one bed does not reach: pockets, rails, mini springs, bought units."""

from __future__ import annotations

import math

import pytest

from bedwright.bill.make import make_bill
from bedwright.bill.mass import moist_mass
from bedwright.bill.rows import Bill, shown
from bedwright.bill.scrap import house_scrap
from bedwright.bill.taking import glue_row, trim_count_row, trim_length_row
from bedwright.design.buildup import bed_at_size
from bedwright.errors import FaultsFound, OutsideRange
from bedwright.works.materials import Trim
from bedwright.works.works import Works


def bill_of(works: Works, bed: str, size: str) -> Bill:
    return make_bill(works, bed_at_size(works, works.beds[bed], works.sizes[size]))


def test_dry_wool_at_regain() -> None:
    """Floor practice, worked out: 4.31 kg dry wool is 4.74 kg at 10 %, 5.17 kg at 20 % regain. Book: derived."""
    assert moist_mass(4.31, 10) == pytest.approx(4.74, abs=0.005)
    assert moist_mass(4.31, 20) == pytest.approx(5.17, abs=0.005)
    with pytest.raises(OutsideRange, match="regain -1"):
        moist_mass(4.31, -1)


def test_pocket_unit_by_hand(small_works: Works) -> None:
    bill = bill_of(small_works, "KNOT", "150")
    # space 1460 x 1960 less two rails of 70: 1320 x 1820, pockets of 62: 21 x 29
    rows = {row.what: row for row in bill.rows}
    assert rows["coil P19, all rows"].pieces == 21 * 29
    wire = math.hypot(5 * math.pi * 58, 190) + 1.5 * math.pi * 58
    assert rows["coil P19, all rows"].quantity == pytest.approx(
        609 * wire / 1000 * 7.85 * math.pi * 1.9**2 / 4 / 1000, rel=1e-9
    )
    assert rows["pocket cloth"].quantity == pytest.approx((150 + 62 + 24) * 609 * math.pi * 62 / 1e6)
    assert rows["glue between strings"].quantity == pytest.approx(28 * 21 * 0.4 / 1000)
    assert rows["cover sheets"].quantity == pytest.approx(2 * 21 * 62 * 29 * 62 / 1e6)
    rails = rows["foam rail, long sides"].mass + rows["foam rail, head and foot"].mass
    assert rails == pytest.approx((2 * 1.960 + 2 * 1.320) * 0.070 * 0.150 * 35)
    assert rows["glue under layer A1"].quantity == pytest.approx(1.47 * 1.97 * 0.060)


def test_trimmed_rim_is_taken_and_not_weighed(small_works: Works) -> None:
    row = next(row for row in bill_of(small_works, "KNOT", "150").rows if row.what == "ticking, panel A")
    fed = (1524 + 60) / 0.98 * (2024 + 60) / 0.97 / 1e6
    assert row.quantity == pytest.approx(fed)
    assert row.taken_mass == pytest.approx(fed * 0.280)
    assert row.mass == pytest.approx(fed * 0.280 * 1524 * 2024 / (1584 * 2084))


def test_bought_unit_is_one_row_and_its_steel_is_not_known(small_works: Works) -> None:
    bill = bill_of(small_works, "RUFF", "90")
    units = [row for row in bill.rows if row.kind == "unit"]
    assert [(row.code, row.quantity) for row in units] == [("BALE", 1.0)]
    assert bill.steel_unknown == ("BALE",)
    assert units[0].mass == pytest.approx(0.806 * 1.860 * 5.2)


def test_mini_spring_layer_made_here_is_taken_apart(small_works: Works) -> None:
    bill = bill_of(small_works, "RUFF", "90")
    minis = [row for row in bill.rows if "mini springs" in row.what]
    assert {row.code for row in minis} == {"W10", "PKT70", "HOTMELT"}
    assert next(row for row in minis if row.code == "W10").pieces == 21 * 46
    assert all(row.group == "build-up" for row in minis)


def test_flange_goes_round_every_panel(small_works: Works) -> None:
    row = next(row for row in bill_of(small_works, "RUFF", "90").rows if row.what == "flange")
    assert (row.pieces, row.cut_width, row.cut_length) == (1, 90.0, 5600 + 30)


def test_masses_add_up_and_packing_stays_out(small_works: Works) -> None:
    for bed in ("SNIPE", "KNOT", "RUFF"):
        for size in ("90", "135", "150"):
            bill = bill_of(small_works, bed, size)
            assert bill.dry_mass == pytest.approx(sum(row.mass for row in bill.rows))
            assert bill.mass_low < bill.mass < bill.mass_high < bill.packed_mass + bill.mass * 0.07
            assert all(row.mass == 0 and row.taken_mass > 0 for row in bill.of_group("pack"))
            assert all(row.mass <= row.taken_mass * (1 + 1e-12) for row in bill.rows)


def test_larger_bed_takes_more_of_everything_cut(small_works: Works) -> None:
    small, large = (bill_of(small_works, "KNOT", size) for size in ("90", "150"))
    pairs = zip(small.rows, large.rows, strict=True)
    assert all(a.what == b.what and b.quantity >= a.quantity for a, b in pairs)


def test_house_scrap_by_row(small_works: Works) -> None:
    rates = {row.what: house_scrap(small_works, row) for row in bill_of(small_works, "KNOT", "150").rows}
    assert (rates["coil P19, all rows"].rule, rates["coil P19, all rows"].share) == ("scrap_wire", 0.01)
    assert rates["layer A1"].rule == "scrap_foam"
    assert rates["ticking, panel A"].rule == rates["border cloth"].rule == "scrap_quilting"
    assert rates["tape edge"].rule == "scrap_trim"
    assert rates["closing thread, taped"].share == 0 and rates["closing thread, taped"].says == "no scrap"


def test_a_trim_that_cannot_be_counted_so_is_named() -> None:
    thread = Trim(code="T", use="thread", counted_in="kg")
    with pytest.raises(FaultsFound, match="mass_per_metre"):
        trim_length_row("closing", thread, "thread", 10.0, "by hand")
    zips = Trim(code="Z", use="zip", counted_in="each", piece_mass=20.0)
    with pytest.raises(FaultsFound, match="metres into pieces"):
        trim_length_row("closing", zips, "zip", 10.0, "by hand")
    cord = Trim(code="C", use="cord", counted_in="m", mass_per_metre=1.0)
    with pytest.raises(FaultsFound, match="pieces into metres"):
        trim_count_row("closing", cord, "cord", 3, "by hand")
    with pytest.raises(FaultsFound, match="count it in kg"):
        glue_row("unit", cord, "glue", 0.1, "by hand")
    long_zip = Trim(code="Z2", use="zip", counted_in="each", piece_mass=20.0, length=2000.0)
    assert trim_length_row("closing", long_zip, "zip", 5.0, "by hand").quantity == 3.0


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (312.0, "312"), (1123.74, "1123.7"), (0.0001578, "0.0001578"), (433567.4, "433567"), (2.5, "2.5")],
)
def test_figures_in_sums(value: float, text: str) -> None:
    assert shown(value) == text
