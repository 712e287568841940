"""The invented demo works: what it must hold, that it reads without a fault, and that nobody real is in it.

Counts asked of the two open-coil cards: an open-coil unit for 150 cm has around 312 springs and a fine-wire one 900
(common practice, no source); 13 x 24 at 112 x 82 mm is one lattice that gives 312 (derived).
"""

from __future__ import annotations

import csv
import re
from collections import Counter
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bedwright.bill.make import make_bill
from bedwright.books import BOOKS
from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.design.fit import fit
from bedwright.marks.evidence import judged_claims
from bedwright.works.making import Skill
from bedwright.works.workbook.csv_folder import examine_csv_folder, write_csv_folder
from bedwright.works.works import Works

DEMO = Path(__file__).resolve().parents[2] / "demo"
BIRDS = {"Whimbrel", "Heron", "Plover", "Teal", "Dunlin", "Avocet", "Redshank"}
INVENTED = {
    "Pask", "Wherry", "Nethercombe", "Ropewalk", "Yard", "All", "Lantern", "Row", "Lodgings", "Copperbeech", "Rooms",
    "The", "Quiet", "Corner", "Saltholme", "Halls", "Ferrier", "Wire", "Loom", "End", "Cloth", "Brack", "Foam",
    "Tallow",
    "Lane", "Trims", "Plant", *BIRDS,
    # customers' names for the beds
    "Bed", "House", "Hall", "Attic", "Fine", "Pair", "Beech", "One", "Two", "Three", "Four", "Five", "Six", "Tufted",
    "Pocket", "Plain", "Mini", "Rolled",
    # the zone of the clocks
    "Europe", "London",
}  # fmt: skip


@pytest.fixture(scope="module")
def demo() -> Works:
    found = examine_csv_folder(DEMO)
    assert found.faults == ()
    assert found.works is not None
    return found.works


@pytest.fixture(scope="module")
def made(demo: Works) -> dict[tuple[str, str], BedAtSize]:
    return {(bed.code, size.code): bed_at_size(demo, bed, size) for bed in demo.beds for size in demo.sizes}


def confirmed(works: Works) -> Counter[tuple[str, str]]:
    return Counter(
        {
            (order.code, f"{line.bed} {line.size}"): line.quantity
            for order in works.orders
            if order.state == "confirmed"
            for line in order.lines
        }
    )


def test_the_beds_are_those_promised(demo: Works) -> None:
    single = [bed for bed in demo.beds if bed.pair == "none"]
    assert {bed.name for bed in single} == BIRDS and len(single) == 7
    pairs = [bed for bed in demo.beds if bed.pair == "zip-linked"]
    assert len(pairs) == 1
    beds, units, panels = demo.beds, demo.units, demo.panels
    tufted = beds["WHIMBREL"]
    assert tufted.faces == 2 and tufted.tuft and units[tufted.unit].construction == "open-coil"
    assert panels[tufted.panel_a].method == "single deep panel"
    assert demo.borders[tufted.border].side_stitch == "hand"
    assert demo.panel_edges[tufted.panel_edge].form == "flange"
    assert units[beds["PLOVER"].unit].construction == "pocket"
    rolled = beds["TEAL"]
    assert rolled.wrap == "rolled" and rolled.edge and demo.edges[rolled.edge].form == "foam rail"
    assert any(demo.units.get(layer.part) for layer in beds["DUNLIN"].layers)
    bought = beds["AVOCET"]
    assert bought.faces == 1 and units[bought.unit].origin == "bought" and units[bought.unit].recovery_hours
    assert beds["REDSHANK"].hazard == "medium"


def test_heat_only_where_it_may_be(demo: Works) -> None:
    for unit in demo.units:
        if unit.construction == "pocket":
            assert demo.coils[unit.coil].heat != "whole unit"


def test_both_spring_counts(made: dict[tuple[str, str], BedAtSize]) -> None:
    open_coil, fine = made["WHIMBREL", "150x200"].unit, made["HERON", "150x200"].unit
    assert (open_coil.lattice.across, open_coil.lattice.along, open_coil.count) == (13, 24, 312)
    assert (open_coil.card.pitch_across, open_coil.card.pitch_along) == (112.0, 82.0)
    assert (fine.lattice.across, fine.lattice.along, fine.count) == (25, 36, 900)
    assert fine.groups[0].wire.diameter == 1.5 < open_coil.groups[0].wire.diameter


def test_these_two_cards_show_the_steel_of_the_trade(demo: Works, made: dict[tuple[str, str], BedAtSize]) -> None:
    """Less steel in the finer unit is what these two cards give; it is no rule (it turns with turns and end rings)."""
    steel = {
        bed: sum(
            row.mass
            for row in make_bill(demo, made[bed, "150x200"]).rows
            if row.group in ("unit", "edge") and row.kind == "wire"
        )
        for bed in ("WHIMBREL", "HERON")
    }
    assert 12 < steel["HERON"] < steel["WHIMBREL"] < 18


def test_every_bed_fits_at_every_size(demo: Works, made: dict[tuple[str, str], BedAtSize]) -> None:
    grave = [str(fault) for bed in made.values() for fault in fit(demo, bed) if fault.grave]
    assert grave == []
    for bed in made.values():
        assert 180 <= bed.height <= 330
        assert abs(bed.height - bed.reckoned_height) <= 15
        assert 10 < make_bill(demo, bed).mass < 75


def test_sizes_come_from_the_guides(demo: Works) -> None:
    """uk-sizes: single, small double, double, king, super king."""
    assert {(size.width, size.length) for size in demo.sizes} == {
        (900, 1900), (1200, 1900), (1350, 1900), (1500, 2000), (1800, 2000)
    }  # fmt: skip
    assert all(size.book in BOOKS for size in demo.sizes)


def test_order_book(demo: Works) -> None:
    lines = confirmed(demo)
    assert lines.total() >= 400
    contract = sorted(quantity for quantity in lines.values() if quantity > 4)
    assert contract == [48, 60]
    assert len(demo.customers) == 4 and len(demo.van_rounds) == 6 and len(demo.collections) == 2
    assert Counter(order.state for order in demo.orders) == Counter(
        {"confirmed": len(demo.orders) - 4, "held": 1, "enquiry": 1, "cancelled": 1, "sample": 1}
    )
    days = [order.due for order in demo.orders if order.state == "confirmed"]
    assert demo.about.as_of < min(days) and max(days) <= demo.about.as_of + timedelta(days=20)
    by_size: Counter[str] = Counter()
    for (_, key), quantity in lines.items():
        if quantity <= 4:
            by_size[key.split()[1]] += quantity
    assert {size for size, _ in by_size.most_common(2)} == {"135x190", "150x200"} and len(by_size) == 5


def test_orders_go_on_days_and_rounds_that_serve_them(demo: Works) -> None:
    closed = {card.day for card in demo.closed_days}
    for order in demo.orders:
        served = demo.van_rounds[order.van_round]
        assert order.customer in {stop.customer for stop in served.stops}, order.code
        assert order.due.weekday() in served.weekdays and order.due not in closed, order.code
        assert order.ordered < order.due and order.ordered <= demo.about.as_of
        listed = {(row.bed, row.size) for row in demo.customers[order.customer].beds}
        for line in order.lines:
            assert (line.bed, line.size) in listed, f"{order.code} line {line.position} has no price"
            assert demo.beds[line.bed].pair == "none" or line.quantity % 2 == 0
    for card in demo.collections:
        assert card.day.weekday() in demo.van_rounds[card.van_round].weekdays
        assert card.customer in {stop.customer for stop in demo.van_rounds[card.van_round].stops}


def test_scarce_places_and_people(demo: Works) -> None:
    places, crew = demo.work_places, demo.crew

    def able(skill: Skill) -> int:
        return sum(1 for person in crew if any(row.skill == skill for row in person.skills))

    ovens = [place for place in places if place.form == "oven"]
    assert sum(place.places for place in ovens) == 1 and ovens[0].charge_minutes == 45
    assert places["TAPE-EDGE"].places == 2 and able("tape edge") == 3
    assert places["TUFTING"].places == 1 and able("hand tufting") == 1
    assert len(demo.shifts) == 2 and {person.shift for person in crew} == {shift.code for shift in demo.shifts}
    assert any(row.skill_level == 50 for person in crew for row in person.skills)
    assert sum(bool(person.absence) for person in crew) >= 2
    assert all(person.name == "" and person.code.isdigit() for person in crew)


def test_the_clock_changes_inside_the_horizon(demo: Works) -> None:
    zone = ZoneInfo(demo.about.time_zone)
    assert demo.about.as_of == date(2026, 3, 23)
    noon = datetime(2026, 3, 23, 12, tzinfo=zone)
    offsets = {(noon + timedelta(days=n)).utcoffset() for n in range(19)}
    assert len(offsets) == 2


def test_one_claim_stands_without_evidence_and_the_rest_are_shown(
    demo: Works, made: dict[tuple[str, str], BedAtSize]
) -> None:
    refused = []
    for bed in demo.beds:
        for claim in judged_claims(demo, made[bed.code, "150x200"], demo.about.as_of):
            if not claim.shown:
                refused.append((bed.code, claim.claim, claim.why))
    assert [(bed, claim) for bed, claim, _ in refused] == [("DUNLIN", "filling share")]
    assert "no evidence is named" in refused[0][2]


def test_everything_taken_has_a_price_and_a_supplier(demo: Works, made: dict[tuple[str, str], BedAtSize]) -> None:
    for bed in made.values():
        bill = make_bill(demo, bed)
        for row in bill.rows:
            assert demo.price_on(row.kind, row.code, demo.about.as_of) is not None, row.code
            assert getattr(demo.stuff(row.code), "supplier", None) in demo.suppliers
        assert bill.carbon_unknown == ()
        for step in bill.operations:
            if step.piece_paid:
                assert demo.price_on("piece", step.operation, demo.about.as_of) is not None, step.operation


def test_offers_and_plants(demo: Works) -> None:
    assert {plant.name for plant in demo.plants} == {"Plant A", "Plant B", "Plant C", "Plant D"}
    assert sum(offer.remedy_checked is None for offer in demo.offers) == 1


def test_nobody_real_is_named() -> None:
    """Every capitalised word in any cell is on the list of invented names; the data says that it is invented."""
    words: set[str] = set()
    for file in sorted(DEMO.glob("*.csv")):
        with file.open(newline="", encoding="utf-8") as lines:
            for row in list(csv.reader(lines))[1:]:
                for cell in row:
                    words |= {word for word in re.findall(r"[A-Za-z][a-z'’]+", cell) if word[0].isupper()}
    assert words <= INVENTED, sorted(words - INVENTED)
    assert "invented" in (DEMO / "about.csv").read_text(encoding="utf-8")


def test_out_and_in_again(demo: Works, tmp_path: Path) -> None:
    write_csv_folder(demo, tmp_path)
    assert {file.name: file.read_bytes() for file in tmp_path.iterdir()} == {
        file.name: file.read_bytes() for file in DEMO.iterdir()
    }
