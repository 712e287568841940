"""Builds made of cards: the start is the bed itself, changes land on the cards they name, faults are told."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from bedwright.bill.make import make_bill
from bedwright.cost.rollup import cost
from bedwright.design.fit import fit
from bedwright.errors import FaultsFound
from bedwright.weigh_up import brief_question, space_of
from bedwright.weighing.asked import asked, suited
from bedwright.weighing.builds import build
from bedwright.weighing.facts import facts
from bedwright.weighing.search import whole
from bedwright.weighing.space import NO_EDGE, Places, Space, Value
from bedwright.weighing.task import known, question
from bedwright.works.trading import Brief
from bedwright.works.works import Works, reference_faults


def brief(**fields: object) -> Brief:
    plain: dict[str, object] = dict(
        code="WISH",
        customer="LANTERN",
        bed="HERON",
        size="150x200",
        quantity=4,
        due=date(2026, 6, 1),
        h_low=3.0,
        h_high=5.0,
    )
    return Brief.make(**{**plain, **fields})


def at(space: Space, **values: Value) -> Places:
    """The start with some knobs at other values; names with _ for spaces."""
    places = list(space.start)
    for name, value in values.items():
        index = next(i for i, knob in enumerate(space.knobs) if knob.name == name.replace("_", " "))
        places[index] = space.knobs[index].values.index(value)
    return space.same(places)


def test_the_start_is_the_bed_itself(demo_works: Works) -> None:
    for code in ("HERON", "PLOVER", "WHIMBREL", "TEAL", "DUNLIN", "AVOCET", "REDSHANK"):
        space = space_of(demo_works, demo_works.beds[code], demo_works.sizes["150x200"])
        made = build(demo_works, space, space.start)
        assert (made.code, made.changes, made.works) == (code, (), demo_works)
        assert all(knob.values[knob.start] is not None for knob in space.knobs)


def test_every_knob_moved_alone_lands_on_sound_cards(demo_works: Works) -> None:
    """Each knob at its first, middle and last value: no reference is broken and the named figure is the build's."""
    for code in ("HERON", "WHIMBREL", "TEAL"):
        space = space_of(demo_works, demo_works.beds[code], demo_works.sizes["150x200"])
        for index, knob in enumerate(space.knobs):
            for place in {0, len(knob.values) // 2, len(knob.values) - 1} - {knob.start}:
                places = list(space.start)
                places[index] = place
                row = space.same(places)
                if row == space.start:
                    continue
                made = build(demo_works, space, row)
                assert reference_faults(made.works) == [], (code, knob.name)
                assert len(made.changes) == 1 and made.changes[0].startswith(knob.name)
                assert made.code != code and made.works.beds[made.code].unit in made.works.units


def test_counts_turns_and_layers_are_what_was_asked(demo_works: Works) -> None:
    space = space_of(demo_works, demo_works.beds["HERON"], demo_works.sizes["150x200"])
    row = at(
        space, columns=22, rows=30, live_turns=4.0, free_height=140.0, layer_A3_filling="FOAM-SOFT",
        layer_A3_thickness=45.0, edge=NO_EDGE,
    )  # fmt: skip
    bed = build(demo_works, space, row).bed
    assert (bed.unit.lattice.across, bed.unit.lattice.along, bed.edge) == (22, 30, None)
    coil = bed.unit.groups[0].coil
    assert (coil.live_turns, coil.total_turns, coil.free_height) == (4.0, 6.0, 140.0)  # dead turns stay two
    for face in "AB":  # both faces are alike in HERON, and stay so
        outer = bed.face_layers(face)[-1]
        assert (outer.thickness, outer.count, outer.code.split("~")[0]) == (45.0, 1, "FOAM-SOFT")
    nested = space_of(demo_works, demo_works.beds["PLOVER"], demo_works.sizes["150x200"])
    for count in (21, 28):
        assert build(demo_works, nested, at(nested, columns=count)).bed.unit.lattice.across == count


def test_a_thicker_sheet_costs_and_weighs_in_proportion(demo_works: Works) -> None:
    """FOAM-SOFT cut at 60 in place of 30 takes twice the mass and, priced by volume, twice the money; coir priced by
    area is not cut, so its two sheets take twice each."""
    day = demo_works.about.as_of
    space = space_of(demo_works, demo_works.beds["PLOVER"], demo_works.sizes["150x200"])
    taken = []
    for row in (space.start, at(space, layer_A2_thickness=60.0)):
        made = build(demo_works, space, row)
        bill = make_bill(made.works, made.bed)
        sheet = cost(made.works, bill, day)
        assert sheet.complete
        mass = sum(one.mass for one in bill.rows if one.code.startswith("FOAM-SOFT"))
        taken.append((mass, sum(line.amount for line in sheet.lines if line.code.startswith("FOAM-SOFT"))))
    (mass, money), (twice, dear) = taken
    assert mass > 0 and twice == pytest.approx(2 * mass, rel=1e-9)
    assert dear == pytest.approx(2 * money, abs=3)  # minor units, rounded line by line


def test_heights_of_a_tufted_bed_move_with_its_parts(demo_works: Works) -> None:
    space = space_of(demo_works, demo_works.beds["WHIMBREL"], demo_works.sizes["150x200"])
    own = build(demo_works, space, space.start).bed
    higher = build(demo_works, space, at(space, free_height=140.0)).bed
    assert higher.height - own.height == pytest.approx(10.0)
    assert own.tufts is not None and higher.tufts is not None
    assert higher.tufts.height - own.tufts.height == pytest.approx(10.0)


def test_ceilings_and_claims_are_held(demo_works: Works) -> None:
    day = demo_works.about.as_of
    space = space_of(demo_works, demo_works.beds["HERON"], demo_works.sizes["150x200"])
    start = build(demo_works, space, space.start)
    found = facts(start, asked(brief()), day)
    assert found.refused == "" and found.springs == 900
    for fields, told in (
        ({"steel_max": found.steel - 0.01}, "steel"),
        ({"carbon_max": found.carbon - 0.01}, "carbon"),
        ({"cost_max": Decimal(repr(round(found.cost - 0.01, 2)))}, "cost"),
        ({"mass_max": round(found.mass_high - 0.01, 3)}, "mass"),
        ({"height_max": round(found.height - 1)}, "height"),
        ({"count_claim": 901}, "900 coils of the unit are fewer than the 901"),
        ({"faces": 1}, "it has 2 faces, and 1 asked"),
    ):
        if "height_max" in fields:
            fields = {"height_max": float(str(fields["height_max"]))}
        assert facts(start, asked(brief(**fields)), day).refused.startswith(told), fields
    fewer = build(demo_works, space, at(space, columns=24), brief(count_claim=800))
    assert fewer.bed.bed.claims[0].claimed == fewer.bed.spring_count == 24 * 36
    assert not [fault for fault in fit(fewer.works, fewer.bed) if fault.field == "claims"]


def test_allowed_parts_bound_what_is_tried(demo_works: Works) -> None:
    bed, size = demo_works.beds["HERON"], demo_works.sizes["150x200"]
    space = space_of(demo_works, bed, size, ("W13", "FOAM-SOFT", "ROD-COLD", "RUN-KNIT"))
    values = {knob.name: knob.values for knob in space.knobs}
    assert values["wire"] == ("W13", "W15")
    assert values["edge"] == (NO_EDGE, "ROD-COLD", "ROD-BEFORE")
    assert values["panel"] == ("RUN-WOVEN", "RUN-KNIT")
    assert set(values["layer A3 filling"]) == {"COTTON", "FOAM-SOFT"} and values["layer A1 filling"] == ("INSULATOR",)


def test_knobs_that_do_not_count_make_no_second_build(demo_works: Works) -> None:
    space = space_of(demo_works, demo_works.beds["HERON"], demo_works.sizes["150x200"])
    small = space.only({"layer A3 filling": ("COTTON", "FOAM-SOFT"), "layer A3 thickness": (30.0, 40.0, 45.0),
                        "layer A3 sheets": (1, 2)})  # fmt: skip
    assert small.count == 12
    assert len(whole(small)) == 2 + 3  # cotton by sheets, foam by thickness
    with pytest.raises(FaultsFound, match="is no knob of bed HERON") as caught:
        space.only({"colour": ("red",), "wire": ("W99",)})
    assert len(caught.value.faults) == 2


def test_a_question_goes_to_another_process_and_back(demo_works: Works) -> None:
    asking = brief_question(demo_works, "BRIEF-1")
    again = question(asking.payload())
    assert again.payload() == asking.payload() and again.spaces == asking.spaces
    start = asking.spaces[0].start
    assert known(again, 0, start) == known(asking, 0, start)


def test_what_cannot_be_weighed_up_is_told_at_once(demo_works: Works) -> None:
    with pytest.raises(FaultsFound, match="is no brief of this works"):
        brief_question(demo_works, "NONE")
    odd = demo_works.with_cards(
        [brief(allowed_parts="W15; NOWHERE; W999", persons="man 900 mm 12 kg; nobody", h_low=None, h_high=None)]
    )
    (fault,) = reference_faults(odd)  # as `bedwright faults` tells it too
    assert "allows NOWHERE, W999" in str(fault) and fault.sheet == "briefs"
    with pytest.raises(FaultsFound) as caught:
        brief_question(odd, "WISH", beds=("GOOSE",))
    told = str(caught.value)
    for part in ("NOWHERE", "W999", "GOOSE", "persons"):
        assert part in told
    with pytest.raises(FaultsFound, match="needs two aims"):
        asked(brief(h_low=None, h_high=None))
    with pytest.raises(FaultsFound, match="is no aim: 'beauty'"):
        asked(brief(), ("cost", "beauty"))
    assert suited("man 1755 mm 80 kg side").posture == "side" and suited("woman 163 cm 62 kg").posture == "supine"


def test_the_way_from_the_band_is_by_arithmetic() -> None:
    ask = asked(brief())
    assert [ask.away(h) for h in (3.0, 4.0, 5.0, 6.0)] == [1.0, 0.0, 1.0, 2.0]
    assert [ask.outside(h) for h in (4.9, 5.5)] == [0.0, 0.5]
    above = asked(brief(h_high=None))
    assert above.outside(2.5) == 1.0 and above.outside(3.0) == 0.0 and above.away(9.0) == 0.0
