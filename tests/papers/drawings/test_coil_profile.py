"""One coil drawn: to scale, its marked places in order on coil, curve and rows; every profile, any fair size."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bedwright.errors import FaultsFound
from bedwright.mechanics.coil import coil_answer, graded_coil
from bedwright.mechanics.coil_force import force_curve
from bedwright.mechanics.coil_shape import CoilShape
from bedwright.papers.drawings.coil_outline import diameter_at, side_view
from bedwright.papers.drawings.coil_profile import STEPS, coil_profile, strands
from bedwright.works.springs import Coil, CoilPoint

SHAPES = {
    "hourglass-parabolic": (70.0, 46.0, 3.5, 130.0, 2.2),
    "hourglass-straight": (80.0, 48.0, 4.5, 130.0, 2.2),
    "cylinder": (58.0, None, 5.0, 190.0, 1.9),
    "cone": (70.0, 40.0, 5.3, 150.0, 2.0),
    "barrel": (45.0, 60.0, 6.0, 170.0, 1.8),
}


def drawn(shape: CoilShape, hand: str = "right") -> str:
    return coil_profile(coil_answer(shape, "SM"), force_curve(shape), hand)


def shape_of(profile: str) -> CoilShape:
    end, middle, turns, height, wire = SHAPES[profile]
    return graded_coil(
        profile, end_diameter=end, middle_diameter=middle, live_turns=turns, free_height=height, wire_diameter=wire,
        grade="SM",
    )  # fmt: skip


@pytest.mark.parametrize("profile", SHAPES)
class TestProfiles:
    def test_marked_places_are_in_order_with_their_figures(self, seen, profile) -> None:  # type: ignore[no-untyped-def]
        shape = shape_of(profile)
        answer, curve = coil_answer(shape, "SM"), force_curve(shape)
        drawing = seen(coil_profile(answer, curve))
        free = shape.free_height + shape.wire_diameter
        assert f"a: free | 0.0 mm | 0.0 N | {free:.1f} mm" in drawing.says
        for words, way in (
            ("solid", answer.longest_way),
            ("the wire first touches a seat or its neighbour", answer.closing),
            ("to here finite elements checked the force", answer.checked_to),
        ):
            if words != "solid" and way >= answer.longest_way * (1 - 1e-6):
                assert words not in drawing.says
                continue
            row = re.search(rf"[bcd]: {words} \| ([\d.]+) mm \| ([\d.]+) N \| ([\d.]+) mm", drawing.says)
            assert row is not None
            assert float(row[1]) == pytest.approx(way, abs=0.051)
            assert float(row[3]) == pytest.approx(free - way, abs=0.051)
        solid = re.search(r"solid \| [\d.]+ mm \| ([\d.]+) N \| ([\d.]+)", drawing.says)
        assert solid is not None
        assert float(solid[1]) == pytest.approx(float(curve.force[-1]), abs=0.051)
        assert float(solid[2]) == pytest.approx(answer.solid_height, abs=0.051), "two ways to one height"

    def test_nothing_is_cut_off_or_over_another(self, seen, profile) -> None:  # type: ignore[no-untyped-def]
        drawing = seen(drawn(shape_of(profile)))
        assert drawing.outside() == []
        assert drawing.over_each_other() == []

    def test_same_bytes_twice(self, profile) -> None:  # type: ignore[no-untyped-def]
        assert drawn(shape_of(profile)) == drawn(shape_of(profile))

    def test_strands_keep_to_the_profile_and_meet(self, profile) -> None:  # type: ignore[no-untyped-def]
        shape = shape_of(profile)
        behind, before = strands(shape, shape.free_height)
        assert len(behind) + len(before) == math.ceil(2 * shape.live_turns)
        points = sorted((z, abs(x)) for strand in (*behind, *before) for x, z in strand)
        assert points[0][0] == 0.0
        assert points[-1][0] == pytest.approx(shape.free_height)
        assert max(x for _, x in points) <= shape.largest_diameter / 2 + 1e-9


class TestHands:
    def test_a_right_hand_coil_rises_to_the_right_in_front(self) -> None:
        shape = shape_of("cylinder")
        _, before = strands(shape, shape.free_height)
        for strand in before:
            assert strand[-1][0] > strand[0][0], "to the right"
            assert strand[-1][1] > strand[0][1], "and up: a right-hand screw (common knowledge)"

    def test_the_left_hand_is_its_mirror(self, seen) -> None:  # type: ignore[no-untyped-def]
        right, left = (drawn(shape_of("cone"), hand) for hand in ("right", "left"))
        assert "right hand" in seen(right).says
        assert "left hand" in seen(left).says
        wire = re.compile(r'<path d="M([^"]+)" fill="none" stroke="#1d1b26"')
        halves = [[d for d in wire.findall(svg) if d.count("L") == STEPS] for svg in (right, left)]
        ways = [[tuple(map(float, point.split())) for point in half[-1].split("L")] for half in halves]
        middle = (ways[0][0][0] + ways[1][0][0]) / 2
        for (x, y), (mx, my) in zip(*ways, strict=True):
            assert mx == pytest.approx(2 * middle - x, abs=0.02)
            assert my == y

    def test_hands_in_turn_are_said(self, seen) -> None:  # type: ignore[no-untyped-def]
        assert "hands in turn" in seen(drawn(shape_of("barrel"), "alternate")).says


class TestTable:
    DIAMETERS = (70.0, 50.0, 44.0, 52.0, 68.0)

    def test_what_nothing_checked_says_so(self, seen) -> None:  # type: ignore[no-untyped-def]
        shape = CoilShape("table", 70.0, 5.0, 140.0, 2.0, diameters=self.DIAMETERS)
        answer = replace(coil_answer(shape, "SM"), checked_to=0.0)
        drawing = seen(coil_profile(answer, force_curve(shape)))
        assert "finite elements" not in drawing.says
        assert "a: free; from here on the force is the model's alone | 0.0 mm" in drawing.says
        assert drawing.outside() == []

    def test_the_outline_of_a_card_follows_its_table(self) -> None:
        points = tuple(CoilPoint(position=i + 1, diameter=d) for i, d in enumerate(self.DIAMETERS))
        coil = Coil(
            code="T", profile="table", wire="W", end_diameter=70.0, live_turns=5.0, total_turns=7.0, free_height=140.0,
            hand="right", points=points,
        )  # fmt: skip
        assert [diameter_at(coil, share) for share in (0, 0.25, 0.5, 0.625, 1)] == [70, 50, 44, 48, 68]
        view = side_view(coil, 140.0)
        assert view[0] == (-35.0, 0.0)
        assert abs(view[-1][0]) == 34.0


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(sorted(SHAPES)), st.floats(12, 160), st.floats(0.5, 1.0), st.floats(2.0, 12.0), st.floats(10, 400),
    st.floats(0.6, 5.0), st.floats(84, 180), st.text(max_size=30),
)  # fmt: skip
def test_any_coil_stays_on_the_paper(seen, profile, end, share, turns, height, wire, width, name) -> None:  # type: ignore[no-untyped-def]
    middle = None if profile == "cylinder" else end * (share if profile != "barrel" else 2 - share)
    try:
        shape = graded_coil(
            profile, end_diameter=end, middle_diameter=middle, live_turns=turns, free_height=height,
            wire_diameter=wire, grade="SM",
        )  # fmt: skip
    except FaultsFound:
        assume(False)
    drawing = seen(coil_profile(coil_answer(shape, "SM"), force_curve(shape), "alternate", name, width))
    assert drawing.outside() == []
