"""What the turning of one does to the other: differences of the one who lies still, nothing else compared."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bedwright.errors import OutsideRange
from bedwright.mechanics.lain import Lain, Lying, Spine
from bedwright.mechanics.turned import turned


def lain(called: str, posture: str, by: float = 0.0) -> Lain:
    spine = Spine(np.array([0.0, 1.0]), np.array([0.0, 0.0]), 1.0 + by, 2.0, 1.0)
    return Lain(
        called=called, posture=posture, contact_area=0.4, mean=1.9, p95=4.0, p99=6.0 - by, weight=785.0, carried=785.0,
        share={"head": 0.1, "trunk": 0.4, "pelvis": 0.3, "legs": 0.2}, spine=spine,
        sink={"shoulder": 50.0 + 2 * by, "hip": 80.0 - by},
        lumbar_gap=None, above=(0.1, 0.0, 0.0), force_error=0.0, moment_error=0.0, roll=0.5 * by, outline=(),
    )  # fmt: skip


def lying(*persons: Lain) -> Lying:
    none = np.zeros(0)
    return Lying(
        "HERON 150x200",
        1500.0,
        2000.0,
        persons,
        none,
        none,
        20.0,
        np.zeros((0, 0)),
        (),
        0.0,
        1,
        1,
        "solid",
        "A",
        "m",
        (),
    )


BEFORE = lying(lain("man", "supine"), lain("woman", "supine"))
AFTER = lying(lain("man", "supine", 3.0), lain("woman", "side"))


def test_differences_of_the_one_who_lies_still() -> None:
    found = turned(BEFORE, AFTER, 0)
    assert (found.still, found.turning, found.was, found.now) == ("man", "woman", "supine", "side")
    assert found.sink == {"shoulder": 6.0, "hip": -3.0}
    assert found.most == ("shoulder", 6.0)
    assert (found.roll, found.spine, found.p99) == (1.5, 3.0, -3.0)


def test_back_again_is_the_opposite() -> None:
    there, back = turned(BEFORE, AFTER, 0), turned(AFTER, BEFORE, 0)
    assert back.sink == {part: -by for part, by in there.sink.items()}
    assert back.roll == -there.roll


@pytest.mark.parametrize(
    ("before", "after", "still"),
    [
        (BEFORE, AFTER, 1),  # the one who turned
        (BEFORE, BEFORE, 0),  # nobody turned
        (lying(*BEFORE.persons[:1]), AFTER, 0),
        (BEFORE, replace(AFTER, bed="TEAL 150x200"), 0),
        (BEFORE, lying(AFTER.persons[0], lain("other woman", "side")), 0),
        (BEFORE, AFTER, 2),
    ],
)
def test_what_is_no_turning_is_refused(before: Lying, after: Lying, still: int) -> None:
    with pytest.raises(OutsideRange):
        turned(before, after, still)
