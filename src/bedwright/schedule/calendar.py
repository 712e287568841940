"""From shifts in wall time to working time in plain seconds, over both clock changes.

A plan counts whole seconds from the midnight that begins the day `as_of` in the works' zone. Shifts are kept as the
people read them, in wall time; this file is the only place that turns one into the other. When clocks go forward, a
wall time that does not exist means the moment of the change; when they go back, a wall time that comes twice means
its first coming. So a night shift from 22:00 to 06:00 is an hour shorter in spring and an hour longer in autumn.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from bedwright.errors import Fault, FaultsFound
from bedwright.schedule.spans import Interval, clipped, merged, without

DAY_MINUTES = 24 * 60


def _epoch(wall: datetime, zone: ZoneInfo) -> int:
    """Seconds since 1970 UTC of a wall time; the rule of the module for times that are missing or come twice."""
    first = int(wall.replace(tzinfo=zone, fold=0).timestamp())
    if datetime.fromtimestamp(first, zone).replace(tzinfo=None) == wall:
        return first
    low, high = int(wall.replace(tzinfo=zone, fold=1).timestamp()), first
    after = datetime.fromtimestamp(high, zone).utcoffset()
    while low < high:
        middle = (low + high) // 2
        if datetime.fromtimestamp(middle, zone).utcoffset() == after:
            high = middle
        else:
            low = middle + 1
    return low


@dataclass(frozen=True, slots=True)
class WallClock:
    """The works' zone (IANA name) and the day that counts as today. Raises FaultsFound for a zone nobody knows."""

    zone: str
    as_of: date

    def __post_init__(self) -> None:
        try:
            ZoneInfo(self.zone)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            says = f"no time zone is called {self.zone!r}"
            raise FaultsFound([Fault(says, 'write it as "Europe/London"', self.zone, field="zone")]) from None

    def second(self, day: date, minute: int = 0) -> int:
        """Plan second [s] of a wall time: minutes [min] after the midnight that begins `day` (1440 and more: later)."""
        zone = ZoneInfo(self.zone)
        wall = datetime(day.year, day.month, day.day) + timedelta(minutes=minute)
        origin = datetime(self.as_of.year, self.as_of.month, self.as_of.day)
        return _epoch(wall, zone) - _epoch(origin, zone)

    def wall(self, second: int) -> datetime:
        """Wall time (with its zone) of a plan second [s]."""
        zone = ZoneInfo(self.zone)
        origin = datetime(self.as_of.year, self.as_of.month, self.as_of.day)
        return datetime.fromtimestamp(_epoch(origin, zone) + second, zone)

    def words(self, second: int) -> str:
        """A plan second [s] as people say it: `Tue 27 Oct 06:30`."""
        wall = self.wall(second)
        day = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")[wall.weekday()]
        months = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
        return f"{day} {wall.day} {months[wall.month - 1]} {wall:%H:%M}"


@dataclass(frozen=True, slots=True)
class Shift:
    """A shift in wall time: minutes [min] after midnight; an end at or before the start lies on the next day.

    weekdays: 0 is Monday, the day on which the shift begins. breaks: (from, to) in minutes after midnight; a break
    before the shift's start belongs to the night after. Raises FaultsFound with every fault at once.
    """

    code: str
    weekdays: tuple[int, ...]
    start_minute: int
    end_minute: int
    breaks: tuple[tuple[int, int], ...] = ()

    def __post_init__(self) -> None:
        card, faults = f"shift {self.code}", []
        for name, minute in (("start_minute", self.start_minute), ("end_minute", self.end_minute)):
            if not 0 <= minute <= DAY_MINUTES:
                says = f"a wall time of {minute} minutes after midnight does not exist"
                faults.append(Fault(says, "use 0 to 1440", str(minute), card=card, field=name))
        if not self.weekdays or any(day not in range(7) for day in self.weekdays):
            value = ", ".join(map(str, self.weekdays))
            says = "weekdays run from 0 (Monday) to 6 (Sunday), at least one"
            faults.append(Fault(says, "list the days it begins on", value, card=card, field="weekdays"))
        start, end = self.span()
        for begins, stops in self._breaks():
            if not start <= begins < stops <= end:
                says = f"the break {begins % DAY_MINUTES} to {stops % DAY_MINUTES} min does not lie in the shift"
                faults.append(Fault(says, "put it between the shift's start and end", card=card, field="breaks"))
        if faults:
            raise FaultsFound(faults)

    def span(self) -> tuple[int, int]:
        """Start and end in minutes [min] after the midnight of the day it begins."""
        later = self.end_minute <= self.start_minute
        return self.start_minute, self.end_minute + (DAY_MINUTES if later else 0)

    def _breaks(self) -> tuple[tuple[int, int], ...]:
        out = []
        for begins, stops in self.breaks:
            begins += DAY_MINUTES if begins < self.start_minute else 0
            stops += DAY_MINUTES if stops < begins else 0
            out.append((begins, stops))
        return tuple(out)

    def on(self, clock: WallClock, day: date) -> tuple[Interval, ...]:
        """Working stretches [s] of the shift that begins on `day`, breaks taken out; empty on other weekdays."""
        if day.weekday() not in self.weekdays:
            return ()
        start, end = self.span()
        whole = ((clock.second(day, start), clock.second(day, end)),)
        return without(whole, ((clock.second(day, a), clock.second(day, b)) for a, b in self._breaks()))


def working_time(
    clock: WallClock, shifts: Iterable[Shift], days: int, closed: Iterable[date] = ()
) -> tuple[Interval, ...]:
    """Working stretches [s] of these shifts from second 0 for so many days.

    A closed day loses the shifts that begin on it. A night shift of the evening before reaches into the first day.
    """
    shut = frozenset(closed)
    out: list[Interval] = []
    for shift in shifts:
        for offset in range(-1, days):
            day = clock.as_of + timedelta(days=offset)
            if day not in shut:
                out.extend(shift.on(clock, day))
    if not out:
        return ()
    return merged(clipped(out, 0, clock.second(clock.as_of + timedelta(days=days + 1))))


def absence(clock: WallClock, first: date, last: date) -> Interval:
    """Away from the midnight that begins `first` to the midnight that ends `last` [s]."""
    return clock.second(first), clock.second(last + timedelta(days=1))
