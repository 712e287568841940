"""The pad test on a flat foundation: signs of plain changes, balance, interval, edge, refusals."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.errors import NotKnown, OutsideRange
from bedwright.mechanics.pad import Spot
from bedwright.mechanics.pad_test import pad_test
from bedwright.works.card import Card
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works

ROOT = Path(__file__).resolve().parents[2]
BEDS = ("OPEN-2", "POCKET-1")
DEMO_BEDS = ("WHIMBREL", "HERON", "PLOVER", "TEAL", "DUNLIN", "REDSHANK", "AVOCET")


@pytest.fixture(scope="module")
def starter() -> Works:
    return read_csv_folder(ROOT / "starter")


@pytest.fixture(scope="module")
def demo() -> Works:
    return read_csv_folder(ROOT / "demo")


def at_size(works: Works, bed: str) -> BedAtSize:
    return bed_at_size(works, works.beds[bed], works.sizes["150x200"])


def changed(works: Works, card: Card, **fields: Any) -> Works:
    values = {name: getattr(card, name) for name in type(card).model_fields}
    new = type(card).make(**{**values, **fields})
    return Works.of(works.about, [new if old is card else old for old in works.all_cards()])


def h(works: Works, bed: str) -> float:
    return pad_test(at_size(works, bed)).hardness.tangent


def wire_up(works: Works, bed: str) -> Works:
    coil = works.coils[works.units[works.beds[bed].unit].coil]
    wire = works.wires[coil.wire]
    return changed(works, wire, diameter=wire.diameter + 0.1)


def more_coils(works: Works, bed: str) -> Works:
    unit = works.units[works.beds[bed].unit]
    across = 0.9 if unit.layout == "nested" else 1.0  # nested rows follow from the pitch across
    return changed(works, unit, pitch_along=unit.pitch_along * 0.9, pitch_across=unit.pitch_across * across)


def fewer_turns(works: Works, bed: str) -> Works:
    coil = works.coils[works.units[works.beds[bed].unit].coil]
    return changed(works, coil, live_turns=coil.live_turns - 0.5)


@pytest.mark.parametrize("bed", BEDS)
@pytest.mark.parametrize("change", [wire_up, more_coils, fewer_turns])
def test_plain_changes_go_the_right_way(starter: Works, bed: str, change: Callable[[Works, str], Works]) -> None:
    # common practice, no source: thicker wire, more coils, fewer live turns make a unit firmer
    assert h(change(starter, bed), bed) > h(starter, bed) * 1.005


@pytest.mark.parametrize("bed", DEMO_BEDS)
@pytest.mark.parametrize("change", [wire_up, more_coils, fewer_turns])
def test_plain_changes_go_the_right_way_on_the_demo_or_h_is_disowned(
    demo: Works, bed: str, change: Callable[[Works, str], Works]
) -> None:
    before, after = pad_test(at_size(demo, bed)), pad_test(at_size(change(demo, bed), bed))
    if before.closes or after.closes:
        closing = before if before.closes else after
        assert "coils close from" in closing.notes[0] and "proves nothing" in closing.notes[0]
    else:
        assert after.hardness.tangent > before.hardness.tangent


def test_coils_of_the_demo_do_not_close_before_h_is_read_but_for_one_soft_bed(demo: Works) -> None:
    closing = {bed for bed in DEMO_BEDS if pad_test(at_size(demo, bed)).closes}
    assert closing <= {"AVOCET"}


@pytest.mark.parametrize("bed", BEDS)
def test_softer_fillings_sink_deeper(starter: Works, bed: str) -> None:
    works = starter
    for filling in starter.fillings:
        if filling.hardness_40 is not None:
            works = changed(works, works.fillings[filling.code], hardness_40=filling.hardness_40 * 0.7)
    before, after = pad_test(at_size(starter, bed)), pad_test(at_size(works, bed))
    assert after.hardness.depths[0] > before.hardness.depths[0]


@pytest.mark.parametrize("bed", BEDS)
def test_curve_rises_to_the_test_force_and_has_settled(starter: Works, bed: str) -> None:
    curve = pad_test(at_size(starter, bed))
    assert np.all(np.diff(curve.force) > 0) and np.all(np.diff(curve.depth) > 0)
    assert curve.force[-1] == pytest.approx(1000, rel=1e-6)
    assert len(curve.depth) >= 26
    assert curve.residual < 2e-3
    assert curve.low < curve.hardness.tangent < curve.high


def test_interval_is_the_root_sum_of_its_shares_and_upwards_what_the_model_leaves_out(starter: Works) -> None:
    curve = pad_test(at_size(starter, "OPEN-2"))
    half = float(np.sqrt(sum(move**2 for _, move in curve.moves)))
    assert curve.hardness.tangent - curve.low == pytest.approx(half)
    # 1.22 x 1.17: ticking and lacing in the trial of a fuller model (derived)
    assert curve.high == pytest.approx((curve.hardness.tangent + half) * 1.22 * 1.17)
    assert {"wire diameter", "live turns", "coil diameter"} <= {name for name, _ in curve.moves}


def test_one_card_moves_once_in_all_its_layers(demo: Works) -> None:
    curve = pad_test(at_size(demo, "WHIMBREL"))
    names = [name for name, _ in curve.moves]
    assert len(names) == len(set(names))
    wool = dict(curve.moves)["filling WOOL"]
    firm = demo
    points = tuple(point.model_copy(update={"stress": point.stress * 1.2}) for point in demo.fillings["WOOL"].points)
    firm = changed(firm, firm.fillings["WOOL"], points=points)
    assert abs(pad_test(at_size(firm, "WHIMBREL")).hardness.tangent - curve.hardness.tangent) <= abs(wool) + 1e-6


def test_pad_half_off_the_bed_carries_half(starter: Works) -> None:
    bed = at_size(starter, "OPEN-2")
    inside, outside = pad_test(bed), pad_test(bed, Spot(0.0, bed.length / 2))
    # without ties a foundation carries only what lies under the pad: the same depth, half the force
    depth = float(inside.hardness.depths[0])
    half = float(np.interp(depth, outside.depth, outside.force))
    assert half == pytest.approx(210 / 2, rel=0.01)


def test_a_spot_off_the_bed_is_refused_with_what_would_do(starter: Works) -> None:
    with pytest.raises(OutsideRange, match=r"spot 1600, 50 mm is off bed OPEN-2 150x200; give 0-1500 across"):
        pad_test(at_size(starter, "OPEN-2"), Spot(1600, 50))


def test_a_filling_without_figures_is_not_known(starter: Works) -> None:
    soft = next(f for f in starter.fillings if f.hardness_40 is not None and f.code in
                {row.part for row in starter.beds["POCKET-1"].layers})  # fmt: skip
    works = changed(starter, soft, hardness_40=None, points=())
    with pytest.raises(NotKnown, match=soft.code):
        pad_test(at_size(works, "POCKET-1"))


def test_notes_name_what_the_model_leaves_out(starter: Works) -> None:
    text = " ".join(pad_test(at_size(starter, "OPEN-2")).notes)
    for word in ("ticking tension", "spreading sideways", "lacing", "tufts"):
        assert word in text
