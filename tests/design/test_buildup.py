"""The bed at size: size chain, heights, tufts that miss coils, and what the wrap is."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import pytest

from bedwright.design.border_at_size import perimeter
from bedwright.design.buildup import bed_at_size
from bedwright.works.works import Works


def test_chain_can_be_redone_by_hand(starter: Works) -> None:
    bed = bed_at_size(starter, starter.beds["POCKET-1"], starter.sizes["150x200"])
    lines = {line.what: line for line in bed.chain}
    assert (lines["label size"].width, lines["label size"].length) == (1500, 2000)
    assert lines["space for the unit"].width == 1500 - 40
    unit = lines["unit UNIT-POCKET"]
    assert unit.width == 21 * 65 + 65
    assert unit.length == 29 * 65 + 65
    trimmed = lines["panel A PANEL-MULTI, trimmed"]
    assert (trimmed.width, trimmed.length) == (1500 + 2 * 12, 2000 + 2 * 12)
    quilted = lines["panel A PANEL-MULTI, quilted"]
    assert (quilted.width, quilted.length) == (1524 + 60, 2024 + 60)
    border = lines["border BORDER, cut"]
    assert border.height == pytest.approx(bed.height - 2 * 8 + 25)
    corner = bed.bed.corner_radius
    around = 2 * (1500 + 2000) - (8 - 2 * math.pi) * corner
    assert border.length == pytest.approx(around * 0.996 + 30)


def test_two_passes_of_tape_on_a_square_cornered_150_by_200_take_14_metres(
    starter: Works, changed: Callable[..., Works]
) -> None:
    # derived: 2 x perimeter of 150 x 200 = 14.0 m; joins and corner ease come on top by house rule
    works = changed(starter, starter.beds["OPEN-2"], corner_radius=0.0)
    closure = bed_at_size(works, works.beds["OPEN-2"], works.sizes["150x200"]).closure
    assert closure.passes == 2
    assert closure.passes * closure.perimeter == pytest.approx(14_000)
    assert closure.tape_per_pass == pytest.approx(7000 + 4 * 15 + 40)


def test_rounded_corners_shorten_the_perimeter() -> None:
    # a circle is a square all of whose sides are corners
    assert perimeter(2000, 2000, 1000) == pytest.approx(2 * math.pi * 1000)


@pytest.mark.parametrize("size", ["90x190", "135x190", "150x200"])
def test_tufts_stand_in_gaps_and_inside(starter: Works, size: str) -> None:
    bed = bed_at_size(starter, starter.beds["OPEN-2"], starter.sizes[size])
    assert bed.tufts is not None and bed.tufts.count > 10
    left, head = (bed.width - bed.unit.width) / 2, (bed.length - bed.unit.length) / 2
    coils = [(left + x, head + y) for x, y, _ in bed.unit.lattice.positions()]
    for place in bed.tufts.places:
        nearest = min(math.dist(place, coil) for coil in coils)
        assert nearest > bed.unit.lattice.head / 2
        assert bed.bed.tuft_edge is not None
        assert bed.bed.tuft_edge / 2 <= place[0] <= bed.width - bed.bed.tuft_edge / 2
    assert len(set(bed.tufts.places)) == bed.tufts.count


def test_fed_size_undoes_contraction(starter: Works, changed: Callable[..., Works]) -> None:
    # 1500 after 2.5 % is fed at 1538.46 (derived)
    panel = starter.panels["PANEL-MULTI"]
    works = changed(starter, panel, contraction_along=2.5, contraction_across=2.5)
    made = bed_at_size(works, works.beds["POCKET-1"], works.sizes["150x200"]).panels[0]
    assert made.contraction_known
    assert made.fed_width * (1 - 0.025) == pytest.approx(made.quilted_width)
    assert pytest.approx(1538.46, abs=0.01) == 1500 / (1 - 0.025)


def test_foam_rails_shrink_the_unit(starter: Works, changed: Callable[..., Works]) -> None:
    foam = next(filling for filling in starter.fillings if filling.family == "foam")
    edge = starter.edges["ROD-POCKET"]
    works = changed(starter, edge, form="foam rail", rail=foam.code, rail_width=75.0, rods=0)
    before = bed_at_size(starter, starter.beds["POCKET-1"], starter.sizes["150x200"])
    after = bed_at_size(works, works.beds["POCKET-1"], works.sizes["150x200"])
    assert after.unit.space_width == before.unit.space_width - 150
    assert after.spring_count < before.spring_count
    assert after.edge is not None
    ring = sum(piece.count * piece.length * piece.width for piece in after.edge.rails)
    assert ring == pytest.approx(1460 * 1960 - (1460 - 150) * (1960 - 150))


@pytest.mark.parametrize("size", ["90x190", "135x190", "150x200"])
def test_tufts_make_an_even_diamond(starter: Works, size: str) -> None:
    tufts = bed_at_size(starter, starter.beds["OPEN-2"], starter.sizes[size]).tufts
    assert tufts is not None
    rows: dict[float, list[float]] = {}
    for x, y in tufts.places:
        rows.setdefault(round(y, 3), []).append(x)
    assert len({round(b - a, 3) for a, b in pairwise(sorted(rows))}) == 1
    steps = {round(b - a, 3) for row in rows.values() for a, b in pairwise(sorted(row))}
    assert len(steps) == 1
    first, second = (sorted(rows[y])[0] for y in sorted(rows)[:2])
    assert second - first == pytest.approx(steps.pop() / 2)


def test_fullness_makes_the_panel_larger_than_its_case(starter: Works, changed: Callable[..., Works]) -> None:
    """A panel 0.5 % smaller than a case of 1500 x 2000 is made 1492.5 x 1990 (derived); the case stays."""
    bed, size = starter.beds["POCKET-1"], starter.sizes["150x200"]
    plain = bed_at_size(starter, bed, size)
    works = changed(starter, bed, panel_fullness=-0.5)
    tight = bed_at_size(works, works.beds["POCKET-1"], size)
    (panel, *_), (before, *_) = tight.panels, plain.panels
    assert (panel.width, panel.length) == pytest.approx((1492.5, 1990.0))
    assert (panel.case_width, panel.case_length, panel.fullness_known) == (1500, 2000, True)
    assert (before.width, before.case_width, before.fullness_known) == (1500, 1500, False)
    assert before.trimmed_width - panel.trimmed_width == pytest.approx(7.5)
    assert any("case x (1 - 0.5 % fullness) + 2 x seam" in line.how for line in tight.chain)
    assert any(line.how.startswith("finished + 2 x seam") for line in plain.chain)


def test_what_is_measured_of_ties_reaches_the_bed_at_size(starter: Works, changed: Callable[..., Works]) -> None:
    bed = starter.beds["OPEN-2"]
    works = changed(starter, bed, tuft_pull=70.0, tape_pull=40.0, panel_tension=90.0)
    found = bed_at_size(works, works.beds["OPEN-2"], works.sizes["150x200"])
    assert found.tufts is not None and found.tufts.pull == 70
    assert (found.bed.tape_pull, found.bed.panel_tension, found.bed.panel_fullness) == (40, 90, None)
