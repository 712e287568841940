"""What the bookings of one bed at one place add up to, whatever order they came in.

Bookings are put in the order in which they were said (sender's id where two were said at once). `back` takes the last
act of the same hand on this bed away, as if it had not been. A hand (a device, or a person without one) has one bed in
its hands: its start of another bed closes the one before, softly: scanning that one again takes it up again, while a
bed that somebody called done stays done. Nothing here asks when a booking arrived.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime

Moment = tuple[datetime, str]
"""When it was said, and by which id: the order of everything here."""


@dataclass(frozen=True, slots=True)
class Act:
    """A booking that stands: start, done, trouble or back; position None: the step that fits."""

    sender: str
    said: datetime
    act: str
    hand: str
    who: str = ""
    device: str = ""
    position: int | None = None

    @property
    def at(self) -> Moment:
        return self.said, self.sender


CloserAfter = Callable[[str, Moment], Moment | None]
"""(hand, moment) -> when that hand next took up another bed at this place."""


@dataclass(slots=True)
class Sum:
    """One step of one bed as its bookings leave it."""

    position: int
    state: str = "to do"
    who: str = ""
    device: str = ""
    hand: str = ""
    started: datetime | None = None
    done: datetime | None = None
    soft: bool = False
    """Done only because the hand took up another bed."""
    since: Moment | None = field(default=None)
    """Where it came into the hand."""


def kept(acts: Iterable[Act]) -> list[Act]:
    """The acts that no `back` took away, in the order in which they were said; no `back` among them."""
    standing: list[Act] = []
    for act in sorted(acts, key=lambda one: one.at):
        if act.act != "back":
            standing.append(act)
            continue
        mine = [place for place, one in enumerate(standing) if one.hand == act.hand]
        if mine or standing:
            del standing[mine[-1] if mine else -1]
    return standing


def starts(acts: Iterable[Act]) -> list[Act]:
    """The starts that no `back` took away: each left the bed before."""
    return [act for act in kept(acts) if act.act == "start"]


def add_up(positions: Sequence[int], acts: Iterable[Act], closer_after: CloserAfter) -> list[Sum]:
    """The steps of one bed at one place after all that was booked of them. positions: of its steps here, in order."""
    sums = [Sum(position) for position in sorted(positions)]
    for act in kept(acts):
        _close(sums, closer_after, act.at)
        step = _meant(sums, act)
        if step is not None:
            _apply(sums, step, act)
    _close(sums, closer_after, None)
    return sums


def _close(sums: list[Sum], closer_after: CloserAfter, until: Moment | None) -> None:
    for step in sums:
        if step.state != "in work" or step.since is None:
            continue
        closer = closer_after(step.hand, step.since)
        if closer is not None and (until is None or closer < until):
            step.state, step.done, step.soft = "done", closer[0], True


def _meant(sums: list[Sum], act: Act) -> Sum | None:
    """The step that an act speaks of; None where it says nothing new of any."""
    if act.position is not None:
        named = next((step for step in sums if step.position == act.position), None)
        return named if named is not None and (named.state != "done" or named.soft) else None
    mine = [step for step in sums if step.state == "in work" and step.hand == act.hand]
    others = [step for step in sums if step.state == "in work" and step.hand != act.hand]
    trouble = [step for step in sums if step.state == "trouble"]
    to_do = [step for step in sums if step.state == "to do"]
    soft = [step for step in sums if step.state == "done" and step.soft]
    if act.act == "start":
        order = [mine, sorted(trouble + to_do, key=lambda step: step.position), others, soft[::-1]]
    elif act.act == "done":
        order = [mine, soft[::-1], others, trouble, to_do]
    else:
        order = [mine, others, trouble, to_do, soft[::-1]]
    return next((steps[0] for steps in order if steps), None)


def _apply(sums: list[Sum], step: Sum, act: Act) -> None:
    if act.act == "start":
        if step.state == "in work" and step.hand == act.hand:
            step.who = act.who
            return  # the same ticket read twice
        for other in sums:
            if other is not step and other.state == "in work" and other.hand == act.hand:
                other.state, other.done, other.soft = "done", act.said, True
        step.state, step.done, step.soft, step.since = "in work", None, False, act.at
        step.started = step.started or act.said
    elif act.act == "trouble":
        step.state, step.done, step.soft = "trouble", None, False
    else:
        step.state, step.done, step.soft = "done", act.said, False
    step.who, step.device, step.hand = act.who, act.device, act.hand
