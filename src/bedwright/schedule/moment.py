"""Places and crews while time goes by: what is free, what it is set up for, what waits. Used by the rule alone."""

from __future__ import annotations

from bedwright.schedule.orders import Operation
from bedwright.schedule.resources import Oven, WorkPlace
from bedwright.schedule.spans import Interval, Timeline

Key = tuple[int, int, int, str]


class PlaceNow:
    """One place while time goes by: when each machine is free, what it is set up for, and what waits."""

    __slots__ = ("card", "coming", "free", "machines", "open", "queue", "setup", "standing")

    def __init__(self, card: WorkPlace | Oven, pause: int) -> None:
        self.card = card
        self.coming = 0  # operations that are still to join the queue
        self.free = [0] * card.count
        self.machines = range(card.count)
        self.open = Timeline.of(card.working, pause) if card.working else None
        self.queue: list[tuple[Key, int]] = []
        self.setup = dict(card.setup_seconds) if isinstance(card, WorkPlace) else {}
        standing = dict(card.standing) if isinstance(card, WorkPlace) else {}
        self.standing = [dict(standing) for _ in self.machines]

    def change(self, index: int, operation: Operation) -> int:
        """Seconds of set-up that this machine needs before this operation."""
        stands = self.standing[index]
        return sum(self.setup.get(family, 0) for family, value in operation.setup_keys if stands.get(family) != value)


class CrewNow:
    """People who work together, one or two: the time they share, and the longest ordinary block of it [s]."""

    __slots__ = ("longest", "time")

    def __init__(self, time: Timeline, longest: int) -> None:
        self.time = time
        self.longest = longest


def run_start(stretches: tuple[Interval, ...], setup: int) -> int:
    """The second at which the run begins: after so many worked seconds [s] of set-up."""
    for start, end in stretches:
        if setup < end - start:
            return start + setup
        setup -= end - start
    return stretches[-1][1]


def charge_start(hours: Timeline | None, t: int, length: int) -> int | None:
    """The first second from t on at which a charge may go in: door shut and door open in one block of the oven."""
    if hours is None:
        return t
    for i, (start, end) in enumerate(hours.intervals):
        if end <= t:
            continue
        for j in range(i, hours.block_last[i] + 1):
            begin = max(t, start, hours.intervals[j][0] - length + 1)
            if begin < end and begin + length <= hours.intervals[j][1]:
                return begin
    return None
