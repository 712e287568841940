"""Stretches of time as pairs of whole seconds (from, to), the end not included: joined, cut, crossed, measured."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass

Interval = tuple[int, int]


def merged(intervals: Iterable[Interval]) -> tuple[Interval, ...]:
    """The same time [s], sorted, with touching and overlapping stretches joined and empty ones left out."""
    out: list[Interval] = []
    for start, end in sorted(pair for pair in intervals if pair[0] < pair[1]):
        if out and start <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], end))
        else:
            out.append((start, end))
    return tuple(out)


def common(one: Iterable[Interval], other: Iterable[Interval]) -> tuple[Interval, ...]:
    """Time [s] that lies in both."""
    left, right = merged(one), merged(other)
    out: list[Interval] = []
    i = j = 0
    while i < len(left) and j < len(right):
        start, end = max(left[i][0], right[j][0]), min(left[i][1], right[j][1])
        if start < end:
            out.append((start, end))
        if left[i][1] <= right[j][1]:
            i += 1
        else:
            j += 1
    return tuple(out)


def without(intervals: Iterable[Interval], holes: Iterable[Interval]) -> tuple[Interval, ...]:
    """Time [s] of the first that lies in none of the second."""
    cuts = merged(holes)
    out: list[Interval] = []
    for start, end in merged(intervals):
        at = start
        for hole_start, hole_end in cuts:
            if hole_end <= at:
                continue
            if hole_start >= end:
                break
            if at < hole_start:
                out.append((at, hole_start))
            at = max(at, hole_end)
        if at < end:
            out.append((at, end))
    return tuple(out)


def measure(intervals: Iterable[Interval]) -> int:
    """Seconds in all, of stretches that do not overlap."""
    return sum(end - start for start, end in intervals)


def clipped(intervals: Iterable[Interval], start: int, end: int) -> tuple[Interval, ...]:
    """The part of each stretch [s] that lies in start..end."""
    pairs = ((max(a, start), min(b, end)) for a, b in intervals)
    return tuple((a, b) for a, b in pairs if a < b)


@dataclass(frozen=True, slots=True)
class Timeline:
    """Working time laid end to end, so that work can be laid on it.

    A block is a run of stretches whose gaps are no longer than the pause (a tea break): work may rest over such a gap
    with the same hands at the same machine. `block_last[i]` is the index of the last stretch of stretch i's block.
    """

    intervals: tuple[Interval, ...]
    starts: tuple[int, ...]
    done: tuple[int, ...]
    block_last: tuple[int, ...]
    longest_block: int

    @classmethod
    def of(cls, intervals: Iterable[Interval], pause: int) -> Timeline:
        """From stretches [s] and the longest gap [s] that work may rest over."""
        pairs = merged(intervals)
        done: list[int] = []
        total = 0
        for start, end in pairs:
            done.append(total)
            total += end - start
        last = [0] * len(pairs)
        for i in range(len(pairs) - 1, -1, -1):
            joined = i + 1 < len(pairs) and pairs[i + 1][0] - pairs[i][1] <= pause
            last[i] = last[i + 1] if joined else i
        longest = 0
        for i in range(len(pairs)):
            end_work = done[last[i]] + pairs[last[i]][1] - pairs[last[i]][0]
            longest = max(longest, end_work - done[i])
        return cls(pairs, tuple(p[0] for p in pairs), tuple(done), tuple(last), longest)

    def at(self, t: int) -> int:
        """Index of the stretch that holds second t, or -1."""
        i = bisect_right(self.starts, t) - 1
        return i if i >= 0 and t < self.intervals[i][1] else -1

    def lay(self, t: int, need: int, across_blocks: bool) -> tuple[Interval, ...] | None:
        """Stretches of `need` seconds of work begun at second t exactly, or None where they do not fit."""
        i = self.at(t)
        if i < 0:
            return None
        end = self.intervals[i][1]
        if end - t >= need:
            return ((t, t + need),)
        last = len(self.intervals) - 1 if across_blocks else self.block_last[i]
        out: list[Interval] = []
        while need > 0:
            start, end = max(t, self.intervals[i][0]), self.intervals[i][1]
            take = min(need, end - start)
            out.append((start, start + take))
            need -= take
            i += 1
            if need and i > last:
                return None
        return tuple(out)

    def advance(self, t: int, need: int) -> int | None:
        """The earliest second at which `need` seconds of work from second t on can be done, resting at any gap."""
        i = max(bisect_right(self.starts, t) - 1, 0)
        while i < len(self.intervals):
            start, end = max(t, self.intervals[i][0]), self.intervals[i][1]
            if start < end:
                if end - start >= need:
                    return start + need
                need -= end - start
            i += 1
        return None
