"""The cut across the bed at the hips: both bodies, how far each rolls, how deep the face lies, a link's gap."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from bedwright.errors import OutsideRange
from bedwright.mechanics.lain import CAUTION
from bedwright.papers.drawings.two_person_section import roll_words, two_person_section


@pytest.fixture
def two(made):  # type: ignore[no-untyped-def]
    return made.lying_made(("man 1755 mm 80 kg", "supine", 80, 420), ("woman 1630 mm 62 kg", "side", 62, 1080))


@pytest.mark.parametrize("width", [84.0, 112.0, 180.0])
def test_both_are_named_with_their_roll_and_depth(two, seen, width) -> None:  # type: ignore[no-untyped-def]
    drawing = seen(two_person_section(two, width))
    says = drawing.says.replace(" | ", " ")
    assert "man 1755 mm 80 kg, supine" in says
    assert "woman 1630 mm 62 kg, on the side" in says
    assert "does not roll" in says
    assert "rolls 2.4° to the right" in says
    cut = two.slices[-1]
    down = cut.untouched - cut.face
    for half in (cut.place < 750, cut.place > 750):
        assert f"| {np.max(down[half]):.0f} mm" in drawing.says
    assert "990 mm from the head's edge" in says
    assert CAUTION in says
    assert drawing.outside() == []
    assert drawing.over_each_other() == []


def test_names_stand_over_their_bodies(two, seen) -> None:  # type: ignore[no-untyped-def]
    drawing = seen(two_person_section(two, 180.0))
    boxes = {text.says: (text.box[0] + text.box[2]) / 2 for text in drawing.texts}
    per_mm = (boxes["woman 1630 mm 62 kg, on the side"] - boxes["man 1755 mm 80 kg, supine"]) / (1080 - 420)
    assert per_mm == pytest.approx(1 / 9, rel=0.02)


def test_a_gap_is_drawn_with_its_width_only_where_there_is_one(two, seen) -> None:  # type: ignore[no-untyped-def]
    linked = seen(two_person_section(two, 180.0, (735.0, 766.0)))
    assert "gap 31 mm" in linked.says
    assert linked.outside() == []
    assert linked.over_each_other() == []
    assert "gap" not in seen(two_person_section(two, 180.0)).says
    closed = seen(two_person_section(two, 180.0, (750.0, 750.0)))
    assert "gap 0 mm" in closed.says


def test_one_alone_is_cut_too(made, seen) -> None:  # type: ignore[no-untyped-def]
    drawing = seen(two_person_section(made.lying_made(("man 1755 mm 80 kg", "side", 80, 750))))
    assert "man 1755 mm 80 kg, on the side" in drawing.says
    assert drawing.outside() == []


def test_people_close_together_keep_their_words_apart(made, seen) -> None:  # type: ignore[no-untyped-def]
    near = made.lying_made(
        ("man 1755 mm 80 kg", "side", 80, 660), ("woman 1630 mm 62 kg", "side", 62, 840), width=1350.0
    )
    drawing = seen(two_person_section(near, 112.0))
    assert drawing.over_each_other() == []
    assert drawing.outside() == []


def test_what_cannot_be_drawn_is_refused(two) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(OutsideRange, match="no cut runs across"):
        two_person_section(replace(two, slices=two.slices[:-1]))
    empty = replace(two.slices[-1], body=np.full_like(two.slices[-1].body, math.nan))
    with pytest.raises(OutsideRange, match="nobody lies"):
        two_person_section(replace(two, slices=(*two.slices[:-1], empty)))
    with pytest.raises(OutsideRange, match="lies not on a bed"):
        two_person_section(two, gap=(800.0, 700.0))


def test_roll_in_words() -> None:
    assert roll_words(0.04) == "does not roll"
    assert roll_words(-3.14159) == "rolls 3.1° to the left"
    assert roll_words(3.14159) == "rolls 3.1° to the right"
