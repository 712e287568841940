"""From cards to ties, heat and settling: what is on the card arrives, what is empty is not known and says how."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.errors import NotKnown
from bedwright.mechanics import card_ties
from bedwright.mechanics.crown import Rise
from bedwright.mechanics.panel_tension import SewnTolerance
from bedwright.mechanics.settling import border_loss
from bedwright.works.beds import BedTest
from bedwright.works.card import Card
from bedwright.works.springs import CoilHeat
from bedwright.works.works import Works

TOLERANCE = SewnTolerance(cut=10.0, stretch=0.2)


def with_fields(card: Card, **fields: Any) -> Any:
    return type(card).make(**{**{name: getattr(card, name) for name in type(card).model_fields}, **fields})


def changed(works: Works, *cards: Card) -> Works:
    new = {(type(card), card.code): card for card in cards}
    return Works.of(works.about, [new.get((type(old), old.code), old) for old in works.all_cards()])


def snipe(works: Works, bed: dict[str, Any] | None = None, **more: dict[str, Any]) -> BedAtSize:
    """Snipe 150x200 with fields of the bed, of its ticking, border or border's cloth changed."""
    cards: list[Card] = [with_fields(works.beds["SNIPE"], **(bed or {}))]
    plain = bed_at_size(works, works.beds["SNIPE"], works.sizes["150"])
    panel = plain.panel("A")
    assert panel is not None
    found = {"ticking": panel.ticking, "border": plain.border.card, "cloth": plain.border.cloth}
    cards += [with_fields(found[name], **fields) for name, fields in more.items()]
    new = changed(works, *cards)
    return bed_at_size(new, new.beds["SNIPE"], new.sizes["150"])


def test_tension_solved_from_the_cards(small_works: Works) -> None:
    bed = snipe(
        small_works,
        {"panel_fullness": -0.5, "tape_pull": 40.0},
        ticking={"stretch_along": 300.0, "stretch_across": 200.0},
    )
    found = card_ties.face_tension(bed, "A", TOLERANCE)
    # 100 x 200 N/m x (1/0.995 - 1) and 40 N/m of the tape, over the made size
    assert found.across == pytest.approx(20_000 * (1 / 0.995 - 1) + 40 / 0.995)
    assert found.along == pytest.approx(30_000 * (1 / 0.995 - 1) + 40 / 0.995)
    assert found.low < found.mean < found.high and not found.entered
    assert card_ties.face_tension(bed, "A", TOLERANCE, crown=Rise(25.0)).mean > found.mean


def test_a_measured_tension_stands(small_works: Works) -> None:
    found = card_ties.face_tension(snipe(small_works, {"panel_tension": 120.0}), "A", TOLERANCE, entered=0.1)
    assert (found.mean, found.low, found.high, found.entered) == (120, pytest.approx(108), pytest.approx(132), True)


def test_tension_not_known_says_how_to_measure(small_works: Works) -> None:
    with pytest.raises(
        NotKnown, match=r"stretch_along, stretch_across empty; bed SNIPE: panel_fullness empty; .*mark 500"
    ):
        card_ties.face_tension(snipe(small_works), "A", TOLERANCE)
    knot = bed_at_size(small_works, small_works.beds["KNOT"], small_works.sizes["150"])
    with pytest.raises(NotKnown, match="face B has no panel"):
        card_ties.face_tension(knot, "B", TOLERANCE)


def test_border_and_side_stitch(small_works: Works) -> None:
    bed = snipe(small_works, border={"standing_stiffness": 0.9}, cloth={"stretch_across": 150.0})
    rim = card_ties.bed_rim(bed)
    assert (rim.standing, rim.wall) == (0.9, pytest.approx(15_000 / bed.border.height))
    with pytest.raises(NotKnown, match="stretch_across is empty"):
        card_ties.bed_rim(snipe(small_works, border={"standing_stiffness": 0.9}))
    stitched = bed.border.card.side_stitch != "none"
    if stitched:
        with pytest.raises(NotKnown, match="side_stitch_pull is empty"):
            card_ties.bed_side_stitch(bed)
    pulled = snipe(small_works, border={"side_stitch_pull": 25.0})
    tie = card_ties.bed_side_stitch(pulled)
    assert tie is not None and float(tie.pull(0.0)) == pytest.approx(25) and float(tie.pull(-1.0)) == 0
    knot = bed_at_size(small_works, small_works.beds["KNOT"], small_works.sizes["150"])
    assert card_ties.bed_side_stitch(knot) is None


def test_heat_of_a_coil_card(small_works: Works) -> None:
    coil = with_fields(
        small_works.coils["K22"],
        heats=(
            CoilHeat(position=1, wire_lot="A", height_shift=-2.0, first_set=1.5),
            CoilHeat(position=2, wire_lot="B", height_shift=-1.0, first_set=2.5),
        ),
    )
    found = card_ties.heated(coil)
    assert (found.after_heat, found.after_press) == (pytest.approx(128.5), pytest.approx(126.5))
    assert card_ties.heated(small_works.coils["K22"]).after_heat is None


def with_sets(works: Works) -> Works:
    fillings = [with_fields(card, set_share=2.0, set_share_high=6.0) for card in works.fillings]
    coil = with_fields(works.coils["K22"], heats=(CoilHeat(position=1, wire_lot="A", first_set=1.2),))
    return changed(works, *fillings, coil)


def test_settling_by_cards(small_works: Works) -> None:
    bed = snipe(with_sets(small_works))
    soft = sum(layer.built_thickness * layer.count for layer in bed.layers)
    soft += sum(ply.thickness for panel in bed.panels for ply in panel.plies if hasattr(ply, "family"))
    found = card_ties.bed_settling(bed)
    assert (found.low, found.high) == (pytest.approx(0.02 * soft), pytest.approx(0.06 * soft + 1.2))
    edge = card_ties.bed_settling(bed, border_loss(1.0, 4.0))
    assert edge.high is not None and found.high is not None and edge.high == pytest.approx(found.high + 4)


def test_settling_not_known(small_works: Works) -> None:
    found = card_ties.bed_settling(snipe(small_works))
    assert found.high is None and found.not_known == ("fillings", "wire")


def test_own_tests_of_the_bed_stand(small_works: Works) -> None:
    def test(position: int, before: float, after: float, **more: Any) -> BedTest:
        fields = {"cycles": 30_000, "height_before": before, "height_after": after, **more}
        return BedTest(position=position, **fields)

    tests = (
        test(1, 260.0, 257.0),
        test(2, 261.0, 257.0, size="150"),
        test(3, 260.0, 200.0, size="90"),
        test(4, 260.0, 259.9, cycles=100),
    )
    bed = snipe(with_sets(small_works))
    bed = replace(bed, bed=bed.bed.model_copy(update={"tests": tests}))
    found = card_ties.bed_settling(bed)
    assert (found.source, found.value) == ("measured", pytest.approx(3.5))
    assert found.readings is not None and found.readings.count == 2


def test_first_set_is_the_greatest_of_the_lots(small_works: Works) -> None:
    assert card_ties.first_set(snipe(small_works).unit) is None
    assert card_ties.first_set(snipe(with_sets(small_works)).unit) == 1.2
