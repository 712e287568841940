"""Shared fixtures: a small invented works, whole enough for every room. Nothing in it is a real firm or person."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal

import pytest

from bedwright.mechanics.compiled import drop_stale
from bedwright.works.about import FORMAT, About
from bedwright.works.beds import Bed, Border, Closure, Panel, PanelEdge, Size
from bedwright.works.card import Card
from bedwright.works.delivery import VanRound, Vehicle
from bedwright.works.making import ClosedDay, Person, Route, Shift, WorkPlace
from bedwright.works.materials import Carbon, Cloth, Filling, Film, Fitting, Trim
from bedwright.works.springs import Coil, Edge, Unit, Wire
from bedwright.works.trading import Collection, Customer, Order, Price, Stock, Supplier
from bedwright.works.works import Works, reference_faults

Step = dict[str, object]


def pytest_configure() -> None:
    """No test runs on machine code of a loop that has changed since."""
    drop_stale()


def about() -> About:
    return About(
        format=FORMAT,
        version="0",
        works_id="small-works",
        name="Small Works (invented)",
        revision=1,
        time_zone="Europe/London",
        as_of=date(2026, 3, 2),
        currency="GBP",
        words="all of it invented",
    )


def steel() -> list[Card]:
    return [
        Wire(code="W22", name="spring wire 2.2", diameter=2.2, grade="SM", supplier="FERRUM", carbon="C-STEEL"),
        Wire(code="W19", name="spring wire 1.9", diameter=1.9, grade="SH", supplier="FERRUM", carbon="C-STEEL"),
        Wire(code="W10", name="mini wire 1.0", diameter=1.0, grade="SH", supplier="FERRUM", carbon="C-STEEL"),
        Wire(code="L13", name="lacing wire 1.3", diameter=1.3, grade="SL", supplier="FERRUM", carbon="C-STEEL"),
        Wire(code="R40", name="edge rod 4.0", diameter=4.0, grade="SL", supplier="FERRUM", carbon="C-STEEL"),
        Coil(
            code="K22", profile="hourglass-parabolic", wire="W22", end_diameter=70.0, middle_diameter=46.0,
            live_turns=3.5, total_turns=5.5, free_height=130.0, knot_wraps=2.0, knot_tail=10.0, hand="alternate",
            heat="whole unit",
        ),
        Coil(
            code="P19", profile="cylinder", wire="W19", end_diameter=58.0, live_turns=5.0, total_turns=6.5,
            free_height=190.0, hand="right", heat="at the coiler",
        ),
        Coil(
            code="M10", profile="cylinder", wire="W10", end_diameter=36.0, live_turns=3.0, total_turns=4.0,
            free_height=32.0, hand="right",
        ),
        Unit(
            code="OPEN", origin="made", construction="open-coil", coil="K22", pitch_across=112.0, pitch_along=82.0,
            lacing="across", lacing_wire="L13", helix_diameter=9.0, helix_pitch=12.0, clip="CLIP",
        ),
        Unit(
            code="POCKET", origin="made", construction="pocket", coil="P19", pitch_across=62.0, pitch_along=62.0,
            pocket_height=150.0, pocket_cloth="PKT70", glue="HOTMELT", glue_pattern="every contact",
            glue_per_spot=0.4, sheet_cloth="PKT70",
        ),
        Unit(
            code="MINI", origin="made", construction="pocket", coil="M10", pitch_across=40.0, pitch_along=40.0,
            pocket_height=25.0, pocket_cloth="PKT70", glue="HOTMELT", glue_pattern="every second contact",
            glue_per_spot=0.2,
        ),
        Unit(
            code="BALE", origin="bought", construction="pocket", coil="P19", pitch_across=62.0, pitch_along=62.0,
            pocket_height=150.0, unit_height=152.0, areal_mass=5200.0, supplier="FERRUM", pack_count=10,
        ),
        Edge(code="ROD", form="edge rod", wire="R40", rods=2, clipped="after the oven"),
        Edge(code="RAIL", form="foam rail", rail="RAILFOAM", rail_width=70.0),
    ]  # fmt: skip


def soft() -> list[Card]:
    return [
        Filling(
            code="FELT", name="insulator felt", family="insulator", thickness=6.0, areal_mass=900.0,
            sheet_width=2000.0, supplier="FLOCK", carbon="C-FIBRE",
        ),
        Filling(
            code="FOAM30", name="foam 30", family="foam", thickness=30.0, density=30.0, sheet_width=2080.0,
            sheet_length=2080.0, may_be_rolled=True, glue="HOTMELT", glue_mass=60.0, supplier="FLOCK",
            carbon="C-FOAM",
        ),
        Filling(
            code="RAILFOAM", name="rail foam", family="foam", thickness=70.0, density=35.0, sheet_width=2080.0,
            sheet_length=2080.0, may_be_rolled=True, supplier="FLOCK", carbon="C-FOAM",
        ),
        Filling(
            code="WOOL", name="wool fleece", family="wool", thickness=20.0, areal_mass=900.0, regain=14.0,
            sheet_width=2200.0, supplier="FLOCK",
        ),
        Filling(
            code="WADDING", name="polyester wadding", family="fibre", thickness=15.0, areal_mass=200.0,
            sheet_width=2200.0, may_be_rolled=True, supplier="FLOCK", carbon="C-FIBRE",
        ),
        Cloth(code="TICK", name="damask", use="ticking", roll_width=2200.0, roll_length=60000.0, areal_mass=240.0,
              thickness=0.8, supplier="LOOM", fibres="60 % viscose, 40 % polyester"),
        Cloth(code="TICK2", name="knit", use="ticking", roll_width=2200.0, roll_length=60000.0, areal_mass=280.0,
              thickness=1.0, one_way=True, supplier="LOOM"),
        Cloth(code="BACK", name="quilt backing", use="backing", roll_width=2200.0, roll_length=200000.0,
              areal_mass=25.0, thickness=0.2, supplier="LOOM"),
        Cloth(code="BORDER", name="border damask", use="border", roll_width=2200.0, roll_length=60000.0,
              areal_mass=240.0, thickness=0.8, supplier="LOOM"),
        Cloth(code="PKT70", name="pocket cloth 70", use="pocket", roll_width=1600.0, roll_length=500000.0,
              areal_mass=70.0, thickness=0.3, supplier="LOOM"),
        Cloth(code="BASE", name="base cloth", use="base", roll_width=2200.0, roll_length=100000.0,
              areal_mass=100.0, thickness=0.4, supplier="LOOM"),
        Trim(code="TAPE38", name="tape 38", use="tape", counted_in="m", mass_per_metre=12.0, width=38.0,
             supplier="LOOM"),
        Trim(code="THREAD", name="sewing thread", use="thread", counted_in="m", mass_per_metre=0.1, supplier="LOOM"),
        Trim(code="TWINE", name="tufting twine", use="cord", counted_in="m", mass_per_metre=1.5, supplier="LOOM"),
        Trim(code="TUFT", name="wool tuft", use="tuft", counted_in="each", piece_mass=6.0, supplier="LOOM"),
        Trim(code="CLIP", name="rod clip", use="clip", counted_in="each", piece_mass=1.6, supplier="FERRUM",
             carbon="C-STEEL"),
        Trim(code="HOTMELT", name="hot melt", use="glue", counted_in="kg", supplier="FLOCK"),
        Trim(code="LABEL", name="product label", use="label", counted_in="each", piece_mass=3.0, supplier="LOOM"),
        Trim(code="GUARD", name="edge guard", use="edge guard", counted_in="m", mass_per_metre=40.0, supplier="LOOM"),
        Trim(code="ZIPPER", name="zip", use="zip", counted_in="m", mass_per_metre=25.0, supplier="LOOM"),
        Fitting(code="VENT", name="vent", form="punched vent", piece_mass=5.0, backing=True, supplier="LOOM"),
        Fitting(code="HANDLE", name="cord handle", form="cord handle", piece_mass=30.0, supplier="LOOM"),
        Film(code="FILM125", name="film 125 um", gauge_um=125.0, tube_width=2000.0, supplier="LOOM", carbon="C-FILM"),
    ]  # fmt: skip


def parts() -> list[Card]:
    return [
        Size(code="135", width=1350.0, length=1900.0),
        Size(code="150", width=1500.0, length=2000.0),
        Size(code="90", width=900.0, length=1900.0),
        Panel.make(
            code="DEEP", method="single deep panel", ticking="TICK", pattern="square", quilt_run=8.0,
            stitch_class="101", stitches_per_cm=1.5, thread="THREAD", contraction_along=1.0,
            contraction_across=0.5,
            plies=({"position": 1, "part": "WOOL"}, {"position": 2, "part": "BACK"}),
        ),
        Panel.make(
            code="MULTI", method="continuous multi-needle", ticking="TICK2", pattern="wave", needle_spacing=76.2,
            quilt_run=26.0, stitch_class="301", stitches_per_cm=2.0, thread="THREAD", contraction_along=3.0,
            contraction_across=2.0, quilted_thickness=12.0,
            plies=({"position": 1, "part": "WADDING"}, {"position": 2, "part": "BACK"}),
        ),
        Border.make(
            code="BDEEP", cloth="BORDER", filling="WADDING", backing="BACK", quilted=True, quilt_run=20.0,
            thread="THREAD", side_stitch="hand", side_stitch_rows=2, side_stitch_cord="TWINE",
            fittings=(
                {"position": 1, "fitting": "VENT", "per_bed": 8}, {"position": 2, "fitting": "HANDLE", "per_bed": 4},
            ),
        ),
        Border.make(
            code="BPLAIN", cloth="BORDER", quilted=False, thread="THREAD",
            fittings=({"position": 1, "fitting": "VENT", "per_bed": 4},),
        ),
        PanelEdge(code="OVER", form="overlock", stitch_class="504", stitches_per_cm=2.0, bite=8.0, thread="THREAD"),
        PanelEdge(code="FLANGE", form="flange", stitch_class="301", stitches_per_cm=2.0, bite=8.0, thread="THREAD",
                  flange_cloth="BACK", flange_width=90.0),
        Closure(code="TAPED", form="taped", tape="TAPE38", thread="THREAD", stitch_class="301", stitches_per_cm=2.0),
        Closure(code="TAPED1", form="taped", tape="TAPE38", thread="THREAD", stitch_class="401", stitches_per_cm=2.0,
                base_cloth="BASE"),
    ]  # fmt: skip


def beds() -> list[Card]:
    return [
        Bed.make(
            code="SNIPE", name="Snipe", faces=2, unit="OPEN", edge="ROD", panel_a="DEEP", panel_b="DEEP",
            border="BDEEP", panel_edge="OVER", closure="TAPED", tuft="TUFT", tuft_spacing=250.0, tuft_edge=150.0,
            tufted_height=180.0, label="LABEL", film="FILM125", edge_guard="GUARD", wrap="flat", route="R-OPEN",
            turning="turn and rotate", hazard="low",
            layers=(
                {"face": "A", "position": 1, "part": "FELT"},
                {"face": "A", "position": 2, "part": "WOOL", "layer_count": 2},
                {"face": "B", "position": 1, "part": "FELT"},
                {"face": "B", "position": 2, "part": "WOOL", "layer_count": 2},
            ),
        ),
        Bed.make(
            code="KNOT", name="Knot", faces=1, unit="POCKET", edge="RAIL", panel_a="MULTI", border="BPLAIN",
            panel_edge="OVER", closure="TAPED1", label="LABEL", film="FILM125", wrap="rolled", route="R-POCKET",
            turning="rotate only",
            layers=({"face": "A", "position": 1, "part": "FOAM30", "glued": True},),
        ),
        Bed.make(
            code="RUFF", name="Ruff", faces=1, unit="BALE", panel_a="MULTI", border="BPLAIN", panel_edge="FLANGE",
            closure="TAPED1", label="LABEL", film="FILM125", wrap="plain bag", route="R-POCKET",
            turning="rotate only",
            layers=(
                {"face": "A", "position": 1, "part": "FELT"}, {"face": "A", "position": 2, "part": "MINI"},
                {"face": "A", "position": 3, "part": "FOAM30"},
            ),
        ),
    ]  # fmt: skip


def step(
    position: int, operation: str, stream: str, place: str, skill: str | None, base: float, **more: object
) -> dict:  # type: ignore[type-arg]
    return {
        "position": position, "operation": operation, "stream": stream, "work_place": place, "skill": skill,
        "base_minutes": base, **more,
    }  # fmt: skip


def common_steps() -> tuple[Step, ...]:
    return (
        step(30, "quilt panels", "panels", "QUILTER", "quilting", 0.5, minutes_per=0.6, per="panel m2",
             set_up="ticking", only_if="multi-needle panel", wait_minutes=120.0),
        step(31, "quilt deep panels", "panels", "DEEPQ", "quilting", 1.0, minutes_per=11.0, per="face",
             only_if="deep panel"),
        step(32, "overlock panels", "panels", "OVERLOCK", "sewing", 0.5, minutes_per=0.4, per="panel edge m",
             only_if="overlock"),
        step(33, "sew flange", "panels", "OVERLOCK", "sewing", 0.5, minutes_per=0.6, per="panel edge m",
             only_if="flange"),
        step(40, "quilt border", "border", "QUILTER", "quilting", 0.5, minutes_per=0.1, per="border m",
             only_if="quilted border"),
        step(41, "fit handles and vents", "border", "BENCH-B", "sewing", 0.0, minutes_per=0.4, per="fitting",
             only_if="fittings"),
        step(42, "join border", "border", "BENCH-B", "sewing", 2.0),
        step(50, "build side one", "meet", "BUILD", "build", 6.0),
        step(51, "tape, first pass", "meet", "TAPE-EDGE", "tape edge", 2.5, minutes_per=0.25, per="tape m",
             set_up="tape colour", piece_paid=True),
        step(52, "flip", "meet", "TAPE-EDGE", "tape edge", 0.5, hands=2),
        step(53, "hand side-stitch", "meet", "TUFTING", "hand tufting", 2.0, minutes_per=2.4, per="side-stitch m",
             only_if="hand side-stitch"),
        step(54, "tape, second pass", "meet", "TAPE-EDGE", "tape edge", 2.5, minutes_per=0.25, per="tape m",
             set_up="tape colour", piece_paid=True),
        step(55, "tuft", "meet", "TUFTING", "hand tufting", 2.0, minutes_per=0.45, per="tuft", only_if="tufts"),
        step(56, "check and clean", "meet", "PACK", "packing", 4.0),
        step(57, "roll", "meet", "ROLLER", "packing", 3.0, only_if="rolled", hands=2),
        step(58, "bag", "meet", "PACK", "packing", 2.0, only_if="not rolled"),
    )  # fmt: skip


def making() -> list[Card]:
    opened = (
        step(10, "coil and knot", "unit", "COILER", "coiling", 0.5, minutes_per=0.017, per="coil", set_up="wire"),
        step(11, "lace", "unit", "LACER", "unit", 1.0, minutes_per=0.04, per="lacing m"),
        step(12, "heat-set", "unit", "OVEN", None, 0.0, only_if="whole unit heat", wait_minutes=30.0),
        step(13, "clip rod", "unit", "BENCH-U", "unit", 4.0, only_if="edge rod after the oven"),
        *common_steps(),
    )
    pocket = (
        step(10, "coil and pocket", "unit", "POCKETER", "coiling", 0.5, minutes_per=0.0125, per="coil",
             set_up="coil height", only_if="made unit"),
        step(11, "open bale", "unit", "BENCH-U", "unit", 3.0, only_if="bought unit", wait_minutes=240.0),
        step(12, "glue strings", "unit", "GLUER", "unit", 1.0, minutes_per=0.01, per="coil", only_if="made unit"),
        step(13, "glue rails", "unit", "BENCH-U", "unit", 3.0, only_if="foam rail", wait_minutes=60.0),
        *common_steps(),
    )  # fmt: skip
    places = {
        "COILER": ("machine", 1, "wire", (("wire", 30.0), ("coil height", 120.0))),
        "POCKETER": ("machine", 1, "wire", (("wire", 30.0), ("coil height", 120.0))),
        "LACER": ("machine", 1, "wire", ()),
        "GLUER": ("machine", 1, "hot melt", ()),
        "BENCH-U": ("bench", 1, "bale", ()),
        "QUILTER": ("machine", 1, "needles", (("ticking", 12.0), ("needle spacing", 90.0))),
        "DEEPQ": ("machine", 1, "needles", ()),
        "OVERLOCK": ("machine", 2, "needles", ()),
        "BENCH-B": ("bench", 2, "needles", ()),
        "BUILD": ("bench", 2, "lift", ()),
        "TAPE-EDGE": ("machine", 2, "needles", (("tape colour", 2.0),)),
        "TUFTING": ("bench", 1, "needles", ()),
        "PACK": ("bench", 1, "lift", ()),
        "ROLLER": ("machine", 1, "nip", ()),
    }
    skills = {
        "P1": ("coiling", "unit"), "P2": ("unit", "coiling", "build"), "P3": ("quilting", "sewing"),
        "P4": ("sewing", "quilting"), "P5": ("build", "packing"), "P6": ("tape edge",), "P7": ("tape edge", "build"),
        "P8": ("hand tufting", "packing"), "P9": ("packing", "sewing"),
    }  # fmt: skip
    return [
        Route.make(code="R-OPEN", steps=opened),
        Route.make(code="R-POCKET", steps=pocket),
        *(
            WorkPlace.make(
                code=code, form=form, places=count, caution=caution,
                setups=tuple(
                    {"position": i, "family": family, "setup_minutes": minutes}
                    for i, (family, minutes) in enumerate(setups, 1)
                ),
            )
            for code, (form, count, caution, setups) in places.items()
        ),
        WorkPlace(
            code="OVEN", form="oven", rack_units=8, charge_minutes=45.0, warm_up_minutes=20.0, caution="oven"
        ),
        Shift.make(
            code="DAY", start=time(6), end=time(14), days="mon tue wed thu fri",
            breaks=({"position": 1, "start": time(10), "end": time(10, 30)},),
        ),
        *(
            Person.make(
                code=code, shift="DAY",
                skills=tuple({"position": i, "skill": skill} for i, skill in enumerate(known, 1)),
                absence=({"position": 1, "first_day": date(2026, 3, 4), "last_day": date(2026, 3, 4)},)
                if code == "P7"
                else (),
            )
            for code, known in skills.items()
        ),
        ClosedDay(code="MAY-DAY", day=date(2026, 5, 4)),
    ]  # fmt: skip


def trading() -> list[Card]:
    prices = (
        ("wire", "W22", "1.30", "kg"), ("wire", "W19", "1.45", "kg"), ("wire", "W10", "1.90", "kg"),
        ("wire", "L13", "1.50", "kg"), ("wire", "R40", "1.20", "kg"), ("filling", "FELT", "1.10", "m2"),
        ("filling", "FOAM30", "95", "m3"), ("filling", "RAILFOAM", "110", "m3"), ("filling", "WOOL", "6.50", "kg"),
        ("filling", "WADDING", "0.80", "m2"), ("cloth", "TICK", "7.20", "m"), ("cloth", "TICK2", "8.40", "m"),
        ("cloth", "BACK", "0.30", "m2"), ("cloth", "BORDER", "7.20", "m"), ("cloth", "PKT70", "0.20", "m2"),
        ("cloth", "BASE", "0.55", "m"), ("trim", "TAPE38", "0.16", "m"), ("trim", "THREAD", "0.0006", "m"),
        ("trim", "TWINE", "0.03", "m"), ("trim", "TUFT", "0.12", "each"), ("trim", "CLIP", "0.01", "each"),
        ("trim", "HOTMELT", "3.10", "kg"), ("trim", "LABEL", "0.22", "each"), ("trim", "ZIPPER", "0.90", "m"),
        ("fitting", "VENT", "0.09", "each"), ("fitting", "HANDLE", "0.35", "each"), ("film", "FILM125", "1.65", "kg"),
        ("unit", "BALE", "38", "each"), ("labour", "coiling", "15", "hour"), ("labour", "tape edge", "18", "hour"),
        ("labour", "hand tufting", "18", "hour"), ("piece", "tape, first pass", "1.90", "each"),
        ("piece", "tape, second pass", "1.90", "each"),
    )  # fmt: skip
    return [
        Supplier(code="FERRUM", lead_days=14),
        Supplier(code="FLOCK", lead_days=5),
        Supplier(code="LOOM", lead_days=42),
        Carbon(code="C-STEEL", factor=3.0, year=2011, book="invented for tests"),
        Carbon(code="C-FOAM", factor=4.8, year=2011, book="invented for tests"),
        Carbon(code="C-FIBRE", factor=4.0, year=2012, book="invented for tests"),
        Carbon(code="C-FILM", factor=2.6, year=2012, book="invented for tests"),
        *(
            Price(code=f"PR{number:02d}", of=of, item=item, price=Decimal(price), per=per, first_day=date(2026, 1, 1))  # type: ignore[arg-type]
            for number, (of, item, price, per) in enumerate(prices, 1)
        ),
        Customer(code="QUIET", name="The Quiet Corner"),
        Customer(code="HALLS", name="Saltholme Halls"),
        Vehicle(
            code="VAN", inside_length=4200.0, inside_width=2050.0, inside_height=2200.0, payload=1200.0, tail_lift=True
        ),
        VanRound.make(
            code="NORTH", vehicle="VAN", days="tue fri", leaves=time(7), cut_off_days=1, cut_off=time(14),
            stops=(
                {"position": 1, "customer": "QUIET", "access": "stairs"}, {"position": 2, "customer": "HALLS"},
            ),
        ),
        Order.make(
            code="O-1", customer="QUIET", ordered=date(2026, 2, 20), due=date(2026, 3, 12), van_round="NORTH",
            lines=(
                {"position": 1, "bed": "SNIPE", "size": "150", "quantity": 2},
                {"position": 2, "bed": "KNOT", "size": "135", "quantity": 1},
            ),
        ),
        Order.make(
            code="O-2", customer="HALLS", ordered=date(2026, 2, 23), due=date(2026, 3, 13), van_round="NORTH",
            lines=(
                {"position": 1, "bed": "RUFF", "size": "90", "quantity": 14},
                {"position": 2, "bed": "KNOT", "size": "150", "quantity": 3},
            ),
        ),
        Order.make(
            code="O-3", customer="QUIET", ordered=date(2026, 2, 25), due=date(2026, 3, 17), van_round="NORTH",
            state="held", lines=({"position": 1, "bed": "SNIPE", "size": "135", "quantity": 1},),
        ),
        Collection(
            code="COL-1", customer="HALLS", van_round="NORTH", day=date(2026, 3, 13), size="90", quantity=2
        ),
        Stock(code="S-1", part="W22", in_stock=400.0, counted_in="kg", lot="lot a"),
        Stock(code="S-2", part="TICK", in_stock=120.0, counted_in="m2", lot="lot b", shade_lot="S7"),
        Stock(code="S-3", part="BALE", in_stock=6.0, counted_in="each"),
    ]  # fmt: skip


def small_cards() -> list[Card]:
    return [*steel(), *soft(), *parts(), *beds(), *making(), *trading()]


@pytest.fixture(scope="session")
def small_works() -> Works:
    """An invented works of three beds: SNIPE (open coil, two faces, tufted), KNOT (pocket, rolled), RUFF (bought)."""
    works = Works.of(about(), small_cards())
    assert reference_faults(works) == []
    return works
