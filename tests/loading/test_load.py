"""Van loads: order of the stops, ways to travel, stacks, payload, collections and their free strip."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bedwright.errors import FaultsFound
from bedwright.loading.audit import audit
from bedwright.loading.problem import FLAT, ON_EDGE, ROLLED, Bundle, LoadProblem, Stop, Vehicle
from bedwright.loading.rows import cautions, rows, stop_rows
from bedwright.loading.solve import solve

VAN = Vehicle("van", 4_000, 2_000, 2_200, 1_000_000, tail_lift=True)
STOPS = (Stop("first", "Quiet Corner", "narrow stairs"), Stop("second"), Stop("third"))


def bed(key: str, stop: str, count: int = 1, **more: object) -> Bundle:
    made = Bundle(key, stop, 2_000, 1_500, 250, 30_000, count, (ON_EDGE, FLAT), None, key)
    return replace(made, **more)  # type: ignore[arg-type]


def load(*goods: Bundle, collections: tuple[Bundle, ...] = (), vehicle: Vehicle = VAN) -> LoadProblem:
    return LoadProblem("north", vehicle, STOPS, goods, collections)


def test_last_stop_goes_in_first_and_sixteen_beds_on_edge_fill_the_floor() -> None:
    # 4000 / 250 = 16 across the vehicle, or two blocks of 2000 along with 8 side by side
    plan = solve(load(bed("a", "first", 8), bed("c", "third", 8)))
    assert plan.fits
    assert audit(plan) == ()
    assert {p.way for p in plan.goods} == {ON_EDGE}
    assert [p.stop for p in plan.goods] == ["third"] * 8 + ["first"] * 8
    assert plan.used_length == plan.bound_length == 4_000
    assert max(p.x + p.dx for p in plan.goods if p.stop == "third") <= 2_000
    assert plan.states[1].free_length == 2_000


def test_the_seventeenth_stays_behind_and_the_bound_proves_it() -> None:
    plan = solve(load(bed("a", "first", 17)))
    assert [(row.bundle, row.count) for row in plan.left] == [("a", 1)]
    assert "at least 4250 mm" in plan.left[0].reason
    assert audit(plan) == ()


def test_stack_not_known_means_nothing_on_it_and_says_so() -> None:
    flat = bed("flat", "first", 4, ways=(FLAT,))
    unknown = solve(load(flat))
    assert len(unknown.goods) == 2  # 2 x 1.5 of floor each way: two on a floor of 4 x 2
    assert any("not known for flat" in text for text in cautions(unknown))
    known = solve(load(replace(flat, stack=4)))
    assert known.fits
    assert sorted(p.z for p in known.goods) == [0, 250, 500, 750]
    assert audit(known) == ()
    assert not any("not known" in text for text in cautions(known))


def test_a_heavy_bed_does_not_ride_on_a_light_one() -> None:
    light = bed("light", "second", 1, ways=(FLAT,), stack=3, mass=10_000)
    heavy = bed("heavy", "first", 1, ways=(FLAT,), stack=3, mass=30_000)
    plan = solve(load(light, heavy))
    assert audit(plan) == ()
    assert {p.z for p in plan.goods} == {0}


def test_payload_of_the_plate_is_kept_and_named() -> None:
    plan = solve(load(bed("a", "first", 4), vehicle=replace(VAN, payload=100_000)))
    assert len(plan.goods) == 3
    assert "payload" in plan.left[0].reason
    assert audit(plan) == ()


def test_a_bed_larger_than_the_vehicle_is_left_with_that_reason() -> None:
    plan = solve(load(bed("long", "first", 1, length=4_100)))
    assert "larger than the vehicle" in plan.left[0].reason


def test_rolls_lie_in_layers() -> None:
    roll = bed("roll", "first", 10, length=1_000, width=320, thickness=320, mass=14_000, ways=(ROLLED,), stack=4)
    plan = solve(load(roll))
    assert plan.fits
    assert audit(plan) == ()
    assert max(p.z + p.dz for p in plan.goods) > 320
    assert any("chock" in row.words for row in rows(plan))


def test_collections_ride_in_a_free_strip_clear_of_new_goods() -> None:
    old = bed("old", "first", 2, thickness=220)
    plan = solve(load(bed("a", "first", 4), bed("c", "third", 4), collections=(old,)))
    assert plan.fits
    assert audit(plan) == ()
    assert all(not state.taken_off for state in plan.states)
    for c in plan.collections:
        for g in (g for g in plan.goods if g.stop == "third"):
            assert c.y >= g.y + g.dy + 100 or g.y >= c.y + c.dy + 100


def test_where_no_free_strip_is_left_old_beds_are_taken_off_and_put_back_or_left() -> None:
    # the one for the third stop lies over the whole width: no free strip beside it
    goods = (bed("a", "first", 4), bed("c", "third", 1, width=2_000, ways=(FLAT,)))
    plan = solve(load(*goods, collections=(bed("old", "first", 1),)))
    assert audit(plan) == ()
    assert plan.fits
    assert plan.states[3].taken_off == (("old", 1),)
    assert "take off and put back: old no. 1" in stop_rows(plan)[3].words
    strict = replace(load(*goods, collections=(bed("old", "first", 1),)), rehandle=False)
    refused = solve(strict)
    assert audit(refused) == ()
    assert "away from new goods" in refused.left[0].reason


def test_collections_at_the_last_stop_have_the_whole_vehicle() -> None:
    plan = solve(load(bed("c", "third", 16), collections=(bed("old", "third", 16),)))
    assert plan.fits
    assert audit(plan) == ()


def test_rows_speak_in_loading_order_with_two_people_straps_and_the_stops_caution() -> None:
    plan = solve(load(bed("Heron 150x200", "first", 2), bed("Teal 90x190", "third", 1, mass=18_000)))
    made = rows(plan)
    assert [(r.step, r.stop, r.how_many) for r in made] == [(1, "third", 1), (2, "first", 2)]
    assert "strap upright" in made[0].words
    assert "two people (18 kg; filter, not a limit; HSE INDG143)" in made[0].words
    assert "more than people should lift by hand: use a trolley, sack truck or tail-lift (30 kg;" in made[1].words
    said = " ".join(cautions(plan))
    assert "Quiet Corner: narrow stairs" in said
    assert "Tail-lift" in said
    assert "HSE INDG143's filter for a woman" in said and "A filter, not a limit" in said
    assert "plate" in said


def test_the_sum_of_lifts_names_each_bed_and_mass_once() -> None:
    twice = [replace(bed(key, "first", 2), what="Heron 150") for key in ("a", "b")]
    plan = solve(load(*twice, bed("light", "third", 1, mass=9_000)))
    (lifts,) = (one for one in cautions(plan) if one.startswith("Lifts"))
    assert lifts.count("Heron 150 30 kg") == 1
    assert "light" not in lifts
    assert cautions(plan)[0] == lifts, "it stands before all others"


def test_one_piece_that_does_not_fit_is_said_in_the_singular() -> None:
    assert solve(load(bed("a", "first", 1, width=4_500, ways=(FLAT,)))).words().startswith("1 piece does not fit;")
    assert solve(load(bed("a", "first", 2, width=4_500, ways=(FLAT,)))).words().startswith("2 pieces do not fit;")


def test_a_centre_of_mass_beyond_what_the_vehicle_allows_is_said() -> None:
    plan = solve(load(bed("a", "first", 2), vehicle=replace(VAN, mass_from=1_500)))
    assert "too far forward" in stop_rows(plan)[0].words
    assert stop_rows(plan)[-1].words == "empty"


def test_all_faults_of_a_question_are_gathered() -> None:
    with pytest.raises(FaultsFound) as refused:
        load(bed("a", "nowhere"), bed("a", "first", mass=0), bed("b", "first", ways=("standing",), stack=0))
    text = str(refused.value)
    assert len(refused.value.faults) == 5
    for part in ("nowhere", "same key twice", "mass", "standing", "stack"):
        assert part in text


def test_the_auditor_sees_a_round_run_backwards_and_old_beds_beside_new_ones() -> None:
    plan = solve(load(bed("a", "first", 8), bed("c", "third", 8), collections=(bed("old", "second", 1),)))
    assert audit(plan) == ()
    backwards = replace(plan, problem=replace(plan.problem, stops=tuple(reversed(STOPS))))
    says = [fault.says for fault in audit(backwards)]
    assert any("leaves later" in text for text in says)
    old, new = plan.collections[0], next(p for p in plan.goods if p.stop == "third")
    against = replace(plan, collections=(replace(old, x=new.x + new.dx, y=new.y),))
    assert any(text.startswith("is 0 mm from new") for text in (fault.says for fault in audit(against)))
