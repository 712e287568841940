"""Sums over stretches of time for the audit alone: written apart from `spans`, so that one slip is not made twice."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

Stretch = tuple[int, int]


def inside(pieces: Iterable[Stretch], cover: Sequence[Stretch]) -> bool:
    """Whether every piece lies in the union of the cover."""
    for start, end in pieces:
        at = start
        for a, b in sorted(cover):
            if a <= at < b:
                at = b
        if at < end:
            return False
    return True


def overlap(one: Iterable[Stretch], other: Sequence[Stretch]) -> int:
    """Seconds of the first that lie in the second; neither overlaps itself."""
    return sum(max(0, min(b, d) - max(a, c)) for a, b in one for c, d in other if c < b and a < d)


def cut(cover: Sequence[Stretch], holes: Sequence[Stretch]) -> list[Stretch]:
    """The cover with the holes taken out, piece by piece."""
    pieces = list(cover)
    for c, d in holes:
        left: list[Stretch] = []
        for a, b in pieces:
            left += [pair for pair in ((a, min(b, c)), (max(a, d), b)) if pair[0] < pair[1]]
        pieces = left
    return sorted(pieces)


def both(one: Sequence[Stretch], other: Sequence[Stretch]) -> list[Stretch]:
    """Time in both, kept in order."""
    out, start = [], 0
    for a, b in one:
        while start < len(other) and other[start][1] <= a:
            start += 1
        for c, d in other[start:]:
            if c >= b:
                break
            out.append((max(a, c), min(b, d)))
    return sorted(out)


def longest_block(pieces: Sequence[Stretch], pause: int) -> int:
    """The most working seconds between two gaps longer than the pause."""
    best = total = 0
    last: int | None = None
    for a, b in sorted(pieces):
        total = total + b - a if last is not None and a - last <= pause else b - a
        best, last = max(best, total), b
    return best
