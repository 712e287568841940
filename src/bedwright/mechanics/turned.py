"""Who of two is moved how far when the other turns: one who lies still, before and after. A comparison, no more."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.errors import OutsideRange
from bedwright.mechanics.lain import Lain, Lying

LEVEL = 0.5
"""Sinks that change by less than this [mm] are said to stay."""


@dataclass(frozen=True, slots=True)
class Turned:
    """What the turning of one does to another who lies still.

    still, turning: who, with both postures of the one who turns; sink [mm]: by part, deeper positive; roll [deg]:
    towards the right edge positive; spine [deg]: head higher positive; p99 [kPa]; all after less before.
    """

    still: str
    turning: str
    was: str
    now: str
    sink: dict[str, float]
    roll: float
    spine: float
    p99: float

    @property
    def most(self) -> tuple[str, float]:
        """The part that moves most, and by how much [mm], deeper positive."""
        return max(self.sink.items(), key=lambda one: (abs(one[1]), one[0]))


def turned(before: Lying, after: Lying, still: int) -> Turned:
    """What moved person `still` of two between two solves of one bed, in which the other alone changed its posture.

    Raises OutsideRange where that is not what the two solves are.
    """
    if len(before.persons) != 2 or len(after.persons) != 2 or still not in (0, 1):
        raise OutsideRange("turning is told of two persons on one bed, one of them still")
    one, then = before.persons[still], after.persons[still]
    other, now = before.persons[1 - still], after.persons[1 - still]
    same = (one.called, one.posture, before.bed) == (then.called, then.posture, after.bed)
    if not same or other.called != now.called or other.posture == now.posture:
        raise OutsideRange("between the two solves one person turns; the other and the bed stay as they are")
    return Turned(
        still=one.called, turning=other.called, was=other.posture, now=now.posture,
        sink={part: then.sink[part] - one.sink[part] for part in one.sink}, roll=then.roll - one.roll,
        spine=_spine(then) - _spine(one), p99=then.p99 - one.p99,
    )  # fmt: skip


def _spine(one: Lain) -> float:
    return one.spine.angle
