"""Beds side by side: what both share moves both, a copy differs in nothing, the words say what the intervals say."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedcli.side_by_side_told import side_json, side_text
from bedwright.design.buildup import bed_at_size
from bedwright.errors import FaultsFound
from bedwright.mechanics.lying import Lies
from bedwright.mechanics.person import person
from bedwright.side_by_side import SideBySide, side_by_side
from bedwright.weighing.builds import build, changed
from bedwright.weighing.open_moves import OpenMove, belongs_to, open_moves, spread_of, spread_of_difference
from bedwright.weighing.space import space_of
from bedwright.works.works import Works

MOVED = st.floats(-3, 3)


def move(name: str, of: str, by: float) -> OpenMove:
    return OpenMove(name, of, {"x": -by}, {"x": by})


@given(
    st.lists(st.tuples(MOVED, MOVED), min_size=1, max_size=5), st.lists(MOVED, max_size=3), st.lists(MOVED, max_size=3)
)
def test_the_spread_of_a_difference_is_that_of_drawn_beds(
    both: list[tuple[float, float]], first: list[float], second: list[float]
) -> None:
    """Straight effects, figures drawn by themselves with spread 1: the difference's spread by the rule of sums of
    squares over what is drawn once, where shared figures are one draw for both beds (arithmetic)."""
    one = [move(f"f{i}", "wire W", a) for i, (a, _) in enumerate(both)] + [
        move("own", f"A{i}", a) for i, a in enumerate(first)
    ]
    two = [move(f"f{i}", "wire W", b) for i, (_, b) in enumerate(both)] + [
        move("own", f"B{i}", b) for i, b in enumerate(second)
    ]
    exact = np.sqrt(sum((b - a) ** 2 for a, b in both) + sum(a**2 for a in (*first, *second)))
    down, up = spread_of_difference(one, two, "x")
    assert up == pytest.approx(exact, abs=1e-9) and down == pytest.approx(-exact, abs=1e-9)
    apart = spread_of_difference(one, two, "x", apart=True)[1]
    assert apart == pytest.approx(np.hypot(spread_of(one, "x")[1], spread_of(two, "x")[1]), abs=1e-9)


@pytest.mark.full
def test_a_copy_of_a_bed_differs_in_nothing(demo_works: Works) -> None:
    """All cards alike but the bed's code: every figure is shared, so nothing is left of the difference, though each
    bed alone is as open as ever."""
    works = demo_works.with_cards([changed(demo_works.beds["HERON"], code="TWIN", claims=())])
    size = works.sizes["90x190"]
    one, two = (bed_at_size(works, works.beds[code], size) for code in ("HERON", "TWIN"))
    (value, moves), (same, others) = open_moves(one, ()), open_moves(two, ())
    assert value == same and [m.key for m in moves] == [m.key for m in others]
    for result in ("h_tangent", "h_secant", "edge", "height"):
        assert spread_of_difference(moves, others, result) == (0.0, 0.0)
        assert spread_of(moves, result)[1] > 0


@pytest.fixture(scope="module")
def together(demo_works: Works) -> SideBySide:
    """HERON and a draft of it: two columns more and thinner wire; a person on the back."""
    space = space_of(demo_works, demo_works.beds["HERON"], demo_works.sizes["90x190"])
    places = list(space.start)
    for index, knob in enumerate(space.knobs):
        if knob.name == "wire":
            places[index] = knob.values.index("W13")
    made = build(demo_works, space, tuple(places))
    own = bed_at_size(made.works, made.works.beds["HERON"], made.works.sizes["90x190"])
    return side_by_side(made.works, [own, made.bed], [Lies(person("woman 1630 mm 62 kg"), "supine")])


@pytest.mark.full
def test_lines_say_what_their_intervals_say(together: SideBySide) -> None:
    assert {line.told.key for line in together.lines} >= {"h_tangent", "edge", "mass", "cost", "p99", "sink_hip"}
    for line in together.lines:
        one, two = line.results
        (difference,) = line.differences
        assert one is not None and two is not None and difference is not None
        assert difference.value == pytest.approx(two.value - one.value, abs=1e-9)
        for result in (one, two):
            assert result.low is None or result.low <= result.value <= (result.high or result.low)
        if difference.low is not None and difference.high is not None and difference.apart is not None:
            assert difference.inside == (difference.low <= 0 <= difference.high)
            assert ("not told apart" in difference.says) == difference.inside
            # what they share takes off, and never adds, where it moves both the same way
            assert difference.high - difference.low <= (difference.apart[1] - difference.apart[0]) * 1.15


@pytest.mark.full
def test_thinner_wire_is_told_softer_beyond_the_noise(together: SideBySide) -> None:
    """1.3 in place of 1.5 mm: (1.3 / 1.5)^4 of the coils' stiffness; far beyond what both share."""
    line = next(line for line in together.lines if line.told.key == "h_tangent")
    (difference,) = line.differences
    assert difference is not None and difference.inside is False and "is softer than HERON" in difference.says
    spread_apart = difference.apart
    assert spread_apart is not None and difference.high is not None and difference.low is not None
    assert difference.high - difference.low < 0.8 * (spread_apart[1] - spread_apart[0])
    assert "filling WADDING" in together.shared[0] and "wire diameter" not in together.shared[0]


@pytest.mark.full
def test_it_is_told_in_text_and_json(together: SideBySide) -> None:
    text, plain = side_text(together), side_json(together, 1.0)
    assert "no medical" in text.lower() or "Not a medical device" in text
    assert len(plain["lines"]) == len(together.lines) and plain["seconds"] == 1.0
    assert all(isinstance(line["differences"][0]["says"], str) for line in plain["lines"])
    assert side_json(together, 1.0) == plain


def test_what_figures_belong_to(demo_works: Works) -> None:
    heron, plover = (
        bed_at_size(demo_works, demo_works.beds[code], demo_works.sizes["150x200"]) for code in ("HERON", "PLOVER")
    )
    assert belongs_to(heron, "wire diameter") == "wire W15" != belongs_to(plover, "wire diameter")
    assert belongs_to(heron, "filling FOAM-SOFT~45") == belongs_to(plover, "filling FOAM-SOFT") == "filling FOAM-SOFT"
    assert belongs_to(heron, "bending of the fillings") == belongs_to(plover, "bending of the fillings")
    assert belongs_to(plover, "panel tension") == "bed PLOVER"  # measured on that bed


def test_one_bed_five_and_twice_are_refused(demo_works: Works) -> None:
    bed = bed_at_size(demo_works, demo_works.beds["HERON"], demo_works.sizes["150x200"])
    for beds, told in (([bed], "1 beds are named"), ([bed] * 5, "5 beds are named"), ([bed, bed], "is named twice")):
        with pytest.raises(FaultsFound, match=told):
            side_by_side(demo_works, beds)
