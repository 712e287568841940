"""Every quantity that a card holds, once: what it is called, its unit, its meaning, its usual range.

Forms, workbook headings, help, sheets and docs are all made from this table. `low` and `high` are what a card accepts
at all; `usual` is what floor practice shows (from memory unless a book says otherwise) and only ever warns.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Word:
    """One quantity: key, unit as printed ("" for a bare number), meaning, accepted and usual range, synonyms."""

    key: str
    unit: str
    meaning: str
    low: float
    high: float
    usual: tuple[float, float] | None = None
    symbol: str = ""
    synonyms: tuple[str, ...] = ()

    @property
    def heading(self) -> str:
        """The column heading in a workbook: the word and its unit."""
        plain = self.key.replace("_", " ")
        return f"{plain} [{self.unit}]" if self.unit else plain


def _table(*words: Word) -> dict[str, Word]:
    return {word.key: word for word in words}


WORDS: dict[str, Word] = _table(
    # springs
    Word("diameter", "mm", "diameter of the wire", 0.5, 8, (0.9, 5), "d", ("gauge", "wire size")),
    Word(
        "end_diameter",
        "mm",
        "mean diameter of the end coil: the large end of a cone, both ends of others, the largest of a table",
        5,
        200,
        (30, 95),
        "De",
        ("end ring", "head"),
    ),
    Word(
        "middle_diameter",
        "mm",
        "mean diameter at the middle, or at the small end of a cone",
        5,
        200,
        (25, 70),
        "Dm",
        ("waist",),
    ),
    Word(
        "live_turns",
        "turns",
        "turns that work; the end turns that lacing or knots kill are left out",
        1,
        20,
        (3, 7),
        "n",
        ("active coils",),
    ),
    Word(
        "total_turns",
        "turns",
        "all turns of the coil, dead ones too; steel is reckoned from these",
        1,
        24,
        (4, 8.5),
        "Nt",
    ),
    Word(
        "free_height",
        "mm",
        "height of the free coil over its live turns, wire centre to wire centre",
        10,
        400,
        (20, 260),
        "L0",
    ),
    Word(
        "end_ring_wire",
        "mm",
        "wire in both end rings of one coil, where measured; else reckoned from the dead turns",
        0,
        2000,
        (200, 600),
    ),
    Word(
        "turn_diameter",
        "mm",
        "mean diameter of the coil at this step: measured over the wire, less one wire; steps are equal in live turns",
        5,
        200,
        (20, 95),
    ),
    Word(
        "height_shift",
        "mm",
        "free height of this wire lot against the card, + is taller: the mean of ten coils measured after their heat",
        -60,
        60,
        (-6, 6),  # plausible, from memory
    ),
    Word(
        "first_set",
        "mm",
        "free height lost for good when first pressed solid: the mean of ten coils measured before and after",
        0,
        120,
        (0, 15),  # plausible, from memory
    ),
    Word("knot_wraps", "wraps", "wraps in one knot, each round the end ring", 0, 6, (1.5, 3)),
    Word("knot_tail", "mm", "wire left beyond the wraps of one knot", 0, 60, (5, 20)),
    Word("pitch_across", "mm", "distance of coils across the bed", 15, 300, (30, 120), "p1"),
    Word("pitch_along", "mm", "distance of coils along the bed", 15, 300, (30, 120), "p2"),
    Word(
        "pocket_height",
        "mm",
        "height of the coil held by its pocket; the coil is pressed down to it",
        8,
        350,
        (20, 220),
        "Hp",
        ("precompressed height",),
    ),
    Word("unit_height", "mm", "height of a bought unit as delivered and recovered", 10, 400, (90, 240)),
    Word("areal_mass", "g/m2", "mass of one square metre", 1, 20000, (20, 6000), "", ("grammage", "gsm")),
    Word("helix_diameter", "mm", "mean diameter of the lacing helix", 3, 40, (7, 14)),
    Word("helix_pitch", "mm", "pitch of the lacing helix", 1, 40, (8, 18)),
    Word("glue_per_spot", "g", "glue on one contact of two pockets", 0, 10, (0.2, 1)),
    Word("recovery_hours", "h", "time to full height after opening", 0, 240, (4, 72)),
    Word("longest_compressed", "days", "longest time under compression that the supplier stands by", 0, 720, (30, 180)),
    Word("pack_count", "each", "how many to a bale or roll", 1, 500, (4, 30)),
    Word("least_height", "mm", "least height on arrival after recovery", 0, 400),
    Word("rail_width", "mm", "width of a foam rail", 10, 200, (50, 100)),
    Word("strip_width", "mm", "width of a steel edge strip", 3, 60, (8, 25)),
    Word("strip_thickness", "mm", "thickness of a steel edge strip", 0.3, 5, (0.8, 2)),
    Word("strip_row", "row", "coil row that carries the strip: 0 outside the first, 1 on the second", 0, 1),
    Word("stiff_rows", "rows", "outer rows made of the stiffer coil", 0, 6, (1, 2)),
    Word("rods", "each", "how many edge rods: top and bottom make 2", 0, 4, (1, 2)),
    Word("first_row", "row", "first row of the zone, counted from the head, 1 on; empty for the first", 1, 400),
    Word("last_row", "row", "last row of the zone; empty for the last", 1, 400),
    Word("first_column", "column", "first coil across, from the left with the head up; empty for the first", 1, 400),
    Word("last_column", "column", "last coil across of the zone; empty for the last", 1, 400),
    Word(
        "per_place", "each", "coils in one place of the lattice: 1, or 4 small ones two by two, 9 three by three", 1, 9
    ),
    Word(
        "lacing_tie",
        "N/mm",
        "pull between two coils laced side by side for each mm that one stands lower: press one coil of a unit with no "
        "other load, weigh what its neighbour lifts",
        0,
        50,
        (0.1, 3),  # plausible, from memory
    ),
    Word(
        "ring_bending",
        "N/mm",
        "pull on one of three end rings tied in a row for each mm that it stands out of line with the others (EI/p3): "
        "weigh it on a strip of rings cut from a unit",
        0,
        50,
        (0.05, 1),  # plausible, from memory
    ),
    Word(
        "glue_tie",
        "N/mm",
        "pull of one glued contact for each mm that two pockets slide along each other: hold one of two glued pockets, "
        "load the other",
        0,
        20,
        (0.01, 0.5),  # plausible, from memory
    ),
    Word(
        "cloth_hold",
        "N/mm",
        "how fast a pocket's cloth takes over the coil's force when its top is pulled up: force over lift, first mm of "
        "one pocket on a spring balance",
        0.1,
        500,
        (2, 30),  # plausible, from memory
    ),
    # materials
    Word("thickness", "mm", "thickness as supplied, unloaded", 0.05, 300, (0.2, 150), "t"),
    Word("density", "kg/m3", "mass of one cubic metre", 5, 2000, (15, 120), "", ("grade density",)),
    Word("hardness_40", "kPa", "stress at 40 % compression, supplier's figure", 0.1, 100, (0.5, 40), "CV40", ("CV40",)),
    Word("indentation_25", "N", "force at 25 % indentation, supplier's figure", 1, 3000, (40, 250), "", ("IFD 25",)),
    Word("indentation_40", "N", "force at 40 % indentation, supplier's figure", 1, 4000, (60, 350), "", ("IFD 40",)),
    Word("indentation_65", "N", "force at 65 % indentation, supplier's figure", 1, 8000, (120, 700), "", ("IFD 65",)),
    Word("figure_tolerance", "%", "tolerance of the supplier's firmness figures", 0, 60, (8, 20)),
    Word("compression", "%", "compression at a point of the supplier's table", 0, 95),
    Word("stress", "kPa", "stress at that compression, loading branch", 0, 2000),
    Word(
        "return_stress",
        "kPa",
        "stress at that compression on the way back, after the whole way down: read the same press as it opens",
        0,
        2000,
    ),
    Word(
        "loss_share",
        "%",
        "share of the work of pressing that does not come back in a cycle: area between both branches over the area "
        "under the way down",
        0,
        95,
        (10, 65),  # plausible, from memory
    ),
    Word(
        "set_share",
        "%",
        "thickness lost for good after your own or the supplier's test, of the thickness before: measured a day after",
        0,
        90,
        (0.5, 25),  # plausible, from memory
    ),
    Word("set_share_high", "%", "upper end of the thickness lost for good, of the worst sample", 0, 90, (1, 35)),
    Word(
        "first_press",
        "%",
        "stress of the very first pressing over that of the third, same compression; 100: no difference",
        100,
        400,
        (100, 150),  # plausible, from memory
    ),
    Word(
        "poisson",
        "",
        "sideways growth of a pressed block over its loss of height, small strains: caliper at half height",
        0,
        0.45,
        (0, 0.35),  # plausible, from memory
        "nu",
    ),
    Word("regain", "%", "water taken up at the usual humidity, of the dry mass", 0, 40, (6, 16)),
    Word("build_loss", "%", "thickness lost when built in, maker's measurement", 0, 60, (0, 20)),
    Word("sheet_width", "mm", "width of the sheet or roll as supplied", 50, 6000, (1000, 2400)),
    Word("sheet_length", "mm", "length of the sheet as supplied; empty for a roll", 50, 400000, (1900, 2300)),
    Word("roll_width", "mm", "width of the roll", 10, 6000, (200, 2400)),
    Word("usable_width", "mm", "width that may be used, selvedge left off", 10, 6000),
    Word("roll_length", "mm", "length on a roll as bought", 500, 2000000, (20000, 500000)),
    Word("repeat_along", "mm", "pattern repeat along the roll; 0 where plain", 0, 2000, (0, 640)),
    Word(
        "stretch_along",
        "N/m per %",
        "pull on one metre of width that stretches it by 1 % along the roll: hang a weight on a strip, measure between "
        "two marks",
        0.1,
        100000,
        (3, 1000),  # plausible, from memory
    ),
    Word(
        "stretch_across",
        "N/m per %",
        "the same across the roll",
        0.1,
        100000,
        (3, 1000),  # plausible, from memory
    ),
    Word(
        "panel_tension",
        "N/m",
        "pull in a metre of the closed bed's panel: mark 500 mm, unpick the tape, its shrinkage [%] times stretch",
        0,
        3000,
        (10, 300),  # plausible, from memory
    ),
    Word(
        "tape_pull",
        "N/m",
        "pull of the tape on one metre of the panel's edge: spring balance on the tape at the machine, over the bite",
        0,
        3000,
        (0, 200),  # plausible, from memory
    ),
    Word(
        "panel_fullness",
        "%",
        "panel made larger (+) or smaller (-) than the case it is sewn to, both ways: measured relaxed for a day",
        -10,
        10,
        (-2, 2),  # plausible, from memory
    ),
    Word(
        "tuft_pull",
        "N",
        "pull in one clamped tuft: spring balance on its loop until the washer lifts",
        0,
        1000,
        (20, 200),  # plausible, from memory
    ),
    Word(
        "side_stitch_pull",
        "N/m",
        "pull of all rows of side-stitch on one metre of border: spring balance on one stitch, times stitches a metre",
        0,
        5000,
        (20, 400),  # plausible, from memory
    ),
    Word(
        "standing_stiffness",
        "N/mm per m",
        "force that presses one metre of the border's edge down by 1 mm, without unit: a ruler and a weight on a board",
        0,
        500,
        (0.1, 10),  # plausible, from memory
    ),
    Word("cycles", "cycles", "passes of the roller between before and after", 1, 1000000, (100, 45000)),
    Word("test_height", "mm", "height of the bed in the test, mean of the points you always take", 60, 700, (140, 380)),
    Word(
        "test_hardness",
        "N/mm",
        "hardness H read in the test, always as the same slope: say tangent or secant in the sample's words",
        0.3,
        60,
        (3, 12),
        "H",
    ),
    Word("textile_share", "%", "textile part of the mass", 0, 100),
    Word("gauge_um", "um", "film thickness", 5, 500, (30, 125), "", ("film gauge",)),
    Word("film_density", "g/cm3", "density of the film", 0.8, 1.5, (0.91, 0.94)),
    Word("tube_width", "mm", "lay-flat width of the film tube", 100, 6000),
    Word("piece_mass", "g", "mass of one", 0, 20000, (0.1, 500)),
    Word("mass_per_metre", "g/m", "mass of one metre", 0, 5000, (0.02, 120)),
    Word("width", "mm", "width", 1, 6000),
    Word("length", "mm", "length", 1, 20000),
    Word("contraction_along", "%", "length lost in quilting, measured on this pattern", 0, 15, (1, 6)),
    Word("contraction_across", "%", "width lost in quilting, measured on this pattern", 0, 15, (1, 4)),
    Word("needle_spacing", "mm", "distance of the needle rows", 10, 600, (25, 160)),
    Word("stitches_per_cm", "1/cm", "stitches in one centimetre", 0.5, 10, (1.5, 3)),
    Word("quilt_run", "m/m2", "metres of stitch line in one square metre of panel", 0, 400, (6, 60)),
    Word(
        "quilted_thickness",
        "mm",
        "thickness of the panel quilted and relaxed, measured; empty to add the plies",
        0.2,
        200,
        (3, 60),
    ),
    Word("flange_width", "mm", "width of the strip sewn round the panel", 20, 300, (60, 120)),
    Word("bite", "mm", "depth of the overlock", 2, 30, (6, 10)),
    Word("side_stitch_rows", "rows", "rows of side-stitch round the border", 0, 6, (1, 4)),
    Word("zip_sides", "sides", "sides of the cover that the zip runs round", 1, 4, (3, 4)),
    Word("per_bed", "each", "how many on one bed", 0, 400, (2, 8)),
    Word("faces", "faces", "faces that people may lie on", 1, 2),
    Word("tuft_spacing", "mm", "distance of tufts along a row", 80, 800, (180, 280)),
    Word("tuft_edge", "mm", "least distance of a tuft from the edge", 40, 500, (120, 220)),
    Word("tufted_height", "mm", "height under a tuft, pulled down and clamped", 20, 600, (140, 280)),
    Word("corner_radius", "mm", "radius of the corners in plan", 0, 400, (30, 100)),
    Word(
        "finished_height",
        "mm",
        "height aimed at, highest point to highest point; empty to take the reckoned one",
        60,
        700,
        (160, 380),
    ),
    Word("position", "", "place in the order, 1 first", 1, 1000),
    Word("layer_count", "each", "how many sheets of this layer lie on each other", 1, 10, (1, 2)),
    # making
    Word("base_minutes", "min", "minutes for one bed, whatever its size", 0, 600, (0, 30)),
    Word("minutes_per", "min", "minutes for each of what the step counts", 0, 120),
    Word("wait_minutes", "min", "wait after the step before the next may begin: cool, cure, relax", 0, 10000),
    Word("hands", "people", "people needed at once", 0, 4, (1, 2)),
    Word("places", "each", "machines or benches of this kind", 1, 50, (1, 4)),
    Word("rack_units", "racks", "rack room of the oven in one charge", 0, 200, (4, 16)),
    Word("charge_minutes", "min", "oven time counted from unit temperature", 0, 240, (30, 60)),
    Word("warm_up_minutes", "min", "time from closing the door until the units are at temperature", 0, 240, (10, 40)),
    Word("setup_minutes", "min", "set-up when this family changes", 0, 480, (1, 240)),
    Word("skill_level", "%", "speed at this skill against the standard; a learner is at 50", 10, 150, (50, 110)),
    Word("rule_value", "", "the figure of the rule, in the rule's own unit", -1e9, 1e9),
    Word("coefficient", "", "what the term multiplies, from the standard that you own", -1e9, 1e9),
    Word("power_of_hardness", "", "power of the hardness H [N/mm] in this term", -20, 20),
    Word("power_of_work", "", "power of the work W of the curve from 0 to 450 N [J] in this term", -20, 20),
    # trading
    Word("quantity", "each", "how many beds", 1, 5000, (1, 400)),
    Word("in_stock", "", "how much is there, in the unit beside it", 0, 1e9),
    Word("lead_days", "days", "days from order to arrival", 0, 400, (2, 84)),
    Word("h_low", "N/mm", "least hardness H wished for", 0.5, 40, (3, 12), "H"),
    Word("h_high", "N/mm", "greatest hardness H wished for", 0.5, 40, (3, 12), "H"),
    Word("height_max", "mm", "greatest finished height", 60, 700),
    Word("mass_max", "kg", "greatest mass", 1, 200),
    Word(
        "edge_least",
        "%",
        "least hardness H with the pad's middle 200 mm from the long side, of that in the middle of the bed",
        5,
        300,
        (50, 110),  # plausible, from memory
    ),
    Word("steel_max", "kg", "greatest mass of steel in one bed", 0.5, 150, (6, 25)),
    Word("carbon_max", "kg CO2e", "most carbon of what one bed takes, cradle to gate", 1, 2000, (40, 200)),
    Word("count_claim", "each", "springs that are to be claimed: a build has so many or more", 1, 50000, (300, 6000)),
    Word("factor", "kg/kg", "kg CO2e for one kg, cradle to gate", -5, 60, (0.5, 20)),
    Word("year", "", "year of the figure", 1970, 2100),
    Word("claimed", "", "the number claimed", 0, 1e6),
    # delivery
    Word("inside_length", "mm", "inside length of the load room", 500, 20000, (2500, 13600)),
    Word("inside_width", "mm", "inside width of the load room", 500, 3000, (1600, 2450)),
    Word("inside_height", "mm", "inside height of the load room", 500, 4000, (1700, 3000)),
    Word("payload", "kg", "payload by the plate", 50, 40000, (800, 24000)),
    Word("cut_off_days", "days", "days before the van leaves that beds must be wrapped", 0, 14, (0, 2)),
    # plants
    Word("duty", "%", "duty by the dated tariff line", 0, 500),
    Word("remedy", "%", "extra duty of trade remedies by origin; 0: looked up, none; empty: not looked up", 0, 1999),
    Word("tax", "%", "value-added tax", 0, 40),
    Word("defect_share", "%", "beds that cannot be sold, of those landed", 0, 90, (0, 5)),
    Word("finance_days", "days", "days between paying and being able to sell", 0, 720, (20, 120)),
    Word("finance_rate", "%/year", "price of money", 0, 100, (3, 12)),
    Word("lot_quantity", "each", "beds in the lot", 1, 100000, (50, 600)),
)


def word(key: str) -> Word:
    """The word behind a key. Raises KeyError when words.py does not know it."""
    return WORDS[key]


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun, right for one and for several: 1 cut, 2 cuts. many: where it is not one + s."""
    return f"{count} {one if count == 1 else many or one + 's'}"
